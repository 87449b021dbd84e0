"""A shelf is walked: in its order, broken off and gone on with, and written as one action."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import (
    catalogue_rows,
    filing,
    loans,
    merging,
    programmes,
    pull_list,
    shelf_walk,
    stocktake,
    stocktake_end,
    undo,
)
from catalogue.errors import BadInput, CannotTakeBack, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.shelf_walk import Part
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)
MARKS = ["C 2", "C 10", "c 3", "C-1", "C 114", "C 114 a", "C 120"]
ORDER = ["C-1", "C 2", "c 3", "C 10", "C 114", "C 114 a", "C 120"]
WHOLE = Part("mark", "C")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    with undo.action(opened, "Liv", "took in", NOW):
        for mark in MARKS:
            catalogue_rows.shelve_disc(opened, NewDisc(Carrier.CD, mark, place="Main shelves"))
        catalogue_rows.shelve_disc(opened, NewDisc(Carrier.LP, "CD 5", place="Studio 2"))
        catalogue_rows.shelve_disc(opened, NewDisc(Carrier.LP, "L 7", "Tides", "Studio 2"))
    yield opened
    opened.close()


def _disc(store: Store, mark: str) -> int:
    return int(store.rows("SELECT id FROM discs WHERE shelf_mark = ?", (mark,))[0]["id"])


def _is_missing(store: Store, mark: str) -> bool:
    return catalogue_rows.disc(store, _disc(store, mark)).missing


def _see(store: Store, take: int, *marks: str, who: str = "Liv") -> None:
    for mark in marks:
        number = _disc(store, mark)
        stocktake.seen(store, take, f"{who} {mark}", number, "", who, NOW)


def _reckon(store: Store, take: int, end: str = "") -> stocktake_end.Reckoning:
    return stocktake_end.reckon(store, stocktake.get(store, take), end)


def _finish(store: Store, take: int, end: str = "", spared: tuple[int, ...] = ()) -> int:
    seen = stocktake.number(store, take)
    return stocktake_end.finish(store, take, seen, end, spared, "Liv", NOW)


def _marks(some: object) -> list[str]:
    return [one.disc.shelf_mark for one in some]  # type: ignore[attr-defined]


def _walked(store: Store, part: Part) -> list[str]:
    return [disc.shelf_mark for disc in shelf_walk.discs(store, part)]


def test_a_shelf_is_walked_in_the_order_of_its_marks(store: Store) -> None:
    assert _walked(store, WHOLE) == ORDER
    assert _walked(store, Part("mark", "c")) == ORDER
    assert _walked(store, Part("mark", "C 1")) == ["C-1"]
    assert _walked(store, Part("mark", "", "LP")) == ["CD 5", "L 7"]
    assert _walked(store, Part("room", "main SHELVES", "", "C 3", "C 114")) == ORDER[2:6]


def test_marks_that_are_names_are_filed_by_the_rules_of_their_shelf(store: Store) -> None:
    """ALA Rules for Filing Catalog Cards (1968): Mc as Mac; ALA Filing Rules (1980): as written."""
    names = ["McGrath", "Marsh", "MacDonald", "The Bay"]
    with undo.action(store, "Liv", "took in", NOW):
        for name in names:
            catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, name, place="Store room"))
    part = Part("room", "Store room")
    assert _walked(store, part) == ["The Bay", "MacDonald", "Marsh", "McGrath"]
    filing.keep(store, "room", "Store room", filing.ALA_1968, "Liv", NOW)
    assert _walked(store, part) == ["The Bay", "MacDonald", "McGrath", "Marsh"]


def test_the_shelves_there_are_to_choose_from(store: Store) -> None:
    there = shelf_walk.shelves(store)
    assert there.beginnings == (("C", 7), ("CD", 1), ("L", 1))
    assert there.rooms == (("Main shelves", 7), ("Studio 2", 2))
    assert there.discs == 9


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (Part("row", "C"), "Choose a shelf"), (Part("room", " "), "Choose a shelf"),
        (Part("mark", "Q"), "No disc is entered"), (Part("mark", "%"), "No disc is entered"),
        (Part("mark", "C", "file"), "kind of disc"), (Part("mark", "C" * 61), "60 letters"),
        (Part("mark", "C", "", "C 9", "C 2"), "C 9 stands after C 2"),
        (Part("room", "' OR 1 --"), "No disc is entered"),
    ],
)  # fmt: skip
def test_a_part_that_is_none_is_told(store: Store, part: Part, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        stocktake.start(store, part, "Liv", NOW)
    assert stocktake.of_state(store, "open") == []


def test_a_walk_is_no_longer_than_an_evening(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shelf_walk, "MOST", 6)
    with pytest.raises(BadInput, match="That is 7 discs; 6 in one walk"):
        stocktake.start(store, WHOLE, "Liv", NOW)


def test_what_was_passed_over_is_missing_and_what_was_not_walked_is_not(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "c 3", "C 114")
    came_to = _reckon(store, take)
    assert _marks(came_to.here) == ["C-1", "c 3", "C 114"]
    assert _marks(came_to.missing) == ["C 2", "C 10"]
    assert _marks(came_to.not_walked) == ["C 114 a", "C 120"]
    assert came_to.end == "C 114"
    assert _marks(_reckon(store, take, "c120").missing) == ["C 2", "C 10", "C 114 a", "C 120"]
    with pytest.raises(NotFound, match="C 9"):
        _reckon(store, take, "C 9")

    _finish(store, take, spared=(_disc(store, "C 10"),))
    assert [mark for mark in ORDER if _is_missing(store, mark)] == ["C 2"]
    kept = stocktake_end.report(stocktake.get(store, take))
    assert kept is not None
    assert (kept.here, kept.end, kept.not_walked) == (3, "C 114", 2)
    assert [line.mark for line in kept.missing] == ["C 2"]
    assert [line.mark for line in kept.spared] == ["C 10"]


def test_finishing_is_one_action_and_taking_it_back_opens_the_walk_again(store: Store) -> None:
    loans.lend(store, _disc(store, "C 2"), "Walter", None, "Liv", NOW)
    with undo.action(store, "Liv", "lost", NOW):
        catalogue_rows.change_disc(store, _disc(store, "C-1"), missing=1)
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "C 2", "C 10")
    came_to = _reckon(store, take)
    assert _marks(came_to.found) == ["C-1"]
    assert [(one.disc.shelf_mark, one.out_to) for one in came_to.home] == [("C 2", "Walter")]
    action = _finish(store, take)
    assert loans.out(store) == {}
    assert not _is_missing(store, "C-1")
    assert _is_missing(store, "c 3")

    undo.take_back(store, action, "Una", NOW)
    assert _is_missing(store, "C-1")
    assert not _is_missing(store, "c 3")
    assert list(loans.out(store)) == [_disc(store, "C 2")]
    again = stocktake.get(store, take)
    assert (again.state, again.report) == ("open", "")
    assert len(stocktake.finds(store, take)) == 3
    _finish(store, take)
    assert _is_missing(store, "c 3")


def test_a_disc_that_is_out_is_not_missing(store: Store) -> None:
    ends = NOW + timedelta(hours=1)
    number = programmes.add(store, "Tea Time", "", NOW, ends, "Liv", NOW)
    pull_list.pull(store, number, [_disc(store, "c 3")], "Liv", NOW)
    loans.lend(store, _disc(store, "C 2"), "Walter", None, "Liv", NOW)
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "C 10")
    came_to = _reckon(store, take)
    assert came_to.missing == ()
    assert [one.out_to for one in came_to.out] == ["Walter", "Tea Time"]
    _finish(store, take)
    assert not _is_missing(store, "C 2")
    assert len(pull_list.to_put_away(store)) == 1


def test_what_belongs_elsewhere_is_astray_and_may_stay(store: Store) -> None:
    with undo.action(store, "Liv", "lost", NOW):
        catalogue_rows.change_disc(store, _disc(store, "L 7"), missing=1)
    take = stocktake.start(store, Part("room", "Main shelves"), "Liv", NOW)
    _see(store, take, "C-1", "L 7", "CD 5")
    came_to = _reckon(store, take)
    assert [a.disc.shelf_mark for a in came_to.astray] == ["L 7", "CD 5"]
    stocktake.describe(store, take, "Liv CD 5", stays=True)
    _finish(store, take)
    assert not _is_missing(store, "L 7")
    places = {
        mark: catalogue_rows.disc(store, _disc(store, mark)).place for mark in ("L 7", "CD 5")
    }
    assert places == {"L 7": "Studio 2", "CD 5": "Main shelves"}
    kept = stocktake_end.report(stocktake.get(store, take))
    assert kept is not None
    assert [(line.mark, line.note) for line in kept.astray] == [("L 7", "Studio 2")]
    assert [line.mark for line in kept.moved] == ["CD 5"]


def test_a_thing_that_is_not_known_is_kept_with_what_it_is(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    stocktake.seen(store, take, "a", None, "  X  99 ", "Liv", NOW)
    stocktake.seen(store, take, "b", None, "Y 1", "Liv", NOW)
    stocktake.describe(store, take, "a", about="a box of sea shanties")
    stocktake.not_seen(store, take, ["b"], NOW)
    _see(store, take, "C-1")
    _finish(store, take)
    kept = stocktake_end.report(stocktake.get(store, take))
    assert kept is not None
    assert [(line.mark, line.title) for line in kept.unknown] == [("X 99", "a box of sea shanties")]


def test_two_on_one_shelf_lose_nothing(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "C 2")
    before = stocktake.number(store, take)
    _see(store, take, "C 2", "C 10", who="Una")
    _see(store, take, "C 2", who="Una")  # sent again: it is the same tick
    assert [find.who for find in stocktake.finds(store, take, before)] == ["Una", "Una"]
    # Liv takes back her own tick, not having seen Una's: the disc stays ticked.
    stocktake.not_seen(store, take, ["Liv C 2"], NOW)
    assert _marks(_reckon(store, take).here) == ["C-1", "C 2", "C 10"]
    stocktake.not_seen(store, take, ["Una C 2"], NOW)
    assert _marks(_reckon(store, take).missing) == ["C 2", "c 3"]


def test_who_finishes_is_told_of_ticks_that_came_meanwhile(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "C 10")
    shown = stocktake.number(store, take)
    _see(store, take, "C 2", who="Una")
    with pytest.raises(ChangedMeanwhile, match="ticked meanwhile"):
        stocktake_end.finish(store, take, shown, "", (), "Liv", NOW)
    assert not _is_missing(store, "c 3")
    _finish(store, take)
    with pytest.raises(ChangedMeanwhile, match="Liv finished"):
        _finish(store, take)


def test_a_tick_that_comes_after_the_end_still_counts(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C-1", "C 10")
    _finish(store, take)
    assert _is_missing(store, "C 2")
    _see(store, take, "C 2", who="Una")
    assert not _is_missing(store, "C 2")
    assert stocktake.finds(store, take)[-1].late
    with pytest.raises(ChangedMeanwhile, match="Liv finished"):
        stocktake.not_seen(store, take, ["Una C 2"], NOW)


def test_given_up_nothing_is_written_and_it_can_be_taken_back(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C 120")
    stocktake.give_up(store, take, "Liv", NOW)
    with pytest.raises(ChangedMeanwhile, match="given up"):
        _see(store, take, "C 2", who="Una")
    with pytest.raises(ChangedMeanwhile, match="given up"):
        _finish(store, take)
    assert not any(_is_missing(store, mark) for mark in MARKS)
    undo.take_back(store, undo.recent(store, 1)[0].id, "Liv", NOW)
    assert _marks(_reckon(store, take).here) == ["C 120"]
    begun = [a for a in undo.recent(store) if a.what.startswith("began")][0]
    with pytest.raises(CannotTakeBack):  # somebody's ticks rest on it
        undo.take_back(store, begun.id, "Liv", NOW)


@pytest.mark.parametrize(("key", "typed"), [("a", " "), ("", "X 1")])
def test_a_tick_of_nothing_is_told(store: Store, key: str, typed: str) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    with pytest.raises(BadInput):
        stocktake.seen(store, take, key, None, typed, "Liv", NOW)
    with pytest.raises(NotFound):
        stocktake.seen(store, take, "a", 999, "", "Liv", NOW)
    with pytest.raises(NotFound):
        stocktake.seen(store, 999, "a", None, "X", "Liv", NOW)
    with pytest.raises(NotFound):
        stocktake.describe(store, take, "nobody's", about="x")
    with pytest.raises(BadInput, match="Nothing was seen"):
        _finish(store, take)


def test_of_two_discs_with_a_mark_the_one_of_this_shelf_not_seen_yet_is_meant(store: Store) -> None:
    with undo.action(store, "Liv", "took in", NOW):
        other = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, "C 2"))
    both = [catalogue_rows.disc(store, number) for number in (_disc(store, "C 2"), other)]
    cds = stocktake.start(store, Part("mark", "C", "CD"), "Liv", NOW)
    assert stocktake.meant(store, cds, both).carrier is Carrier.CD
    every = stocktake.start(store, WHOLE, "Liv", NOW)
    with pytest.raises(BadInput, match="Several discs"):
        stocktake.meant(store, every, both)
    stocktake.seen(store, every, "k", other, "", "Liv", NOW)
    assert stocktake.meant(store, every, both).carrier is Carrier.CD


def test_a_disc_made_one_with_another_was_the_other(store: Store) -> None:
    take = stocktake.start(store, WHOLE, "Liv", NOW)
    _see(store, take, "C 114 a")
    merging.merge_discs(store, _disc(store, "C 114"), _disc(store, "C 114 a"), "Liv", NOW)
    assert _marks(_reckon(store, take).here) == ["C 114"]


def test_what_is_called_and_by_whom(store: Store) -> None:
    with undo.action(store, "Liv", "took in", NOW):
        for title, artist in (("Tide", "Ada"), ("Ebb", "Bo")):
            song = catalogue_rows.add_recording(store, NewRecording(title, artist))
            for mark in ("C 2", "C 10")[: 1 + (artist == "Ada")]:
                catalogue_rows.add_holding(store, NewHolding(song, disc_id=_disc(store, mark)))
    shown = {
        one.disc.shelf_mark: (one.title, one.artist) for one in shelf_walk.expected(store, WHOLE)
    }
    assert (shown["C 2"], shown["C 10"], shown["C 120"]) == (
        ("Tide", ""),
        ("Tide", "Ada"),
        ("", ""),
    )
