"""Jobs: seen by every desk, one at a time, stopped and gone on with, and kept with what came."""

from __future__ import annotations

import csv
import io
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from catalogue.errors import BadInput, CannotTakeBack, StoreBusy
from catalogue.store import Store
from importers import accession, job_files, jobs, looked_at, one_at_a_time, taking_in
from importers.jobs import State

ROWS = "Shelf mark;Carrier;Artist;Title;Year\nC 1;CD;Ann Oke;Tide;1961\nC 2;CD;Ann Oke;;\n" + (
    "C 3;CD;Ann Oke;Ebb;19x\n"
)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = tmp_path / "shelf.csv"
    path.write_text(ROWS)
    return path


def _take(store: Store, path: Path, now: datetime) -> jobs.Job:
    job_id = jobs.ask(store, "list", str(path), {}, "Ann", now)
    with jobs.doing(store, job_id) as job:
        taking_in.add_list(store, path, "Ann", now, job.progress, job=job)
    return jobs.get(store, job_id)


def test_a_report_is_kept_with_every_reason(store: Store, shelf: Path, now: datetime) -> None:
    job = _take(store, shelf, now)

    assert job.state is State.DONE
    assert (job.done, job.total) == (3, 3)
    assert {k: job.report[k] for k in ("added", "refused", "needs_a_look")} == {
        "added": 2, "refused": 1, "needs_a_look": 1,
    }  # fmt: skip
    lines = list(csv.reader(io.StringIO(job_files.report(store, job))))
    assert ["added", "shelf.csv row 2", "Tide", "Ann Oke", "new here"] in lines
    assert [line[:2] for line in lines if line[0] in ("refused", "needs a look")] == [
        ["refused", "shelf.csv row 3"],
        ["needs a look", "shelf.csv row 4"],
    ]
    assert all(line[4] for line in lines[1:])


def test_rows_come_back_to_be_mended_and_are_taken_in_then(
    store: Store, shelf: Path, now: datetime
) -> None:
    job = _take(store, shelf, now)
    mended = shelf.with_name("mended.csv")
    mended.write_text(job_files.to_mend(store, job).replace("Ann Oke,,", "Ann Oke,Flood,"))
    again = _take(store, mended, now)

    assert "Why it was not taken in" in mended.read_text()
    assert (again.report["added"], again.report["refused"]) == (1, 0)


def test_one_at_a_time(store: Store, shelf: Path, now: datetime) -> None:
    """The second is told so, and is not there as if it ran."""
    with one_at_a_time.alone(store.path.parent):
        with pytest.raises(StoreBusy, match="Wait"):
            _take(store, shelf, now)

    (second,) = jobs.latest(store, 5)
    assert second.state is State.FAILED
    assert "Wait" in second.report["problem"]
    assert not one_at_a_time.is_held(store.path.parent)
    assert _take(store, shelf, now).state is State.DONE


def test_why_a_job_failed_is_kept(store: Store, tmp_path: Path, now: datetime) -> None:
    with pytest.raises(BadInput):
        _take(store, tmp_path / "nowhere.csv", now)

    (job,) = jobs.latest(store, 5)
    assert job.state is State.FAILED
    assert "There is no list" in job.report["problem"]


def test_a_job_stops_when_somebody_wishes_it_and_keeps_what_is_done(
    store: Store, shelf: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The wish is written by another desk; the next run takes in the rest."""
    monkeypatch.setattr(jobs, "BEAT_S", 0.01)
    monkeypatch.setattr(accession, "BATCH", 1)
    job_id = jobs.ask(store, "list", str(shelf), {}, "Ann", now)
    with jobs.doing(store, job_id) as job:

        def progress(done: int, total: int | None) -> None:
            job.progress(done, total)
            jobs.wish_to_stop(store, job_id)
            while not job.stop():
                time.sleep(0.01)

        taking_in.add_list(store, shelf, "Ann", now, progress, job=job)

    stopped = jobs.get(store, job_id)
    assert stopped.state is State.STOPPED
    assert stopped.report["added"] == 1  # row 4 was not begun
    assert (_take(store, shelf, now).report["added"]) == 1


def test_a_job_that_was_killed_frees_the_lock_and_keeps_its_batches(
    store: Store, tmp_path: Path, now: datetime
) -> None:
    """kill -9 between two batches: what is written down is what is in the catalogue."""
    path = tmp_path / "long.csv"
    path.write_text(
        "Shelf mark;Carrier;Artist;Title\n"
        + "".join(f"C {n};CD;Ann Oke;Tide {n}\n" for n in range(4_000))
    )
    job_id = jobs.ask(store, "list", str(path), {}, "Ann", now)
    worker = subprocess.Popen(
        [sys.executable, "-m", "web.job_worker", str(store.path), str(job_id)],
        stdin=subprocess.PIPE,
    )
    while not (found := jobs.get(store, job_id).report.get("added", 0)):
        assert worker.poll() is None
        time.sleep(0.02)
    assert one_at_a_time.is_held(store.path.parent)
    os.kill(worker.pid, signal.SIGKILL)
    worker.wait()

    assert not one_at_a_time.is_held(store.path.parent)
    killed = jobs.get(store, job_id)
    (held,) = store.rows("SELECT count(*) AS n FROM recordings")
    assert killed.state is State.RUNNING
    assert killed.report["added"] == held["n"] >= found
    rest = _take(store, path, now)
    assert rest.report["added"] + held["n"] == 4_000
    assert rest.report["already_held"] == held["n"]


def test_the_worker_stops_when_the_server_is_gone(
    store: Store, tmp_path: Path, now: datetime
) -> None:
    path = tmp_path / "long.csv"
    path.write_text(
        "Shelf mark;Carrier;Artist;Title\n"
        + "".join(f"C {n};CD;Ann Oke;Tide {n}\n" for n in range(6_000))
    )
    job_id = jobs.ask(store, "list", str(path), {}, "Ann", now)
    worker = subprocess.Popen(
        [sys.executable, "-m", "web.job_worker", str(store.path), str(job_id)],
        stdin=subprocess.PIPE,
    )
    while not jobs.get(store, job_id).report.get("added", 0):
        time.sleep(0.02)
    assert worker.stdin is not None
    worker.stdin.close()
    worker.wait(60)

    assert jobs.get(store, job_id).state is State.STOPPED


def test_what_needs_a_look_leaves_the_list_when_somebody_looked(
    store: Store, shelf: Path, now: datetime
) -> None:
    _take(store, shelf, now)
    (line,) = looked_at.waiting(store, 10)

    assert (line.source, line.title, line.artist) == ("shelf.csv row 4", "Ebb", "Ann Oke")
    assert line.notes == ("“19x” is no year; left out",)
    looked_at.look(store, line.entry_id, "Ann", now)
    assert looked_at.how_many(store) == 0


def test_what_was_taken_back_needs_no_look(store: Store, shelf: Path, now: datetime) -> None:
    job = _take(store, shelf, now)
    accession.take_back_all(store, job.what, "Ann", now)

    assert looked_at.waiting(store, 10) == []


def test_work_done_since_is_named(
    store: Store, shelf: Path, now: datetime, correct: Callable[[Store, str], None]
) -> None:
    """Which record, by whom: else nobody knows what to take back first."""
    job = _take(store, shelf, now)
    assert accession.later_work(store, job.what) == ()
    correct(store, "Tide")

    (later,) = accession.later_work(store, job.what)
    assert (later.title, later.who, later.what) == ("Tide Table", "Bob", "corrected it")
    with pytest.raises(CannotTakeBack, match=r"“Tide Table”, corrected it \(Bob, 2026-03-14\)"):
        accession.take_back_all(store, job.what, "Ann", now)


@pytest.fixture
def correct(now: datetime) -> Callable[[Store, str], None]:
    from catalogue import catalogue_rows, undo

    def do(store: Store, title: str) -> None:
        (row,) = store.rows("SELECT id FROM recordings WHERE title = ?", (title,))
        with undo.action(store, "Bob", "corrected it", now):
            catalogue_rows.change_recording(store, row["id"], title=f"{title} Table")

    return do
