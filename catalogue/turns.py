"""Taking turns at one database: waiting to write, giving way, and emptying the log between others.

SQLite's own wait looks again every 100 ms, and a checkpoint of it that waits for a reader keeps
everybody else from writing meanwhile. Here who waits looks every 4 ms, and says so by the time of a
file beside the database: a long work looks there and ends its transaction.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

BUSY_MS = 5_000
"""How long somebody waits for another program's write before the store is called busy."""

_LOOKS_AGAIN_S = 0.004
"""Between two looks whether the other program has written."""

_TRY_AGAIN_S = 0.02
"""Between two tries to empty the log, or to set up a connection to a file that another program
makes just now."""

_AT_THE_DESKS_S = 10.0
"""After somebody waited: so long a work takes it that people are at the desks."""

_LONGEST_HELD_S, _LONGEST_BESIDE_DESKS_S = 0.1, 0.03
"""How long one transaction of a long work may last, with nobody else there and beside desks. What
is to be done at its end grows with it, and cannot be cut short."""

_GIVES_WAY_S = 0.02
"""Pause of a long work beside desks: who waits looks again, and writes for some 5 ms."""

_ENDING = "-waiting"
_PRIMARY = 0xFF
"""The part of SQLite's extended result codes that names the kind of problem."""


class Turns:
    """The turns at one database file, by whatever programs."""

    def __init__(self, database: Path) -> None:
        self._file = f"{database}{_ENDING}"

    def begin(self, connection: sqlite3.Connection) -> None:
        """Begin to write, as soon as nobody else does. Raises sqlite3.OperationalError."""
        with _own_wait(connection):
            as_soon_as_free(connection, "BEGIN IMMEDIATE", _LOOKS_AGAIN_S, self._say_waiting)

    def empty_log(self, connection: sqlite3.Connection) -> bool:
        """Empty the write-ahead log, in which what was erased still stands; False if a reader
        stood in the way for all of the time. Not inside a transaction."""
        last = time.monotonic() + BUSY_MS / 1000
        connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchall()  # others write meanwhile
        with _own_wait(connection):
            while True:
                (busy, *_) = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
                if not busy or time.monotonic() > last:
                    return not busy
                self._say_waiting()
                time.sleep(_TRY_AGAIN_S)

    def last_waited(self) -> int:
        """When somebody last waited to write, in nanoseconds since 1970; 0 for never."""
        try:
            return os.stat(self._file).st_mtime_ns  # noqa: PTH116 - after every entry
        except OSError:
            return 0

    def _say_waiting(self) -> None:
        """Where that cannot be written, a long work goes on until its time is over."""
        now = time.time_ns()
        with suppress(OSError):
            try:
                os.utime(self._file, ns=(now, now))
            except FileNotFoundError:
                os.close(os.open(self._file, os.O_WRONLY | os.O_CREAT, 0o600))


@contextmanager
def _own_wait(connection: sqlite3.Connection) -> Iterator[None]:
    """SQLite itself does not wait inside."""
    connection.execute("PRAGMA busy_timeout = 0")
    try:
        yield
    finally:
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")


class Turn:
    """One transaction of a long work: when it should end, and how long to pause behind it."""

    def __init__(self, turns: Turns) -> None:
        self._turns, self._waited = turns, turns.last_waited()
        beside = time.time_ns() - self._waited < _AT_THE_DESKS_S * 1e9
        self._until = time.monotonic() + (_LONGEST_BESIDE_DESKS_S if beside else _LONGEST_HELD_S)

    def is_over(self) -> bool:
        """Whether somebody waits, or the time is over."""
        return time.monotonic() > self._until or self._turns.last_waited() != self._waited

    def give_way(self) -> None:
        """Leave whoever waits, or may come, a moment to write. After the transaction."""
        time.sleep(_GIVES_WAY_S)


def as_soon_as_free(
    connection: sqlite3.Connection, statement: str, again_s: float = _TRY_AGAIN_S,
    waits: Callable[[], None] = lambda: None,
) -> None:  # fmt: skip
    """Run a statement, tried again every so many seconds while somebody else has the database.
    Raises sqlite3.OperationalError."""
    last = time.monotonic() + BUSY_MS / 1000
    while True:
        try:
            connection.execute(statement)
            return
        except sqlite3.OperationalError as problem:
            code = getattr(problem, "sqlite_errorcode", 0) & _PRIMARY
            if code != sqlite3.SQLITE_BUSY or time.monotonic() > last:
                raise
            waits()
            time.sleep(again_s)
