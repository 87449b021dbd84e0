"""What a page of the phone desk asks about: which slip, and what was heard."""

from __future__ import annotations

from datetime import date
from typing import TypeVar

from flask import current_app, request, session

from catalogue import request_slips
from catalogue.errors import BadInput
from catalogue.heard import Heard
from catalogue.request_slips import Slip, SlipState
from catalogue.said_of_it import FIELDS, Said
from web import slip_view
from web.sheets import Sheets
from web.station import now, station, who
from web.texts import t

T = TypeVar("T")


def slip_id_of(start: bool) -> int | None:
    """The slip the page writes on; with `start`, a fresh sheet becomes one."""
    given = number("slip")
    if given is not None:
        return given
    token = request.form.get("sheet", "")
    sheets: Sheets = current_app.extensions["asheard_sheets"]
    if not start or not token:
        return sheets.slip_of(token)
    purpose = request.form.get("purpose") or request_slips.PURPOSES[0]
    store = station().store
    slip_id = sheets.slip_for(token, lambda: request_slips.start(store, purpose, who(), now()))
    session["slip_id"] = slip_id
    return slip_id


def being_written(slip_id: int) -> Slip:
    """The slip, if it may still be written on; says where it is if not."""
    found = request_slips.get(station().store, slip_id)
    if found.state is not SlipState.BEING_WRITTEN:
        raise BadInput(slip_view.no_longer_written(station().store, found))
    return found


def heard_typed() -> Heard:
    """What is in the one box, or in the two when the artist was heard apart."""
    text = request.form.get("heard", "").strip()
    artist = request.form.get("heard_artist", "").strip()
    return Heard(title=text, artist=artist) if artist else Heard(text=text)


def said_typed() -> Said | None:
    """What the caller can say of the record, if the page sent its fields."""
    given = {
        name: request.form[f"said_{name}"] for name in FIELDS if f"said_{name}" in request.form
    }
    return Said.of_form(given) if given else None


def instead_typed() -> bool:
    """Whether something else is asked for though the record is there: for these words only."""
    return bool(request.form.get("instead")) and request.form["instead"] == heard_typed().whole


def number(field: str) -> int | None:
    """A number of the form, None if it is empty. Raises BadInput for what is none."""
    text = request.form.get(field, "").strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise BadInput(t("refusal.number"))
    return int(text)


def needed(value: T | None) -> T:
    """What must be there. Raises BadInput if it is not."""
    if value is None:
        raise BadInput(t("slip.nothing_on_it"))
    return value


def whole_number(field: str) -> int:
    """A number that the form must have. Raises BadInput without one, or for what is none."""
    found = number(field)
    if found is None:
        raise BadInput(t("refusal.number"))
    return found


_FIRST_YEAR, _LAST_YEAR = 1900, 2999
"""Beyond lies a slip of the finger; and behind the last day that there is none can be counted."""


def day(text: str) -> date | None:
    """A day as a date field sends it, None for an empty one. Raises BadInput for what is none."""
    if not text.strip():
        return None
    try:
        found = date.fromisoformat(text.strip())
    except ValueError as problem:
        raise BadInput(t("refusal.day")) from problem
    if not _FIRST_YEAR <= found.year <= _LAST_YEAR:
        raise BadInput(t("refusal.day"))
    return found
