"""Copies of the station's database: made while it is in use, checked, and kept for a year.

A copy is one file in the folder `copies` beside the database. It is made with SQLite's backup
interface (sqlite.org/backup.html), so that nobody has to stop working, into a draft; the draft is
opened and checked, and only then bears its name. Copies are counted, not dated, when old ones
are removed: a clock that runs wild takes no copy away.

Only daily copies, and those made before something is replaced, hold callers' details; weekly and
monthly copies are made without. `forgetting.py` keeps callers out of copies once their time is
over.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path

from catalogue import caller_rows, callers
from catalogue.errors import SQLITE_TROUBLE, CopyProblem
from catalogue.schema import migrations
from catalogue.store import Store

FOLDER = "copies"


class Kind(StrEnum):
    """Why a copy was made."""

    DAILY = "daily"
    WEEKLY = "weekly"
    MONTHLY = "monthly"
    UPGRADE = "upgrade"
    REPLACED = "replaced"


KEPT = {Kind.DAILY: 7, Kind.WEEKLY: 4, Kind.MONTHLY: 12, Kind.UPGRADE: 3, Kind.REPLACED: 3}
"""How many of each are kept: a week, about a month, a year; of the others the last three."""

WITH_CALLERS = frozenset({Kind.DAILY, Kind.UPGRADE, Kind.REPLACED})
"""Kinds that may hold callers' details."""

NEWER = "it was written by a newer version of this program"
"""What speaks against a copy that is sound, but not for this version."""

_DRAFT = "draft-"
_FORSAKEN_S = 3600.0
"""Age from which a draft was left by a process that was ended."""

_SPARE_BYTES = 20 << 20
"""Room left on the drive beside a copy: the station goes on writing meanwhile."""

_NAME = re.compile(rf"({'|'.join(Kind)})-(\d{{4}}-\d\d-\d\d)(?:-\d{{6}})?\.db")


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy: its file, why and on which day it was made, and its size in bytes."""

    path: Path
    kind: Kind
    on: date
    size: int


def folder_of(database: Path) -> Path:
    """Where the copies of this database are."""
    return database.parent / FOLDER


def all_copies(folder: Path) -> list[Copy]:
    """The copies in a folder, latest first; other files are left out."""
    found: list[Copy] = []
    for path in folder.glob("*.db") if folder.is_dir() else ():
        named = _NAME.fullmatch(path.name)
        if not named:
            continue
        with suppress(ValueError, OSError):
            on = date.fromisoformat(named[2])
            found.append(Copy(path, Kind(named[1]), on, path.stat().st_size))
    return sorted(found, key=lambda copy: (copy.on, copy.path.name), reverse=True)


def keep_up(store: Store, now: datetime) -> list[Path]:
    """Make the copies that are due today, and remove those that are too many. Run it hourly.

    Returns the files made. Raises CopyProblem; copies there already are then as they were.
    """
    folder, today = folder_of(store.path), now.date()
    _clear_drafts(folder)
    there = all_copies(folder)
    made = []
    for kind, stands in (
        (Kind.DAILY, lambda on: on == today),
        (Kind.WEEKLY, lambda on: on.isocalendar()[:2] == today.isocalendar()[:2]),
        (Kind.MONTHLY, lambda on: (on.year, on.month) == (today.year, today.month)),
    ):
        if not any(copy.kind is kind and stands(copy.on) for copy in there):
            made.append(make(store, kind, now))
    _remove_old(folder, keep=set(made))
    return made


def make(store: Store, kind: Kind, now: datetime) -> Path:
    """Make a copy of this kind beside the database; returns its file. Raises CopyProblem.

    A daily copy takes the place of today's.
    """
    stamp = f"{now:%Y-%m-%d}" if kind in (Kind.DAILY, Kind.WEEKLY, Kind.MONTHLY) else ""
    target = folder_of(store.path) / f"{kind}-{stamp or f'{now:%Y-%m-%d-%H%M%S}'}.db"
    # What is overdue, or was written over, must not get into a copy.
    callers.erase_due(store, now)
    make_at(store, target, with_callers=kind in WITH_CALLERS)
    return target


def make_at(store: Store, target: Path, *, with_callers: bool) -> None:
    """Make a copy in a file of any name; one that is there is replaced. Raises CopyProblem."""
    store.rows("SELECT 1 FROM sqlite_master LIMIT 1")  # busy or damaged is told in its own words
    copy_of(store.db.conn, store.path, target, with_callers=with_callers)


def copy_of(
    source: sqlite3.Connection, database: Path, target: Path, *, with_callers: bool
) -> None:
    """The same from a bare connection, for a database that must not be brought up to date yet."""
    with _drafted(target, _size(database)) as draft:
        with closing(connect(draft)) as db:
            source.backup(db)
            # One file and no log beside it, so that it can be carried about.
            db.execute("PRAGMA journal_mode = DELETE").fetchall()
            if not with_callers:
                caller_rows.erase(db)
                db.execute("VACUUM")
        if wrong := what_is_wrong(draft):
            raise CopyProblem(
                f"The copy {target.name} would not be whole ({wrong}), so it was thrown away. "
                "Look at the station with “asheard check”; do not remove older copies."
            )


def what_is_wrong(path: Path) -> str:
    """What speaks against a copy, found by opening it; nothing if it is sound.

    Looked at: SQLite's integrity check, foreign keys, and whether this version can read it.
    """
    try:
        with closing(connect(path, read_only=True)) as db:
            (told,) = db.execute("PRAGMA integrity_check(1)").fetchone()
            if told != "ok":
                return "it is damaged"
            if db.execute("PRAGMA foreign_key_check").fetchone():
                return "entries in it refer to others that are not there"
            applied = migrations_of(db)
    except SQLITE_TROUBLE:
        return "it is no database, or it is damaged"
    if not applied:
        return "it is no catalogue"
    if applied - known_migrations():
        return NEWER
    return ""


def known_migrations() -> set[str]:
    """The names of the migrations this version has."""
    return {migration.name for migration in migrations._migrations}


def migrations_of(db: sqlite3.Connection) -> set[str]:
    """The names of the migrations a database has had."""
    if not db.execute("SELECT 1 FROM sqlite_master WHERE name = '_sqlite_migrations'").fetchone():
        return set()
    rows = db.execute("SELECT name FROM _sqlite_migrations WHERE migration_set = 'asheard'")
    return {str(row[0]) for row in rows}


def before_upgrade(database: Path, now: datetime) -> Path | None:
    """Copy a database of an older version before it is brought to this one; None if it is not.

    Raises CopyProblem: then it should not be opened either.
    """
    if not database.is_file():
        return None
    try:
        with closing(connect(database, read_only=True)) as db:
            applied = migrations_of(db)
            if not applied or not known_migrations() - applied or applied - known_migrations():
                return None
            target = folder_of(database) / f"{Kind.UPGRADE}-{now:%Y-%m-%d-%H%M%S}.db"
            copy_of(db, database, target, with_callers=True)
            return target
    except SQLITE_TROUBLE:
        return None  # the store says what is the matter with it


def connect(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
    """A bare connection to a database file, in autocommit."""
    mode = "ro" if read_only else "rw"
    return sqlite3.connect(
        f"{path.resolve().as_uri()}?mode={mode}", uri=True, isolation_level=None, timeout=5
    )


@contextmanager
def _drafted(target: Path, size: int) -> Iterator[Path]:
    """A draft to write, put in the target's place when nothing went wrong. Raises CopyProblem."""
    draft = target.with_name(f"{_DRAFT}{secrets.token_hex(6)}.db")
    try:
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if shutil.disk_usage(target.parent).free < size + _SPARE_BYTES:
            raise CopyProblem(
                f"There is no room for a copy in {target.parent}: it takes about "
                f"{_megabytes(size + _SPARE_BYTES)}. Make room, or copy to another drive with "
                "“asheard copy FOLDER”."
            )
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        yield draft
        sync(draft)
        draft.replace(target)
        sync(target.parent)
    except (*SQLITE_TROUBLE, OSError) as problem:
        told = getattr(problem, "strerror", None) or problem
        raise CopyProblem(
            f"The copy {target} could not be made ({told}). The station is as it was. Make room "
            "there, or give this user the right to write there; then do it again."
        ) from problem
    finally:
        for left in (draft, draft.with_name(f"{draft.name}-journal")):
            with suppress(OSError):
                left.unlink(missing_ok=True)


def sync(path: Path) -> None:
    """See to it that a file, or a folder's list of names, is on the drive."""
    if path.is_dir() and os.name != "posix":
        return  # Windows keeps a folder's names by itself
    descriptor = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _remove_old(folder: Path, keep: set[Path]) -> None:
    for kind, count in KEPT.items():
        of_kind = [copy for copy in all_copies(folder) if copy.kind is kind]
        for copy in of_kind[count:]:
            if copy.path not in keep:
                with suppress(OSError):
                    copy.path.unlink()


def _clear_drafts(folder: Path) -> None:
    for path in folder.glob(f"{_DRAFT}*") if folder.is_dir() else ():
        with suppress(OSError):
            if time.time() - path.stat().st_mtime > _FORSAKEN_S:
                path.unlink()


def _size(database: Path) -> int:
    return database.stat().st_size if database.exists() else 0


def _megabytes(size: int) -> str:
    return f"{max(1, round(size / 1e6)):,} MB"
