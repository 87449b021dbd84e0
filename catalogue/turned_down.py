"""What a caller did not want: not offered again in this call.

Kept with the slip for as long as the call lasts in anybody's mind, and no longer: it goes with
the caller's details (`forget_all_but`). What is learnt from it stays, as a bare count.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from catalogue import stand_in_lessons
from catalogue.errors import NotFound
from catalogue.slip_rows import Slip
from catalogue.store import Store

_OF_CALL = "(SELECT id FROM slips WHERE id = ? OR same_call = ?)"
_NOW = "coalesce((SELECT kept FROM merged_recordings WHERE gone = t.recording_id), t.recording_id)"
"""SQL for the recording that stands for the one turned down, since the two may have been merged."""


def add(store: Store, slip_id: int, recording_id: int, asked_id: int | None = None) -> None:
    """Note that this caller does not want this recording in place of `asked_id` (None: of none).

    It is counted among the lessons once a call. Raises NotFound for an unknown recording.
    """
    with store.transaction() as db:
        if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (recording_id,)):
            raise NotFound(f"There is no recording number {recording_id}; nothing was noted.")
        added = db.execute(
            "INSERT OR IGNORE INTO turned_down (slip_id, recording_id, asked_id) VALUES (?, ?, ?)",
            (slip_id, recording_id, asked_id or stand_in_lessons.NO_RECORD),
        )
        if added.rowcount:
            stand_in_lessons.refuse(store, asked_id, recording_id)


def of_call(store: Store, slip: Slip) -> frozenset[int]:
    """The recordings turned down on any slip of this call."""
    rows = store.rows(
        f"SELECT DISTINCT {_NOW} AS id FROM turned_down t WHERE t.slip_id IN {_OF_CALL}",
        (slip.call, slip.call),
    )
    return frozenset(row["id"] for row in rows)


def left_out(store: Store, slip: Slip) -> frozenset[int]:
    """What not to offer in this call: what was turned down, and the same artist's other
    recordings of the same song, which a caller would take for the same record."""
    rows = store.rows(
        f"SELECT DISTINCT other.id FROM turned_down t JOIN recordings r ON r.id = {_NOW} "
        "JOIN recordings other ON other.song_id = r.song_id AND other.artist_id = r.artist_id "
        f"WHERE t.slip_id IN {_OF_CALL}",
        (slip.call, slip.call),
    )
    return frozenset(row["id"] for row in rows)


def forget(store: Store, slip: Slip) -> None:
    """Offer everything again in this call, and count the refusals no longer."""
    with store.transaction() as db:
        taken_back = store.rows(
            f"SELECT asked_id, recording_id FROM turned_down WHERE slip_id IN {_OF_CALL}",
            (slip.call, slip.call),
        )
        for row in taken_back:
            stand_in_lessons.unrefuse(store, row["asked_id"], row["recording_id"])
        db.execute(f"DELETE FROM turned_down WHERE slip_id IN {_OF_CALL}", (slip.call, slip.call))


def forget_all_but(store: Store, slip_ids: Iterable[int]) -> None:
    """Forget what was turned down on every slip but these."""
    with store.transaction() as db:
        db.execute(
            "DELETE FROM turned_down WHERE slip_id NOT IN (SELECT value FROM json_each(?))",
            (json.dumps(list(slip_ids)),),
        )
