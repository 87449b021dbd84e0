"""Looking on the shelf: a list to take along, on paper or on a telephone, found or not found."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from flask import Blueprint, flash, render_template, url_for
from werkzeug import Response

from catalogue import demand, shelf_errands, shelf_looks, undo, wants
from catalogue.catalogue_rows import disc
from catalogue.shelf_errands import Errand
from catalogue.shelf_looks import Seen
from catalogue.store import Store
from web import wording
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("shelf_look", __name__, url_prefix="/shelves/look")


@dataclass(frozen=True, slots=True)
class Line:
    """One disc to look for: its label, why, who looked in vain, and what may be said of it."""

    disc_id: int
    label: wording.Label
    title: str
    why: str
    looked: str
    missing: bool
    carrier: str
    side: str


@desk.get("")
def page() -> str:
    """The list, in the order of the shelf."""
    errands = shelf_errands.to_look_for(station().store)
    return render_template(
        "shelves/look.html",
        lines=[_line(errand) for errand in errands if errand.looked is None],
        in_vain=[_line(errand) for errand in errands if errand.looked is not None],
        made=wording.full_day(now().date()),
    )


@desk.post("/<int:disc_id>/found")
def found(disc_id: int) -> Response:
    """The disc is in its place."""
    shelf_looks.found(station().store, disc_id, who(), now())
    flash(t("look.noted_found", mark=disc(station().store, disc_id).shelf_mark))
    return go(url_for("shelf_look.page"))


@desk.post("/<int:disc_id>/not-there")
def not_there(disc_id: int) -> Response:
    """The disc is not in its place; what only it has is wanted."""
    store = station().store
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who(), t("did.looked_in_vain", mark=mark), now()):
        shelf_looks.note(store, disc_id, Seen.NOT_THERE, who(), now())
        put = _wanted(store, disc_id)
    flash(t("look.noted_wanted" if put else "look.noted_not_there", mark=mark, count=put))
    return go(url_for("shelf_look.page"))


@desk.post("/<int:disc_id>/all-listed")
def all_listed(disc_id: int) -> Response:
    """The list is right: there is no more on the disc."""
    shelf_looks.note(station().store, disc_id, Seen.ALL_LISTED, who(), now())
    flash(t("look.noted_all_listed", mark=disc(station().store, disc_id).shelf_mark))
    return go(url_for("shelf_look.page"))


def _wanted(store: Store, disc_id: int) -> int:
    """Put on the list of wants what is on no other copy and not on it yet; returns how many."""
    on_list = {want.recording_id for want in wants.all_wants(store)}
    put = [number for number in shelf_errands.only_on(store, disc_id) if number not in on_list]
    for number in put:
        demand.put_on_list(store, number, who(), now())
    return len(put)


def _line(errand: Errand) -> Line:
    held = errand.disc
    if errand.tracks:
        why = " ".join(
            t("look.tracks", numbers=", ".join(map(str, numbers)),
              side=f"{t('spot.side', side=side)}, " if side else "")
            for side, numbers in errand.tracks
        )  # fmt: skip
    elif errand.alone:
        why = t("look.only_copy", count=len(errand.alone))
    else:
        why = t("look.other_copies")
    looked = ""
    if errand.looked is not None:
        day = wording.day(datetime.fromisoformat(errand.looked.at).date(), now().date())
        looked = t("look.in_vain", who=errand.looked.signed_by or t("look.somebody"), day=day)
    return Line(
        held.id, wording.disc_label(held), held.title, why, looked, not errand.tracks,
        held.carrier.value, errand.tracks[0][0] if errand.tracks else "",
    )  # fmt: skip
