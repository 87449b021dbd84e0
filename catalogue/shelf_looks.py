"""What somebody found who looked on the shelf for a disc. Owns `shelf_looks`: one row a disc.

A disc is looked for when it is not in its place, or when tracks of it are not in the list.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from catalogue import missing_copies, undo
from catalogue.catalogue_rows import change_disc, disc
from catalogue.store import Store


class Seen(StrEnum):
    """What was seen: the disc is not there, or it is and everything on it is in the list."""

    NOT_THERE = "not there"
    ALL_LISTED = "all listed"


@dataclass(frozen=True, slots=True)
class Look:
    """What somebody found of a disc, and when (ISO 8601)."""

    disc_id: int
    seen: Seen
    signed_by: str
    at: str


def every(store: Store) -> dict[int, Look]:
    """The last look at each disc that was looked for."""
    rows = store.rows("SELECT disc_id, seen, signed_by, at FROM shelf_looks")
    return {row["disc_id"]: Look(**{**row, "seen": Seen(row["seen"])}) for row in rows}


def note(store: Store, disc_id: int, seen: Seen, who: str, now: datetime) -> None:
    """Keep what was seen, in place of what was seen before; what is not there is missing.

    Raises NotFound for an unknown disc.
    """
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who, f"looked for {mark}: {seen}", now):
        if seen is Seen.NOT_THERE:
            change_disc(store, disc_id, missing=1)
        store.db.execute(
            """INSERT INTO shelf_looks (disc_id, seen, signed_by, at) VALUES (?, ?, ?, ?)
            ON CONFLICT (disc_id) DO UPDATE SET seen = excluded.seen,
            signed_by = excluded.signed_by, at = excluded.at""",
            (disc_id, seen, who, now.isoformat(timespec="seconds")),
        )


def found(store: Store, disc_id: int, who: str, now: datetime) -> None:
    """A disc is in its place again, with everything on it. Raises NotFound."""
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who, f"noted that {mark} is in its place again", now):
        missing_copies.disc_found(store, disc_id, who, now)
        store.db.execute(
            "DELETE FROM shelf_looks WHERE disc_id = ? AND seen = ?", (disc_id, Seen.NOT_THERE)
        )


def forget(store: Store, disc_id: int) -> None:
    """What was seen of a disc goes with it; inside an action."""
    store.db.execute("DELETE FROM shelf_looks WHERE disc_id = ?", (disc_id,))
