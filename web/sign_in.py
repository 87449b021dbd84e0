"""Signing in by name and passphrase, and out again.

The session holds the person's id and session key, so that a changed passphrase ends every
session. Wrong tries are slowed down per name and address.
"""

from __future__ import annotations

import hmac
import math
import threading
from datetime import datetime, timedelta

from flask import (
    Blueprint,
    Flask,
    current_app,
    flash,
    redirect,
    render_template,
    request,
    session,
    url_for,
)
from flask_login import LoginManager, UserMixin, login_user, logout_user
from werkzeug import Response

from catalogue import settings, staff
from catalogue.errors import CatalogueError
from web import home
from web.station import now, station
from web.texts import t

door = Blueprint("sign_in", __name__)

_FREE_TRIES = 3
"""Wrong tries before any waiting: elderly hands mistype."""

_LONGEST_WAIT_S = 60
_REMEMBERED = 2_000
"""Names and addresses kept in memory; the oldest go first."""


class SignedIn(UserMixin):  # type: ignore[misc]
    """The person at this browser."""

    def __init__(self, person: staff.Person) -> None:
        self.person_id = person.id
        self.name = person.name
        self.role = person.role
        self._key = person.session_key

    def get_id(self) -> str:
        """Id and session key: a changed passphrase changes the key and ends the session."""
        return f"{self.person_id}:{self._key}"


class Tries:
    """Wrong tries to sign in, per name and address, and how long to wait after them."""

    def __init__(self) -> None:
        self._wrong: dict[tuple[str, str], tuple[int, datetime]] = {}
        self._lock = threading.Lock()

    def wait_s(self, who: tuple[str, str], at: datetime) -> int:
        """Seconds still to wait before another try, 0 if none."""
        with self._lock:
            count, last = self._wrong.get(who, (0, at))
        if count < _FREE_TRIES:
            return 0
        pause = min(2 ** (count - _FREE_TRIES + 1), _LONGEST_WAIT_S)
        return max(0, math.ceil((last + timedelta(seconds=pause) - at).total_seconds()))

    def wrong(self, who: tuple[str, str], at: datetime) -> None:
        """Note a wrong try."""
        with self._lock:
            count, _ = self._wrong.pop(who, (0, at))
            self._wrong[who] = (count + 1, at)
            while len(self._wrong) > _REMEMBERED:
                self._wrong.pop(next(iter(self._wrong)))

    def right(self, who: tuple[str, str]) -> None:
        """Forget the wrong tries of somebody who came in."""
        with self._lock:
            self._wrong.pop(who, None)


def install(app: Flask) -> None:
    """Make sessions known to the app."""
    manager = LoginManager(app)
    # The sign-in cookie of a browser is its session's; nothing is remembered beyond it.
    manager.session_protection = "basic"
    manager.user_loader(_load)
    app.extensions["asheard_tries"] = Tries()


def _load(user_id: str) -> SignedIn | None:
    number, _, key = user_id.partition(":")
    if not number.isdigit():
        return None
    try:
        person = staff.get(station().store, int(number))
    except CatalogueError:
        return None
    if person is None or not person.active or not hmac.compare_digest(person.session_key, key):
        return None
    return SignedIn(person)


@door.get("/sign-in")
def page() -> str:
    """The door: a name and a passphrase."""
    return _page()


def _page(name: str = "", problem: str = "") -> str:
    store = station().store
    people = [person for person in staff.all_people(store) if person.active]
    listed = [p.name for p in people] if settings.get(store, "demo") == "yes" else []
    return render_template(
        "sign_in/page.html", names=listed, name=name, problem=problem, nobody=not people
    )


@door.post("/sign-in")
def enter() -> str | Response | tuple[str, int]:
    """Let somebody in, or say in one sentence why not."""
    tries: Tries = current_app.extensions["asheard_tries"]
    name = request.form.get("name", "").strip()
    key = (name.casefold(), request.remote_addr or "")
    if wait := tries.wait_s(key, now()):
        return _page(name, t("sign_in.wait", seconds=wait)), 429
    person = staff.check(station().store, name, request.form.get("passphrase", ""))
    if person is None:
        tries.wrong(key, now())
        return _page(name, t("sign_in.wrong")), 400
    tries.right(key)
    after = session.pop("after_sign_in", "")
    login_user(SignedIn(person))
    return redirect(after if after.startswith("/") and after[1:2] != "/" else home.own_desk(), 303)


@door.post("/sign-out")
def leave() -> Response:
    """End this browser's session."""
    logout_user()
    session.clear()
    flash(t("sign_in.left"))
    return redirect(url_for("sign_in.page"), 303)
