"""Columns of names as arrays, and how alike the names of pairs are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from catalogue.comparisons import pairs_alike, pairs_contain
from catalogue.described import is_of_number
from catalogue.pair_weights import REST_ALIKE, SMALL_WORD, Floats, Level
from catalogue.word_lists import Ints


class Names:
    """One column of names: texts, a number for each different one, and what is known of it."""

    def __init__(self, values: Sequence[str], numbers: dict[str, int]) -> None:
        self.texts = np.array([*values, None], object)[:-1]
        self.numbers = np.fromiter(
            (numbers.setdefault(value, len(numbers)) for value in values),
            np.int64, count=len(values),
        )  # fmt: skip
        self.known = np.fromiter((bool(value) for value in values), bool, count=len(values))
        self.garbled = np.fromiter((garbled(value) for value in values), bool, count=len(values))


def frequencies(values: Sequence[str]) -> Floats:
    """For each record, how many records have its value."""
    counts = Counter(values)
    return np.fromiter((counts[value] for value in values), np.float32, count=len(values))


def names_alike(
    left: Names, first: Ints, right: Names, second: Ints, ladder: tuple[Level, ...]
) -> Floats:
    """Likeness of names, -1 where one is unknown; one within the other counts as that level."""
    ones, others = left.texts[first].tolist(), right.texts[second].tolist()
    same = left.numbers[first] == right.numbers[second]
    inside = next((level for level in ladder if level.name == "one within the other"), None)
    lowest = ladder[-3].at_least if inside is not None else ladder[-2].at_least
    alike = np.minimum(pairs_alike(ones, others, lowest), 0.999)
    alike[same] = 1.0
    if inside is not None:
        at = np.flatnonzero(alike < lowest)
        held = pairs_contain([ones[n] for n in at], [others[n] for n in at]) > 0.999
        alike[at] = np.where(held, inside.at_least, 0.0)
    known = left.known[first] & right.known[second]
    lost = left.garbled[first] | right.garbled[second]
    alike[~known | (lost & ~same)] = -1
    return alike


def other_words(ones: Sequence[str], others: Sequence[str]) -> NDArray[np.bool_]:
    """For each two names, whether both have a word that is like none of the other's.

    Small words and those of a number are passed over.

    >>> other_words(["hours for folk noon", "far tide"], ["hours for flok prime", "far tied"])
    array([ True, False])
    """
    rests = [_words_apart(one, other) for one, other in zip(ones, others, strict=True)]
    left = [word for mine, theirs in rests for word in mine for _ in theirs]
    right = [word for mine, theirs in rests for _ in mine for word in theirs]
    alike = pairs_alike(left, right) >= REST_ALIKE
    found = np.zeros(len(rests), bool)
    at = 0
    for number, (mine, theirs) in enumerate(rests):
        here = alike[at : at + len(mine) * len(theirs)].reshape(len(mine), len(theirs))
        at += here.size
        found[number] = bool(here.size and not here.any(1).all() and not here.any(0).all())
    return found


def _words_apart(one: str, other: str) -> tuple[list[str], list[str]]:
    """The words of two names that are not in both."""
    mine, theirs = one.split(), other.split()
    both = set(mine) & set(theirs)
    first, second = (
        [w for w in words if w not in both and len(w) > SMALL_WORD and not is_of_number(w)]
        for words in (mine, theirs)
    )
    return first, second


@lru_cache(maxsize=100_000)
def garbled(words: str) -> bool:
    """Whether most words are single letters: a name in a script whose letters were lost in some
    program. It tells something only by being the very same.

    >>> garbled("a a z a a"), garbled("a place i know")
    (True, False)
    """
    parts = words.split()
    return len(parts) > 2 and sum(len(part) == 1 for part in parts) > len(parts) / 2
