"""The tables: migrations, what they refuse, and what the triggers note by themselves."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from sqlite_utils import Database

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import StoreProblem
from catalogue.schema import TRACKED, migrations, track
from catalogue.store import Store

AddRecording = Callable[..., int]


def _reindexed(store: Store, since: int) -> set[int]:
    found = store.rows("SELECT recording_id FROM index_changes WHERE number > ?", (since,))
    return {row["recording_id"] for row in found}


def _last(store: Store) -> int:
    return int(store.rows("SELECT coalesce(max(number), 0) AS n FROM index_changes")[0]["n"])


def test_migrations_run_once(store: Store) -> None:
    """Opening a database again changes nothing."""
    before = list(store.db.iterdump())

    migrations.apply(store.db)
    assert list(store.db.iterdump()) == before


def test_a_migration_that_fails_leaves_nothing_of_itself(tmp_path: Path) -> None:
    """A table of another program is in the way; no half of ours is left beside it."""
    path = tmp_path / "asheard.db"
    foreign = sqlite3.connect(path)
    foreign.execute("CREATE TABLE holdings (mine TEXT)")
    foreign.close()

    with pytest.raises(StoreProblem, match="already exists"):
        Store(path)
    tables = set(Database(path).table_names())
    assert tables - {"_sqlite_migrations"} == {"holdings"}


def test_every_tracked_table_notes_its_changes(store: Store) -> None:
    """Three triggers each, over all columns; no table with a caller's words is among them."""
    triggers = {row["name"]: row["sql"] for row in store.rows(
        "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")}  # fmt: skip

    for table in TRACKED:
        for event in ("insert", "update", "delete"):
            assert f"{table}_noted_{event}" in triggers
        columns = [column.name for column in store.db[table].columns]
        assert columns[0] == "id"
        assert all(f"'{c}'" in triggers[f"{table}_noted_delete"] for c in columns)
    assert not {"caller_details", "people"} & set(TRACKED)


def test_a_column_that_is_added_is_tracked_once_track_is_called(
    store: Store, add: AddRecording, now: datetime
) -> None:
    """As a later migration does it."""
    store.db.execute("ALTER TABLE recordings ADD COLUMN mood TEXT NOT NULL DEFAULT 'calm'")
    track(store.db, "recordings")
    number = add("My Lantern", "Ann Oke")
    with undo.action(store, "Dilys", "heard it again", now):
        store.db.execute("UPDATE recordings SET mood = 'merry'")

    undo.take_back(store, undo.recent(store)[0].id, "Dilys", now)
    assert store.rows("SELECT id, mood FROM recordings") == [{"id": number, "mood": "calm"}]


def test_a_change_keeps_what_was_and_what_is(
    store: Store, add: AddRecording, now: datetime
) -> None:
    """An update notes the row before and after."""
    number = add("My Lantern", "Ann Oke")
    with undo.action(store, "Dilys", "put in the year", now):
        rows.change_recording(store, number, year=1962)

    change = store.rows("SELECT before, after FROM changes ORDER BY id DESC LIMIT 1")[0]
    before, after = json.loads(change["before"]), json.loads(change["after"])
    assert (before["year"], after["year"]) == (None, 1962)
    assert {**before, "year": 1962} == after


def test_whatever_changes_a_name_is_noted_for_the_index(
    store: Store, add: AddRecording, now: datetime
) -> None:
    """Title, artist, the artist's name, another name put in, moved, taken out; undone as well."""
    one, two = add("My Lantern", "Ann Oke"), add("The Long Jetty", "Ann Oke")
    steps: list[tuple[Callable[[], object], set[int]]] = [
        (lambda: rows.change_recording(store, one, title="Her Lantern"), {one}),
        (lambda: rows.change_recording(store, one, composer="A. Oke"), {one}),
        (lambda: store.db.execute("UPDATE artists SET name = 'Ann Oak'"), {one, two}),
        (lambda: rows.add_other_name(store, "refrain", "La la", recording=two), {two}),
        (lambda: store.db.execute("UPDATE other_names SET recording_id = ?", (one,)), {one, two}),
        (lambda: rows.remove_other_name(store, 1), {one}),
        (lambda: rows.change_recording(store, one, year=1962, album="Quays"), set()),
    ]
    for step, expected in steps:
        since = _last(store)
        with undo.action(store, "Dilys", "a step", now):
            step()
        assert _reindexed(store, since) == expected
    since = _last(store)
    for action in undo.recent(store, 7):
        undo.take_back(store, action.id, "Dilys", now)
    assert _reindexed(store, since) == {one, two}


def test_numbers_of_change_have_no_gaps(store: Store, add: AddRecording, now: datetime) -> None:
    """The index tells by a gap that changes were cleared; a failed action must not make one."""
    add("My Lantern", "Ann Oke")
    with pytest.raises(ZeroDivisionError), undo.action(store, "Dilys", "broken off", now):
        rows.change_recording(store, 1, title="Her Lantern")
        raise ZeroDivisionError
    add("The Long Jetty", "Ann Oke")

    numbers = [row["number"] for row in store.rows("SELECT number FROM index_changes")]
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_number_never_comes_to_mean_another_record(
    store: Store, add: AddRecording, now: datetime
) -> None:
    """A page may still show it after it was taken back."""
    first = add("My Lantern", "Ann Oke", disc="C 114")
    undo.take_back(store, undo.recent(store)[0].id, "Dilys", now)

    assert add("The Long Jetty", "Ann Oke", disc="C 115") > first


def test_rows_that_refer_to_nothing_are_refused(store: Store, now: datetime) -> None:
    """Foreign keys hold, and a copy is a file or on a disc, never both and never neither."""
    wrong = (
        "INSERT INTO holdings (recording_id, path) VALUES (99, '/x')",
        "INSERT INTO holdings (recording_id) VALUES (NULL)",
        "INSERT INTO other_names (kind, artist_id, name) VALUES ('refrain', 99, 'x')",
        "INSERT INTO plays (at, recording_id) VALUES ('2026', 99)",
        "INSERT INTO loans (disc_id, lent_to, since) VALUES (99, 'x', '2026')",
    )
    for statement in wrong:
        with pytest.raises(sqlite3.IntegrityError), undo.action(store, "Dilys", "wrong", now):
            store.db.execute(statement)


def test_a_slips_version_always_rises(store: Store, now: datetime) -> None:
    """Also when an older row is put back, so that an old page never overwrites."""
    with undo.action(store, "Nell", "a slip", now):
        store.db.execute("INSERT INTO slips (purpose, state, started_at) VALUES ('', 'x', '2026')")
    seen = [1]
    for state in ("y", "z"):
        with undo.action(store, "Nell", f"to {state}", now):
            store.db.execute("UPDATE slips SET state = ?", (state,))
        seen.append(store.rows("SELECT version FROM slips")[0]["version"])
    for action in undo.recent(store, 2):
        undo.take_back(store, action.id, "Nell", now)
        seen.append(store.rows("SELECT version FROM slips")[0]["version"])

    assert seen == sorted(set(seen))
