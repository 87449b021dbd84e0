"""Plain ways to find duplicates, beside which the benchmark measures."""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations

import numpy as np
from rapidfuzz import fuzz, process

from catalogue.described import Described
from catalogue.pair_blocks import candidate_pairs
from catalogue.spelling import plain

ALIKE = 90
"""Token-set ratio from which two names are taken as one; the usual choice."""

ALL_WITH_ALL = 12_000
"""Records up to which everything is compared with everything; beyond it only our candidates."""

_AT_ONCE = 500
Pair = tuple[int, int]


def exact_key(
    rows: list[dict[str, str]], *, found_candidates: Described, quick: bool
) -> tuple[set[Pair], str]:
    """Records whose plain artist and title are equal."""
    blocks: dict[tuple[str, str], list[int]] = defaultdict(list)
    for place, row in enumerate(rows):
        key = (plain(row.get("artist", "")), plain(row.get("title", "")))
        if any(key):
            blocks[key].append(place)
    return {pair for block in blocks.values() for pair in combinations(block, 2)}, "all"


def token_set(
    rows: list[dict[str, str]], *, found_candidates: Described, quick: bool
) -> tuple[set[Pair], str]:
    """Records whose artist and title together are alike by the token-set ratio."""
    names = [plain(f"{row.get('artist', '')} {row.get('title', '')}") for row in rows]
    found: set[Pair] = set()
    if quick or len(rows) > ALL_WITH_ALL:
        pairs = candidate_pairs(found_candidates)
        first, second = pairs // len(rows), pairs % len(rows)
        alike = process.cpdist(
            [names[n] for n in first], [names[n] for n in second], scorer=fuzz.token_set_ratio,
            workers=2,
        )  # fmt: skip
        at = np.flatnonzero(alike >= ALIKE)
        return set(zip(first[at].tolist(), second[at].tolist(), strict=True)), "our candidates"
    for start in range(0, len(names), _AT_ONCE):
        scores = process.cdist(
            names[start : start + _AT_ONCE], names, scorer=fuzz.token_set_ratio,
            score_cutoff=ALIKE, workers=2, dtype=np.uint8,
        )  # fmt: skip
        for one, other in np.argwhere(scores):
            if start + one < other:
                found.add((int(start + one), int(other)))
    return found, "all with all"
