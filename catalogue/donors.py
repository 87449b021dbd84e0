"""Who gave a box or a disc: a person's name, to thank them and to give back what was declined.

It is in no tracked table, so that the history does not keep it, and goes by itself
`settings.donor_days` after the last disc was typed: here and in every copy. What was given stays.
Owns `donors`.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from catalogue import backup, settings
from catalogue.errors import SQLITE_TROUBLE, BadInput
from catalogue.store import Store

_LONGEST = 80
"""Characters of a name; more is an address, which is not needed here."""

_COLUMNS = "id, box_id, disc_id, name, erase_on"
_DUE = """erase_on <= ? OR box_id IS NOT NULL AND box_id NOT IN (SELECT id FROM donated_boxes)
    OR disc_id IS NOT NULL AND disc_id NOT IN (SELECT id FROM discs)"""
"""Whose time is over, and those of a box or a disc that was taken back."""


@dataclass(frozen=True, slots=True)
class Donor:
    """Who gave it, and the day on which the name is erased (ISO 8601)."""

    name: str
    erase_on: str


NOBODY = Donor("", "")
"""Nobody is noted, or no longer."""


def note(
    store: Store,
    name: str,
    now: datetime,
    *,
    box_id: int | None = None,
    disc_id: int | None = None,
) -> None:
    """Note who gave a box or a disc; a blank name takes the one that was noted off at once.

    Raises BadInput for a name that is too long.
    """
    bare = " ".join(name.split())
    if len(bare) > _LONGEST:
        raise BadInput("That is too long for a name. Write the donor's name only, or nothing.")
    where, number = ("box_id", box_id) if box_id is not None else ("disc_id", disc_id)
    with store.transaction() as db:
        if bare:
            db.execute(
                f"INSERT INTO donors ({where}, name, erase_on) VALUES (?, ?, ?) "
                f"ON CONFLICT ({where}) DO UPDATE SET name = excluded.name, "
                "erase_on = excluded.erase_on",
                (number, bare, _erase_on(store, now)),
            )
            return
        held = store.rows(f"SELECT 1 FROM donors WHERE {where} = ?", (number,))
        if held:
            _write_anew(db.conn, f"{where} IS NULL OR {where} <> ?", number)
    if not bare and held:
        store.empty_log()


def worked_on(store: Store, box_id: int, now: datetime) -> None:
    """A disc of the box was typed: the days until its donor is forgotten count from now."""
    with store.transaction() as db:
        db.execute(
            "UPDATE donors SET erase_on = ? WHERE box_id = ?", (_erase_on(store, now), box_id)
        )


def of_box(store: Store, box_id: int) -> Donor:
    """Who gave a box, as long as it is known."""
    return _one(store, "box_id", box_id)


def of_disc(store: Store, disc_id: int) -> Donor:
    """Who gave a disc that came by itself, as long as it is known."""
    return _one(store, "disc_id", disc_id)


def erase_due(store: Store, now: datetime) -> int:
    """Erase the names whose time is over, from every copy and then from here; how many went here.

    A copy that cannot be opened is left as it is: it goes when its own time is over.
    """
    today = now.date()
    for copy in backup.all_copies(backup.folder_of(store.path)):
        with suppress(*SQLITE_TROUBLE), closing(backup.connect(copy.path)) as db:
            if _due_in(db, today):
                db.execute("PRAGMA secure_delete = ON").fetchall()
                db.execute("BEGIN IMMEDIATE")
                _write_anew(db, f"NOT ({_DUE})", today.isoformat())
                db.execute("COMMIT")
    due = _due_in(store.db.conn, today)
    if due:
        with store.transaction() as own:
            _write_anew(own.conn, f"NOT ({_DUE})", today.isoformat())
        store.empty_log()
    return due


def _one(store: Store, where: str, number: int) -> Donor:
    rows = store.rows(f"SELECT name, erase_on FROM donors WHERE {where} = ?", (number,))
    return Donor(**rows[0]) if rows else NOBODY


def _erase_on(store: Store, now: datetime) -> str:
    return (now.date() + timedelta(days=settings.number(store, "donor_days"))).isoformat()


def _due_in(db: sqlite3.Connection, today: date) -> int:
    there = db.execute("SELECT 1 FROM sqlite_master WHERE name = 'donors'").fetchone()
    if not there:
        return 0
    row = db.execute(f"SELECT count(*) FROM donors WHERE {_DUE}", (today.isoformat(),))
    return int(row.fetchone()[0])


def _write_anew(db: sqlite3.Connection, keep: str, parameter: object) -> None:
    """All rows but those to keep, gone from the table and from its pages, as `callers.py` does."""
    kept = db.execute(f"SELECT {_COLUMNS} FROM donors WHERE {keep}", (parameter,)).fetchall()
    db.execute("DELETE FROM donors")
    db.executemany(f"INSERT INTO donors ({_COLUMNS}) VALUES (?, ?, ?, ?, ?)", kept)
