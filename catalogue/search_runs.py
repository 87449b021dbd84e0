"""Searches for doubles as they go on in the background: who began one, how far it is, its end.

The search itself is `duplicate_search`; whoever runs it notes here how far it is, so that any
desk's page can show it. Owns `search_runs`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue.duplicate_search import Searched
from catalogue.errors import ChangedMeanwhile
from catalogue.store import Store

BROKEN_OFF = "It was broken off. Nothing is lost; begin it again."


@dataclass(frozen=True, slots=True)
class Run:
    """One search: times are ISO 8601, `ended_at` None while it goes on; `done` of `total` pairs,
    0 of 0 while it gets ready; `problem` says why it came to nothing."""

    id: int
    started_by: str
    started_at: str
    again: bool
    done: int
    total: int
    ended_at: str | None
    fresh: int
    compared: int
    problem: str


def begin(store: Store, who: str, now: datetime, *, again: bool = False) -> int:
    """Note that a search begins; returns its number. Raises ChangedMeanwhile if one goes on."""
    with store.transaction() as db:
        going = latest(store)
        if going is not None and going.ended_at is None:
            raise ChangedMeanwhile("A search goes on already. Wait for it to end.")
        cursor = db.execute(
            "INSERT INTO search_runs (started_by, started_at, again) VALUES (?, ?, ?)",
            (who, now.isoformat(timespec="seconds"), int(again)),
        )
        return int(cursor.lastrowid or 0)


def note(store: Store, run_id: int, done: int, total: int | None) -> None:
    """Note how far a search is."""
    with store.transaction() as db:
        db.execute(
            "UPDATE search_runs SET done = ?, total = ? WHERE id = ?", (done, total or 0, run_id)
        )


def end(store: Store, run_id: int, searched: Searched, now: datetime) -> None:
    """Note that a search came to its end."""
    with store.transaction() as db:
        db.execute(
            "UPDATE search_runs SET ended_at = ?, fresh = ?, compared = ? WHERE id = ?",
            (now.isoformat(timespec="seconds"), searched.new, searched.compared, run_id),
        )


def fail(store: Store, run_id: int, problem: str, now: datetime) -> None:
    """Note that a search came to nothing, unless it ended before."""
    with store.transaction() as db:
        db.execute(
            "UPDATE search_runs SET ended_at = ?, problem = ? WHERE id = ? AND ended_at IS NULL",
            (now.isoformat(timespec="seconds"), problem, run_id),
        )


def break_off(store: Store, now: datetime) -> None:
    """Note that whatever went on when the server stopped was broken off."""
    going = latest(store)
    if going is not None and going.ended_at is None:
        fail(store, going.id, BROKEN_OFF, now)


def latest(store: Store) -> Run | None:
    """The last search, None if there was none."""
    rows = store.rows("SELECT * FROM search_runs ORDER BY id DESC LIMIT 1")
    return Run(**{**rows[0], "again": bool(rows[0]["again"])}) if rows else None
