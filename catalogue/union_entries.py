"""What a shard of the union holds: its recordings and who has copies of them, in one SQLite file.

The file is written once, by a build, and read only ever after.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from operator import attrgetter
from pathlib import Path

from catalogue.errors import UnionProblem
from catalogue.records import NewRecording, Recording, Voice
from catalogue.spelling import plain, without_version

COLUMNS = tuple(f.name for f in fields(NewRecording))
"""What is known of a recording, in the order of the table after its id."""

_TABLES = (
    f"CREATE TABLE entries (id INTEGER PRIMARY KEY, {', '.join(COLUMNS)})",
    """CREATE TABLE copies (
        entry INTEGER NOT NULL, station INTEGER NOT NULL, number INTEGER NOT NULL,
        carrier TEXT NOT NULL, copies INTEGER NOT NULL, lendable INTEGER NOT NULL,
        PRIMARY KEY (entry, station, number, carrier)) WITHOUT ROWID""",
)
_AT_ONCE = 500
"""Ids in one query, and entries written at once."""


@dataclass(frozen=True, slots=True)
class UnionCopy:
    """Copies of one entry at one station, on one sort of carrier (`records.Carrier`).

    `station` is a `UnionStation.number`; `number` is the station's own number of the recording,
    to be given when a loan is asked for. `copies` is how many, `lendable` how many of them may
    be lent.
    """

    entry: int
    station: int
    number: int
    carrier: str
    copies: int
    lendable: int


_columns = attrgetter(*COLUMNS)
_of_copy = attrgetter(*(f.name for f in fields(UnionCopy)))


class UnionEntries:
    """The entries of one shard, for reading; for one thread."""

    def __init__(self, path: Path) -> None:
        """Open the file. Raises UnionProblem if it cannot be read."""
        self.path = path
        try:
            self._db = sqlite3.connect(
                f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False
            )
            self._db.execute("PRAGMA mmap_size = 1073741824").fetchall()
            self._db.execute("SELECT 1 FROM entries LIMIT 1").fetchall()
        except sqlite3.Error as problem:
            raise UnionProblem(
                f"{path} cannot be read ({problem}). Build the union anew."
            ) from problem

    def recordings(self, ids: Sequence[int]) -> dict[int, Recording]:
        """The recordings of these entries that are in this shard, by their union ids.

        `artist_id` and `song_id` are made from the plain names, so that they are the same in
        every shard: one artist's recordings share the first, one song's the second.
        """
        return {
            row[0]: _recording(row)
            for part in _parts(ids)
            for row in self._db.execute(
                f"SELECT * FROM entries WHERE id IN ({', '.join('?' for _ in part)})", part
            )
        }

    def copies(self, ids: Sequence[int]) -> dict[int, list[UnionCopy]]:
        """The copies of each of these entries, in the order of stations."""
        found: dict[int, list[UnionCopy]] = {entry: [] for entry in ids}
        for part in _parts(ids):
            for row in self._db.execute(
                f"SELECT * FROM copies WHERE entry IN ({', '.join('?' for _ in part)}) "
                "ORDER BY entry, station, number, carrier",
                part,
            ):
                found[row[0]].append(UnionCopy(*row))
        return found

    def ids(self) -> list[int]:
        """The ids of all entries, ascending."""
        return [row[0] for row in self._db.execute("SELECT id FROM entries ORDER BY id")]

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()


class Writer:
    """Writes a new file, entry by entry; it is whole when it is closed."""

    def __init__(self, path: Path) -> None:
        self._db = sqlite3.connect(path, isolation_level=None)
        self._db.execute("PRAGMA page_size = 8192")
        self._db.execute("PRAGMA journal_mode = OFF").fetchall()  # a file that is not named yet
        self._db.execute("PRAGMA synchronous = OFF")
        for statement in _TABLES:
            self._db.execute(statement)
        self._db.execute("BEGIN")
        self._insert = f"INSERT INTO entries VALUES ({', '.join('?' * (len(COLUMNS) + 1))})"
        self._entries: list[tuple[object, ...]] = []
        self._copies: list[tuple[object, ...]] = []

    def add(self, entry: int, new: NewRecording, copies: Iterable[UnionCopy]) -> None:
        """Write one entry with its copies."""
        self._entries.append((entry, *_columns(new)))
        self._copies += map(_of_copy, copies)
        if len(self._entries) >= _AT_ONCE:
            self._write()

    def close(self) -> None:
        """Finish the file."""
        self._write()
        self._db.execute("COMMIT")
        self._db.close()

    def _write(self) -> None:
        self._db.executemany(self._insert, self._entries)
        self._db.executemany("INSERT INTO copies VALUES (?, ?, ?, ?, ?, ?)", self._copies)
        self._entries.clear()
        self._copies.clear()


def write(path: Path, entries: Iterable[tuple[int, NewRecording]],
          copies: Iterable[UnionCopy]) -> None:  # fmt: skip
    """Write a new file of all of these; copies may be in any order."""
    held: dict[int, list[UnionCopy]] = defaultdict(list)
    for copy in copies:
        held[copy.entry].append(copy)
    writer = Writer(path)
    for entry, new in entries:
        writer.add(entry, new, held[entry])
    writer.close()


def _recording(row: Sequence[object]) -> Recording:
    known = dict(zip(COLUMNS, row[1:], strict=True))
    known["voice"] = Voice(str(known["voice"]))
    title, artist = str(known["title"]), str(known["artist"])
    return Recording(
        id=int(str(row[0])),
        artist_id=_number_of("artist", plain(artist)),
        song_id=_number_of("song", plain(without_version(title)), plain(str(known["composer"]))),
        **known,  # type: ignore[arg-type]
    )


def _number_of(*words: str) -> int:
    digest = hashlib.blake2b(json.dumps(words).encode(), digest_size=7).digest()
    return int.from_bytes(digest, "big")


def _parts(ids: Sequence[int]) -> Iterable[Sequence[int]]:
    return (ids[start : start + _AT_ONCE] for start in range(0, len(ids), _AT_ONCE))
