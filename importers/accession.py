"""Entries into the catalogue: new, already held, changed, or refused. Owns `raw_entries`.

Work goes in batches, each one transaction and one action, so that a stop loses the batch at
hand and nothing else; all the actions of one taking-in bear the same name, by which
`take_back_all` takes it back whole. Running twice adds nothing: files are known by their path,
tracks of discs by carrier, shelf mark, side and track, recordings by `same_recording`.

A value is only ever replaced where an earlier reading put it and nobody has touched it since.
"""

from __future__ import annotations

import itertools
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import CannotTakeBack, CatalogueError, NotFound
from catalogue.store import Store
from catalogue.turns import Turn
from importers.batch import Batch
from importers.entries import Taken
from importers.jobs import Doing
from importers.report import Report

_NAMED = 5
"""Pieces of later work that a message names; more would not be read."""

BATCH = 250
"""Entries in one transaction: what Ctrl-C may lose, some seconds of reading files."""

_PAGES_BEFORE_TIDYING = 8_000
"""Pages of the journal, 32 MB, that may gather while much is written."""

_STOPPED = "Stopped. What is counted here is kept; run it again to go on."

Progress = Callable[[int, int | None], None]
"""Called with how many are done and, where known, of how many."""


def take_in(
    store: Store,
    entries: Iterable[Taken],
    who: str,
    what: str,
    now: datetime,
    progress: Progress | None = None,
    total: int | None = None,
    job: Doing | None = None,
) -> Report:
    """Take entries in, batch by batch, and report.

    With a `job` its progress and the report are kept as it goes on. Stopped by the wish of a job,
    by Ctrl-C or by the store (a full disk), it keeps the finished batches and says so in
    `Report.stopped`; if nothing was kept, the store's error is raised.
    """
    report = Report(_name(store, what))
    waiting = _until_stopped(entries, report, job)
    try:
        with _seldom_tidied(store):
            part: list[Taken] = []
            while part := part or list(itertools.islice(waiting, BATCH)):
                with Batch(store, who, report.what, now) as batch:
                    turn = Turn(store.turns)
                    part = part[_taken(turn, batch, part) :]
                    if job:
                        job.keep(report, batch.report)
                report.add(batch.report)
                if batch.report.action_ids:  # a hundred thousand unchanged files write nothing
                    turn.give_way()
                if progress:
                    progress(report.seen, total)
    except KeyboardInterrupt:
        report.stopped = _STOPPED
    except CatalogueError as problem:
        if not report.seen:
            raise
        report.stopped = f"{problem.message} What is counted here was kept before that."
    return report


def _taken(turn: Turn, batch: Batch, part: Sequence[Taken]) -> int:
    """Take as many entries as there is time for, at least one; returns how many."""
    for number, taken in enumerate(part, start=1):
        batch.take(taken)
        if turn.is_over():
            return number
    return len(part)


@contextmanager
def _seldom_tidied(store: Store) -> Iterator[None]:
    """SQLite moves its journal into the file after 1,000 pages, some two batches: here later."""
    (before,) = store.db.execute("PRAGMA wal_autocheckpoint").fetchone()
    store.db.execute(f"PRAGMA wal_autocheckpoint = {_PAGES_BEFORE_TIDYING}")
    try:
        yield
    finally:
        store.db.execute(f"PRAGMA wal_autocheckpoint = {int(before)}")


def _until_stopped(entries: Iterable[Taken], report: Report, job: Doing | None) -> Iterator[Taken]:
    for entry in entries:
        if job and job.stop():
            report.stopped = _STOPPED
            return
        yield entry


def _name(store: Store, what: str) -> str:
    """A name for this taking-in that no other has: its number is that of its first action."""
    (last,) = store.db.execute("SELECT max(seq) FROM sqlite_sequence WHERE name = 'actions'"
                               ).fetchone()  # fmt: skip
    return f"took in {what} (no. {int(last or 0) + 1})"


@dataclass(frozen=True, slots=True)
class TakingIn:
    """One taking-in of the past: its name, when, who, and whether it was taken back."""

    what: str
    at: str
    who: str
    taken_back: bool


def takings_in(store: Store, limit: int = 50) -> list[TakingIn]:
    """The last takings-in, latest first."""
    rows = store.rows(
        """SELECT a.what, min(a.at) AS at, a.who, min(EXISTS (
            SELECT 1 FROM actions b WHERE b.takes_back = a.id)) AS taken_back
        FROM actions a WHERE a.what LIKE 'took in %(no. %)' AND a.takes_back IS NULL
        GROUP BY a.what ORDER BY max(a.id) DESC LIMIT ?""",
        (limit,),
    )
    return [TakingIn(**{**row, "taken_back": bool(row["taken_back"])}) for row in rows]


@dataclass(frozen=True, slots=True)
class Later:
    """Work that somebody has done since on a record of a taking-in: who, when, what, and where
    it can be told, on which recording."""

    what: str
    who: str
    at: str
    recording_id: int | None
    title: str


def later_work(store: Store, what: str, limit: int = 50) -> tuple[Later, ...]:
    """What was done since, and not taken back, on the records that a taking-in put in or changed:
    as long as it stands, the taking-in cannot be taken back."""
    rows = store.rows(
        """SELECT a.what, a.who, a.at, r.id AS recording_id, coalesce(r.title, '') AS title
        FROM actions mine JOIN changes m ON m.action_id = mine.id
        JOIN changes c ON c.table_name = m.table_name AND c.row_id = m.row_id AND c.id > m.id
        JOIN actions a ON a.id = c.action_id
        LEFT JOIN holdings h ON m.table_name = 'holdings' AND h.id = m.row_id
        LEFT JOIN recordings r ON r.id = CASE m.table_name
            WHEN 'recordings' THEN m.row_id WHEN 'holdings' THEN h.recording_id END
        WHERE mine.what = ? AND a.what <> mine.what AND a.takes_back IS NULL
            AND mine.takes_back IS NULL
            AND NOT EXISTS (SELECT 1 FROM actions b WHERE b.takes_back IN (a.id, mine.id))
        GROUP BY a.id, r.id ORDER BY a.id LIMIT ?""",
        (what, limit),
    )
    return tuple(Later(**row) for row in rows)


def take_back_all(store: Store, what: str, who: str, now: datetime) -> int:
    """Take a whole taking-in back, or nothing of it; returns how many actions it had.

    `what` is `Report.what`. Raises NotFound for an unknown name or one taken back before,
    CannotTakeBack if later work rests on its records.
    """
    rows = store.rows(
        """SELECT id FROM actions a WHERE what = ? AND takes_back IS NULL
        AND NOT EXISTS (SELECT 1 FROM actions b WHERE b.takes_back = a.id) ORDER BY id DESC""",
        (what,),
    )
    if not rows:
        raise NotFound(f"There is no “{what}” to take back; it may have been taken back already.")
    try:
        with store.transaction():
            for row in rows:
                undo.take_back(store, row["id"], who, now)
    except CannotTakeBack as problem:
        if not (later := later_work(store, what, _NAMED)):
            raise
        raise CannotTakeBack(
            f"“{what}” cannot be taken back, because somebody has since worked on its "
            f"records{_named(later)}. Take that back first."
        ) from problem
    except sqlite3.IntegrityError as problem:
        raise CannotTakeBack(
            f"“{what}” cannot be taken back: later entries rest on its records"
            f"{_named(later_work(store, what, _NAMED))}. Take those back first."
        ) from problem
    return len(rows)


def _named(later: Sequence[Later]) -> str:
    """Some of the later work, so that it can be found."""
    said = [
        f"{f'“{one.title}”, ' if one.title else ''}{one.what} ({one.who}, {one.at[:10]})"
        for one in later
    ]
    return f": {'; '.join(said)}" if said else ""


def known_files(store: Store) -> dict[str, tuple[int | None, float | None]]:
    """Path to (size in bytes, time of last change) of every file that is held and there."""
    rows = store.db.execute(
        "SELECT path, file_size, file_time FROM holdings WHERE path NOT NULL AND NOT missing"
    )
    return {path: (size, mtime) for path, size, mtime in rows.fetchall()}
