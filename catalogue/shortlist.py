"""The names worth comparing closely: what the index finds, cut by plain ratios.

Laying a name inside what was heard, phone by phone, takes a hundred times as long as a plain ratio,
and the index finds names by the thousand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue import comparisons, telling_words
from catalogue.candidates import Asked, Names, candidates
from catalogue.found_names import FETCHED
from catalogue.search_keys import Form

ALIGNED_AT_MOST = 112
"""Candidates that are aligned phone by phone, the rest being dropped on plain ratios. Measured on
2,200 requests among 80,393 names: found first are as many as with 160, among the first five one in
a thousand fewer, at three quarters of the time."""

_ONE_MORE_IN = 24
"""Of so many names that are fetched beyond the usual number, one more is aligned: 320 of 6,500.
Measured among a million, where 4,000 were fetched: 112, 160 and 320 aligned have 67.2, 67.4 and
67.6 % of the requests in the first five."""

_BY_PHONES = 5
"""For each that is aligned so many are compared by classes and letters too, those that are most
alike by phones; all of them would take longer, and find one request in two thousand more."""

RATIOS_WEIGH = np.array([1.0, 1.0, 0.5], np.float32)
"""What plain ratios of phones, of classes and of letters count in the cut; letters by half, since
mishearing leaves few of them."""


@dataclass(frozen=True, slots=True)
class Shortlist:
    """The names worth comparing closely: recordings' ids, forms, places in the index's order, and
    plain ratios where they are known; one for each name."""

    ids: list[int]
    forms: Sequence[Form]
    ranks: NDArray[np.intp]
    ratios: NDArray[np.float32] | None = None


def shortlist(index: Names, asked: Asked, left_out: frozenset[int] = frozenset()) -> Shortlist:
    """What the index finds, cut to those that plain ratios say are most alike."""
    found = candidates(index, asked).without(left_out)
    if not found:
        return Shortlist([], [], np.zeros(0, np.intp))
    aligned = aligned_of(len(found))
    by_keys = telling_words.BY_KEYS if len(asked.letters) <= telling_words.SHORT else 0
    phones = comparisons.phones_alike(asked, found.forms)
    near = nearest(phones, _BY_PHONES * aligned, by_keys)
    some = found.chosen(near.tolist())
    ratios = comparisons.plain_ratios(asked, some.forms, phones[near])
    places = preselect(ratios, aligned, by_keys)
    kept = some.chosen(places.tolist())
    return Shortlist(kept.ids, kept.forms, near[places], ratios[places])


def nearest(alike: NDArray[np.float32], most: int, by_keys: int = 0) -> NDArray[np.intp]:
    """Places of the `most` forms that are most alike, and of the first `by_keys`; in order."""
    if len(alike) <= most:
        return np.arange(len(alike))
    best = np.argsort(-alike, kind="stable")[:most]
    return np.union1d(best, np.arange(min(by_keys, len(alike)))).astype(np.intp)


def preselect(
    ratios: NDArray[np.float32], aligned: int = ALIGNED_AT_MOST, by_keys: int = 0
) -> NDArray[np.intp]:
    """Places of the forms worth aligning, best first, by the sum of their plain ratios; behind
    them those of the first `by_keys` in the index's own order that are not among them."""
    order = np.argsort(-(ratios @ RATIOS_WEIGH), kind="stable")[:aligned]
    others = np.setdiff1d(np.arange(min(by_keys, len(ratios))), order)
    return np.concatenate([order, others]).astype(np.intp)


def aligned_of(fetched: int) -> int:
    """How many names are aligned of so many that were fetched.

    >>> aligned_of(1_500), aligned_of(6_500)
    (112, 320)
    """
    return ALIGNED_AT_MOST + max(0, fetched - FETCHED) // _ONE_MORE_IN
