"""The box for a place on a form: what is offered in it, and what is asked about."""

from __future__ import annotations

from flask import request

from catalogue import shelf_places
from web.station import now, station, who


def offered() -> list[str]:
    """The places to offer, for the list beside the box."""
    return shelf_places.offered(station().store)


def placed() -> str:
    """The place on the form as the list writes it, put on the list if it is said to be new.

    Raises BadInput for a place that nobody has named yet: it is asked about, and not made.
    """
    store, typed = station().store, " ".join(request.form.get("place", "").split())
    if typed and request.form.get("new_place") == "yes":
        there = {place.name.casefold() for place in shelf_places.all_places(store)}
        if typed.casefold() not in there:
            shelf_places.add(store, typed, "other", who(), now())
    return shelf_places.known(store, typed)


def meant() -> str:
    """The same before anything is written: a place that is said to be new is taken as typed."""
    store, typed = station().store, " ".join(request.form.get("place", "").split())
    if request.form.get("new_place") != "yes":
        return shelf_places.known(store, typed)
    there = {place.name.casefold(): place.name for place in shelf_places.all_places(store)}
    return there.get(typed.casefold(), typed)
