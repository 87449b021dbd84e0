"""The tables of the desks, for `schema.py`: which browser is which, what was turned down."""

from __future__ import annotations

DESKS = (
    """CREATE TABLE desks (
        id INTEGER PRIMARY KEY AUTOINCREMENT, token TEXT NOT NULL UNIQUE,
        name TEXT NOT NULL DEFAULT '', headphones INTEGER NOT NULL DEFAULT 0)""",
    # No reference to recordings: a taking-in can be taken back though a caller refused one.
    """CREATE TABLE turned_down (
        slip_id INTEGER NOT NULL REFERENCES slips(id) ON DELETE CASCADE,
        recording_id INTEGER NOT NULL, PRIMARY KEY (slip_id, recording_id)) WITHOUT ROWID""",
)
"""The statements of the migration, in order."""
