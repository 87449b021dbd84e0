"""The places of the station: what there is, how many discs are there; named, joined, retired."""

from __future__ import annotations

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import shelf_places
from web import wording
from web.asked import whole_number
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("places_page", __name__, url_prefix="/shelves/places")


@desk.get("")
def page() -> str:
    """Every place, with how many discs are there."""
    there = shelf_places.all_places(station().store)
    return render_template(
        "shelves/places.html",
        listed=[place for place in there if place.id is not None],
        unlisted=[place for place in there if place.id is None],
        kinds=shelf_places.KINDS,
        discs=discs,
        kind_of=_kind_of,
    )


@desk.post("")
def add() -> Response:
    """Put a place on the list."""
    name = request.form.get("name", "")
    shelf_places.add(station().store, name, request.form.get("kind", ""), who(), now())
    flash(t("places.added"))
    return go(url_for("places_page.page"))


@desk.post("/<int:place_id>")
def change(place_id: int) -> Response:
    """Give a place another name or kind."""
    form = request.form
    moved = shelf_places.change(
        station().store, place_id, form.get("name", ""), form.get("kind", ""), who(), now()
    )
    flash(t("places.changed") if not moved else t("places.changed_with", discs=discs(moved)))
    return go(url_for("places_page.page"))


@desk.post("/join")
def join() -> Response:
    """One place is another."""
    name, into = request.form.get("gone", ""), whole_number("into")
    moved = shelf_places.join(station().store, name, into, who(), now())
    kept = shelf_places.get(station().store, into).name
    flash(t("places.joined", discs=discs(moved), name=kept))
    return go(url_for("places_page.page"))


@desk.post("/<int:place_id>/use")
def use(place_id: int) -> Response:
    """Offer a place, or no longer."""
    in_use = request.form.get("use") == "yes"
    shelf_places.use(station().store, place_id, in_use, who(), now())
    flash(t("places.used" if in_use else "places.retired"))
    return go(url_for("places_page.page"))


def _kind_of(name: str) -> str:
    """What a place may be, by its name: where a list is begun from what is written on discs."""
    words = name.casefold()
    return next((kind for kind in shelf_places.KINDS if kind in words), shelf_places.KINDS[0])


def discs(count: int) -> str:
    """How many discs, in words."""
    return t("places.disc") if count == 1 else t("places.discs", count=wording.count(count))
