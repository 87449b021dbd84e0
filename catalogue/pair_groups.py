"""Pairs to groups, without chaining: everything in a group is like everything else in it.

Records are put together by average linkage (Sokal and Michener, 1958): two groups become one
while the mean weight of all the pairs between them is above the line. So a group that would be
held together by one weak link is two groups.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from itertools import combinations

MOST_BITS = 10.0
"""Weights are cut to plus and minus this before they are averaged: one overwhelming pair must
not carry others in."""

LARGEST_TANGLE = 60
"""Records that hang together by any links and are sorted out by comparing all with all; of a
larger tangle only the pairs that were found are known, and the others count against."""

Pair = tuple[int, int]


def groups(weighed: Mapping[Pair, float], line: float) -> list[list[int]]:
    """Groups of two and more, each ascending, in the order of their first records.

    `weighed` has the weight in bits of pairs (smaller first); those that are not there count as
    -MOST_BITS.

    >>> groups({(1, 2): 8.0, (2, 3): 3.0}, 0.0), groups({(1, 2): 8.0, (2, 3): 7.0, (1, 3): 1.0}, 0)
    ([[1, 2]], [[1, 2, 3]])
    """
    parts = tangles(pair for pair, bits in weighed.items() if bits >= line)
    place = {one: number for number, part in enumerate(parts) for one in part}
    known: list[dict[Pair, float]] = [{} for _ in parts]
    for pair, bits in weighed.items():
        number = place.get(pair[0])
        if number is not None and number == place.get(pair[1]):
            known[number][pair] = max(-MOST_BITS, min(bits, MOST_BITS))
    return sorted(
        group for part, its in zip(parts, known, strict=True) for group in _linked(part, its, line)
    )


def missing(found: Collection[Pair]) -> list[Pair]:
    """The pairs within each tangle that were not found, for weighing before they are grouped."""
    there = set(found)
    return [
        pair
        for part in tangles(found)
        if 2 < len(part) <= LARGEST_TANGLE
        for pair in combinations(part, 2)
        if pair not in there
    ]


def tangles(pairs: Iterable[Pair]) -> list[list[int]]:
    """What hangs together by any links at all, each ascending."""
    parent: dict[int, int] = {}

    def root(one: int) -> int:
        while parent.setdefault(one, one) != one:
            parent[one] = one = parent[parent[one]]
        return one

    for one, other in pairs:
        parent[root(one)] = root(other)
    parts: dict[int, list[int]] = {}
    for one in sorted(parent):
        parts.setdefault(root(one), []).append(one)
    return list(parts.values())


def _linked(part: list[int], known: Mapping[Pair, float], line: float) -> list[list[int]]:
    """The groups within one tangle."""
    if len(part) == 2:
        return [part]
    clusters = {one: [one] for one in part}
    between = {frozenset(pair): bits for pair, bits in known.items()}
    while True:
        best = max(
            ((_mean(between, clusters, *pair), min(pair), max(pair)) for pair in between),
            default=None,
            key=lambda found: (found[0], -found[1], -found[2]),
        )
        if best is None or best[0] < line:
            break
        _join(between, clusters, best[1], best[2])
    return [sorted(group) for group in clusters.values() if len(group) > 1]


def _mean(
    between: Mapping[frozenset[int], float], clusters: Mapping[int, list[int]], a: int, b: int
) -> float:
    return between[frozenset((a, b))] / (len(clusters[a]) * len(clusters[b]))


def _join(
    between: dict[frozenset[int], float], clusters: dict[int, list[int]], a: int, b: int
) -> None:
    """Make cluster b part of a; sums of weights between clusters are added up."""
    between.pop(frozenset((a, b)))
    for other, members in clusters.items():
        if other in (a, b):
            continue
        one, two = frozenset((a, other)), frozenset((b, other))
        if one not in between and two not in between:
            continue
        first = between.pop(one, -MOST_BITS * len(clusters[a]) * len(members))
        second = between.pop(two, -MOST_BITS * len(clusters[b]) * len(members))
        between[one] = first + second
    clusters[a] += clusters.pop(b)
