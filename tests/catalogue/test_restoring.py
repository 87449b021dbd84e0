"""Putting a copy back: what it would lose, the exchange, and what must not come back."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import backup, callers, forgetting, request_slips, restoring
from catalogue.backup import Kind
from catalogue.errors import CopyProblem, StoreBusy
from catalogue.sound_index import SoundIndex
from catalogue.store import Store


def _slip(store: Store, now: datetime, word: str) -> int:
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": word}, "Kit", now)
    return slip


def _index(store: Store) -> Path:
    folder = store.path.parent / "sound_index"
    SoundIndex(folder, store).close()
    return folder


def test_what_would_be_lost_is_counted(store, now, add):
    add("My Lantern", "Ann Oke")
    path = backup.make(store, Kind.DAILY, now)
    assert restoring.loss(store.path, path) == restoring.Loss(True, (), 0)
    add("Tide", "Bo Quay")
    _slip(store, now, "x")
    _slip(store, now, "x")

    loss = restoring.loss(store.path, path)

    assert loss.readable and loss.callers == 2
    assert loss.lost == ("2 slips", "1 recording", "1 copy of a record", "3 actions in all")


def test_a_copy_is_put_back_and_the_one_before_is_kept(store, now, add):
    """The index is gone, to be made anew; everything is as it was when the copy was made."""
    add("My Lantern", "Ann Oke")
    folder = _index(store)
    path = backup.make(store, Kind.DAILY, now)
    add("Tide", "Bo Quay")
    database = store.path
    store.close()

    kept = restoring.put_back(database, folder, path, now)

    assert not folder.exists()
    again = Store(database)
    assert [r["title"] for r in again.rows("SELECT title FROM recordings")] == ["My Lantern"]
    index = SoundIndex(folder, again)
    assert len(index) == 1
    index.close()
    again.close()
    assert kept is not None and kept.name == "replaced-2026-11-25-193000.db"
    assert restoring.put_back(database, folder, kept, now + timedelta(minutes=1))
    again = Store(database)
    assert len(again.rows("SELECT 1 FROM recordings")) == 2
    again.close()


def test_nothing_overdue_comes_back_and_nobody_who_was_forgotten(store, now):
    """Not in the database, and not to the last byte of its file."""
    old = _slip(store, now, "MARKERold")
    asked = _slip(store, now + timedelta(days=5), "MARKERasked")
    young = _slip(store, now + timedelta(days=5), "MARKERyoung")
    path = backup.make(store, Kind.DAILY, now + timedelta(days=5))
    stick = path.with_name("stick.db")
    stick.write_bytes(path.read_bytes())
    forgetting.forget(store, asked, now + timedelta(days=5))
    database = store.path
    store.close()
    assert b"MARKERold" in stick.read_bytes() and b"MARKERasked" in stick.read_bytes()

    restoring.put_back(database, database.parent / "none", stick, now + timedelta(days=7))

    content = database.read_bytes()
    assert b"MARKERold" not in content and b"MARKERasked" not in content
    again = Store(database)
    assert callers.of(again, old) is None and callers.of(again, asked) is None
    assert callers.of(again, young) is not None
    again.close()


def test_a_running_station_is_not_exchanged(store, now, monkeypatch):
    path = backup.make(store, Kind.DAILY, now)
    _slip(store, now, "x")
    with pytest.raises(StoreBusy, match="Stop it first.*Nothing was changed"):
        restoring.put_back(store.path, store.path.parent / "none", path, now)
    assert len(store.rows("SELECT 1 FROM slips")) == 1
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_a_copy_that_is_not_sound_is_refused(store, now, tmp_path):
    bad = tmp_path / "bad.db"
    bad.write_bytes(b"no database" * 500)
    store.close()
    before = store.path.read_bytes()
    with pytest.raises(CopyProblem, match="cannot be put back.*Choose another"):
        restoring.put_back(store.path, tmp_path / "none", bad, now)
    assert store.path.read_bytes() == before


@pytest.mark.parametrize("content", [b"\xa5" * 20000, b""])
def test_a_damaged_database_is_replaced_and_kept(store, now, add, content):
    add("My Lantern", "Ann Oke")
    path = backup.make(store, Kind.DAILY, now)
    store.close()
    store.path.write_bytes(content)

    assert restoring.loss(store.path, path).readable is False
    kept = restoring.put_back(store.path, store.path.parent / "none", path, now)

    assert kept is not None and kept.read_bytes() == content
    again = Store(store.path)
    assert len(again.rows("SELECT 1 FROM recordings")) == 1
    again.close()


def test_a_station_that_is_gone_comes_back(store, now, tmp_path):
    path = backup.make(store, Kind.DAILY, now)
    store.close()
    store.path.unlink()
    assert restoring.put_back(store.path, tmp_path / "none", path, now) is None
    Store(store.path).close()


def test_a_failure_in_the_middle_leaves_the_station_as_it_was(store, now, monkeypatch, add):
    """The drive fails as the copy is written; once it is mended it works."""
    path = backup.make(store, Kind.DAILY, now)
    add("My Lantern", "Ann Oke")
    store.close()

    def fails(*_):
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as patch:
        patch.setattr(restoring.shutil, "copyfile", fails)
        with pytest.raises(CopyProblem, match="The station is as it was"):
            restoring.put_back(store.path, store.path.parent / "none", path, now)
    again = Store(store.path)
    assert len(again.rows("SELECT 1 FROM recordings")) == 1
    again.close()
    assert not list(store.path.parent.glob("asheard.db.*"))
    assert restoring.put_back(store.path, store.path.parent / "none", path, now)
