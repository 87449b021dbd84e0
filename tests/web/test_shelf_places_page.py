"""The page of the places, and the box for a place on the form of a copy."""

from __future__ import annotations

import re

import pytest

from catalogue import catalogue_rows, shelf_places, undo
from catalogue.store import Store

from .conftest import EVENING, Desk, Held


@pytest.fixture(autouse=True)
def _placed(store: Store, held: Held) -> None:
    with undo.action(store, "Charlie", "placed", EVENING):
        catalogue_rows.change_disc(store, held.discs["lp"], place="Studio 2")
        catalogue_rows.change_disc(store, held.discs["45"], place="Cellar")


def _page(desk: Desk) -> str:
    return re.sub(r"\s+", " ", desk.get("/shelves/places").get_data(as_text=True))


def test_places_are_named_joined_retired_and_it_is_taken_back(
    shelves: Desk, phone: Desk, store: Store, held: Held
) -> None:
    assert "Written on discs, and not on the list" in _page(shelves)
    for name, kind in (("Studio 2", "studio"), ("The van", "van")):
        shelves.send("/shelves/places", name=name, kind=kind)
    page = _page(shelves)
    assert '<strong>Studio 2</strong> <span class="about">studio</span>' in page
    shelves.send("/shelves/places/1", name="North studio", kind="studio")
    assert "With it moved: 1 disc." in _page(shelves)
    assert catalogue_rows.disc(store, held.discs["lp"]).place == "North studio"
    shelves.send("/shelves/places/join", gone="Cellar", into="1")
    assert "They are one place: North studio. Moved: 1 disc." in _page(shelves)
    shelves.send("/shelves/places/2/use", use="no")
    assert "no longer offered" in _page(phone)
    assert "Put it on the list" not in _page(phone)
    joined = next(a for a in undo.recent(store) if a.what.startswith("joined"))
    shelves.send(f"/shelves/actions/{joined.id}/take-back")
    assert catalogue_rows.disc(store, held.discs["45"]).place == "Cellar"


def test_bad_input_is_told(shelves: Desk, store: Store) -> None:
    for form in ({"name": ""}, {"name": "Loft", "kind": "boat"}, {"name": "x" * 61, "kind": "van"}):
        assert shelves.send("/shelves/places", **form).status_code == 400
    assert shelves.send("/shelves/places/9", name="x", kind="van").status_code == 404
    assert shelves.send("/shelves/places/join", gone="Cellar", into="x").status_code == 400
    assert shelves.send("/shelves/places/join", gone="Loft", into="9").status_code == 404
    assert store.rows("SELECT 1 FROM shelf_places") == []


def test_a_place_that_is_not_known_is_asked_about_and_not_made(
    shelves: Desk, store: Store, held: Held
) -> None:
    address = f"/shelves/recordings/{held.recordings['jetty']}/copies"
    form = {"carrier": "LP", "shelf_mark": "J 1", "place": "Studoi 2"}
    answer = shelves.send(address, **form)
    assert (answer.status_code, "Is it Studio 2?" in answer.get_data(as_text=True)) == (400, True)
    assert store.rows("SELECT 1 FROM discs WHERE shelf_mark = 'J 1'") == []
    shelves.send(address, **{**form, "place": "studio 2"})
    shelves.send(address, **{**form, "shelf_mark": "J 2", "place": "Loft", "new_place": "yes"})
    rows = store.rows("SELECT place FROM discs WHERE shelf_mark LIKE 'J%' ORDER BY id")
    assert [row["place"] for row in rows] == ["Studio 2", "Loft"]
    assert shelf_places.offered(store) == ["Loft", "Cellar", "Studio 2"]
    page = shelves.get(f"/shelves/recordings/{held.recordings['jetty']}").get_data(as_text=True)
    assert '<option value="Loft">' in page
