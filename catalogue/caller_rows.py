"""Callers' rows in any database file: the station's own, or a copy of an older make.

Columns and tables are read from the file itself, so that a copy made by an earlier version can
be cleaned as well. As in `callers.py` a table is written anew, so that every one of its pages is
freed, and freed pages are written over with zeros (secure_delete).
"""

from __future__ import annotations

import sqlite3
from datetime import date

from catalogue.schema import OF_CALLERS

_DETAILS = OF_CALLERS[0]
_DONORS = "donors"
"""Names of donors go from a copy that is to hold no callers: it may be carried away."""


def count(db: sqlite3.Connection) -> int:
    """How many slips have details of their callers here."""
    if _DETAILS not in _tables(db):
        return 0
    return int(db.execute(f"SELECT count(*) FROM [{_DETAILS}]").fetchone()[0])


def overdue(db: sqlite3.Connection, today: date) -> int:
    """How many of them should have been erased by now."""
    if _DETAILS not in _tables(db):
        return 0
    row = db.execute(
        f"SELECT count(*) FROM [{_DETAILS}] WHERE erase_on <= ?", (today.isoformat(),)
    ).fetchone()
    return int(row[0])


def slips(db: sqlite3.Connection) -> set[int]:
    """The slips that have details here."""
    if _DETAILS not in _tables(db):
        return set()
    return {int(row[0]) for row in db.execute(f"SELECT slip_id FROM [{_DETAILS}]")}


def due(db: sqlite3.Connection, today: date) -> set[int]:
    """The slips whose details should have been erased by now."""
    if _DETAILS not in _tables(db):
        return set()
    rows = db.execute(f"SELECT slip_id FROM [{_DETAILS}] WHERE erase_on <= ?", (today.isoformat(),))
    return {int(row[0]) for row in rows}


def erase(db: sqlite3.Connection, gone: set[int] | None = None) -> None:
    """Erase the rows of these slips, or of all, from the tables and from their pages; with all of
    them the names of donors.

    Not inside a transaction; raises sqlite3.Error, and then nothing was changed.
    """
    db.execute("PRAGMA secure_delete = ON").fetchall()
    db.execute("BEGIN IMMEDIATE")
    try:
        for table in _tables(db):
            cursor = db.execute(f"SELECT * FROM [{table}]")
            names = [column[0] for column in cursor.description]
            at = names.index("slip_id")
            kept = [] if gone is None else [row for row in cursor if row[at] not in gone]
            cursor.close()
            db.execute(f"DELETE FROM [{table}]")
            marks = ", ".join("?" for _ in names)
            db.executemany(f"INSERT INTO [{table}] ({', '.join(names)}) VALUES ({marks})", kept)
        if gone is None and _DONORS in _every_table(db):
            db.execute(f"DELETE FROM [{_DONORS}]")
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def _tables(db: sqlite3.Connection) -> list[str]:
    there = _every_table(db)
    return [table for table in OF_CALLERS if table in there]


def _every_table(db: sqlite3.Connection) -> set[str]:
    return {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
