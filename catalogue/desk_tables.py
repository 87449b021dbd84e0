"""The tables of the desks, for `schema.py`: which browser is which, what was turned down, what
came back from a studio."""

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

SENT_BACK = (
    "ALTER TABLE slips ADD COLUMN sent_back TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE slips ADD COLUMN sent_back_at TEXT",
    "ALTER TABLE slips ADD COLUMN sent_back_from TEXT NOT NULL DEFAULT ''",
    # No references: what was on the slip may be merged or taken back meanwhile.
    "ALTER TABLE slips ADD COLUMN sent_back_record INTEGER",
    "ALTER TABLE slips ADD COLUMN sent_back_copy INTEGER",
)
"""Why a slip came back to the phone desk, when, whence, and what was on it."""
