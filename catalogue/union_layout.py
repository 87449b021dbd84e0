"""The built union: where its files are, and what `union.json` says of them.

A union is a folder. `union.json` names everything else in it, and is replaced whole, so that a
build that is ended half-way leaves the old union as it was. What it no longer names is cleared
away by the next build, not by this one: a shard may still be in use.

    UNION/union.json                     this file's dataclasses
    UNION/terms-<digest>.db              how many names have each term (`union_terms.py`)
    UNION/shard-000-<digest>/entries.db  recordings and their holders (`union_entries.py`)
    UNION/shard-000-<digest>/index/      tantivy's files and the file of forms, as those of a
                                         station's own sound index; `index_view.opened` opens it

An entry is one recording with all its holders. Its id is made from the station and number of the
first of them, and says in which shard it is: so the same publications give the same ids, and one
more station changes only the shards of what it holds.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from catalogue.errors import UnionProblem
from catalogue.sound_index import MAKE

NAME = "union.json"

FORMAT = 1
"""Raised when older programs could not read what is written."""

_ID_BITS = 62
"""Of a union id: it must fit SQLite's and tantivy's signed 64-bit numbers."""


@dataclass(frozen=True, slots=True)
class ShardFiles:
    """One shard: its number from 0, its folder, and how many entries and filed names it has.

    `digest` is of what is in it: a shard whose digest is the same need not be written again.
    """

    number: int
    folder: Path
    entries: int
    names: int
    digest: str

    @property
    def entries_file(self) -> Path:
        """The SQLite file of recordings and their holders."""
        return self.folder / "entries.db"

    @property
    def index_folder(self) -> Path:
        """The folder of the sound index, for `index_view.opened`."""
        return self.folder / "index"


@dataclass(frozen=True, slots=True)
class UnionStation:
    """A station of the union. `number` is what `UnionCopy.station` refers to.

    `latitude` and `longitude` are in degrees, None where the station does not say. `loan` is how
    to ask for a loan, in the station's own words. `sequence` and `manifest` (a digest) tell which
    of its publications was built, so that an older one is not taken later.
    """

    number: int
    id: str
    name: str
    place: str
    latitude: float | None
    longitude: float | None
    loan: str
    sequence: int
    manifest: str
    made_at: str
    recordings: int


@dataclass(frozen=True, slots=True)
class UnionLayout:
    """A built union. `make` is that of the sound index whose forms and keys were filed.

    `seen` has by a station's id the number and digest of its last publication that was ever built,
    also of stations that are gone: an older one is not taken again.
    """

    folder: Path
    made_at: str
    make: int
    shards: tuple[ShardFiles, ...]
    terms: Path
    stations: tuple[UnionStation, ...]
    seen: Mapping[str, tuple[int, str]] = field(default_factory=dict)

    @property
    def entries(self) -> int:
        """Recordings in all shards."""
        return sum(shard.entries for shard in self.shards)

    @property
    def names(self) -> int:
        """Filed names in all shards: the documents of all indexes together."""
        return sum(shard.names for shard in self.shards)


def union_id(station: str, number: int) -> int:
    """The id of the entry whose first holder is this station's recording `number`."""
    digest = hashlib.blake2b(f"{station}:{number}".encode(), digest_size=8).digest()
    return int.from_bytes(digest, "big") >> (64 - _ID_BITS)


def shard_of(entry: int, shards: int) -> int:
    """The number of the shard in which an entry is."""
    return entry % shards


def read(folder: Path) -> UnionLayout:
    """The union in a folder. Raises UnionProblem, with what to do."""
    path = folder / NAME
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        layout = _layout(folder, data)
    except FileNotFoundError as problem:
        raise UnionProblem(
            f"There is no union in {folder}. Build one with “asheard union build”."
        ) from problem
    except (OSError, ValueError, KeyError, TypeError) as problem:
        raise UnionProblem(
            f"{path} cannot be read ({problem}). Build the union anew; nothing else is lost."
        ) from problem
    for shard in layout.shards:
        if not shard.entries_file.is_file() or not shard.index_folder.is_dir():
            raise UnionProblem(f"Of the union in {folder} the folder {shard.folder.name} is gone "
                               "or not whole. Build the union anew.")  # fmt: skip
    return layout


def seen_of(folder: Path) -> dict[str, tuple[int, str]]:
    """What was last built of each station, as `UnionLayout.seen` has it, whichever version of this
    program built it; nothing where there is no union or it cannot be read."""
    try:
        data = json.loads((folder / NAME).read_text(encoding="utf-8"))
        return {str(one): (int(last[0]), str(last[1])) for one, last in data["seen"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, IndexError):
        return {}


def write(layout: UnionLayout) -> None:
    """Put `union.json` in the place of the old one, whole or not at all."""
    data: dict[str, Any] = {
        "format": FORMAT,
        "made_at": layout.made_at,
        "make": layout.make,
        "terms": layout.terms.name,
        "shards": [asdict(shard) | {"folder": shard.folder.name} for shard in layout.shards],
        "stations": [asdict(station) for station in layout.stations],
        "seen": {station: list(last) for station, last in sorted(layout.seen.items())},
    }
    draft = layout.folder / f"{NAME}.{os.getpid()}.{secrets.token_hex(4)}"
    with draft.open("w", encoding="utf-8") as file:
        json.dump(data, file, ensure_ascii=False, indent=1)
        file.flush()
        os.fsync(file.fileno())
    draft.replace(layout.folder / NAME)


def _layout(folder: Path, data: Mapping[str, Any]) -> UnionLayout:
    if data["format"] != FORMAT or data["make"] != MAKE:
        raise UnionProblem(
            f"The union in {folder} was built by another version of this program. Build it anew "
            "with this one."
        )
    shards = tuple(ShardFiles(**{**row, "folder": folder / row["folder"]})
                   for row in data["shards"])  # fmt: skip
    stations = tuple(UnionStation(**row) for row in data["stations"])
    seen = {str(station): (int(last[0]), str(last[1])) for station, last in data["seen"].items()}
    return UnionLayout(
        folder, data["made_at"], data["make"], shards, folder / data["terms"], stations, seen
    )
