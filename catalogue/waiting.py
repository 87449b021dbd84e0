"""Which requests wait for a want: for as long as the callers' details are kept, and no longer.

What was asked for, when and from which place, is kept with the want; that it was this slip goes
with the details (`forget_all_but`), so that no slip stays tied to a place. Owns `waiting`.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from catalogue.store import Store


def add(store: Store, slip_id: int, want_id: int) -> None:
    """Note that the request of this slip waits for a want."""
    with store.transaction() as db:
        db.execute(
            "INSERT OR IGNORE INTO waiting (slip_id, want_id) VALUES (?, ?)", (slip_id, want_id)
        )


def of(store: Store, want_ids: Iterable[int]) -> list[int]:
    """The slips that wait for any of these, the earliest first."""
    rows = store.rows(
        "SELECT DISTINCT slip_id FROM waiting WHERE want_id IN (SELECT value FROM json_each(?)) "
        "ORDER BY slip_id",
        (json.dumps(list(want_ids)),),
    )
    return [row["slip_id"] for row in rows]


def forget_all_but(store: Store, slip_ids: Iterable[int]) -> None:
    """Forget that any slip but these waits for something."""
    with store.transaction() as db:
        db.execute(
            "DELETE FROM waiting WHERE slip_id NOT IN (SELECT value FROM json_each(?))",
            (json.dumps(list(slip_ids)),),
        )
