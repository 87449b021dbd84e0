"""The second step of a build: which recordings of many stations are one, without chaining.

Recordings that nothing tells apart are put together at once, and one of them stands for all: of a
hundred stations that hold a record most describe it in the same few ways. What is left is compared
in blocks, by the evidence that finds a station's own duplicates; every pair has the same weight in
whichever block it is met, since the counts of the whole union are given (`pair_among.Among`). What
hangs together is then compared with all of itself and grouped by average linkage (`pair_groups`),
so that a weak link carries nobody in.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from catalogue import pair_groups, union_chunks
from catalogue.claimed import Claimed
from catalogue.described import Described
from catalogue.pair_among import Among
from catalogue.pair_evidence import Weigher
from catalogue.pair_finding import find
from catalogue.pair_weights import LIKELY_BITS, Floats
from catalogue.union_gathering import NAMES, Hashes, Work, hash_of, hashes
from catalogue.union_parquet import Ints

BLOCK = 60_000
"""Recordings in one block, about: some hundred megabytes, and half a minute's work."""

SAMPLE = 20_000
"""Recordings on which is counted how often years and lengths agree by chance."""

TANGLED = 5_000
"""Recordings of tangles that one task sorts out."""

_COUNTS = "counts.npz"


@dataclass(frozen=True, slots=True)
class Standing:
    """Who stands for whom. `first` has for each recording of the union, counted through all
    chunks, the first that is described alike; `starts` is where each chunk begins."""

    first: Ints
    starts: Ints

    def stands(self) -> NDArray[np.bool_]:
        """Which recordings stand for themselves: those that are compared."""
        result: NDArray[np.bool_] = self.first == np.arange(len(self.first))
        return result


def fold(work: Work, sizes: Sequence[int]) -> Standing:
    """Put together what is described alike, over all chunks; `sizes` are theirs."""
    alike = _keys(work, range(len(sizes)), "alike")
    _, firsts, which = np.unique(alike, return_index=True, return_inverse=True)
    starts = np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64)
    return Standing(firsts[which].astype(np.int64), starts)


def blocks_for(standing: Standing) -> int:
    """How many blocks there are: for the same recordings always the same."""
    return max(1, round(2 * int(standing.stands().sum()) / BLOCK))


def share(work: Work, index: int, stands: NDArray[np.bool_], start: int, count: int) -> int:
    """Share a chunk's recordings that stand for themselves out to `count` blocks, and count the
    words of their names. Returns how many records are in blocks."""
    table = union_chunks.read(work.described(index))
    places = np.flatnonzero(stands)
    table = union_chunks.with_columns(table, {"record": np.arange(len(stands)) + start})
    keys = _key(work, index, "blocks")[places]
    row, column = np.nonzero(keys)
    block = (keys[row, column] % np.uint64(count)).astype(np.int64)
    pairs = np.unique(row * np.int64(count) + block)
    union_chunks.share_out(work.blocks(index), table, places[pairs // count], pairs % count, count)
    words: Counter[str] = Counter()
    names = union_chunks.rows(union_chunks.taken(table, places), NAMES)
    for parts in names:
        words.update(set(" ".join(parts).split()))
    np.savez(
        work.words(index),
        words=np.array([hash_of(word) for word in words], np.uint64),
        counts=np.array(list(words.values()), np.int64),
    )
    return len(pairs)


def count(work: Work, standing: Standing) -> None:
    """Count names and words over all that stand for themselves, for `among`."""
    stands, chunks = standing.stands(), range(len(standing.starts) - 1)
    told: dict[str, NDArray[np.generic]] = {"records": np.array([stands.sum()])}
    for name in NAMES:
        values = _keys(work, chunks, name)[stands]
        found, counts = np.unique(values, return_counts=True)
        told[f"{name}_values"], told[f"{name}_counts"] = found[counts > 1], counts[counts > 1]
    words, counts = np.zeros(0, np.uint64), np.zeros(0, np.int64)
    for index in chunks:
        with np.load(work.words(index)) as file:
            both = np.concatenate([words, file["words"]])
            ones = np.concatenate([counts, file["counts"]])
        words, which = np.unique(both, return_inverse=True)
        counts = np.bincount(which, ones, minlength=len(words)).astype(np.int64)
    told["word_values"], told["word_counts"] = words[counts > 1], counts[counts > 1]
    standing_for = np.flatnonzero(stands)
    picked = standing_for[:: max(1, len(standing_for) // SAMPLE)][:SAMPLE]
    for name, us in Claimed(_described(work, standing.starts, picked)).counted_us().items():
        told[f"us_{name}"] = us
    np.savez(work.folder / _COUNTS, **told)  # type: ignore[arg-type]


def compare(work: Work, chunks: int, block: int) -> tuple[Ints, Ints]:
    """The likely pairs of one block, as numbers of recordings, the smaller first."""
    table = union_chunks.part([work.blocks(index) for index in range(chunks)], block)
    records = union_chunks.numbers(table, "record")
    if len(records) < 2:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    found = find(union_chunks.described_of(table), among=_among(work.folder)).evidence
    one, other = records[found.first], records[found.second]
    return np.minimum(one, other), np.maximum(one, other)


def tangles(pairs: Sequence[tuple[Ints, Ints]]) -> list[list[tuple[int, int]]]:
    """What hangs together, some tangles at a time, each time as the pairs that were found."""
    found = sorted({
        pair for ones, others in pairs
        for pair in zip(ones.tolist(), others.tolist(), strict=True)
    })  # fmt: skip
    place = {
        record: number for number, part in enumerate(pair_groups.tangles(found)) for record in part
    }
    found.sort(key=lambda pair: place[pair[0]])
    jobs: list[list[tuple[int, int]]] = []
    last, size = -1, TANGLED
    for pair in found:
        if place[pair[0]] != last and size >= TANGLED:
            jobs.append([])
            size = 0
        last = place[pair[0]]
        jobs[-1].append(pair)
        size += 1
    return jobs


def settle(work: Work, starts: Ints, pairs: Sequence[tuple[int, int]]) -> list[list[int]]:
    """The groups of some tangles: recordings that are one, as their numbers."""
    every = sorted({*pairs, *pair_groups.missing(pairs)})
    records = np.unique(np.array(every, np.int64))
    places = np.searchsorted(records, np.array(every, np.int64))
    weigher = Weigher(_described(work, starts, records), _among(work.folder))
    total = weigher.weigh(places[:, 0], places[:, 1]).total.tolist()
    return pair_groups.groups(dict(zip(every, total, strict=True)), LIKELY_BITS)


def entries(work: Work, standing: Standing, groups: Sequence[Sequence[int]], shards: int) -> Ints:
    """For each recording of the union the id of the entry it belongs to."""
    leader = standing.first.copy()
    for group in groups:
        leader[np.array(group)] = min(group)
    leader = leader[standing.first]
    ids = _keys(work, range(len(standing.starts) - 1), "ids").astype(np.int64)
    leaders = np.unique(leader)
    own = ids[leaders]
    if len(np.unique(own)) < len(own):  # a chance of one in a million among ten million
        taken: set[int] = set()
        for leading in leaders.tolist():
            while int(ids[leading]) in taken:
                ids[leading] += shards
            taken.add(int(ids[leading]))
    return ids[leader]


def _key(work: Work, index: int, name: str) -> Hashes:
    with np.load(work.keys(index)) as file:
        result: Hashes = file[name]
        return result


def _keys(work: Work, chunks: range, name: str) -> Hashes:
    """The numbers of all chunks, one after another."""
    none = np.zeros(0, np.uint64)
    return np.concatenate([none, *(_key(work, index, name).view(np.uint64) for index in chunks)])


def _described(work: Work, starts: Ints, records: Ints) -> Described:
    """What is compared of these recordings, in ascending order."""
    chunk = np.searchsorted(starts, records, side="right") - 1
    parts = [
        union_chunks.taken(
            union_chunks.read(work.described(int(index))), records[chunk == index] - starts[index]
        )
        for index in np.unique(chunk)
    ]
    return union_chunks.described_of(union_chunks.joined(parts)) if parts else Described()


@lru_cache(maxsize=1)
def _among(folder: Path) -> Among:
    """The counts of the whole union, read once by each process."""
    with np.load(folder / _COUNTS) as file:
        told = {name: file[name] for name in file.files}

    def frequency(name: str, values: Sequence[str]) -> Floats:
        counts = _counts(told[f"{name}_values"], told[f"{name}_counts"], hashes(values))
        return counts.astype(np.float32)

    def word_counts(words: Sequence[str]) -> Ints:
        return _counts(told["word_values"], told["word_counts"], hashes(words))

    us = {name.removeprefix("us_"): told[name] for name in told if name.startswith("us_")}
    return Among(int(told["records"][0]), frequency, word_counts, us)


def _counts(known: Hashes, counts: Ints, asked: Hashes) -> Ints:
    """How often each is there: 1 for those that are not known, which are there once."""
    if not len(known):
        return np.ones(len(asked), np.int64)
    at = np.minimum(np.searchsorted(known, asked), len(known) - 1)
    return np.where(known[at] == asked, counts[at], 1)
