"""The places of the station: named, joined, retired; the discs follow, and it can be undone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows, filing, shelf_places, stocktake, undo
from catalogue.errors import BadInput, NotFound
from catalogue.filing import ALA_1968
from catalogue.records import Carrier, NewDisc
from catalogue.shelf_walk import Part
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    with undo.action(opened, "Liv", "took in", NOW):
        for mark, place in (
            ("C 1", "Studio 2"),
            ("C 2", "studio 2 "),
            ("C 3", "Cellar"),
            ("C 4", ""),
        ):
            catalogue_rows.shelve_disc(opened, NewDisc(Carrier.CD, mark, place=place))
    yield opened
    opened.close()


def _places(store: Store) -> list[tuple[str, str, int]]:
    return [(p.name, p.kind, p.discs) for p in shelf_places.all_places(store)]


def _where(store: Store) -> list[str]:
    return [row["place"] for row in store.rows("SELECT place FROM discs ORDER BY id")]


def test_where_discs_are_is_listed_before_anybody_names_it(store: Store) -> None:
    there = shelf_places.all_places(store)
    assert [(p.id, p.name, p.discs) for p in there] == [(None, "Cellar", 1), (None, "Studio 2", 2)]
    assert shelf_places.offered(store) == ["Cellar", "Studio 2"]


def test_a_place_is_put_on_the_list_and_its_discs_have_its_spelling(store: Store) -> None:
    shelf_places.add(store, " Studio  2 ", "studio", "Liv", NOW)
    shelf_places.add(store, "The van", "van", "Liv", NOW)
    assert _places(store) == [
        ("Studio 2", "studio", 2),
        ("The van", "van", 0),
        ("Cellar", "other", 1),
    ]
    assert _where(store) == ["Studio 2", "Studio 2", "Cellar", ""]
    undo.take_back(store, undo.recent(store)[1].id, "Liv", NOW)
    assert _where(store) == ["Studio 2", "studio 2 ", "Cellar", ""]


def test_discs_filing_and_walks_follow_a_place_that_is_named_anew(store: Store) -> None:
    number = shelf_places.add(store, "Studio 2", "studio", "Liv", NOW)
    filing.keep(store, "room", "studio 2", ALA_1968, "Liv", NOW)
    take = stocktake.start(store, Part("room", "Studio 2"), "Liv", NOW)
    assert shelf_places.change(store, number, "North studio", "studio", "Liv", NOW) == 2
    assert _where(store) == ["North studio", "North studio", "Cellar", ""]
    assert filing.rules_of(store, "room", "North Studio") == ALA_1968
    assert stocktake.get(store, take).part.shelf == "North studio"
    undo.take_back(store, undo.recent(store, 1)[0].id, "Liv", NOW)
    assert _where(store)[:2] == ["Studio 2", "Studio 2"]
    assert [s.name for s in filing.all_shelves(store)] == ["studio 2"]
    assert shelf_places.change(store, number, "Studio 2", "other", "Liv", NOW) == 0


def test_two_places_are_one(store: Store) -> None:
    shelf_places.add(store, "Cellar", "store room", "Liv", NOW)
    kept = shelf_places.add(store, "Studio 2", "studio", "Liv", NOW)
    for name in ("Cellar", "Studio 2"):
        filing.keep(store, "room", name, ALA_1968, "Liv", NOW)
    assert shelf_places.join(store, "cellar", kept, "Liv", NOW) == 1
    assert _places(store) == [("Studio 2", "studio", 3)]
    assert [s.name for s in filing.all_shelves(store)] == ["Studio 2"]
    undo.take_back(store, undo.recent(store, 1)[0].id, "Liv", NOW)
    assert _places(store) == [("Cellar", "store room", 1), ("Studio 2", "studio", 2)]
    assert len(filing.all_shelves(store)) == 2
    with pytest.raises(BadInput, match="one place, not two"):
        shelf_places.join(store, "Studio 2", kept, "Liv", NOW)


def test_a_place_that_was_only_written_on_discs_is_joined_too(store: Store) -> None:
    kept = shelf_places.add(store, "Studio 2", "studio", "Liv", NOW)
    assert shelf_places.join(store, "Cellar", kept, "Liv", NOW) == 1
    assert _places(store) == [("Studio 2", "studio", 3)]
    with pytest.raises(NotFound, match="Cellar"):
        shelf_places.join(store, "Cellar", kept, "Liv", NOW)


def test_a_place_no_longer_in_use_is_not_offered(store: Store) -> None:
    number = shelf_places.add(store, "Cellar", "store room", "Liv", NOW)
    shelf_places.use(store, number, False, "Liv", NOW)
    assert shelf_places.offered(store) == ["Studio 2"]
    with pytest.raises(BadInput, match="no longer in use"):
        shelf_places.known(store, "cellar")
    shelf_places.use(store, number, True, "Liv", NOW)
    assert shelf_places.known(store, " CELLAR ") == "Cellar"


def test_a_place_nobody_named_is_asked_about(store: Store) -> None:
    assert shelf_places.known(store, " ") == ""
    with pytest.raises(BadInput, match="Is it Studio 2"):
        shelf_places.known(store, "Studoi 2")
    with pytest.raises(BadInput, match="If it is a new place"):
        shelf_places.known(store, "Bramble Lane")


def test_bad_input_changes_nothing(store: Store) -> None:
    number = shelf_places.add(store, "Cellar", "store room", "Liv", NOW)
    shelf_places.add(store, "Attic", "store room", "Liv", NOW)
    for name, kind, told in (
        (" ", "shelf", "needs a name"), ("cellar", "shelf", "already"), ("Loft", "boat", "kind"),
        ("x" * 61, "shelf", "60 letters"),
    ):  # fmt: skip
        with pytest.raises(BadInput, match=told):
            shelf_places.add(store, name, kind, "Liv", NOW)
    with pytest.raises(BadInput, match="Join the two"):
        shelf_places.change(store, number, "attic", "shelf", "Liv", NOW)
    with pytest.raises(NotFound):
        shelf_places.use(store, 99, False, "Liv", NOW)
    assert [place[0] for place in _places(store)] == ["Attic", "Cellar", "Studio 2"]
