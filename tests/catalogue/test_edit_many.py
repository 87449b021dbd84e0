"""Editing many records: what would change is what does, in parts, as one action."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import browse, catalogue_rows, edit_many, undo, who_changed, work_in_parts
from catalogue.edit_many import AS_IT_IS, DISC_AS_IT_IS, NO_DISC, NO_NAME, NOT_THERE, Edit, Wording
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)
WHO = "Charlie"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    with undo.action(opened, WHO, "took in", NOW):
        disc = catalogue_rows.shelve_disc(opened, NewDisc(Carrier.LP, "C 1", place="Van"))
        for number in range(1, 8):
            new = NewRecording(f"Teh Tide {number}", "Ann Oke", year=1960 + number)
            recording = catalogue_rows.add_recording(opened, new)
            if number <= 4:
                catalogue_rows.add_holding(opened, NewHolding(recording, disc_id=disc))
    yield opened
    opened.close()


@pytest.fixture
def small_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(edit_many, "AT_ONCE", 2)


def _run(store: Store, ids: list[int], edit: Edit) -> edit_many.Outcome:
    looked = edit_many.look(store, ids, edit)
    before = store.rows("SELECT * FROM recordings ORDER BY id")
    assert store.rows("SELECT * FROM recordings ORDER BY id") == before
    done = edit_many.run(store, ids, edit, WHO, "changed many", NOW)
    assert (looked.recordings, looked.discs, looked.beside) == (
        done.recordings, done.discs, done.beside,
    )  # fmt: skip
    assert looked.samples == done.samples
    assert looked.passed_over == done.passed_over
    return done


def test_values_and_a_wording(store: Store) -> None:
    edit = Edit({"album": "Tides", "year": 1962}, Wording("title", "Teh", "The"))
    done = _run(store, [1, 2, 3, 99], edit)
    held = catalogue_rows.recordings(store, [1, 2, 3, 4])

    assert [(held[i].title, held[i].album, held[i].year) for i in (1, 2, 3)] == [
        ("The Tide 1", "Tides", 1962), ("The Tide 2", "Tides", 1962), ("The Tide 3", "Tides", 1962),
    ]  # fmt: skip
    assert held[4].title == "Teh Tide 4"
    assert (done.recordings, done.passed_over) == (3, {NOT_THERE: 1})
    assert ("year", 1961, 1962) in done.samples[0].values
    assert all(name != "year" for name, _, _ in done.samples[1].values)


def test_rooms_and_conditions_are_those_of_the_discs(store: Store) -> None:
    done = _run(store, [1, 2, 7], Edit({"place": "Studio 1", "condition": "worn"}))
    disc = store.rows("SELECT place, condition FROM discs")[0]
    assert disc == {"place": "Studio 1", "condition": "worn"}
    assert (done.recordings, done.discs, done.beside) == (0, 1, 2)
    assert done.passed_over == {NO_DISC: 1}
    again = edit_many.look(store, [1], Edit({"place": "Studio 1"}))
    assert again.passed_over[DISC_AS_IT_IS] == 1


def test_what_has_it_already_is_left_alone_and_leaves_no_action(store: Store) -> None:
    last = undo.recent(store)[0].id
    done = _run(store, [1, 2], Edit({"album": ""}, Wording("title", "nowhere", "x")))
    assert (done.recordings, done.action_id, done.passed_over) == (0, None, {AS_IT_IS: 2})
    assert undo.recent(store)[0].id == last


def test_a_name_is_never_emptied(store: Store) -> None:
    done = _run(store, [1], Edit({}, Wording("title", "Teh Tide 1", "")))
    assert done.passed_over == {NO_NAME: 1}
    with pytest.raises(BadInput):
        edit_many.look(store, [1], Edit({"artist": "  "}))


def test_an_artist_spelt_anew_is_the_same_artist(store: Store) -> None:
    artist = catalogue_rows.recording(store, 1).artist_id
    done = _run(store, [1, 2], Edit({"artist": "ANN OKE"}))
    held = catalogue_rows.recordings(store, [1, 7])
    assert (held[1].artist, held[7].artist, held[1].artist_id) == ("ANN OKE", "ANN OKE", artist)
    assert done.recordings >= 1
    undo.take_back(store, undo.recent(store)[0].id, WHO, NOW)
    assert catalogue_rows.recording(store, 1).artist == "Ann Oke"


@pytest.mark.parametrize(
    ("old", "new", "whole", "before", "after"),
    [
        ("Teh", "The", True, "Teh Tehran", "The Tehran"),
        ("Teh", "The", False, "Teh Tehran", "The Theran"),
        ("(live)", "", True, "Tide (live)", "Tide"),
        ("\\1", "x", True, "a \\1 b", "a x b"),
        ("a", "\\1 $&", True, "a b", "\\1 $& b"),
        ("Ærø", "Aero", True, "Ærøsund Ærø", "Ærøsund Aero"),
    ],
)
def test_a_wording(old: str, new: str, whole: bool, before: str, after: str) -> None:
    assert Wording("title", old, new, whole).applied(before) == after


@pytest.mark.parametrize(
    "edit",
    [Edit(), Edit({"title": "x"}), Edit({"isrc": "x"}), Edit({}, Wording("title", " ", "x")),
     Edit({}, Wording("isrc", "a", "b")), Edit({"album": "x"}, Wording("album", "a", "b"))],
)  # fmt: skip
def test_what_cannot_be_done_is_refused(store: Store, edit: Edit) -> None:
    with pytest.raises(BadInput):
        edit_many.run(store, [1], edit, WHO, "changed many", NOW)
    with pytest.raises(BadInput):
        edit_many.look(store, [], Edit({"album": "x"}))
    with pytest.raises(BadInput):
        edit_many.run(store, [1], Edit({"year": 1962, "voice": "a choir"}), WHO, "x", NOW)
    assert catalogue_rows.recording(store, 1).year == 1961


@pytest.mark.usefixtures("small_parts")
def test_parts_are_one_work_to_whoever_reads_of_them(store: Store) -> None:
    done = _run(store, [1, 2, 3, 4, 5], Edit({"album": "Tides", "place": "Studio 1"}))
    assert done.action_id is not None
    assert len(work_in_parts.parts(store, done.action_id)) == 4
    assert [a.id for a in undo.recent(store, 1)] == [done.action_id]
    assert [a.id for a in browse.done_on_shelves(store, 1)] == [done.action_id]
    assert who_changed.counts(store, [done.action_id]) == {done.action_id: 6}

    taken = work_in_parts.take_back(store, done.action_id, WHO, NOW)
    assert taken.what == "changed many"
    assert store.rows("SELECT DISTINCT album FROM recordings") == [{"album": ""}]
    assert store.rows("SELECT place FROM discs") == [{"place": "Van"}]
    assert [a.what for a in undo.recent(store, 2)] == ["took back: changed many", "changed many"]
    with pytest.raises(CannotTakeBack):
        work_in_parts.take_back(store, done.action_id, WHO, NOW)


@pytest.mark.usefixtures("small_parts")
def test_where_later_work_stands_on_any_part_nothing_is_taken_back(store: Store) -> None:
    done = _run(store, [1, 2, 3, 4, 5], Edit({"album": "Tides"}))
    assert done.action_id is not None
    with undo.action(store, "Dora", "corrected", NOW):
        catalogue_rows.change_recording(store, 2, album="Other Tides")
    with pytest.raises(CannotTakeBack, match="corrected"):
        work_in_parts.take_back(store, done.action_id, WHO, NOW)
    assert len(store.rows("SELECT 1 FROM recordings WHERE album = 'Tides'")) == 4

    undo.take_back(store, undo.recent(store)[0].id, "Dora", NOW)
    work_in_parts.take_back(store, done.action_id, WHO, NOW)
    assert store.rows("SELECT DISTINCT album FROM recordings") == [{"album": ""}]


@pytest.mark.usefixtures("small_parts")
def test_stopped_in_the_middle_and_gone_on_with(store: Store) -> None:
    stops = iter((False, False, True))
    done = edit_many.run(
        store, [1, 2, 3, 4, 5], Edit({"album": "Tides"}), WHO, "changed many", NOW,
        stop=lambda: next(stops),
    )  # fmt: skip
    assert (done.stopped, done.recordings) == (True, 4)
    assert done.action_id is not None

    stops = iter((False, True))
    with pytest.raises(CannotTakeBack, match="1 of 2"):
        work_in_parts.take_back(store, done.action_id, WHO, NOW, stop=lambda: next(stops))
    assert len(store.rows("SELECT 1 FROM recordings WHERE album = 'Tides'")) == 2
    work_in_parts.take_back(store, done.action_id, WHO, NOW)
    assert store.rows("SELECT DISTINCT album FROM recordings") == [{"album": ""}]


def test_an_action_that_is_none(store: Store) -> None:
    with pytest.raises(NotFound):
        work_in_parts.take_back(store, 99, WHO, NOW)
