"""Who changed what, and how it is taken back."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.schema import TRACKED
from catalogue.store import Store

NOW = datetime(2026, 11, 25, 19, 30)
AddRecording = Callable[..., int]


def _all_rows(store: Store) -> dict[str, list[dict[str, object]]]:
    return {t: store.rows(f"SELECT * FROM [{t}] ORDER BY id") for t in TRACKED}


def _last(store: Store) -> int:
    return undo.recent(store, 1)[0].id


# Single steps


def test_an_addition_is_taken_back(store: Store, add: AddRecording) -> None:
    """With the artist and the song that came with it."""
    before = _all_rows(store)
    add("My Lantern", "Ann Oke", disc="C 114")
    assert _all_rows(store) != before

    done = undo.take_back(store, _last(store), "Dilys", NOW)

    assert done.what == "added My Lantern"
    assert _all_rows(store) == before


@pytest.mark.parametrize("tempo", [1732551234.1234567, 0.1 + 0.2, 1 / 3, 5e-324, 120.0, None])
def test_a_number_comes_back_to_its_last_digit(
    store: Store, add: AddRecording, tempo: float | None
) -> None:
    """A file's time that lost a digit would make the file look changed."""
    number = add("My Lantern", "Ann Oke", tempo=tempo)
    with undo.action(store, "Dilys", "measured it anew", NOW):
        rows.change_recording(store, number, tempo=96.5)

    undo.take_back(store, _last(store), "Dilys", NOW)

    assert rows.recording(store, number).tempo == tempo


@given(time=st.floats(min_value=1e9, max_value=4e9))
@settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_time_of_a_file_comes_back(store: Store, time: float) -> None:
    """Seconds since 1970, as file systems give them."""
    with undo.action(store, "Dilys", "added a file", NOW):
        number = rows.add_recording(store, NewRecording("My Lantern", "Ann Oke"))
        copy = rows.add_holding(store, NewHolding(number, path=f"/music/{number}", file_time=time))
    with undo.action(store, "Dilys", "moved it", NOW):
        rows.change_holding(store, copy, path=f"/elsewhere/{number}", file_time=None)

    undo.take_back(store, _last(store), "Dilys", NOW)

    assert store.rows("SELECT file_time FROM holdings WHERE id = ?", (copy,)) == [
        {"file_time": time}
    ]


def test_odd_text_comes_back_as_it_was(store: Store, add: AddRecording) -> None:
    """Quotes, a NUL, other scripts, emoji."""
    odd = "Ægir's “Søng” \x00 'quoted' \\ \n 東京 🎵"
    number = add(odd, "Ann Oke")
    with undo.action(store, "Dilys", "renamed it", NOW):
        rows.change_recording(store, number, title="Plain")

    undo.take_back(store, _last(store), "Dilys", NOW)

    assert rows.recording(store, number).title == odd


def test_a_write_outside_an_action_fails(store: Store) -> None:
    """In every tracked table, and nothing is written."""
    with pytest.raises(sqlite3.IntegrityError, match="a write outside an action"):
        rows.artist_id(store, "Ann Oke")
    with pytest.raises(sqlite3.IntegrityError, match="a write outside an action"):
        store.db.execute("INSERT INTO places (name) VALUES ('Saltings House')")
    assert store.rows("SELECT * FROM artists") == store.rows("SELECT * FROM places") == []


def test_an_error_inside_leaves_nothing_of_the_action(store: Store) -> None:
    """Not even its name among the actions; and the next write needs an action again."""
    before = _all_rows(store)
    with pytest.raises(BadInput), undo.action(store, "Dilys", "added two", NOW):
        rows.add_recording(store, NewRecording("My Lantern", "Ann Oke"))
        rows.add_recording(store, NewRecording(" ", "Ann Oke"))

    assert _all_rows(store) == before
    assert undo.recent(store) == []
    with pytest.raises(sqlite3.IntegrityError, match="a write outside an action"):
        rows.artist_id(store, "Ann Oke")


def test_an_error_that_is_caught_around_an_action_leaves_no_action_open(store: Store) -> None:
    """Inside a longer transaction too: else all later work would count as the failed action's."""
    with store.transaction():
        with suppress(BadInput), undo.action(store, "Dilys", "added one badly", NOW):
            rows.artist_id(store, "Ann Oke")
            raise BadInput("No.")
        with pytest.raises(sqlite3.IntegrityError, match="a write outside an action"):
            rows.artist_id(store, "Ann Oke")
    with undo.action(store, "Dilys", "added one well", NOW):
        rows.artist_id(store, "Ann Oke")

    assert [a.what for a in undo.recent(store)] == ["added one well"]


def test_an_action_inside_an_action_joins_it(store: Store) -> None:
    """So that owners can call each other, and one taking back takes both."""
    with undo.action(store, "Dilys", "the outer", NOW) as outer:
        rows.artist_id(store, "Ann Oke")
        with undo.action(store, "Walter", "the inner", NOW) as inner:
            rows.artist_id(store, "Ada Sluice")

    assert inner == outer
    assert [(a.who, a.what) for a in undo.recent(store)] == [("Dilys", "the outer")]
    undo.take_back(store, outer, "Dilys", NOW)
    assert store.rows("SELECT * FROM artists") == []


def test_later_work_stands_in_the_way_and_is_named(store: Store, add: AddRecording) -> None:
    """Nothing is changed; once the later work is taken back, it goes."""
    number = add("My Lantern", "Ann Oke")
    first = _last(store)
    with undo.action(store, "Walter", "put in the year", NOW):
        rows.change_recording(store, number, year=1962)
    before = _all_rows(store)

    with pytest.raises(CannotTakeBack, match="“put in the year” .Walter, 2026-11-25.*Take that"):
        undo.take_back(store, first, "Dilys", NOW)
    assert _all_rows(store) == before
    undo.take_back(store, _last(store), "Dilys", NOW)
    undo.take_back(store, first, "Dilys", NOW)
    assert store.rows("SELECT * FROM recordings") == []


def test_entries_that_rest_on_a_record_stand_in_the_way_and_are_named(
    store: Store, add: AddRecording
) -> None:
    """A later copy of the recording is another row, but it would hang in the air."""
    number = add("My Lantern", "Ann Oke", file=False)
    first = _last(store)
    with undo.action(store, "Walter", "found a file of it", NOW):
        rows.add_holding(store, NewHolding(number, path="/music/lantern.ogg"))
    before = _all_rows(store)

    with pytest.raises(CannotTakeBack, match="rest on its records: “found a file of it”"):
        undo.take_back(store, first, "Dilys", NOW)
    assert _all_rows(store) == before
    assert store.db.execute("PRAGMA foreign_key_check").fetchall() == []


def test_what_cannot_be_taken_back_says_so(store: Store, add: AddRecording) -> None:
    """An unknown action, one that was taken back, and a taking back."""
    add("My Lantern", "Ann Oke")
    first = _last(store)
    undo.take_back(store, first, "Dilys", NOW)

    with pytest.raises(NotFound, match="no action number 999"):
        undo.take_back(store, 999, "Dilys", NOW)
    with pytest.raises(CannotTakeBack, match="was taken back already"):
        undo.take_back(store, first, "Dilys", NOW)
    with pytest.raises(CannotTakeBack, match="do the work again"):
        undo.take_back(store, _last(store), "Dilys", NOW)


def test_the_history_of_a_row_says_who_did_what(store: Store, add: AddRecording) -> None:
    """Oldest first, the taking back included; and pages can ask what changed since."""
    number = add("My Lantern", "Ann Oke")
    with undo.action(store, "Walter", "put in the year", NOW):
        rows.change_recording(store, number, year=1962)
    seen = undo.last_change(store, "recordings")
    undo.take_back(store, _last(store), "Dilys", NOW)

    assert [(a.who, a.what, kind) for a, kind in undo.history(store, "recordings", number)] == [
        ("Test", "added My Lantern", "insert"),
        ("Walter", "put in the year", "update"),
        ("Dilys", "took back: put in the year", "update"),
    ]
    assert undo.last_change(store, "recordings") > seen
    assert undo.last_change(store, "loans") == 0


# Any series of actions


def _step(store: Store, rng: Random) -> None:
    """One piece of a librarian's work, of a kind and on rows drawn by chance."""

    def some(table: str) -> int | None:
        ids = [row["id"] for row in store.rows(f"SELECT id FROM [{table}] ORDER BY id")]
        return rng.choice(ids) if ids else None

    def title() -> str:
        return f"{rng.choice(['Lantern', 'Tide', 'Heron'])} {rng.randrange(4)}"

    recording, disc, copy, name = map(some, ("recordings", "discs", "holdings", "other_names"))
    kind = rng.randrange(8)
    if kind == 0 or recording is None:
        rows.add_recording(
            store, NewRecording(title(), rng.choice(["Ann", "Ada"]), tempo=rng.random())
        )
    elif kind == 1:
        rows.change_recording(store, recording, title=title(), artist=rng.choice(["Ann", "Bea"]))
    elif kind == 2:
        mark = f"C {rng.randrange(5)}"
        rows.add_holding(
            store, NewHolding(recording, disc_id=rows.shelve_disc(store, NewDisc(Carrier.LP, mark)))
        )
    elif kind == 3 and disc:
        rows.change_disc(store, disc, missing=rng.randrange(2), note=title())
    elif kind == 4:
        rows.add_other_name(store, "also known as", title(), recording=recording)
    elif kind == 5 and name:
        rows.remove_other_name(store, name)
    elif kind == 6 and copy:
        rows.change_holding(store, copy, track=str(rng.randrange(9)), recording_id=recording)
    else:
        rows.change_recording(
            store, recording, tempo=rng.random() * 200, year=rng.randrange(1950, 9999)
        )


@given(seed=st.integers(0, 2**32), steps=st.integers(1, 25))
@settings(max_examples=40, deadline=None)
def test_any_series_of_actions_and_take_backs_ends_where_it_began(seed: int, steps: int) -> None:
    """Some fail in the middle, some are taken back out of order; at the end all are taken back."""
    rng = Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        with undo.action(store, "Dilys", "before", NOW):
            for _ in range(4):
                _step(store, rng)
        began, kept = _all_rows(store), _last(store)
        for number in range(steps):
            before = _all_rows(store)
            if rng.random() < 0.3:
                with suppress(CannotTakeBack, NotFound):
                    undo.take_back(store, rng.randrange(kept + 1, kept + 2 + number), "Dilys", NOW)
                    before = _all_rows(store)
                assert _all_rows(store) == before
            elif rng.random() < 0.2:
                with suppress(BadInput), undo.action(store, "Dilys", f"broken off {number}", NOW):
                    _step(store, rng)
                    raise BadInput("Broken off.")
                assert _all_rows(store) == before
            else:
                with undo.action(store, "Dilys", f"work {number}", NOW):
                    for _ in range(rng.randrange(1, 4)):
                        _step(store, rng)
            assert store.db.execute("PRAGMA foreign_key_check").fetchall() == []
        done = undo.recent(store, 1000)
        taken = {a.takes_back for a in done}
        for action in done:
            if action.id > kept and action.takes_back is None and action.id not in taken:
                undo.take_back(store, action.id, "Dilys", NOW)

        assert _all_rows(store) == began
        store.close()


def test_other_columns_changed_since_stay_as_they_are(store: Store, add: AddRecording) -> None:
    """Taking back a title leaves the tempo that somebody measured meanwhile."""
    number = add("My Lantern", "Ann Oke", tempo=90.0)
    with undo.action(store, "Dilys", "renamed it", NOW):
        rows.change_recording(store, number, title="My Lamp")
    renamed = _last(store)
    with undo.action(store, "Ned", "measured it", NOW):
        rows.change_recording(store, number, tempo=96.5)

    undo.take_back(store, renamed, "Dilys", NOW)

    held = rows.recording(store, number)
    assert (held.title, held.tempo) == ("My Lantern", 96.5)


def test_the_same_column_changed_since_is_not_taken_back(store: Store, add: AddRecording) -> None:
    """The later title stands on the earlier one."""
    number = add("My Lantern", "Ann Oke")
    with undo.action(store, "Dilys", "renamed it", NOW):
        rows.change_recording(store, number, title="My Lamp")
    renamed = _last(store)
    with undo.action(store, "Ned", "renamed it again", NOW):
        rows.change_recording(store, number, title="My Candle")

    with pytest.raises(CannotTakeBack, match="renamed it again"):
        undo.take_back(store, renamed, "Dilys", NOW)
