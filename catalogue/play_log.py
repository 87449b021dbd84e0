"""What went out: one row for each recording played, when, where, from which copy."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store


@dataclass(frozen=True, slots=True)
class Play:
    """One recording played; `at` is an ISO 8601 text."""

    id: int
    at: str
    recording_id: int
    holding_id: int | None
    programme_id: int | None
    slip_id: int | None
    studio: str
    note: str


def record(
    store: Store,
    recording_id: int,
    holding_id: int | None,
    studio: str,
    slip_id: int | None,
    who: str,
    now: datetime,
    *,
    programme_id: int | None = None,
) -> int:
    """Note that a recording was played now; returns the play's id.

    Raises NotFound for an unknown recording, BadInput for a copy of another recording.
    """
    with undo.action(store, who, f"played recording {recording_id}", now):
        if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (recording_id,)):
            raise NotFound(f"There is no recording number {recording_id}; nothing was logged.")
        if holding_id is not None and not store.rows(
            "SELECT 1 FROM holdings WHERE id = ? AND recording_id = ?", (holding_id, recording_id)
        ):
            raise BadInput("That copy is not of this recording. Choose the copy again.")
        cursor = store.db.execute(
            "INSERT INTO plays (at, recording_id, holding_id, programme_id, slip_id, studio) "
            "VALUES (?, ?, ?, ?, ?, ?)",
            (
                now.isoformat(timespec="seconds"),
                recording_id,
                holding_id,
                programme_id,
                slip_id,
                studio,
            ),
        )
        return int(cursor.lastrowid or 0)


def point_at(store: Store, gone: int, kept: int) -> None:
    """The plays of one recording are another's; inside an action."""
    store.db.execute("UPDATE plays SET recording_id = ? WHERE recording_id = ?", (kept, gone))


def point_at_copy(store: Store, gone: int, kept: int) -> None:
    """The plays of one copy are another's; inside an action."""
    store.db.execute("UPDATE plays SET holding_id = ? WHERE holding_id = ?", (kept, gone))


def get(store: Store, play_id: int) -> Play:
    """One play. Raises NotFound."""
    rows = store.rows("SELECT * FROM plays WHERE id = ?", (play_id,))
    if not rows:
        raise NotFound(f"There is no play number {play_id} in the log.")
    return Play(**rows[0])


def last_played(store: Store, recording_ids: Iterable[int]) -> dict[int, str]:
    """When each of these was last played (ISO 8601); those never played are left out."""
    rows = store.rows(
        "SELECT recording_id, max(at) AS at FROM plays "
        "WHERE recording_id IN (SELECT value FROM json_each(?)) GROUP BY recording_id",
        (json.dumps(list(recording_ids)),),
    )
    return {row["recording_id"]: row["at"] for row in rows}


def times_played(store: Store, recording_ids: Iterable[int]) -> dict[int, int]:
    """How often each of these was played; those never played are left out."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM plays "
        "WHERE recording_id IN (SELECT value FROM json_each(?)) GROUP BY recording_id",
        (json.dumps(list(recording_ids)),),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def often_played(store: Store, last: int) -> dict[int, int]:
    """Of the last so many plays: how often each recording was among them."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM "
        "(SELECT recording_id FROM plays ORDER BY at DESC LIMIT ?) GROUP BY recording_id",
        (last,),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def artists_since(store: Store, start: datetime) -> set[int]:
    """The artists played since then."""
    rows = store.rows(
        "SELECT DISTINCT r.artist_id FROM plays p JOIN recordings r ON r.id = p.recording_id "
        "WHERE p.at >= ?",
        (start.isoformat(timespec="seconds"),),
    )
    return {row["artist_id"] for row in rows}


def since(store: Store, start: datetime, limit: int = 200) -> list[Row]:
    """What was played since then, latest first.

    Each row has id, at, recording_id, title, artist, version, holding_id, carrier, place (the
    shelf mark, or the file's path), side, track, studio, slip_id, programme, note.
    """
    return store.rows(
        """SELECT p.id, p.at, p.recording_id, r.title, a.name AS artist, r.version, p.holding_id,
            CASE WHEN h.id IS NULL THEN '' ELSE coalesce(d.carrier, 'file') END AS carrier,
            coalesce(d.shelf_mark, h.path, '') AS place,
            coalesce(h.side, '') AS side, coalesce(h.track, '') AS track,
            p.studio, p.slip_id, coalesce(g.name, '') AS programme, p.note
        FROM plays p JOIN recordings r ON r.id = p.recording_id
            JOIN artists a ON a.id = r.artist_id
            LEFT JOIN holdings h ON h.id = p.holding_id LEFT JOIN discs d ON d.id = h.disc_id
            LEFT JOIN programmes g ON g.id = p.programme_id
        WHERE p.at >= ? ORDER BY p.at DESC, p.id DESC LIMIT ?""",
        (start.isoformat(timespec="seconds"), limit),
    )
