"""Names of volunteers who left: taken off what they did once the station's period for them is over.

Staff records have their own period (`settings.staff_days`), counted from the day on which somebody
was let in no longer. Their row goes from the list of people, and wherever their name stands as
who did something "somebody who left" stands instead; the work itself stays. Done in the database
and in every copy beside it; columns are read from the file, so that older copies can be cleaned.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import date, datetime, timedelta

from catalogue import backup, settings
from catalogue.errors import SQLITE_TROUBLE
from catalogue.store import Store

INSTEAD = "somebody who left"

_SIGNED = {
    "actions": ("who",), "jobs": ("who",), "list_layouts": ("who",),
    "judgements": ("signed_by",), "disc_judgements": ("signed_by",),
    "loans": ("lent_to",), "programmes": ("presenter",),
    "stocktakes": ("started_by", "finished_by"), "stocktake_finds": ("who",),
    "caller_details": ("consent_noted_by", "place_consent_noted_by", "adult_consent_noted_by"),
}  # fmt: skip
"""Table to its columns that hold a volunteer's name and nothing else."""


def due(store: Store, today: date) -> list[str]:
    """The names whose time is over."""
    last = today - timedelta(days=settings.number(store, "staff_days"))
    rows = store.rows(
        "SELECT name FROM people WHERE active = 0 AND left_on <= ? ORDER BY name",
        (last.isoformat(),),
    )
    return [row["name"] for row in rows]


def erase_due(store: Store, now: datetime) -> int:
    """Take off every name whose time is over, here and in the copies; how many there were.

    A copy that cannot be opened is left as it is: it goes when its own time is over.
    """
    names = due(store, now.date())
    if not names:
        return 0
    for copy in backup.all_copies(backup.folder_of(store.path)):
        with suppress(*SQLITE_TROUBLE), closing(backup.connect(copy.path)) as db:
            db.execute("PRAGMA secure_delete = ON").fetchall()
            db.execute("BEGIN IMMEDIATE")
            erase(db, names)
            db.execute("COMMIT")
    with store.transaction() as db:  # last: if a copy stood in the way it is tried again
        erase(db.conn, names)
    store.empty_log()
    return len(names)


def erase(db: sqlite3.Connection, names: Iterable[str]) -> None:
    """Take these names off, in any database file, inside a transaction of the caller's."""
    there = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    signed = {table: columns for table, columns in _SIGNED.items() if table in there}
    with _unnoted(db, signed):
        for name in names:
            for table, columns in signed.items():
                held = {row[1] for row in db.execute(f"PRAGMA table_info([{table}])")}
                for column in held.intersection(columns):
                    db.execute(
                        f"UPDATE [{table}] SET [{column}] = ? WHERE [{column}] = ?", (INSTEAD, name)
                    )
            _erase_from_history(db, name, signed)
            db.execute("DELETE FROM people WHERE name = ?", (name,))


def _erase_from_history(db: sqlite3.Connection, name: str, tables: Iterable[str]) -> None:
    """From the rows as they were before and after a change, and from whom a disc was lent to."""
    for state in ("before", "after"):
        db.execute(
            f"UPDATE changes SET {state} = replace({state}, json_quote(?), json_quote(?)) "
            f"WHERE instr({state}, json_quote(?)) "
            f"AND table_name IN ({', '.join('?' for _ in tables)})",
            (name, INSTEAD, name, *tables),
        )
    ending = f" to {name}"
    db.execute(
        "UPDATE actions SET what = substr(what, 1, length(what) - length(?)) || ' to ' || ? "
        "WHERE what LIKE 'lent %' AND substr(what, -length(?)) = ?",
        (ending, INSTEAD, ending, ending),
    )


@contextmanager
def _unnoted(db: sqlite3.Connection, tables: Iterable[str]) -> Iterator[None]:
    """Without the triggers that would keep what was there before; they are put back as they were.

    SQLite's changes of its tables' make are part of the transaction: it all comes back if one
    thing fails.
    """
    marks = ", ".join("?" for _ in tables)
    triggers = db.execute(
        f"SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name IN ({marks}) "
        "AND name LIKE '%\\_noted\\_update' ESCAPE '\\'",
        tuple(tables),
    ).fetchall()
    for name, _ in triggers:
        db.execute(f"DROP TRIGGER [{name}]")
    yield
    for _, sql in triggers:
        db.execute(sql)
