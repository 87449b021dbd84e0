"""What a caller did not want: not offered again in this call.

Kept with the slip for as long as the call lasts in anybody's mind, and no longer: it goes with
the caller's details (`forget_all_but`).
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from catalogue.errors import NotFound
from catalogue.slip_rows import Slip
from catalogue.store import Store


def add(store: Store, slip_id: int, recording_id: int) -> None:
    """Note that this caller does not want this recording. Raises NotFound for an unknown one."""
    with store.transaction() as db:
        if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (recording_id,)):
            raise NotFound(f"There is no recording number {recording_id}; nothing was noted.")
        db.execute(
            "INSERT OR IGNORE INTO turned_down (slip_id, recording_id) VALUES (?, ?)",
            (slip_id, recording_id),
        )


def of_call(store: Store, slip: Slip) -> frozenset[int]:
    """The recordings turned down on any slip of this call."""
    rows = store.rows(
        "SELECT DISTINCT t.recording_id FROM turned_down t JOIN slips s ON s.id = t.slip_id "
        "WHERE s.id = ? OR s.same_call = ?",
        (slip.call, slip.call),
    )
    return frozenset(row["recording_id"] for row in rows)


def left_out(store: Store, slip: Slip) -> frozenset[int]:
    """What not to offer in this call: what was turned down, and the same artist's other
    recordings of the same song, which a caller would take for the same record."""
    rows = store.rows(
        "SELECT DISTINCT other.id FROM turned_down t JOIN slips s ON s.id = t.slip_id "
        "JOIN recordings r ON r.id = t.recording_id JOIN recordings other "
        "ON other.song_id = r.song_id AND other.artist_id = r.artist_id "
        "WHERE s.id = ? OR s.same_call = ?",
        (slip.call, slip.call),
    )
    return frozenset(row["id"] for row in rows)


def forget(store: Store, slip: Slip) -> None:
    """Offer everything again in this call."""
    with store.transaction() as db:
        db.execute(
            "DELETE FROM turned_down WHERE slip_id IN "
            "(SELECT id FROM slips WHERE id = ? OR same_call = ?)",
            (slip.call, slip.call),
        )


def forget_all_but(store: Store, slip_ids: Iterable[int]) -> None:
    """Forget what was turned down on every slip but these."""
    with store.transaction() as db:
        db.execute(
            "DELETE FROM turned_down WHERE slip_id NOT IN (SELECT value FROM json_each(?))",
            (json.dumps(list(slip_ids)),),
        )
