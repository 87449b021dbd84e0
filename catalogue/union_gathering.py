"""The first step of a build: publications read in chunks, and each recording made ready to compare.

A chunk is some tens of thousands of recordings of one station. A task reads it once and leaves in
the build's work folder what was published, what is compared, and numbers that stand for names:
with those a build sees at a glance which recordings are described alike, and which blocks each
belongs to.
"""

from __future__ import annotations

import hashlib
import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue import duplicate_search, union_chunks, union_parquet
from catalogue.described import Described
from catalogue.pair_blocks import soundex_code
from catalogue.records import Carrier
from catalogue.union_layout import union_id
from catalogue.union_parquet import Ints
from catalogue.union_publication import Publication

Hashes = NDArray[np.uint64]

CHUNK = 50_000
"""Recordings read by one task: some hundred megabytes."""

_SHORTEST_CODE = 3
"""Digits of a name's sound code from which it stands for the name in a block; a shorter code would
make one block of all short names, and the name itself stands there."""

_COMPARED = (
    "title", "artist", "album", "year", "length_s", "version", "isrc", "work", "movement",
    "soloist", "conductor",
)  # fmt: skip
BLOCKS = 4
"""Blocks a recording belongs to at most: those of its title, its artist, its ISRC, its sound."""

NAMES = ("title", "artist", "album")
"""Columns whose values are counted over the whole union."""

_CARRIERS = frozenset(Carrier)


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some recordings of one publication, by their numbers, ascending; `index` counts chunks."""

    index: int
    publication: Publication
    sequence: int
    numbers: Ints


@dataclass(frozen=True, slots=True)
class Work:
    """The folder a build works in, and the names of what tasks leave in it."""

    folder: Path

    def raw(self, index: int) -> Path:
        """What was published of a chunk, with its holdings."""
        return self.folder / f"raw-{index:05d}.arrow"

    def described(self, index: int) -> Path:
        """What is compared of a chunk."""
        return self.folder / f"described-{index:05d}.arrow"

    def keys(self, index: int) -> Path:
        """The numbers that stand for a chunk's names."""
        return self.folder / f"keys-{index:05d}.npz"

    def blocks(self, index: int) -> Path:
        """What is compared of a chunk, shared out to blocks."""
        return self.folder / f"blocks-{index:05d}.arrow"

    def words(self, index: int) -> Path:
        """How often words are in a chunk's names."""
        return self.folder / f"words-{index:05d}.npz"

    def handed(self, index: int) -> Path:
        """What was published of a chunk, shared out to shards."""
        return self.folder / f"handed-{index:05d}.arrow"


def chunks(publications: Sequence[Publication]) -> list[Chunk]:
    """The chunks of these publications, in their order."""
    found: list[Chunk] = []
    for publication in publications:
        for sequence, live in publication.live():
            for start in range(0, len(live), CHUNK):
                numbers = live[start : start + CHUNK]
                found.append(Chunk(len(found), publication, sequence, numbers))
    return found


def gather(work: Work, chunk: Chunk) -> int:
    """Read a chunk and make it ready; returns how many recordings it has."""
    publication, station = chunk.publication, chunk.publication.station.id
    batches = list(publication.batches("recordings", chunk.sequence, chunk.numbers))
    table = union_chunks.concat_batches(batches, "number")
    numbers = union_chunks.numbers(table, "number").tolist()
    held: dict[int, list[str]] = defaultdict(list)
    for batch in publication.batches("holdings", chunk.sequence, chunk.numbers):
        for number, carrier, copies, lendable in union_parquet.rows(batch):
            known = carrier if carrier in _CARRIERS else Carrier.OTHER
            held[number].append(f"{known}:{copies}:{lendable}")
    holdings = [" ".join(sorted(held[number])) for number in numbers]
    raw = union_chunks.with_columns(table, {"holdings": holdings})
    union_chunks.write_table(work.raw(chunk.index), raw)
    described = Described()
    rows = union_chunks.rows(table, (*_COMPARED, "position", "sound"))
    for number, (*columns, position, sound) in zip(numbers, rows, strict=True):
        duplicate_search.add_recording(described, number, columns, position, sound)
    union_chunks.write(work.described(chunk.index), union_chunks.described_columns(described))
    titles = [row[0] for row in rows]
    title, artist, album = (hashes(getattr(described, name)) for name in NAMES)
    np.savez(
        work.keys(chunk.index),
        ids=np.array([union_id(station, number) for number in numbers], np.int64),
        alike=_alike(described, titles, station),
        blocks=_blocks(described),
        title=title,
        artist=artist,
        album=album,
    )
    return len(numbers)


def hashes(texts: Sequence[str]) -> Hashes:
    """A number for each text, the same for the same text; 0 for none."""
    known: dict[str, int] = {"": 0}
    for text in texts:
        if text not in known:
            known[text] = hash_of(text)
    return np.fromiter((known[text] for text in texts), np.uint64, count=len(texts))


def hash_of(text: str) -> int:
    """64 bits that stand for a text, above 0."""
    digest = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).digest()
    return int.from_bytes(digest, "big") or 1


def _alike(described: Described, titles: Sequence[str], station: str) -> Hashes:
    """A number that is the same for recordings that nothing tells apart.

    Without a title or an artist nothing shows that two are one, and each has its own number.
    """
    told = []
    for place, title in enumerate(titles):
        if described.title[place] and described.artist[place]:
            length = described.length[place]
            what: tuple[Any, ...] = (
                " ".join(title.lower().split()), described.artist[place], described.album[place],
                described.version[place], described.numbers[place], described.year[place],
                -1 if math.isnan(length) else round(length), described.identifier[place],
                described.performers[place],
            )  # fmt: skip
        else:
            what = (station, described.ids[place])
        told.append(repr(what))
    return hashes(told)


def _blocks(described: Described) -> Hashes:
    """The blocks of each record, as numbers; 0 for none. Shape (records, BLOCKS).

    Title and artist are not told apart: in some lists they changed places.
    """
    columns = [
        [_sound_block(text) for text in described.title],
        [_sound_block(text) for text in described.artist],
        [f"i{text}" if text else "" for text in described.identifier],
        [f"s{text}" if text else "" for text in described.sound],
    ]
    return np.stack([hashes(column) for column in columns], axis=1)


def _sound_block(text: str) -> str:
    if not text:
        return ""
    code = soundex_code(text)
    return f"n{code}" if len(code) >= _SHORTEST_CODE else f"n{text}"
