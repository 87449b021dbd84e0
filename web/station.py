"""What every desk works with: the store, the index and the clock, and who is at the desk.

They are put on the app once, by `create_app`, and read here; nothing else is fetched from afar.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from flask import Response, current_app, make_response, redirect, request
from flask_login import current_user

from catalogue.sound_index import SoundIndex
from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class Station:
    """The open station: one store, one index, one clock."""

    store: Store
    index: SoundIndex
    clock: Callable[[], datetime]


def station() -> Station:
    """The station this app serves."""
    found: Station = current_app.extensions["asheard"]
    return found


def now() -> datetime:
    """The station's time, from the clock that was passed in."""
    return station().clock()


def who() -> str:
    """The name of the person at the desk, as it is written beside what they do."""
    return str(current_user.name) if current_user.is_authenticated else ""


def asked_by_htmx() -> bool:
    """Whether the page asks for a fragment and not for a whole page."""
    return request.headers.get("HX-Request") == "true"


def go(url: str) -> Response:
    """Send the browser to another page after something was done."""
    if asked_by_htmx():
        response = make_response("", 200)
        response.headers["HX-Redirect"] = url
        return response
    return make_response(redirect(url, code=303))
