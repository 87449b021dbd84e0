"""The words of many records as numbers, so that sets of words are compared by arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class WordLists:
    """For each record its different words, as ascending numbers: `words[starts[r]:starts[r+1]]`."""

    words: Ints
    starts: Ints

    def sizes(self, records: Ints) -> Ints:
        """How many words each of these records has."""
        return self.starts[records + 1] - self.starts[records]


def different(numbers: Ints) -> Ints:
    """The different numbers, ascending."""
    ordered = np.sort(numbers)
    return (
        ordered[np.concatenate(([True], ordered[1:] != ordered[:-1]))] if len(ordered) else ordered
    )


class Vocabulary:
    """Numbers for words, and how many records have each."""

    def __init__(self) -> None:
        self._number: dict[str, int] = {}
        self._taken: dict[int, tuple[Sequence[str], WordLists]] = {}

    def __len__(self) -> int:
        return len(self._number)

    def words(self) -> list[str]:
        """The words in the order of their numbers."""
        return list(self._number)

    def lists(self, *columns: Sequence[str]) -> WordLists:
        """The different words of each record in these columns, numbered; new words get new
        numbers. Equal texts are taken apart once, and so is a column that comes again: it must be
        the same by then."""
        for texts in columns:
            if id(texts) not in self._taken:  # kept beside it, lest another takes its place
                self._taken[id(texts)] = texts, self._of_one(texts)
        parts = [self._taken[id(texts)][1] for texts in columns]
        if len(parts) == 1:
            return parts[0]
        rows = len(columns[0])
        every = np.arange(rows, dtype=np.int64)
        spreads = [spread(part, every) for part in parts]
        width = np.int64(len(self) + 1)
        keys = different(np.concatenate([place * width + word for place, word in spreads]))
        starts = np.searchsorted(keys, np.arange(rows + 1, dtype=np.int64) * width)
        return WordLists(keys % width, starts.astype(np.int64))

    def _of_one(self, texts: Sequence[str]) -> WordLists:
        number = self._number
        seen: dict[str, int] = {}
        which = np.fromiter(
            (seen.setdefault(text, len(seen)) for text in texts), np.int64, count=len(texts)
        )
        rows = [
            sorted({number.setdefault(word, len(number)) for word in text.split()}) for text in seen
        ]
        starts = np.zeros(len(rows) + 1, np.int64)
        np.cumsum([len(row) for row in rows], out=starts[1:])
        words = np.fromiter(chain.from_iterable(rows), np.int64, count=int(starts[-1]))
        once = WordLists(words, starts)
        if len(seen) == len(texts):
            return once
        ends = np.zeros(len(texts) + 1, np.int64)
        np.cumsum(once.sizes(which), out=ends[1:])
        return WordLists(spread(once, which)[1], ends)

    def counts(self, lists: WordLists) -> Ints:
        """For each word: how many of these records have it."""
        return np.bincount(lists.words, minlength=len(self)).astype(np.int64)


def information(counts: Ints, records: int) -> Floats:
    """Bits that each word tells: the binary logarithm of records over those that have the word
    (inverse document frequency, Spärck Jones 1972)."""
    return np.log2(records / np.maximum(counts, 1)).astype(np.float32)


def spread(lists: WordLists, records: Ints) -> tuple[Ints, Ints]:
    """The words of these records one after another: (place in `records`, word)."""
    sizes = lists.sizes(records)
    places = np.repeat(np.arange(len(records), dtype=np.int64), sizes)
    before = np.cumsum(sizes) - sizes
    offsets = np.arange(len(places), dtype=np.int64) - np.repeat(before, sizes)
    return places, lists.words[np.repeat(lists.starts[records], sizes) + offsets]


def total(lists: WordLists, records: Ints, bits: Floats) -> Floats:
    """Bits of all the words of each of these records."""
    places, words = spread(lists, records)
    return np.bincount(places, bits[words], minlength=len(records)).astype(np.float32)


def shared(ones: WordLists, first: Ints, others: WordLists, second: Ints, bits: Floats) -> Floats:
    """For each pair: bits of the words of `ones[first]` that `others[second]` has as well."""
    width = np.int64(len(bits) + 1)
    places, words = spread(ones, first)
    in_places, in_words = spread(others, second)
    keys, among = places * width + words, in_places * width + in_words
    if not len(among):
        return np.zeros(len(first), np.float32)
    at = np.minimum(np.searchsorted(among, keys), len(among) - 1)
    found = among[at] == keys
    return np.bincount(places[found], bits[words[found]], minlength=len(first)).astype(np.float32)
