"""The store: one SQLite file with all that the station knows.

`Store` opens the file, keeps a connection for each thread and runs transactions.
`catalogue_rows.py` beside it writes and reads artists, songs, recordings, discs, holdings and
other names; every other owner writes its own tables through `transaction`.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from catalogue import turns
from catalogue.errors import (
    SQLITE_TROUBLE,
    NewerDatabase,
    NotADatabase,
    ReadOnlyStore,
    StoreBusy,
    StoreProblem,
)
from catalogue.schema import migrations
from catalogue.turns import Turns, as_soon_as_free

_MMAP_BYTES = 1 << 30
"""Of the file that is mapped: a catalogue of a million recordings whole. What is mapped is memory
that the system lends, once for all threads; what lies beyond fills each one's cache."""

_CACHE_KIB = 8_192
"""Pages kept by each connection; twenty threads together stay under a sixth of a gigabyte."""

_PRAGMAS = (
    "journal_mode = WAL",
    "synchronous = FULL",
    "foreign_keys = ON",
    "secure_delete = ON",
    "recursive_triggers = ON",
    "temp_store = MEMORY",
    f"mmap_size = {_MMAP_BYTES}",
    f"cache_size = -{_CACHE_KIB}",
)
"""What every connection is told. FULL: what a person was told is saved must survive a power cut.
secure_delete: what is erased must be gone from the file, not only from the tables.
recursive_triggers: a row that is replaced is noted as deleted. temp_store: no caller's words in a
temporary file."""

_MUST_BE = {
    "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "secure_delete": 1,
    "recursive_triggers": 1,
}  # fmt: skip
"""What every connection says of itself when it is asked back. SQLite leaves a setting as it was,
without an error, where it cannot be had: there is no WAL on many drives of a network."""

_PRIMARY = 0xFF
"""The part of SQLite's extended result codes that names the kind of problem."""

Row = dict[str, Any]


class Store:
    """An open catalogue. Safe to share between threads: each has its own connection."""

    def __init__(self, path: Path) -> None:
        """Open or make the database at `path` and bring it to this version.

        Raises NewerDatabase, ReadOnlyStore, StoreBusy or NotADatabase, each with what to do.
        """
        self.path = Path(path)
        self.turns = Turns(self.path)
        self._local = threading.local()
        self._connections: list[sqlite3.Connection] = []
        self._lock = threading.Lock()
        self.identity = 0
        try:
            self._refuse_unusable()
            self._refuse_newer()
            self._bring_up_to_date()
            self.identity = self._identity()
        except SQLITE_TROUBLE as problem:
            self.close()
            raise self._in_words(problem) from problem
        except StoreProblem:
            self.close()
            raise

    @property
    def db(self) -> Database:
        """This thread's connection."""
        database: Database | None = getattr(self._local, "database", None)
        if database is None:
            database = self._connect()
            self._local.database = database
        return database

    def rows(self, sql: str, parameters: Sequence[Any] = ()) -> list[Row]:
        """All rows of a query, as dicts."""
        try:
            cursor = self.db.execute(sql, parameters)
            names = [column[0] for column in cursor.description or ()]
            return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]
        except sqlite3.DatabaseError as problem:
            if _is_of_the_file(problem):
                raise self._in_words(problem) from problem
            raise

    def tuples(self, sql: str, parameters: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query, as tuples: for the few queries where dicts take too long."""
        try:
            return self.db.execute(sql, parameters).fetchall()
        except sqlite3.DatabaseError as problem:
            if _is_of_the_file(problem):
                raise self._in_words(problem) from problem
            raise

    @contextmanager
    def transaction(self) -> Iterator[Database]:
        """All of the writes inside, or none. Inside another transaction it joins that one.

        If an inner one fails, its own writes are gone, whatever the outer makes of the error.
        """
        db = self.db
        if db.conn.in_transaction:
            with db.atomic():
                yield db
            return
        try:
            self.turns.begin(db.conn)
        except sqlite3.OperationalError as problem:
            raise self._in_words(problem) from problem
        try:
            yield db
            db.conn.execute("COMMIT")
        except BaseException as problem:
            if db.conn.in_transaction:
                db.conn.execute("ROLLBACK")
            if isinstance(problem, sqlite3.Error) and _is_of_the_file(problem):
                raise self._in_words(problem) from problem
            raise

    def empty_log(self) -> bool:
        """Empty the write-ahead log, in which what was erased still stands, whatever others do
        meanwhile; False if a reader stood in the way. Not inside a transaction."""
        return self.turns.empty_log(self.db.conn)

    def close(self) -> None:
        """Close every thread's connection."""
        with self._lock:
            for connection in self._connections:
                connection.close()
            self._connections.clear()
        self._local = threading.local()

    def _bring_up_to_date(self) -> None:
        """Make what tables are missing, in one transaction: of two programs that open a new
        database at once the second waits, and finds it made."""
        if migrations.pending(self.db):
            with self.transaction() as db:
                migrations.apply(db)

    def _connect(self) -> Database:
        self._refuse_gone_or_another()
        connection = sqlite3.connect(
            self.path, isolation_level=None, check_same_thread=False, timeout=turns.BUSY_MS / 1000
        )
        try:
            for pragma in _PRAGMAS:
                _tell(connection, pragma)
            _refuse_unsafe(connection, self.path)
            (identity,) = connection.execute("PRAGMA user_version").fetchone()
            if self.identity and identity != self.identity:
                raise StoreProblem(
                    f"Another catalogue lies at {self.path} than at the start. Nothing was "
                    "changed. Stop the station, and start it again."
                )
        except SQLITE_TROUBLE as problem:
            connection.close()
            raise self._in_words(problem) from problem
        except StoreProblem:
            connection.close()
            raise
        with self._lock:
            self._connections.append(connection)
        return Database(connection)

    def _refuse_gone_or_another(self) -> None:
        """Make the file if this is the start; later it must be there: on a drive that was
        unplugged nothing is made in its place."""
        if self.path.exists():
            return
        if self.identity:
            raise StoreProblem(
                f"The drive with {self.path} is not there. Nothing was changed. Plug it in, then "
                "do it again."
            )
        # It will hold callers' details: for this user's eyes alone. The journal beside it takes
        # its rights from the file.
        self.path.touch(mode=0o600)

    def _identity(self) -> int:
        """A random number that tells this database from any other; the index remembers it."""
        (identity,) = self.db.execute("PRAGMA user_version").fetchone()
        if identity:
            return int(identity)
        with self.transaction() as db:  # two programs may open a new database at once
            (identity,) = db.execute("PRAGMA user_version").fetchone()
            if not identity:
                identity = secrets.randbelow(2**31 - 1) + 1
                db.execute(f"PRAGMA user_version = {identity}")
        return int(identity)

    def _refuse_unusable(self) -> None:
        folder = self.path.parent
        if not folder.is_dir():
            raise ReadOnlyStore(
                f"There is no folder {folder} for the catalogue. Make it, or give another folder."
            )
        target = self.path if self.path.exists() else folder
        if not os.access(target, os.W_OK) or not os.access(folder, os.W_OK):
            raise ReadOnlyStore(
                f"{target} cannot be written. Give this user the right to write there, "
                "or give another folder."
            )

    def _refuse_newer(self) -> None:
        if not self.db["_sqlite_migrations"].exists():
            return
        ours = {migration.name for migration in migrations._migrations}
        theirs = {migration.name for migration in migrations.applied(self.db)}
        if theirs - ours:
            raise NewerDatabase(
                f"{self.path} was written by a newer version of this program. "
                "Nothing was changed. Install the newer version, or open a copy made before."
            )

    def _in_words(self, problem: sqlite3.Error | UnicodeDecodeError) -> StoreProblem:
        """What SQLite reports, as a sentence with what to do."""
        text, code = str(problem), getattr(problem, "sqlite_errorcode", 0) & _PRIMARY
        if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            return StoreBusy(
                "Another program holds the catalogue. Nothing was changed; close that program "
                "or try again in a moment."
            )
        if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
            return ReadOnlyStore(
                f"{self.path} cannot be written. Nothing was changed. Give this user the right "
                "to write there, or give another folder."
            )
        if code == sqlite3.SQLITE_IOERR:
            return StoreProblem(
                f"The drive with {self.path} does not answer: it is full, unplugged or worn out. "
                "Nothing was changed. Look at the drive, then do it again."
            )
        if code == sqlite3.SQLITE_FULL:
            return StoreProblem("The disk is full. Nothing was changed; make room and do it again.")
        damaged = isinstance(problem, UnicodeDecodeError)
        if damaged or code in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT):
            return NotADatabase(
                f"{self.path} is not a catalogue, or it is damaged. Nothing was changed. "
                "Move it away, or put a copy of the catalogue in its place."
            )
        return StoreProblem(f"The catalogue could not do this ({text}). Nothing was changed.")


def _tell(connection: sqlite3.Connection, pragma: str) -> None:
    """Give a connection one of its settings.

    To a new file WAL is told by one program only, and SQLite lets the others not wait for it:
    so they try again, for as long as they would wait for a write.
    """
    as_soon_as_free(connection, f"PRAGMA {pragma}")


def _refuse_unsafe(connection: sqlite3.Connection, path: Path) -> None:
    """Ask the settings back that keep what was acknowledged, and what was erased from staying."""
    for name, wanted in _MUST_BE.items():
        if connection.execute(f"PRAGMA {name}").fetchone()[0] != wanted:
            raise StoreProblem(
                f"{path} cannot be kept safe where it is: the drive, or this PC's SQLite, does not "
                f"take “{name}”. Nothing was changed. Keep the station on a drive of this PC."
            )


def _is_of_the_file(problem: sqlite3.Error) -> bool:
    """Whether it is the file or its disk that fails, rather than a rule of the tables."""
    return isinstance(problem, sqlite3.OperationalError) or type(problem) is sqlite3.DatabaseError
