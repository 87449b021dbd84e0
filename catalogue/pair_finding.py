"""The likely pairs among many records, and their groups: from blocks to evidence to groups."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue import pair_groups
from catalogue.described import Described
from catalogue.evidence import Evidence, joined
from catalogue.no_collecting import no_collecting
from catalogue.pair_among import Among
from catalogue.pair_blocks import candidate_pairs
from catalogue.pair_evidence import Weigher
from catalogue.pair_weights import LIKELY_BITS, prior_of, share_with_double
from catalogue.word_lists import Ints

Progress = Callable[[int, int | None], None]

_MAY_COME = 5.5
"""Bits below the line from which a pair may still come above it, where the list turns out to have
many doubles: the most that `share_with_double` adds, and a little."""

_HARDLY = 0.25
"""Bits by which the prior must be another for the pairs to be weighed again. By judgement."""

_AT_ONCE = 500_000
"""Pairs looked at between two steps of the progress bar."""


@dataclass(frozen=True, slots=True)
class Found:
    """What was found: the evidence of likely pairs, best first, and groups as places in the
    records. `between` is the evidence of the pairs that lie between those of a tangle.

    `in_groups` has every pair of records that are in one group, whether found or not.
    """

    evidence: Evidence
    between: Evidence
    groups: list[list[int]]
    compared: int

    def in_groups(self) -> set[tuple[int, int]]:
        """Every two records of one group, as places."""
        return {
            (one, other)
            for group in self.groups
            for number, one in enumerate(group)
            for other in group[number + 1 :]
        }


def find(
    described: Described,
    progress: Progress = lambda _done, _total: None,
    only: NDArray[np.bool_] | None = None,
    among: Among | None = None,
) -> Found:
    """The pairs that are likely one record, by places in `described`.

    With `only`, a mask, each pair has at least one of these records. `among` is for records that
    are a part of more. Where the whole is compared, it tells itself how many have a double.
    Progress counts pairs.
    """
    with no_collecting():
        return _find(described, progress, only, among)


def _find(
    described: Described, progress: Progress, only: NDArray[np.bool_] | None, among: Among | None
) -> Found:
    weigher = Weigher(described, among)
    count = len(described)
    pairs = candidate_pairs(described, only)
    whole = only is None and among is None
    parts = [weigher.weigh(np.zeros(0, np.int64), np.zeros(0, np.int64))]
    totals = []
    for start in range(0, len(pairs), _AT_ONCE):
        progress(start, len(pairs))
        some = pairs[start : start + _AT_ONCE]
        first, second = some // count, some % count
        keep = weigher.worth_weighing(first, second)
        evidence = weigher.weigh(first[keep], second[keep])
        if whole:
            totals.append(evidence.total)
        parts.append(evidence.only(evidence.total >= LIKELY_BITS - (_MAY_COME if whole else 0)))
    progress(len(pairs), len(pairs))
    likely = joined(parts)
    if totals:
        share = share_with_double(np.concatenate(totals) - weigher.prior, count)
        if (prior := prior_of(count, share)) > weigher.prior + _HARDLY:
            weigher.prior = prior
            likely = weigher.weigh(likely.first, likely.second)
        likely = likely.only(likely.total >= LIKELY_BITS)
    likely = likely.only(np.argsort(-likely.total, kind="stable"))
    found = _bits(likely)
    asked: Ints = np.array(pair_groups.missing(found), np.int64).reshape(-1, 2)
    between = weigher.weigh(asked[:, 0], asked[:, 1])
    groups = pair_groups.groups(found | _bits(between), LIKELY_BITS)
    return Found(likely, between, groups, len(pairs))


def _bits(evidence: Evidence) -> dict[tuple[int, int], float]:
    return {
        (int(a), int(b)): float(total)
        for a, b, total in zip(evidence.first, evidence.second, evidence.total, strict=True)
    }
