"""Putting a copy in the place of the database: what it would lose, and then the exchange.

The exchange is one renaming, so that a power cut leaves the old database or the new. What was
there before is kept among the copies. Details of callers that are overdue, or were erased since
the copy was made, are erased from the copy before it is put in place.
"""

from __future__ import annotations

import secrets
import shutil
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from catalogue import backup, caller_rows, sessions
from catalogue.errors import SQLITE_TROUBLE, CopyProblem, StoreBusy

_COUNTED = (
    ("slips", "slip", "slips"),
    ("plays", "record played", "records played"),
    ("recordings", "recording", "recordings"),
    ("holdings", "copy of a record", "copies of records"),
    ("wants", "thing to look for", "things to look for"),
    ("people", "person who may sign in", "people who may sign in"),
    ("actions", "action in all", "actions in all"),
)
"""Tables whose rows are counted, and what one and several of them are called."""


@dataclass(frozen=True, slots=True)
class Loss:
    """What the station has now and would not have after a copy was put back."""

    readable: bool
    """Whether the database as it is now can be read at all."""
    lost: tuple[str, ...]
    """Such as "3 slips": what is not in the copy."""
    callers: int
    """Slips whose callers' details are here now and not in the copy."""


def loss(database: Path, copy: Path) -> Loss:
    """Compare the database with a copy that is sound. Nothing is written."""
    if not database.exists():
        return Loss(True, (), 0)
    lost: list[str] = []
    try:
        with closing(backup.connect(database, read_only=True)) as db:
            db.execute("ATTACH ? AS copy", (f"{copy.resolve().as_uri()}?mode=ro",))
            for table, one, many in _COUNTED:
                there = "SELECT 1 FROM copy.sqlite_master WHERE name = ?"
                inside = f"WHERE id NOT IN (SELECT id FROM copy.[{table}])"
                if not db.execute(there, (table,)).fetchone():
                    inside = ""
                (count,) = db.execute(f"SELECT count(*) FROM main.[{table}] {inside}").fetchone()
                if count:
                    lost.append(f"{count:,} {one if count == 1 else many}")
            here = caller_rows.slips(db)
        with closing(backup.connect(copy, read_only=True)) as db:
            callers = len(here - caller_rows.slips(db))
    except SQLITE_TROUBLE:
        return Loss(False, (), 0)
    return Loss(True, tuple(lost), callers)


def put_back(database: Path, index_folder: Path, copy: Path, now: datetime) -> Path | None:
    """Put a copy in the database's place; returns where the one before is kept, None if none was.

    The index is removed, so that it is made anew. Raises CopyProblem for a copy that is not
    sound or no room, StoreBusy while the station runs; then everything is as it was.
    """
    if wrong := backup.what_is_wrong(copy):
        raise CopyProblem(f"{copy.name} cannot be put back: {wrong}. Choose another copy.")
    draft = database.with_name(f"{database.name}.{secrets.token_hex(4)}")
    try:
        forgotten = _settle(database)
        shutil.copyfile(copy, draft)
        draft.chmod(0o600)
        with closing(backup.connect(draft)) as db:
            db.execute("PRAGMA journal_mode = DELETE").fetchall()
            gone = caller_rows.due(db, now.date()) | (forgotten & caller_rows.slips(db))
            if gone:
                caller_rows.erase(db, gone)
            sessions.end_all_in(db)
        backup.sync(draft)
        kept = _keep(database, now)
        draft.replace(database)
        backup.sync(database.parent)
    except (OSError, *SQLITE_TROUBLE) as problem:
        told = getattr(problem, "strerror", None) or problem
        raise CopyProblem(
            f"The copy could not be put back ({told}). The station is as it was. Make room, or "
            "give this user the right to write there; then do it again."
        ) from problem
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)
    shutil.rmtree(index_folder, ignore_errors=True)
    return kept


def _settle(database: Path) -> set[int]:
    """See that nobody has the database open, and bring its log into it.

    Returns the slips without details: what was erased here stays erased in the copy. A damaged
    database has nothing to settle. Raises StoreBusy.
    """
    if not database.exists():
        return set()
    try:
        with closing(backup.connect(database)) as db:
            db.execute("PRAGMA busy_timeout = 1000")
            # Leaving the log needs the file to itself: it fails while another program has it.
            db.execute("PRAGMA journal_mode = DELETE").fetchall()
            rows = db.execute("SELECT id FROM slips")
            return {int(row[0]) for row in rows} - caller_rows.slips(db)
    except sqlite3.OperationalError as problem:
        if problem.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise StoreBusy(
                "The station is running. Stop it first (Ctrl-C where it was started); then do "
                "this again. Nothing was changed."
            ) from problem
        return set()
    except sqlite3.DatabaseError:
        return set()


def _keep(database: Path, now: datetime) -> Path | None:
    """Keep the database as it is now among the copies, its log beside it if it still has one."""
    if not database.exists():
        return None
    folder = backup.folder_of(database)
    folder.mkdir(mode=0o700, exist_ok=True)
    kept = folder / f"{backup.Kind.REPLACED}-{now:%Y-%m-%d-%H%M%S}.db"
    for ending in ("", "-wal"):
        part = database.with_name(f"{database.name}{ending}")
        if part.exists():
            target = kept.with_name(f"{kept.name}{ending}")
            shutil.copyfile(part, target)
            target.chmod(0o600)
            backup.sync(target)
    for ending in ("-wal", "-shm"):
        database.with_name(f"{database.name}{ending}").unlink(missing_ok=True)
    return kept
