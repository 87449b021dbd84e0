"""Taking turns at one database: who waits gets in, whatever a long work or a reader does."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from catalogue import turns
from catalogue.store import Store
from catalogue.turns import Turn


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """A transaction of a long work is not over by its time, however slow the machine."""
    monkeypatch.setattr(turns, "_LONGEST_HELD_S", 60.0)
    monkeypatch.setattr(turns, "_LONGEST_BESIDE_DESKS_S", 60.0)


def _write(store: Store) -> None:
    with store.transaction() as db:
        db.execute("UPDATE current_action SET action_id = NULL")


def _until(said: object, at_most_s: float = 5.0) -> bool:
    end = time.monotonic() + at_most_s
    while time.monotonic() < end:
        if said():  # type: ignore[operator]
            return True
        time.sleep(0.001)
    return False


@pytest.mark.usefixtures("patient")
def test_a_long_work_is_told_that_somebody_waits(store: Store) -> None:
    """Another program writes: it says that it waits, and gets in once the transaction is over."""
    desk = Store(store.path)
    writes = threading.Thread(target=_write, args=(desk,))
    with store.transaction():
        turn = Turn(store.turns)
        assert not turn.is_over()
        writes.start()
        assert _until(turn.is_over)
    turn.give_way()
    writes.join(5)
    assert not writes.is_alive()
    assert not Turn(store.turns).is_over(), "it is over only when somebody waits again"
    desk.close()


def test_a_long_work_holds_the_catalogue_less_long_beside_desks(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """For some seconds after somebody waited the shorter time counts."""
    monkeypatch.setattr(turns, "_LONGEST_HELD_S", 60.0)
    monkeypatch.setattr(turns, "_LONGEST_BESIDE_DESKS_S", -1.0)
    assert not Turn(store.turns).is_over()
    store.turns._say_waiting()
    assert Turn(store.turns).is_over()
    monkeypatch.setattr(turns, "_AT_THE_DESKS_S", 0.0)
    assert not Turn(store.turns).is_over()


@pytest.mark.usefixtures("patient")
def test_a_folder_that_takes_no_file_keeps_nobody_from_writing(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    desk = Store(store.path)
    monkeypatch.setattr(turns.os, "utime", refused)
    writes = threading.Thread(target=_write, args=(desk,))
    with store.transaction():
        turn = Turn(store.turns)
        writes.start()
        time.sleep(0.05)
        assert not turn.is_over()
    writes.join(5)
    assert not writes.is_alive()
    desk.close()


def test_whoever_writes_need_not_wait_for_a_log_that_is_emptied(store: Store) -> None:
    """A copy reads for seconds; SQLite's own checkpoint kept every desk from writing meanwhile."""
    reader, desk = Store(store.path), Store(store.path)
    reader.db.execute("BEGIN")
    reader.rows("SELECT count(*) FROM actions")
    _write(store)
    told: list[bool] = []
    empties = threading.Thread(target=lambda: told.append(store.empty_log()))
    empties.start()
    time.sleep(0.05)
    started = time.monotonic()
    for _ in range(5):
        _write(desk)
    assert time.monotonic() - started < turns.BUSY_MS / 1000 / 2
    assert empties.is_alive(), "the reader is still there"
    reader.db.execute("COMMIT")
    empties.join(turns.BUSY_MS / 1000)
    assert told == [True]
    assert Path(f"{store.path}-wal").stat().st_size == 0
    reader.close()
    desk.close()


def test_a_log_that_cannot_be_emptied_is_said(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "BUSY_MS", 50)
    reader = Store(store.path)
    reader.db.execute("BEGIN")
    reader.rows("SELECT count(*) FROM actions")
    _write(store)
    assert store.empty_log() is False
    reader.close()
    assert store.empty_log() is True
