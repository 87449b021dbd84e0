"""Full, read-only, locked, unplugged, a clock set back: a sentence, and nothing is lost."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from catalogue import (
    backup,
    callers,
    forgetting,
    request_slips,
    turns,
)
from catalogue.errors import CatalogueError, CopyProblem, StoreBusy, StoreProblem
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from web import create_app

from .conftest import EVENING, PASSPHRASE, Clock, Desk, Held

resource = pytest.importorskip("resource") if os.name == "posix" else None


def _mount(folder: Path, size: str) -> bool:
    """A small drive of its own at a folder, where this user may make one."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return False
    folder.mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)],
        capture_output=True, check=False,
    )  # fmt: skip
    return done.returncode == 0


@contextmanager
def _failing_drive(store: Store) -> Iterator[None]:
    """Every write beyond what the files hold fails with an error of the system (EFBIG), which
    SQLite reports as a failing drive; Python ignores the signal that comes with it."""
    assert resource is not None
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def _full_disk(store: Store) -> Iterator[None]:
    """SQLite's own limit on pages stands in for the disk, on every connection of this thread."""
    # Room inside the pages that are there is used up first.
    (pages,) = store.db.execute("PRAGMA page_count").fetchone()
    store.db.execute(f"PRAGMA max_page_count = {pages}")
    try:
        yield
    finally:
        store.db.execute("PRAGMA max_page_count = 1073741823")


@contextmanager
def _locked(store: Store) -> Iterator[None]:
    other = sqlite3.connect(store.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    try:
        yield
    finally:
        other.execute("ROLLBACK")
        other.close()


@contextmanager
def _read_only(store: Store) -> Iterator[None]:
    """SQLite's own switch stands in for a folder that may not be written: the tests may run as
    a user who may write anywhere. It reports the same error."""
    store.db.execute("PRAGMA query_only = ON")
    try:
        yield
    finally:
        store.db.execute("PRAGMA query_only = OFF")


TROUBLES = [
    (_full_disk, 500, "The disk is full. Nothing was changed; make room"),
    (_locked, 503, "Another program holds the catalogue. Nothing was changed"),
    (_read_only, 500, "cannot be written. Nothing was changed"),
]
if os.name == "posix":
    TROUBLES.append((_failing_drive, 500, "does not answer: it is full, unplugged or worn out"))


def _whole(store: Store) -> None:
    assert store.rows("PRAGMA integrity_check") == [{"integrity_check": "ok"}]
    assert store.rows("PRAGMA foreign_key_check") == []
    assert store.rows("SELECT action_id FROM current_action") == [{"action_id": None}]


def _text(answer: TestResponse) -> str:
    return answer.get_data(as_text=True)


@pytest.mark.parametrize(("trouble", "status", "sentence"), TROUBLES)
def test_a_desk_is_told_and_goes_on_once_it_is_mended(
    app: Flask, store: Store, phone: Desk, monkeypatch: pytest.MonkeyPatch,
    trouble: Callable, status: int, sentence: str,
) -> None:  # fmt: skip
    """What was there stays, what was refused is not there in part, the next try works."""
    monkeypatch.setattr(turns, "BUSY_MS", 100)
    store.db.execute("PRAGMA busy_timeout = 100")
    phone.send("/phone/details", sheet="a", caller_name="Maureen")
    long = dict.fromkeys(("caller_name", "why", "for_whom", "talk_about"), "x" * 1900)
    big = {"sheet": "b", "purpose": "request", **long}
    with trouble(store):
        answer = phone.send("/phone/details", **big)
        read = phone.get("/phone/slips/1")
    assert answer.status_code == status
    assert sentence in " ".join(_text(answer).split())
    assert "Maureen" in _text(read)
    # A blank slip may have been begun: the sheet knows it, and the next try writes on it.
    assert "xxx" not in str(store.rows("SELECT * FROM caller_details"))
    _whole(store)

    assert phone.send("/phone/details", **big).status_code == 200
    assert [s.id for s in request_slips.open_slips(store)] == [1, 2]
    _whole(store)


@pytest.mark.parametrize("trouble", [t[0] for t in TROUBLES if t[0] is not _full_disk])
def test_erasing_that_failed_is_done_the_next_time(
    store: Store, clock: Clock, trouble: Callable
) -> None:
    store.db.execute("PRAGMA busy_timeout = 100")
    slip = request_slips.start(store, "request", "Alice", EVENING)
    callers.write(store, slip, {"why": "MARKER"}, "Alice", EVENING)
    clock.on(days=7)
    with trouble(store), pytest.raises(StoreProblem):
        forgetting.erase_due(store, clock())
    assert callers.of(store, slip) is not None
    assert forgetting.erase_due(store, clock()) == 1
    assert b"MARKER" not in b"".join(p.read_bytes() for p in store.path.parent.glob("asheard*"))


@pytest.mark.skipif(os.name != "posix", reason="RLIMIT_FSIZE is a thing of POSIX systems")
def test_a_copy_onto_a_failing_drive_leaves_nothing(store: Store) -> None:
    """No copy, no draft; and the next one is made."""
    target = store.path.parent / "copies" / "daily-2024-05-07.db"
    with _failing_drive(store), pytest.raises(CopyProblem, match="could not be made"):
        backup.copy_of(store.db.conn, store.path, target, with_callers=True)
    assert list((store.path.parent / "copies").iterdir()) == []
    assert len(backup.keep_up(store, EVENING)) == 3


def test_a_drive_of_three_megabytes_fills_up_and_is_mended(tmp_path: Path) -> None:
    """A real one where this user may mount one, else SQLite's limit; written to until it is full,
    then what was acknowledged is there, and once there is room the work goes on."""
    drive = tmp_path / "drive"
    mounted = _mount(drive, "3m")
    drive.mkdir(exist_ok=True)
    try:
        store = Store(drive / "asheard.db")
        filler = drive / "somebody's holiday film"
        if mounted:
            left = os.statvfs(drive).f_bavail * os.statvfs(drive).f_frsize
            filler.write_bytes(b"x" * max(0, left - 400_000))
        else:
            (pages,) = store.db.execute("PRAGMA page_count").fetchone()
            store.db.execute(f"PRAGMA max_page_count = {pages + 60}")
        kept: list[int] = []
        with pytest.raises(StoreProblem, match=r"disk is full|does not answer") as told:
            for _ in range(2000):
                slip = request_slips.start(store, "request", "Alice", EVENING)
                callers.write(store, slip, {"why": "x" * 1500}, "Alice", EVENING)
                kept.append(slip)
        assert isinstance(told.value, CatalogueError) and len(kept) > 5
        with pytest.raises(CatalogueError, match="disk is full|no room"):
            backup.keep_up(store, EVENING)
        _whole(store)
        assert {r["slip_id"] for r in store.rows("SELECT slip_id FROM caller_details")} >= set(kept)
        filler.unlink(missing_ok=True)
        store.db.execute("PRAGMA max_page_count = 1073741823")
        slip = request_slips.start(store, "request", "Alice", EVENING)
        callers.write(store, slip, {"why": "on it goes"}, "Alice", EVENING)
        _whole(store)
        store.close()
    finally:
        if mounted:
            subprocess.run(["umount", "-l", str(drive)], check=False)


def test_a_drive_that_may_only_be_read_is_told_and_works_again_when_it_may_be_written(
    made: tuple[Path, Held], tmp_path: Path
) -> None:
    """A real one, made read-only under the running station; where none may be mounted, SQLite's
    switch stands in for it."""
    drive = tmp_path / "drive"
    mounted = _mount(drive, "30m")
    shutil.copytree(made[0], drive, dirs_exist_ok=True)
    store = Store(drive / "asheard.db")
    index = SoundIndex(drive / "sound_index", store)
    app = create_app(store, index, lambda: EVENING, {"SECRET_KEY": "only for tests"})
    app.config["PROPAGATE_EXCEPTIONS"] = False
    phone = Desk(app.test_client())
    try:
        phone.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        phone.send("/phone/details", sheet="a", caller_name="Maureen")
        headers = {"X-CSRFToken": phone.token(), "HX-Request": "true"}
        with _made_read_only(drive, store, mounted):
            answer = phone.client.post(
                "/phone/details", data={"sheet": "b", "caller_name": "Doreen"}, headers=headers
            )
            assert answer.status_code == 500
            told = " ".join(_text(answer).split())
            assert "Nothing was changed" in told and "Traceback" not in told
            if not mounted:  # SQLite needs to write beside a file with a log, even to read it
                assert "Maureen" in _text(phone.get("/phone/slips/1"))
            with pytest.raises(CatalogueError):
                backup.keep_up(store, EVENING)
        assert phone.send("/phone/details", sheet="b", caller_name="Doreen").status_code == 200
        assert len(backup.keep_up(store, EVENING)) == 3
        _whole(store)
    finally:
        index.close()
        store.close()
        if mounted:
            subprocess.run(["umount", "-l", str(drive)], check=False)


@contextmanager
def _made_read_only(drive: Path, store: Store, mounted: bool) -> Iterator[None]:
    if not mounted:
        with _read_only(store):
            yield
        return
    # A file that is open for writing keeps a drive writable: SQLite's are let go of for a moment.
    store.close()
    subprocess.run(["mount", "-o", "remount,ro", str(drive)], check=True)
    try:
        yield
    finally:
        store.close()
        subprocess.run(["mount", "-o", "remount,rw", str(drive)], check=True)


def test_a_clock_set_back_loses_nothing_and_erases_nothing_early(
    app: Flask, store: Store, clock: Clock, phone: Desk, studio: Desk
) -> None:
    """By a year, in the middle of an evening: slips, copies and erasing go on."""
    phone.send("/phone/details", sheet="a", purpose="conversation", caller_name="Maureen")
    clock.on(days=-365)
    phone.send("/phone/details", sheet="b", purpose="conversation", caller_name="Doreen")
    assert phone.send("/phone/hand-over", slip=1, studio="Studio 1").status_code == 200
    assert studio.send("/studio/played", slip=1).status_code == 200
    assert len(backup.keep_up(store, clock())) == 3
    assert forgetting.erase_due(store, clock()) == 0
    clock.on(days=365)
    assert callers.of(store, 1) is not None
    assert len(backup.keep_up(store, clock())) == 3
    clock.on(days=7)
    forgetting.erase_due(store, clock() + timedelta(days=1))
    assert callers.of(store, 1) is None and callers.of(store, 2) is None
    _whole(store)


def test_a_lock_that_never_ends_is_told(store: Store) -> None:
    store.db.execute("PRAGMA busy_timeout = 100")
    with _locked(store), pytest.raises(StoreBusy, match="close that program"):
        request_slips.start(store, "request", "Alice", EVENING)
