"""The tables of donated boxes, row by row, and of who gave them; for `schema.py`."""

from __future__ import annotations

BOXES = (
    """CREATE TABLE donated_boxes (
        id INTEGER PRIMARY KEY AUTOINCREMENT, number TEXT NOT NULL COLLATE NOCASE UNIQUE,
        begun_on TEXT NOT NULL, done_on TEXT)""",
    # No reference to discs: two discs may be made one, and a box's list stays as it was.
    """CREATE TABLE box_rows (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        box_id INTEGER NOT NULL REFERENCES donated_boxes(id), number INTEGER NOT NULL,
        key TEXT NOT NULL UNIQUE, artist TEXT NOT NULL DEFAULT '', title TEXT NOT NULL,
        carrier TEXT NOT NULL, catalogue_number TEXT NOT NULL DEFAULT '',
        condition TEXT NOT NULL DEFAULT 'unknown', tracks TEXT NOT NULL DEFAULT '',
        found TEXT NOT NULL DEFAULT '', asked INTEGER NOT NULL DEFAULT 0,
        decision TEXT NOT NULL CHECK (decision IN ('kept', 'declined', 'later')),
        disc_id INTEGER, UNIQUE (box_id, number))""",
    "CREATE INDEX box_rows_disc ON box_rows(disc_id) WHERE disc_id IS NOT NULL",
    # A person's name: not tracked, and erased when its time is over.
    """CREATE TABLE donors (
        id INTEGER PRIMARY KEY, box_id INTEGER UNIQUE, disc_id INTEGER UNIQUE,
        name TEXT NOT NULL, erase_on TEXT NOT NULL,
        CHECK ((box_id IS NULL) <> (disc_id IS NULL)))""",
)
"""The statements of the migration, in order."""
