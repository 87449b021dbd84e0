"""Runs that are broken off: killed, stopped, or left by their reading processes."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from mutagen.flac import FLAC

from catalogue.store import Store
from importers import accession, reading_ahead, reading_worker, taking_in
from importers.entries import Entry, Refused

Tone = Callable[..., Path]
ROOT = Path(__file__).parents[2]
FILES = 90

RUN = """
import sys, time
from datetime import datetime
from pathlib import Path
from catalogue import turns
from catalogue.store import Store
from importers import accession, taking_in
accession.BATCH, turns._LONGEST_HELD_S, turns._LONGEST_BESIDE_DESKS_S = 10, 60.0, 60.0
store = Store(Path(sys.argv[1]))
slow = lambda done, _: time.sleep(0.01)
taking_in.add_files(store, Path(sys.argv[2]), "Ann", datetime(2026, 3, 14), slow)
"""


@pytest.fixture
def many(tone: Tone, music: Path) -> Path:
    """A folder of files that differ in sound and in title."""
    first = tone("0.flac", seconds=0.2)
    data = bytearray(first.read_bytes())
    for number in range(FILES):
        path = music / f"Artist {number % 7}" / f"{number:03}.flac"
        path.parent.mkdir(exist_ok=True)
        data[-20] = number
        path.write_bytes(data)
        audio = FLAC(path)
        audio["title"], audio["artist"] = f"Song {number}", f"Artist {number % 7}"
        audio.save()
    first.unlink()
    return music


def everything(store: Store) -> list[Any]:
    return store.rows(
        """SELECT r.title, a.name, h.path, h.audio FROM holdings h
        JOIN recordings r ON r.id = h.recording_id JOIN artists a ON a.id = r.artist_id
        ORDER BY h.path"""
    )


def test_a_run_that_is_killed_goes_on(store: Store, many: Path, tmp_path: Path) -> None:
    """Killed in the middle, without a chance to tidy up: whole batches are kept, the next run
    takes the rest, and the catalogue is the one of a run that was left alone."""
    database = tmp_path / "killed.db"
    Store(database).close()
    watching = sqlite3.connect(database)
    run = subprocess.Popen([sys.executable, "-c", RUN, str(database), str(many)], cwd=ROOT)
    deadline = time.monotonic() + 30
    kept = 0
    while time.monotonic() < deadline and not kept:
        time.sleep(0.02)
        (kept,) = watching.execute("SELECT count(*) FROM holdings").fetchone()
    run.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
    run.wait()
    watching.close()

    reopened = Store(database)
    kept = len(everything(reopened))
    assert 0 < kept < FILES
    assert kept % 10 == 0
    assert reopened.rows("PRAGMA integrity_check")[0]["integrity_check"] == "ok"
    assert reopened.rows("SELECT action_id FROM current_action")[0]["action_id"] is None

    second = taking_in.add_files(reopened, many, "Ann", datetime(2026, 3, 15))
    taking_in.add_files(store, many, "Ann", datetime(2026, 3, 15))

    assert (second.already_held, second.added) == (kept, FILES - kept)
    assert everything(reopened) == everything(store)
    reopened.close()


def test_reading_ahead_keeps_the_order(many: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other processes and this one read in turns; what comes out is as if one had read all."""
    monkeypatch.setattr(reading_ahead, "WORTH_IT", 1)
    monkeypatch.setattr(reading_ahead, "PART", 4)
    paths = sorted(str(path) for path in many.rglob("*.flac"))
    (many / "Artist 0" / "bad.flac").write_text("no audio")
    paths.insert(40, str(many / "Artist 0" / "bad.flac"))
    paths.insert(60, str(many / "gone.flac"))

    here: list[str] = []

    def slowly(part: list[str], root: Path) -> list[Entry | Refused]:
        here.extend(part)
        return _slowly_read_part(part, root)

    monkeypatch.setattr(reading_ahead, "read_part", slowly)
    read = list(reading_ahead.read_all(paths, many))

    assert read == [reading_worker.read_one(path, many) for path in paths]
    assert 0 < len(here) < len(paths)
    assert [type(one) for one in read].count(Refused) == 2
    assert [type(one) for one in read].count(Entry) == FILES


def test_reading_goes_on_without_the_other_processes(
    many: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They die, or may not be started: the rest is read here, each file once."""
    monkeypatch.setattr(reading_ahead, "WORTH_IT", 1)

    def dies(_: object, paths: list[str], root: Path) -> Any:
        yield reading_worker.read_part(paths[:32], root)
        raise reading_ahead.ReaderGone

    monkeypatch.setattr(reading_ahead, "_in_order", dies)
    paths = sorted(str(path) for path in many.rglob("*.flac"))

    read = list(reading_ahead.read_all(paths, many))

    assert [one.source for one in read] == [os.path.relpath(path, many) for path in paths]


def test_a_reading_process_that_is_killed(many: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each file comes back once all the same."""
    monkeypatch.setattr(reading_ahead, "WORTH_IT", 1)
    monkeypatch.setattr(reading_ahead, "PART", 4)
    paths = sorted(str(path) for path in many.rglob("*.flac"))
    real, killed = reading_ahead.Readers.send, []

    def kill_first(self: Any, part: list[str], root: Path) -> Any:
        if part:
            self._processes[0].kill()
            killed.append(part)
        return real(self, part, root)

    monkeypatch.setattr(reading_ahead.Readers, "send", kill_first)
    monkeypatch.setattr(reading_ahead, "read_part", _slowly_read_part)
    read = list(reading_ahead.read_all(paths, many))

    assert killed
    assert [one.source for one in read] == [os.path.relpath(path, many) for path in paths]


def _slowly_read_part(paths: list[str], root: Path) -> list[Entry | Refused]:
    """Only in this process, so that the others have something to do."""
    time.sleep(0.2)
    return [reading_worker.read_one(path, root) for path in paths]


def test_ctrl_c_while_files_are_read(
    store: Store, many: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Finished batches stay, no process is left behind, and the next run goes on."""
    monkeypatch.setattr(reading_ahead, "WORTH_IT", 1)
    monkeypatch.setattr(accession, "BATCH", 10)

    def progress(done: int, _: int | None) -> None:
        if done == 35:
            raise KeyboardInterrupt

    report = taking_in.add_files(store, many, "Ann", now, progress)
    again = taking_in.add_files(store, many, "Ann", now)

    assert (report.added, report.gone) == (30, [])
    assert "run it again to go on" in report.stopped
    assert (again.already_held, again.added) == (30, FILES - 30)
