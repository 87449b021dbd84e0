"""The cookies of a desk: their names, and how they are set.

Where the station is served by HTTPS every cookie is Secure and has the prefix `__Host-`, by which
a browser takes it from this host and this path alone (RFC 6265bis, 4.1.3.2).
"""

from __future__ import annotations

from flask import Response, current_app, request

_PREFIX = "__Host-"
SIGNED_IN = "asheard_signed_in"
BROWSER = "asheard_browser"
DESK = "asheard_desk"
_YEAR_S = 400 * 24 * 3600
"""As long as a browser keeps a cookie at most (RFC 6265bis, 5.5)."""


def given(name: str) -> str:
    """What the browser sent of a cookie of ours, empty if nothing."""
    return request.cookies.get(_named(name), "")


def keep(answer: Response, name: str, value: str) -> None:
    """Set a cookie that the browser keeps for as long as it may."""
    _set(answer, name, value, _YEAR_S)


def keep_until_closed(answer: Response, name: str, value: str) -> None:
    """Set a cookie that goes when the browser is closed."""
    _set(answer, name, value, None)


def drop(answer: Response, name: str) -> None:
    """Take a cookie away."""
    _set(answer, name, "", 0)


def session_name(secure: bool) -> str:
    """The name of Flask's own session cookie."""
    return f"{_PREFIX}asheard" if secure else "asheard"


def _named(name: str) -> str:
    return f"{_PREFIX}{name}" if _secure() else name


def _secure() -> bool:
    return bool(current_app.config["SESSION_COOKIE_SECURE"])


def _set(answer: Response, name: str, value: str, max_age: int | None) -> None:
    answer.set_cookie(
        _named(name),
        value,
        max_age=max_age,
        httponly=True,
        samesite="Lax",
        secure=_secure(),
    )
