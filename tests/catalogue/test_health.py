"""Everything that can be wrong is told, with what to do; and a station that is well is well."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import backup, callers, health, index_state, request_slips, roots, undo
from catalogue.backup import Kind
from catalogue.catalogue_rows import add_holding, add_recording
from catalogue.records import NewHolding, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store


@pytest.fixture
def library(store: Store, now: datetime, tmp_path: Path) -> Path:
    """A library folder with two files, taken in."""
    folder = tmp_path / "music"
    folder.mkdir()
    roots.add(store, str(folder), "Liv", now)
    with undo.action(store, "Liv", "took in", now):
        for name in ("a.ogg", "b.ogg"):
            (folder / name).write_bytes(b"sound")
            song = add_recording(store, NewRecording(f"Song {name}", "Ann Oke"))
            add_holding(store, NewHolding(song, path=str(folder / name)))
    backup.make(store, Kind.DAILY, now)
    SoundIndex(store.path.parent / "sound_index", store).close()
    return folder


def _bad(store: Store, now: datetime) -> dict[str, str]:
    found = health.look(store.path, store.path.parent / "sound_index", now)
    assert all(finding.sentence.endswith(".") for finding in found)
    return {finding.about: finding.sentence for finding in found if not finding.well}


def test_a_station_that_is_well_is_well(store, now, library):
    found = health.look(store.path, store.path.parent / "sound_index", now)
    assert [finding for finding in found if not finding.well] == []
    assert {finding.about for finding in found} == {
        "versions", "space", "database", "copies", "clock", "callers", "index", "folders", "files",
    }  # fmt: skip


def test_a_damaged_database(store, now, library):
    store.close()
    content = bytearray(store.path.read_bytes())
    content[8192 : len(content) - 4096] = b"\xa5" * (len(content) - 12288)
    store.path.write_bytes(content)
    assert "asheard restore" in _bad(store, now)["database"]


def test_a_database_of_a_newer_version(store, now, library):
    """Putting a copy back would lose what the newer version wrote."""
    store.db.execute(
        "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) "
        "VALUES ('asheard', 'm999_of_the_future', '2031-01-01')"
    )
    said = _bad(store, now)["database"]
    assert "newer version" in said
    assert "restore" not in said


def test_a_folder_that_cannot_be_written(store, now, library, monkeypatch):
    """Nothing can be looked at there; it is not called damaged."""
    monkeypatch.setattr(health.os, "access", lambda place, mode: place != store.path.parent)
    said = _bad(store, now)["database"]
    assert "cannot be written" in said
    assert "restore" not in said


def test_there_is_no_station(tmp_path, now):
    found = health.look(tmp_path / "asheard.db", tmp_path / "sound_index", now)
    assert any("no station" in finding.sentence for finding in found if not finding.well)
    assert list(tmp_path.iterdir()) == []


def test_entries_that_refer_to_nothing(store, now, library):
    store.db.execute("PRAGMA foreign_keys = OFF")
    with undo.action(store, "x", "y", now):
        store.db.execute("INSERT INTO root_views (root_id, desk, path) VALUES (99, 'x', 'y')")
    assert "refer to others" in _bad(store, now)["database"]


def test_a_drive_that_is_away(store, now, library, monkeypatch):
    """The folder is told once, not each of its files."""
    library.rename(library.with_name("elsewhere"))
    bad = _bad(store, now)
    assert str(library) in bad["folders"] and "Plug the drive in" in bad["folders"]
    assert "files" not in bad


def test_a_file_that_is_gone(store, now, library):
    (library / "a.ogg").unlink()
    told = _bad(store, now)["files"]
    assert "1 of 2 files" in told and "a.ogg" in told and "asheard add-files" in told


def test_little_room(store, now, library, monkeypatch):
    usage = shutil.disk_usage(library)
    monkeypatch.setattr(health.shutil, "disk_usage", lambda path: usage._replace(free=10**6))
    assert "Make room" in _bad(store, now)["space"]


def test_a_clock_set_back(store, now, library):
    assert "clock" not in _bad(store, now - timedelta(minutes=4))
    told = _bad(store, now - timedelta(days=1))["clock"]
    assert "24 November 2026" in told and "2026-11-25T19:30" in told and "Set the clock" in told


def test_copies_that_are_old_missing_or_damaged(store, now, library):
    assert "copies" not in _bad(store, now + timedelta(days=2))
    assert "3 days old" in _bad(store, now + timedelta(days=3))["copies"]
    (copy,) = backup.all_copies(backup.folder_of(store.path))
    copy.path.write_bytes(b"no")
    assert f"{copy.path.name} is of no use" in _bad(store, now)["copies"]
    copy.path.unlink()
    assert "no daily copy" in _bad(store, now)["copies"]


def test_details_that_are_overdue(store, now, library):
    """In the database and in a copy."""
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": "x"}, "Kit", now)
    assert "callers" not in _bad(store, now)
    backup.make(store, Kind.DAILY, now)
    told = _bad(store, now + timedelta(days=7))["callers"]
    assert "1 callers" in told and "daily-2026-11-25.db" in told and "Start the station" in told


def test_an_index_that_does_not_agree(store, now, library):
    """One that lost a name, though it thinks that it has come to the last number."""
    folder = store.path.parent / "sound_index"
    state = index_state.read(folder)
    with undo.action(store, "Liv", "added", now):
        add_recording(store, NewRecording("Lamp", "Bo"))
    last = store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")[0]["seq"]
    behind = index_state.IndexState(state.make, state.identity, last, state.folder)
    index_state.write(folder, behind)
    told = _bad(store, now)["index"]
    assert "does not agree" in told and "remove the folder sound_index" in told
    shutil.rmtree(folder)
    assert "index" not in _bad(store, now)


def test_a_short_look_promises_no_more_than_it_looked_at(store, now, library):
    folder = store.path.parent / "sound_index"

    def told() -> health.Finding:
        found = health.look(store.path, folder, now, at_length=False)
        return next(f for f in found if f.about == "index")

    assert told() == health.Finding(True, "index", "The sound index agrees.")
    with undo.action(store, "Liv", "added", now):
        add_recording(store, NewRecording("Lamp", "Bo"))
    assert told() == health.Finding(True, "index", "The sound index took in 1 changes.")
    state = index_state.read(folder)
    with undo.action(store, "Liv", "added", now):
        for n in range(30):
            add_recording(store, NewRecording(f"Lamp {n}", "Bo"))
    last = store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")[0]["seq"]
    index_state.write(
        folder, index_state.IndexState(state.make, state.identity, last, state.folder)
    )
    assert not told().well


def test_an_index_that_is_behind_catches_up_and_says_so(store, now, library):
    with undo.action(store, "Liv", "added", now):
        add_recording(store, NewRecording("Lamp", "Bo"))
    found = health.look(store.path, store.path.parent / "sound_index", now)
    (index,) = [f for f in found if f.about == "index"]
    assert index.well and "took in 1 changes" in index.sentence


def test_what_cannot_be_looked_at_is_a_finding(store, now, library, monkeypatch):
    def fails(*_):
        raise OSError("no answer")

    monkeypatch.setattr(health, "_folders", fails)
    assert "no answer" in _bad(store, now)["station"]


def test_an_old_sqlite(store, now, library, monkeypatch):
    monkeypatch.setattr(health.sqlite3, "sqlite_version_info", (3, 8, 0))
    assert "too old" in _bad(store, now)["versions"]
