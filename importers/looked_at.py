"""What was taken in and needs a look by a person, until somebody has looked. Owns `looked_at`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import NotFound
from catalogue.store import Store

_WAITING = """FROM raw_entries e WHERE e.note <> ''
    AND NOT EXISTS (SELECT 1 FROM looked_at l WHERE l.entry_id = e.id)
    AND NOT EXISTS (SELECT 1 FROM actions a WHERE a.takes_back = e.action_id)
    AND EXISTS (SELECT 1 FROM recordings r WHERE r.id = e.recording_id)
    AND NOT EXISTS (SELECT 1 FROM raw_entries n WHERE n.recording_id = e.recording_id
        AND n.source = e.source AND n.id > e.id)"""
"""Of one file or row only what was said when it was last read."""


@dataclass(frozen=True, slots=True)
class Look:
    """A file or a row that was taken in with doubts: `notes`, one a doubt."""

    entry_id: int
    source: str
    recording_id: int
    title: str
    artist: str
    notes: tuple[str, ...]


def how_many(store: Store) -> int:
    """How many files and rows wait to be looked at."""
    return int(store.rows(f"SELECT count(*) AS n {_WAITING}")[0]["n"])


def waiting(store: Store, limit: int, offset: int = 0) -> list[Look]:
    """Files and rows that wait to be looked at, the latest first."""
    rows = store.rows(
        f"""SELECT e.id, e.source, e.note, e.recording_id, r.title, a.name AS artist FROM (
            SELECT e.* {_WAITING} ORDER BY e.id DESC LIMIT ? OFFSET ?) e
        JOIN recordings r ON r.id = e.recording_id JOIN artists a ON a.id = r.artist_id
        ORDER BY e.id DESC""",
        (limit, offset),
    )
    return [
        Look(r["id"], r["source"], r["recording_id"], r["title"], r["artist"],
             tuple(r["note"].split("\n")))
        for r in rows
    ]  # fmt: skip


def look(store: Store, entry_id: int, who: str, now: datetime) -> None:
    """Note that somebody has looked. Raises NotFound for what does not wait for it."""
    found = store.rows("SELECT source FROM raw_entries WHERE id = ? AND note <> ''", (entry_id,))
    if not found:
        raise NotFound("That is on the list no more.")
    with undo.action(store, who, f"looked at {found[0]['source']}", now):
        store.db.execute("INSERT OR IGNORE INTO looked_at (entry_id) VALUES (?)", (entry_id,))
