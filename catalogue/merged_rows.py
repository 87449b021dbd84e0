"""Rows of the catalogue that are pointed at another recording or disc when two are one.

Beside `catalogue_rows.py`, which owns the same tables. Writes happen inside `undo.action`.
"""

from __future__ import annotations

from catalogue.store import Store


def point_at(store: Store, gone: int, kept: int) -> None:
    """Copies and other names of one recording are another's; a name both have is kept once."""
    store.db.execute("UPDATE holdings SET recording_id = ? WHERE recording_id = ?", (kept, gone))
    store.db.execute(
        """DELETE FROM other_names WHERE recording_id = ? AND EXISTS (
            SELECT 1 FROM other_names o WHERE o.recording_id = ? AND o.kind = other_names.kind
            AND o.name = other_names.name)""",
        (gone, kept),
    )
    store.db.execute("UPDATE other_names SET recording_id = ? WHERE recording_id = ?", (kept, gone))


def remove_recording(store: Store, gone: int) -> None:
    """Take out a recording that nothing points at any more."""
    store.db.execute("DELETE FROM recordings WHERE id = ?", (gone,))


def twin_copies(store: Store, gone: int, kept: int) -> list[tuple[int, int]]:
    """Copies on one disc that are on the other at the same place: pairs of holdings."""
    rows = store.rows(
        """SELECT g.id AS gone, min(k.id) AS kept FROM holdings g JOIN holdings k
            ON k.recording_id = g.recording_id AND k.side = g.side AND k.track = g.track
        WHERE g.disc_id = ? AND k.disc_id = ? GROUP BY g.id""",
        (gone, kept),
    )
    return [(row["gone"], row["kept"]) for row in rows]


def remove_copy(store: Store, gone: int) -> None:
    """Take out a copy that nothing points at any more."""
    store.db.execute("DELETE FROM holdings WHERE id = ?", (gone,))


def move_disc(store: Store, gone: int, kept: int) -> None:
    """The copies left on one disc are on another, and the disc is taken out."""
    store.db.execute("UPDATE holdings SET disc_id = ? WHERE disc_id = ?", (kept, gone))
    store.db.execute("DELETE FROM discs WHERE id = ?", (gone,))
