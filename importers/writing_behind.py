"""One batch is written while the next is read: most of writing is waiting for the disk."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import AbstractContextManager
from types import TracebackType

from catalogue.store import Store
from importers.entries import Taken
from importers.report import Report

_PAGES_BEFORE_TIDYING = 8_000
"""Pages of the journal (32 MB) after which SQLite moves them into the file; its own 1,000 would
do that every second batch."""

Write = Callable[[Sequence[Taken]], Report]
"""Writes a batch in a transaction of its own and returns its counts."""


class Writer(AbstractContextManager["Writer"]):
    """Writes batches one after the other, in a thread of its own.

    Inside a transaction of the caller's a batch has to be part of that, and is written at once.
    """

    def __init__(self, store: Store, write: Write, written: Callable[[Report], None]) -> None:
        """`written` is called in the caller's thread with the counts of each batch that is kept."""
        self._store, self._write, self._written = store, write, written
        self._pool: ThreadPoolExecutor | None = None
        if not store.db.conn.in_transaction:
            self._pool = ThreadPoolExecutor(1, "writer", self._patient)
        self._under_way: Future[Report] | None = None

    def _patient(self) -> None:
        self._store.db.execute(f"PRAGMA wal_autocheckpoint = {_PAGES_BEFORE_TIDYING}")

    def write(self, part: Sequence[Taken]) -> None:
        """Have a batch written; waits for the one before, and raises what went wrong with it."""
        if self._pool is None:
            self._written(self._write(part))
            return
        self.wait()
        self._under_way = self._pool.submit(self._write, part)

    def wait(self) -> None:
        """Until the last batch is written. Raises what went wrong with it."""
        if self._under_way is not None:
            report = self._under_way.result()
            self._under_way = None
            self._written(report)

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=True)
