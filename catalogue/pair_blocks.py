"""Which pairs of records are worth comparing: near linear in their number.

Every record is put into a few blocks of records that share a key, and only records of one block
become a pair; a block too large to pair up is sorted by length and name, and neighbours become
pairs (the sorted neighbourhood, Hernández and Stolfo, The merge/purge problem for large databases,
SIGMOD 1995). Keys are exact names, pairs of
rare words wherever they stand, marks of acoustic fingerprints, and neighbours in the order of
Soundex codes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalogue.described import Described
from catalogue.fingerprints import mark_lists
from catalogue.word_lists import Ints, Vocabulary, WordLists, different

WHOLE_BLOCK = 24
"""Records of a block that are all paired with each other: at most 276 pairs."""

NEIGHBOURS = 4
"""Records after each one with which it is paired, in a large block or a sorted list."""

RAREST = 4
"""Rare words of a record that are combined two by two to keys: six keys."""

TOO_COMMON_SHARE = 0.02
TOO_COMMON_LEAST = 500
"""A word that more records have than this share, and than this number, is no key of its own. These
four bound the pairs to some twenty a record; what they lose is in the recall that is measured."""

_SOUNDEX = str.maketrans("bfpvcgjkqsxzdtlmnr", "111122222222334556", "aeiouyhw' ")
_DOUBLED = re.compile(r"(.)(?=\1)")

Progress = Callable[[int, int | None], None]


@lru_cache(maxsize=100_000)
def soundex_code(letters: str) -> str:
    """The digits of American Soundex over a whole name: the first letter is coded too, the
    length is not cut, and equal digits are one even across a vowel. Good enough to sort by.

    >>> soundex_code("washington"), soundex_code("gutierrez")
    ('25235', '2362')
    """
    return _DOUBLED.sub("", letters.translate(_SOUNDEX))


def candidate_pairs(described: Described, only: NDArray[np.bool_] | None = None) -> Ints:
    """Pairs worth comparing, as `first * n + second` with first < second, each once, sorted.

    With `only`, a mask of records, pairs have at least one of those: what is new is compared
    with everything, the rest not with itself.
    """
    count = len(described)
    found: list[Ints] = []
    for key in _keys(described):
        pairs = _in_blocks(*key, count)
        if only is not None:
            pairs = pairs[only[pairs // count] | only[pairs % count]]
        found.append(pairs)
        if len(found) > 2:
            found = [different(np.concatenate(found))]
    return different(np.concatenate(found)) if found else np.zeros(0, np.int64)


def _keys(described: Described) -> Iterator[tuple[Ints, Ints, Ints]]:
    """(records, their keys, a rank that sorts a large block) of each kind of key in turn."""
    count = len(described)
    every = np.arange(count, dtype=np.int64)
    names = described.names()
    length = np.nan_to_num(described.numbers_of("length"))
    by_length = np.lexsort((every, length)).argsort().astype(np.int64)
    titled = np.array([bool(title) for title in described.title], bool)
    exact = _numbered(names)
    yield every[titled], exact[titled], by_length[titled]
    for column in ("identifier", "sound"):
        values = getattr(described, column)
        there = np.array([bool(value) for value in values], bool)
        if there.any():
            yield every[there], _numbered(values)[there], by_length[there]
    if any(map(len, described.fingerprint)):
        numbers, starts = mark_lists(described.fingerprint)
        records = np.repeat(every, np.diff(starts))
        yield records, numbers, by_length[records]
    titles = [soundex_code(title) for title in described.title]
    artists = [soundex_code(artist) for artist in described.artist]
    for first, second in ((titles, artists), (artists, titles)):
        codes = [one + other for one, other in zip(first, second, strict=True)]
        order = np.array(sorted(range(count), key=codes.__getitem__), np.int64)
        rank = order.argsort().astype(np.int64)
        yield every, np.zeros(count, np.int64), rank
    alone = _numbered(described.title)
    yield every[titled], alone[titled], by_length[titled]
    yield from _by_rare_words(described, by_length)


def _numbered(values: Sequence[str]) -> Ints:
    """The same number for the same text."""
    numbers: dict[str, int] = {}
    return np.fromiter(
        (numbers.setdefault(value, len(numbers)) for value in values), np.int64, count=len(values)
    )


def _by_rare_words(described: Described, rank: Ints) -> Iterator[tuple[Ints, Ints, Ints]]:
    """Blocks of records that share two of their rare words, wherever these stand."""
    for columns in (("title", "artist"), ("tracks",)):
        vocabulary = Vocabulary()
        lists = vocabulary.lists(*(getattr(described, column) for column in columns))
        if not len(lists.words):
            continue
        counts = vocabulary.counts(lists)
        most = max(TOO_COMMON_LEAST, int(TOO_COMMON_SHARE * len(described)))
        useful = (counts > 1) & (counts <= most)
        records, keys = _word_pairs(lists, counts, useful, len(vocabulary))
        yield records, keys, rank[records]


def _word_pairs(
    lists: WordLists, counts: Ints, useful: NDArray[np.bool_], width: int
) -> tuple[Ints, Ints]:
    """Records and keys: each two of a record's rarest words; a lone useful word is a key itself."""
    places = np.repeat(np.arange(len(lists.starts) - 1, dtype=np.int64), np.diff(lists.starts))
    keep = useful[lists.words]
    places, words = places[keep], lists.words[keep]
    order = np.lexsort((words, counts[words], places))
    places, words = places[order], words[order]
    begins = np.searchsorted(places, np.arange(len(lists.starts) - 1))
    nth = np.arange(len(places)) - begins[places]
    kept = nth < RAREST
    table = np.full((len(lists.starts) - 1, RAREST), -1, np.int64)
    table[places[kept], nth[kept]] = words[kept]
    records, keys = [], []
    for one, other in combinations(range(RAREST), 2):
        both = np.flatnonzero(table[:, other] >= 0)
        pair = np.sort(table[both][:, (one, other)], axis=1)
        records.append(both)
        keys.append(pair[:, 0] * width + pair[:, 1])
    alone = np.flatnonzero((table[:, 0] >= 0) & (table[:, 1] < 0))
    records.append(alone)
    keys.append(-1 - table[alone, 0])
    return np.concatenate(records).astype(np.int64), np.concatenate(keys)


def _in_blocks(records: Ints, keys: Ints, rank: Ints, count: int) -> Ints:
    """Pairs of records with equal keys: all of a small block, neighbours of a large one."""
    if not len(records):
        return np.zeros(0, np.int64)
    order = np.lexsort((rank, keys))
    records, keys = records[order], keys[order]
    begins = np.flatnonzero(np.concatenate(([True], keys[1:] != keys[:-1])))
    sizes = np.diff(np.append(begins, len(keys)))
    reach = np.where(sizes <= WHOLE_BLOCK, sizes - 1, NEIGHBOURS)
    within = np.repeat(reach, sizes)
    left = np.repeat(begins + sizes, sizes) - np.arange(len(records)) - 1
    within = np.minimum(within, left)
    found = []
    for step in range(1, WHOLE_BLOCK):
        at = np.flatnonzero(within >= step)
        if not len(at):
            break
        one, other = records[at], records[at + step]
        differ = one != other
        first, second = np.minimum(one, other)[differ], np.maximum(one, other)[differ]
        found.append(first * count + second)
    return different(np.concatenate(found)) if found else np.zeros(0, np.int64)
