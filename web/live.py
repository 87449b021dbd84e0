"""How pages learn that something changed: they ask for "changes since N" again and again.

No connection is held open per desk. `queue_number` is the N of the slips; a page that already
has it is answered with 204 and no body.
"""

from __future__ import annotations

from flask import Blueprint, Response, make_response, request

from catalogue import undo
from catalogue.store import Store
from web.station import now

live = Blueprint("live", __name__, url_prefix="/live")

_CHANGES_SLIPS = ("slips", "settings", "programmes", "programme_items")
"""Tables whose changes show in a queue: the slips, the names of the studios, what is on."""


@live.get("/alive")
def alive() -> Response:
    """Say that the station's PC answers; pages and the test of a start ask this."""
    return Response("The station answers.", mimetype="text/plain")


def queue_number(store: Store) -> int:
    """The number of the last change that can show on a slip.

    What a caller said is not tracked, but it changes only while a slip is being written, and
    handing a slip over is a change of the slip.
    """
    return max(undo.last_change(store, table) for table in _CHANGES_SLIPS)


def minute() -> str:
    """The minute of the station's clock: how long somebody has waited changes with it."""
    return f"{now():%H%M}"


def is_known(store: Store) -> bool:
    """Whether the page has this number already, and made it in this minute."""
    known_minute = request.args.get("minute", minute()) == minute()
    return queue_number(store) == asked_since() and known_minute


def asked_since() -> int:
    """The number the page has, -1 if it has none or sends nonsense."""
    text = request.args.get("since", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else -1


def unchanged() -> Response:
    """The answer to a page that is up to date."""
    return make_response("", 204)
