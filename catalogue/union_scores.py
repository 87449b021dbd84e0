"""How well filed names share keys with what was heard, by the counts of a whole union.

The same BM25 (Robertson, Walker, Jones, Hancock-Beaulieu and Gatford 1994, k1 = 1.2, b = 0.75)
by which tantivy orders the names of one index. tantivy takes rarity and mean length from the
index it searches, and adds up in single precision, in an order of its own. A shard would so
weigh keys by what it happens to hold. Here the score of a name is made from the name itself, the
keys asked for and counts given from outside, in one fixed order of adding: whichever shard a name
lies in, its score is the same to the last bit. Names of one score are told apart by the number
of their entry, then by the name.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple, Protocol

from catalogue.search_keys import Form, Keys, keys_of_form, worth_asking

K1 = 1.2
"""How soon a key that occurs often says no more; tantivy's."""

B = 0.75
"""How much a long name is marked down; tantivy's."""

_EXACT_LENGTHS = 24
"""tantivy keeps a length in one byte: below this exactly, above with four significant bits, as
Lucene's SmallFloat.byte4ToInt does."""

WORDS = "words"
"""The field of a name's plain words, which are counted and not searched."""


class Counts(Protocol):
    """What is counted over a whole union, or one index."""

    @property
    def names(self) -> int:
        """How many names are filed."""
        ...

    @property
    def mean_terms(self) -> Mapping[str, float]:
        """How many terms a name has on average, for each field."""
        ...

    def counts(self, field_name: str, terms: Sequence[str]) -> Mapping[str, int]:
        """In how many names each term is."""
        ...


class Term(NamedTuple):
    """A key that is asked for: its field's name, the key, and its weight in the whole union."""

    field: str
    key: str
    weight: float


class Asking(NamedTuple):
    """What every shard is asked: the same terms, weighed the same, and the mean numbers of keys
    that a name has in phones, classes and letters."""

    terms: tuple[Term, ...]
    means: tuple[float, ...]


class Scored(NamedTuple):
    """A name that was found: its score, its entry's number, and the name."""

    score: float
    number: int
    form: Form


def asking(keys: Keys, counts: Counts, rarest: int) -> Asking:
    """At most the `rarest` keys that occur at all, with their weights; ties by field and key."""
    counted = (
        (count, field, key)
        for field, run in zip(Keys._fields, keys, strict=True)
        for key, count in counts.counts(field, run).items()
    )
    terms = tuple(
        Term(field, key, weight(count, counts.names))
        for count, field, key in worth_asking(counted, counts.names, rarest)
    )
    return Asking(terms, tuple(counts.mean_terms[field] for field in Keys._fields))


def weight(count: int, names: int) -> float:
    """What a key tells that occurs in `count` of so many names, before the name's length."""
    return math.log(1 + (names - count + 0.5) / (count + 0.5)) * (K1 + 1)


def kept_length(length: int) -> int:
    """The length as tantivy keeps it: rounded down to what fits in its byte.

    >>> [kept_length(n) for n in (0, 23, 39, 40, 41, 57, 59, 60, 100)]
    [0, 23, 39, 40, 40, 56, 56, 60, 96]
    """
    above = length - _EXACT_LENGTHS
    if above < 16:
        return length
    shift = above.bit_length() - 4
    return _EXACT_LENGTHS + (above >> shift << shift)


def scored(asked: Asking, found: Sequence[tuple[int, Form]]) -> list[Scored]:
    """Each (entry's number, name) with its score; in the order given."""
    weights: dict[str, dict[str, float]] = {field: {} for field in Keys._fields}
    for field, key, worth in asked.terms:
        weights[field][key] = worth
    columns = [
        (worth_of, K1 * B / mean)
        for worth_of, mean in zip(weights.values(), asked.means, strict=True)
        if worth_of
    ]
    wanted = [place for place, worth_of in enumerate(weights.values()) if worth_of]
    told = []
    for number, form in found:
        keys = keys_of_form(form)
        score = 0.0
        for (worth_of, slope), place in zip(columns, wanted, strict=True):
            run = keys[place]
            if shared := math.fsum([worth_of[key] for key in run if key in worth_of]):
                score += shared / (1 + K1 * (1 - B) + slope * kept_length(len(run)))
        told.append(Scored(score, number, form))
    return told


def in_order(found: Scored) -> tuple[float, int, Form]:
    """By score, the best first; then by the entry's number, and by the name."""
    return -found.score, found.number, found.form


def rarities(words: Sequence[str], counts: Counts) -> list[float]:
    """For each plain word the natural log of how many names there are for each that has it."""
    names, found = counts.names + 1, counts.counts(WORDS, words)
    return [math.log(names / min(names, found[word] + 1)) for word in words]
