"""Copies: made in use, whole, without callers where they must be, and kept for a year."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import threading
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import backup, callers, forgetting, request_slips, undo
from catalogue import schema as schema_module
from catalogue.backup import Kind
from catalogue.catalogue_rows import add_recording
from catalogue.errors import CopyProblem
from catalogue.records import NewRecording
from catalogue.store import Store


def _slip(store: Store, now: datetime, word: str) -> int:
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": word, "caller_name": f"{word}name"}, "Kit", now)
    return slip


def _titles(path: Path) -> list[str]:
    with closing(backup.connect(path, read_only=True)) as db:
        return [row[0] for row in db.execute("SELECT title FROM recordings ORDER BY id")]


def test_a_copy_holds_what_the_station_holds(store, now, add):
    """As one file without a log beside it, readable by its user alone, and no draft is left."""
    add("My Lantern", "Ann Oke")
    path = backup.make(store, Kind.DAILY, now)

    assert path.name == "daily-2026-11-25.db"
    assert _titles(path) == ["My Lantern"]
    assert [p.name for p in path.parent.iterdir()] == [path.name]
    assert backup.what_is_wrong(path) == ""
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_copies_are_made_while_others_write(store, now):
    """Each copy is of one moment: the recording and its action are both in it, or neither."""
    stop = threading.Event()
    problems: list[Exception] = []

    def write() -> None:
        number = 0
        try:
            while not stop.is_set():
                with undo.action(store, "Liv", f"added {number}", now):
                    add_recording(store, NewRecording(f"Song {number}", "Ann Oke"))
                number += 1
        except Exception as problem:
            problems.append(problem)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for _ in range(5):
            path = backup.make(store, Kind.DAILY, now)
            with closing(backup.connect(path, read_only=True)) as db:
                (rows,) = db.execute("SELECT count(*) FROM recordings").fetchone()
                (actions,) = db.execute("SELECT count(*) FROM actions").fetchone()
            assert rows == actions
    finally:
        stop.set()
        writer.join()
    assert problems == []


def test_only_copies_of_the_day_hold_callers(store, now):
    """In the others there is nothing of them, to the last byte."""
    _slip(store, now, "MARKER")
    made = {path.name.split("-")[0]: path for path in backup.keep_up(store, now)}

    assert set(made) == {"daily", "weekly", "monthly"}
    assert b"MARKER" in made["daily"].read_bytes()
    assert b"MARKER" not in made["weekly"].read_bytes()
    assert b"MARKER" not in made["monthly"].read_bytes()
    with closing(backup.connect(made["weekly"])) as db:
        assert db.execute("SELECT count(*) FROM slips").fetchone() == (1,)


def test_seven_days_four_weeks_and_twelve_months_are_kept(store, now, monkeypatch):
    """Over 400 days, one start a day; asked again on the same day nothing is made."""

    def only_named(store: Store, target: Path, *, with_callers: bool) -> None:
        target.parent.mkdir(exist_ok=True)
        target.touch()

    monkeypatch.setattr(backup, "make_at", only_named)
    monkeypatch.setattr(backup.callers, "erase_due", lambda store, now: 0)
    for day in range(400):
        at = now + timedelta(days=day)
        assert bool(backup.keep_up(store, at))
        if day % 50 == 0:
            assert backup.keep_up(store, at) == []
    kept = backup.all_copies(backup.folder_of(store.path))
    of = {kind: [copy.on for copy in kept if copy.kind is kind] for kind in Kind}
    last = (now + timedelta(days=399)).date()

    assert of[Kind.DAILY] == [last - timedelta(days=n) for n in range(7)]
    assert len(of[Kind.WEEKLY]) == 4 and (last - of[Kind.WEEKLY][-1]).days <= 28
    assert len(of[Kind.MONTHLY]) == 12 and (last - of[Kind.MONTHLY][-1]).days <= 366


def test_a_clock_that_runs_wild_takes_no_copy_away(store, now):
    """A year ahead for a day, and right again."""
    for day in range(7):
        backup.keep_up(store, now + timedelta(days=day))
    backup.keep_up(store, now + timedelta(days=400))
    backup.keep_up(store, now + timedelta(days=7))
    kept = [c for c in backup.all_copies(backup.folder_of(store.path)) if c.kind is Kind.DAILY]

    assert len(kept) >= 7
    assert (now + timedelta(days=7)).date() in {copy.on for copy in kept}


def test_overdue_details_leave_the_copies_to_the_last_byte(store, now):
    """Those still in their time stay."""
    _slip(store, now, "MARKERold")
    _slip(store, now + timedelta(days=3), "MARKERyoung")
    path = backup.make(store, Kind.DAILY, now + timedelta(days=3))
    assert b"MARKERold" in path.read_bytes()

    assert forgetting.erase_due(store, now + timedelta(days=7)) == 1

    assert b"MARKERold" not in path.read_bytes()
    assert b"MARKERyoung" in path.read_bytes()
    assert backup.what_is_wrong(path) == ""
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_a_copy_older_than_the_period_holds_nobody(store, now):
    """Not even somebody whose programme is still to come."""
    slip = _slip(store, now, "MARKER")
    with store.transaction() as db:
        db.execute("UPDATE caller_details SET erase_on = '2027-01-31' WHERE slip_id = ?", (slip,))
    path = backup.make(store, Kind.DAILY, now)
    forgetting.erase_due(store, now + timedelta(days=7))
    assert b"MARKER" in path.read_bytes()
    forgetting.erase_due(store, now + timedelta(days=8))
    assert b"MARKER" not in path.read_bytes()
    assert callers.of(store, slip) is not None


def test_a_copy_that_nobody_can_open_goes_when_its_time_is_over(store, now):
    path = backup.make(store, Kind.DAILY, now)
    path.write_bytes(b"MARKER" * 2000)
    forgetting.erase_in_copies(store, now + timedelta(days=7))
    assert path.exists()
    forgetting.erase_in_copies(store, now + timedelta(days=8))
    assert not path.exists()


def test_drafts_of_a_process_that_was_ended_are_cleared(store, now):
    """They may hold callers; one that is young may be somebody's work just now."""
    folder = backup.folder_of(store.path)
    folder.mkdir()
    old, young = folder / "draft-1.db", folder / "draft-2.db"
    for path in (old, young):
        path.write_bytes(b"MARKER")
    hours_ago = datetime.now().timestamp() - 7200
    os.utime(old, (hours_ago, hours_ago))
    backup.keep_up(store, now)
    assert not old.exists() and young.exists()


def test_a_copy_that_is_not_whole_is_thrown_away(store, now, monkeypatch):
    """And the one there before stays."""
    path = backup.make(store, Kind.DAILY, now)
    before = path.read_bytes()
    monkeypatch.setattr(backup, "what_is_wrong", lambda path: "it is damaged")
    with pytest.raises(CopyProblem, match="would not be whole.*asheard check"):
        backup.make(store, Kind.DAILY, now)
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_no_room_is_told_before_anything_is_written(store, now, monkeypatch):
    usage = shutil.disk_usage(store.path.parent)
    monkeypatch.setattr(backup.shutil, "disk_usage", lambda path: usage._replace(free=1000))
    with pytest.raises(CopyProblem, match="no room.*asheard copy FOLDER"):
        backup.keep_up(store, now)
    assert backup.all_copies(backup.folder_of(store.path)) == []


def test_what_is_wrong_with_a_file_is_told(store, now, tmp_path):
    """Damaged in the middle, no database, another program's, a newer version's, dangling."""
    good = backup.make(store, Kind.DAILY, now)
    damaged = tmp_path / "damaged.db"
    content = bytearray(good.read_bytes())
    content[8192 : len(content) - 4096] = b"\xa5" * (len(content) - 12288)
    damaged.write_bytes(content)
    text, other, newer, dangling = (tmp_path / f"{n}.db" for n in range(4))
    text.write_text("a shelf list\n" * 100)
    with closing(sqlite3.connect(other)) as db:
        db.execute("CREATE TABLE t (a)")
    for path, sql in (
        (newer, "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) "
                "VALUES ('asheard', 'm999', '2031')"),
        (dangling, "INSERT INTO root_views (root_id, desk, path) VALUES (99, 'x', 'y')"),
    ):  # fmt: skip
        shutil.copyfile(good, path)
        with closing(sqlite3.connect(path)) as db:
            if path is dangling:
                db.execute("UPDATE current_action SET action_id = 1")
                db.execute("INSERT INTO actions (at, who, what) VALUES ('2026', 'x', 'y')")
            db.execute(sql)
            db.commit()

    assert "damaged" in backup.what_is_wrong(damaged)
    assert "no database" in backup.what_is_wrong(text)
    assert "no catalogue" in backup.what_is_wrong(other)
    assert "newer version" in backup.what_is_wrong(newer)
    assert "refer to others" in backup.what_is_wrong(dangling)
    assert "no database" in backup.what_is_wrong(tmp_path / "gone.db")


def test_a_copy_is_made_before_an_upgrade_and_only_then(store, now, monkeypatch):
    """A migration of the future is put at the end; the copy is of the database before it."""
    path = store.path
    assert backup.before_upgrade(path, now) is None
    assert backup.before_upgrade(path.with_name("gone.db"), now) is None
    store.close()
    future = schema_module.migrations._migrations[:]
    monkeypatch.setattr(schema_module.migrations, "_migrations", future)

    @schema_module.migrations()
    def m999_later(db):
        db.execute("CREATE TABLE later (id INTEGER PRIMARY KEY)")

    made = backup.before_upgrade(path, now)
    Store(path).close()

    assert made is not None and made.name == "upgrade-2026-11-25-193000.db"
    with closing(sqlite3.connect(path)) as now_there, closing(sqlite3.connect(made)) as before:
        tables = "SELECT count(*) FROM sqlite_master WHERE name = 'later'"
        assert now_there.execute(tables).fetchone() == (1,)
        assert before.execute(tables).fetchone() == (0,)
    assert backup.before_upgrade(path, now) is None
