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

STOCK_TAKES = (
    """CREATE TABLE shelf_places (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL UNIQUE COLLATE NOCASE, kind TEXT NOT NULL,
        in_use INTEGER NOT NULL DEFAULT 1)""",
    # The report is kept as it was written: discs get other marks and titles later.
    """CREATE TABLE stocktakes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        shelf_by TEXT NOT NULL CHECK (shelf_by IN ('mark', 'room')), shelf TEXT NOT NULL,
        carrier TEXT NOT NULL DEFAULT '', from_mark TEXT NOT NULL DEFAULT '',
        to_mark TEXT NOT NULL DEFAULT '',
        state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'finished', 'given up')),
        started_at TEXT NOT NULL, started_by TEXT NOT NULL,
        finished_at TEXT, finished_by TEXT NOT NULL DEFAULT '',
        report TEXT NOT NULL DEFAULT '')""",
    # Not tracked: a tick is taken back by ticking again. No reference to discs: a taking-in can
    # be taken back though its discs were seen. `number` counts the changes of one stock-take.
    """CREATE TABLE stocktake_finds (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        stocktake_id INTEGER NOT NULL REFERENCES stocktakes(id),
        key TEXT NOT NULL, disc_id INTEGER, typed TEXT NOT NULL DEFAULT '',
        about TEXT NOT NULL DEFAULT '', stays INTEGER NOT NULL DEFAULT 0,
        who TEXT NOT NULL, at TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0,
        late INTEGER NOT NULL DEFAULT 0, number INTEGER NOT NULL, UNIQUE (stocktake_id, key))""",
    "CREATE INDEX stocktake_finds_number ON stocktake_finds(stocktake_id, number)",
)
"""The places of the station, and the tables of the stock-take."""
