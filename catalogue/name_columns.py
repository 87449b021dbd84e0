"""Columns of names as arrays, and how alike the names of pairs are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue.comparisons import pairs_alike, pairs_contain
from catalogue.described import is_of_number
from catalogue.misread import garbled
from catalogue.pair_weights import REST_ALIKE, SMALL_WORD, Floats, Level
from catalogue.word_lists import Ints

NEARLY = 0.88
"""Likeness of names that have the same words in another order."""


class Names:
    """One column of names: texts, a number for each different one, and what is known of it."""

    def __init__(self, values: Sequence[str], numbers: dict[str, int]) -> None:
        self.texts = np.array([*values, None], object)[:-1]
        seen: dict[str, int] = {}
        which = np.fromiter(
            (seen.setdefault(value, len(seen)) for value in values), np.int64, count=len(values)
        )

        def of_each(one: Callable[[str], int], kind: type) -> NDArray[Any]:
            """A value for each text, worked out once for equal ones."""
            return np.fromiter(map(one, seen), kind, count=len(seen))[which]

        self.numbers = of_each(lambda value: numbers.setdefault(value, len(numbers)), np.int64)
        self.lengths = of_each(len, np.int64)
        self.known = self.lengths > 0
        self.garbled = of_each(garbled, np.bool_)


def frequencies(values: Sequence[str]) -> Floats:
    """For each record, how many records have its value."""
    counts = Counter(values)
    return np.fromiter((counts[value] for value in values), np.float32, count=len(values))


def names_alike(
    left: Names, first: Ints, right: Names, second: Ints, ladder: tuple[Level, ...]
) -> Floats:
    """Likeness of names, -1 where one is unknown; the same words in another order are nearly the
    same, and one within the other counts as that level."""
    ones, others = left.texts[first].tolist(), right.texts[second].tolist()
    same = left.numbers[first] == right.numbers[second]
    inside = next((level for level in ladder if level.name == "one within the other"), None)
    lowest = ladder[-3].at_least if inside is not None else ladder[-2].at_least
    alike = np.minimum(pairs_alike(ones, others, lowest), 0.999)
    at = np.flatnonzero((left.lengths[first] == right.lengths[second]) & (alike < NEARLY) & ~same)
    turned = [sorted(ones[n].split()) == sorted(others[n].split()) for n in at]
    alike[at[turned]] = NEARLY
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
