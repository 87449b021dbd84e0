"""The tables of the shelves themselves, for `schema.py`."""

from __future__ import annotations

FILING = (
    # The rules of the list as a whole are the row without a shelf.
    """CREATE TABLE filing_rules (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        shelf_by TEXT NOT NULL CHECK (shelf_by IN ('mark', 'room')),
        shelf TEXT NOT NULL COLLATE NOCASE, articles TEXT NOT NULL, mac TEXT NOT NULL,
        saint TEXT NOT NULL, numerals TEXT NOT NULL, UNIQUE (shelf_by, shelf))""",
)
"""The statements of the migration, in order."""
