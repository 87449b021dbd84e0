"""Jobs: what is taken in or measured beside the desks, how far it is, and what came of it.

A job is a row that every desk can see: a page that is loaded anew, or another desk, finds it as
it is. The program that does it writes its progress there once a second and looks whether
somebody wishes it to stop. Owns `jobs` and `job_remarks`.
"""

from __future__ import annotations

import contextlib
import json
import threading
import time
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, fields
from datetime import datetime
from enum import StrEnum
from typing import Any

from catalogue.errors import NotFound, StoreProblem
from catalogue.store import Store
from importers import one_at_a_time
from importers.report import Measured, Remark, Report

BEAT_S = 1.0
"""Between two looks at a job: often enough for a bar that moves."""

_RATE_OVER = 15
"""Beats over which the rate is taken, so that it tells how it goes now."""


_COUNTED = ("action_ids", "refused", "needs_a_look", "gone")


class State(StrEnum):
    """How far a job is."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    STOPPED = "stopped"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Job:
    """A job as it was last written down. `what` is the name of its taking-in, for undo; `rate` is
    in files or rows a second; `report` has the counts, and sentences by kind."""

    id: int
    kind: str
    source: str
    options: Mapping[str, Any]
    who: str
    at: str
    state: State
    what: str = ""
    done: int = 0
    total: int | None = None
    rate: float | None = None
    wish: str = ""
    report: Mapping[str, Any] = field(default_factory=dict)


def ask(
    store: Store, kind: str, source: str, options: Mapping[str, Any], who: str, now: datetime
) -> int:
    """Write a new job down; returns its number.

    `kind` is "files", "list", "known" or "measure"; "edit" or "undo" for many records at once.
    """
    with store.transaction() as db:
        cursor = db.execute(
            "INSERT INTO jobs (kind, source, options, who, at, state) VALUES (?, ?, ?, ?, ?, ?)",
            (kind, source, json.dumps(options), who, now.isoformat(timespec="seconds"),
             State.WAITING),
        )  # fmt: skip
        return int(cursor.lastrowid or 0)


def get(store: Store, job_id: int) -> Job:
    """One job. Raises NotFound."""
    rows = store.rows("SELECT * FROM jobs WHERE id = ?", (job_id,))
    if not rows:
        raise NotFound(f"There is no taking-in number {job_id}.")
    return _job(rows[0])


def latest(store: Store, limit: int, without: Sequence[str] = ()) -> list[Job]:
    """The last jobs, latest first; `without` are kinds that are left out."""
    rows = store.rows(
        "SELECT * FROM jobs WHERE kind NOT IN (SELECT value FROM json_each(?)) "
        "ORDER BY id DESC LIMIT ?",
        (json.dumps(list(without)), limit),
    )
    return [_job(row) for row in rows]


def _job(row: dict[str, Any]) -> Job:
    made = {"options": json.loads(row["options"]), "report": json.loads(row["report"])}
    return Job(**{**row, **made, "state": State(row["state"])})


def wish_to_stop(store: Store, job_id: int) -> None:
    """Ask whoever does the job to stop; it keeps what is done."""
    with store.transaction() as db:
        db.execute("UPDATE jobs SET wish = 'stop' WHERE id = ?", (job_id,))


def remarks(store: Store, job_id: int, kind: str, limit: int = -1, offset: int = 0) -> list[Remark]:
    """What was told of files and rows: kind "refused", "look", "gone" or "failed"."""
    rows = store.rows(
        "SELECT source, text, raw, mend FROM job_remarks WHERE job_id = ? AND kind = ? "
        "ORDER BY id LIMIT ? OFFSET ?",
        (job_id, kind, limit, offset),
    )
    return [
        Remark(r["source"], r["text"], json.loads(r["raw"]), json.loads(r["mend"])) for r in rows
    ]


class Doing:
    """A job under way, in the program that does it."""

    def __init__(self, store: Store, job_id: int) -> None:
        self._store, self.id = store, job_id
        self._done = 0
        self._total: int | None = None
        self._seen: deque[tuple[float, int]] = deque(maxlen=_RATE_OVER)
        self._stop, self._over = threading.Event(), threading.Event()
        self.stopped = False

    def progress(self, done: int, total: int | None = None) -> None:
        """Note how many are done and, where known, of how many."""
        self._done, self._total = done, total

    def stop(self) -> bool:
        """Whether somebody wishes it to stop."""
        return self._stop.is_set()

    def ask_to_stop(self) -> None:
        """Stop soon, keeping what is done."""
        self._stop.set()

    def keep(self, report: Report, part: Report | None = None) -> None:
        """Write down what came of it so far: the report and the part that is counted in next.

        Inside the transaction of that part, so that both are kept or none.
        """
        self.stopped = bool(report.stopped)
        counts = _counts(report)
        for name, count in (_counts(part) if part else {}).items():
            if isinstance(count, int):
                counts[name] += count
        with self._store.transaction() as db:
            db.execute(
                "UPDATE jobs SET what = ?, report = ? WHERE id = ?",
                (report.what, json.dumps(counts), self.id),
            )
            if part:
                self._remark("refused", part.refused)
                self._remark("look", part.needs_a_look)
            else:
                self._remark("gone", [Remark(path, "") for path in report.gone])

    def keep_counts(self, report: Mapping[str, Any], *, stopped: bool = False) -> None:
        """Write down what came of it, in counts of its own."""
        self.stopped = stopped
        with self._store.transaction() as db:
            db.execute(
                "UPDATE jobs SET report = ? WHERE id = ?", (json.dumps(dict(report)), self.id)
            )

    def keep_measured(self, came: Measured) -> None:
        """Write down what came of measuring."""
        self.stopped = came.stopped
        with self._store.transaction() as db:
            db.execute(
                "UPDATE jobs SET report = ? WHERE id = ?",
                (json.dumps({"files": came.files, "filled": came.filled,
                             "failed": len(came.failed)}), self.id),
            )  # fmt: skip
            self._remark("failed", came.failed)

    def _remark(self, kind: str, said: Sequence[Remark]) -> None:
        self._store.db.conn.executemany(
            "INSERT INTO job_remarks (job_id, kind, source, text, raw, mend) "
            "VALUES (?, ?, ?, ?, ?, ?)",
            ((self.id, kind, one.source, one.text, json.dumps(dict(one.raw)),
              json.dumps(dict(one.mend))) for one in said),
        )  # fmt: skip

    @contextmanager
    def beating(self) -> Iterator[None]:
        """While it is under way, its progress is written down every second."""
        with self._store.transaction() as db:
            db.execute("UPDATE jobs SET state = ? WHERE id = ?", (State.RUNNING, self.id))
        beat = threading.Thread(target=self._beat, daemon=True)
        beat.start()
        try:
            yield
        finally:
            self._over.set()
            beat.join()

    def end(self, state: State, problem: str = "") -> None:
        """Write down how it ended, and why it failed."""
        with self._store.transaction() as db:
            db.execute(
                "UPDATE jobs SET state = ?, done = ?, total = ?, "
                "report = json_set(report, '$.problem', ?) WHERE id = ?",
                (state, self._done, self._total, problem, self.id),
            )

    def _beat(self) -> None:
        """Until it is over: write the progress down, and look whether it is to stop."""
        while not self._over.wait(BEAT_S):
            self._seen.append((time.monotonic(), self._done))
            (begun, first), (now, last) = self._seen[0], self._seen[-1]
            rate = (last - first) / (now - begun) if now > begun else None
            with contextlib.suppress(StoreProblem), self._store.transaction() as db:
                db.execute(
                    "UPDATE jobs SET done = ?, total = ?, rate = ? WHERE id = ?",
                    (self._done, self._total, rate, self.id),
                )
                (wish,) = db.execute("SELECT wish FROM jobs WHERE id = ?", (self.id,)).fetchone()
                if wish:
                    self._stop.set()


@contextmanager
def doing(store: Store, job_id: int) -> Iterator[Doing]:
    """Do a job: one at a time, its progress written down, its end too.

    Raises StoreBusy where another is under way. What is raised inside is told as the reason why
    it failed, and raised on.
    """
    job = Doing(store, job_id)
    try:
        with one_at_a_time.alone(store.path.parent):
            with job.beating():
                yield job
    except KeyboardInterrupt:
        job.end(State.STOPPED)
        raise
    except BaseException as problem:
        job.end(State.FAILED, getattr(problem, "message", ""))
        raise
    else:
        job.end(State.STOPPED if job.stopped else State.DONE)


def _counts(report: Report) -> dict[str, Any]:
    """A report without its remarks, which are counted: they are rows of their own."""
    kept = {one.name: getattr(report, one.name) for one in fields(report)}
    for name in _COUNTED:
        kept[name] = len(kept[name])
    return kept
