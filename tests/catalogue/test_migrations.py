"""A database of every released version is brought to this one, whole, with a copy made before."""

from __future__ import annotations

import gzip
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import backup, callers, request_slips, restoring, undo
from catalogue.store import Store
from tests.benchmarks.keep_database import FOLDER, TITLES

NOW = datetime(2026, 11, 26, 19, 30)
KEPT = sorted(FOLDER.glob("asheard-*.db.gz"))


@pytest.fixture(params=KEPT, ids=lambda path: path.name)
def kept(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    path = tmp_path / "asheard.db"
    path.write_bytes(gzip.decompress(request.param.read_bytes()))
    return path


def _shape(store: Store) -> set[tuple[str, str]]:
    """Tables with their columns, indexes and triggers, as far as names tell."""
    made = {(r["type"], r["name"]) for r in store.rows("SELECT type, name FROM sqlite_master")}
    tables = [name for kind, name in made if kind == "table"]
    columns = {(t, r["name"]) for t in tables for r in store.rows(f"PRAGMA table_info([{t}])")}
    return made | columns


def test_the_first_version_is_kept() -> None:
    assert "asheard-0.1.0.db.gz" in [path.name for path in KEPT]
    assert all(path.stat().st_size < 60_000 for path in KEPT)


def test_it_becomes_a_database_of_this_version(kept: Path, tmp_path: Path) -> None:
    """Of the same shape as a new one. While 0.1.0 is not released and a migration was edited,
    make it again: python -m tests.benchmarks.keep_database 0.1.0"""
    with closing(backup.connect(kept, read_only=True)) as db:
        older = backup.migrations_of(db) != backup.known_migrations()
    copy = backup.before_upgrade(kept, NOW)
    assert (copy is not None) == older
    store, new = Store(kept), Store(tmp_path / "new.db")

    assert _shape(store) == _shape(new)
    assert store.rows("PRAGMA integrity_check") == [{"integrity_check": "ok"}]
    assert store.rows("PRAGMA foreign_key_check") == []
    store.close()
    new.close()


def test_back_from_the_copy_that_was_made_before(tmp_path: Path) -> None:
    """A station that goes back to the older program finds what that wrote, and can come again."""
    kept = tmp_path / "asheard.db"
    kept.write_bytes(gzip.decompress((FOLDER / "asheard-0.1.0-early.db.gz").read_bytes()))
    with closing(backup.connect(kept, read_only=True)) as db:
        older = backup.migrations_of(db)
        titles = db.execute("SELECT title FROM recordings").fetchall()
    assert older < backup.known_migrations()
    copy = backup.before_upgrade(kept, NOW)
    assert copy is not None
    store = Store(kept)
    request_slips.played(store, 2, "Bob", NOW)
    store.close()

    assert restoring.loss(kept, copy).lost
    replaced = restoring.put_back(kept, tmp_path / "sound_index", copy, NOW)
    with closing(backup.connect(kept, read_only=True)) as db:
        assert backup.migrations_of(db) == older
        assert db.execute("SELECT title FROM recordings").fetchall() == titles
        assert db.execute("SELECT state FROM slips WHERE id = 2").fetchone() == ("handed over",)
    assert replaced is not None
    Store(kept).close()


def test_what_was_in_it_is_still_there_and_can_be_worked_with(kept: Path) -> None:
    store = Store(kept)
    titles = {row["title"] for row in store.rows("SELECT title FROM recordings")}
    states = [row["state"] for row in store.rows("SELECT state FROM slips ORDER BY id")]

    assert titles == set(TITLES)
    assert states == ["being written", "handed over", "played"]
    assert callers.of(store, 2).caller_name == "Caller 1"  # type: ignore[union-attr]
    for table in ("plays", "loans", "wants", "people", "judgements", "places", "programmes"):
        assert len(store.rows(f"SELECT 1 FROM [{table}]")) == 1, table
    request_slips.played(store, 2, "Bob", NOW)
    undo.take_back(store, undo.recent(store, 1)[0].id, "Bob", NOW)
    assert request_slips.get(store, 2).state == "handed over"
    store.close()
