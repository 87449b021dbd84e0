"""What is to be fetched from the shelves for the slips, and what is not in its place.

For whoever goes along the shelves, often with a telephone in hand. Nothing of a caller is here.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import (
    catalogue_rows,
    missing_copies,
    request_slips,
    sent_back,
    settings,
)
from catalogue.errors import BadInput, ChangedMeanwhile
from catalogue.records import Carrier
from catalogue.request_slips import NOT_FOUND, Slip
from catalogue.store import Store
from web import live, wording
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("fetching", __name__, url_prefix="/shelves")

_WHY = (NOT_FOUND, "would not play")
"""What somebody at the shelves can say of a copy."""


@dataclass(frozen=True, slots=True)
class Errand:
    """A disc that a slip needs: where it stands, what is wanted of it, and for whom."""

    slip_id: int
    version: int
    label: wording.Label
    title: str
    artist: str
    whither: str
    urgent: str


@dataclass(frozen=True, slots=True)
class Errands:
    """All that is to be fetched, as of change `number`."""

    number: int
    minute: str
    lines: tuple[Errand, ...]


@desk.get("/fetch")
def page() -> str:
    """The list of what is to be fetched."""
    return render_template("shelves/fetch.html", errands=_errands(station().store))


@desk.get("/fetch/list")
def to_fetch() -> str | Response:
    """The list alone, if it changed since N."""
    if live.is_known(station().store):
        return live.unchanged()
    return render_template("shelves/fetch_list.html", errands=_errands(station().store))


@desk.post("/fetch/<int:slip_id>/send-back")
def send_back(slip_id: int) -> Response:
    """Send a slip back to the phone desk from the shelves, with the reason."""
    store, why = station().store, request.form.get("why", "")
    if why not in _WHY:
        raise BadInput(t("refusal.number"))
    slip = request_slips.get(store, slip_id)
    if slip.holding_id is None:
        raise ChangedMeanwhile(t("fetch.changed"))
    place = wording.label(catalogue_rows.holding(store, slip.holding_id)).said
    version = request.form.get("version", "")
    seen = int(version) if version.isascii() and version.isdigit() and len(version) < 19 else None
    sent_back.send_back(store, slip_id, why, who(), now(), seen)
    key = "fetch.sent_back" if why == NOT_FOUND else "fetch.sent_back_broken"
    flash(t(key, number=slip_id, place=place))
    return go(url_for("fetching.page"))


@desk.post("/copies/<int:holding_id>/missing")
def missing(holding_id: int) -> Response:
    """Note that a copy is not in its place, or that it is there again."""
    store = station().store
    copy = catalogue_rows.holding(store, holding_id)
    if request.form.get("missing") == "yes":
        missing_copies.mark(store, holding_id, who(), now())
        flash(t("copies.marked", place=wording.label(copy).said))
    else:
        missing_copies.found(store, holding_id, who(), now())
        flash(t("copies.found", place=wording.label(copy).said))
    return go(url_for("shelves.recording", recording_id=copy.recording_id))


def _errands(store: Store) -> Errands:
    # The number first: what changes while the list is made is fetched again the next time.
    number = live.queue_number(store)
    slips = [
        s for name in settings.lines(store, "studios") for s in request_slips.queue(store, name)
    ]
    slips.sort(key=lambda slip: not slip.urgent)
    slips += request_slips.open_slips(store)
    lines = (_errand(store, slip) for slip in slips if slip.holding_id and not slip.in_studio)
    return Errands(number, live.minute(), tuple(line for line in lines if line is not None))


def _errand(store: Store, slip: Slip) -> Errand | None:
    """The disc of a slip; None for a file, which nobody needs to fetch."""
    copy = catalogue_rows.holding(store, slip.holding_id or 0)
    if copy.carrier is Carrier.FILE:
        return None
    recording = catalogue_rows.recording(store, copy.recording_id)
    whither = t("fetch.for_studio", studio=slip.studio) if slip.studio else t("fetch.being_written")
    return Errand(
        slip.id,
        slip.version,
        wording.label(copy),
        recording.title,
        recording.artist,
        whither,
        t("studio.urgent") if slip.urgent else "",
    )
