"""How alike two recordings are, and how to pick a varied few: pure functions.

Every number here has a name and a reason; `worth.py` says what the parts are worth.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

YEAR_SPREAD = 8.0
"""Years at which the kernel has fallen to 0.61; twenty years apart it is 0.04. Of 4, 6, 8 and 12
the one whose lists agree best with the tags of real songs: `tests/benchmarks/fit_stand_ins.py`."""

TEMPO_TOLERANCE = 0.04
"""Tempos this near are the same: the tolerance of the tempo metric (Gouyon et al. 2006), and
about the just noticeable difference."""

TEMPO_SPREAD = 0.10
"""Beyond the tolerance likeness falls smoothly: 10 % further off is 0.61. By judgement."""

LENGTH_SPREAD = 0.25
"""Lengths apart by this share of a doubling (19 %) are alike by 0.61: half a minute of three. By
judgement; what length is worth is fitted."""


def years_alike(a: int | None, b: int | None) -> float:
    """A smooth kernel on the years of first release, 1 for equal, 0 for unknown; no decades.

    >>> years_alike(1959, 1959), round(years_alike(1959, 1967), 2), years_alike(1959, None)
    (1.0, 0.61, 0.0)
    """
    if a is None or b is None:
        return 0.0
    return math.exp(-(((a - b) / YEAR_SPREAD) ** 2) / 2)


def tempos_alike(a: float | None, b: float | None) -> float:
    """1 within the tolerance, falling smoothly beyond; half and double are the same tempo.

    Tempos are in beats a minute; 0 if one is unknown.

    >>> tempos_alike(120, 60), tempos_alike(120, 124), tempos_alike(120, None)
    (1.0, 1.0, 0.0)
    """
    if not a or not b or a <= 0 or b <= 0:
        return 0.0
    apart = abs(math.log2(a) - math.log2(b))  # a / b may be too small to be a number
    octave = abs(apart - round(apart)) if apart < 1.5 else apart - 1
    beyond = max(0.0, octave - math.log2(1 + TEMPO_TOLERANCE))
    return math.exp(-((beyond / math.log2(1 + TEMPO_SPREAD)) ** 2) / 2)


def lengths_alike(a: float | None, b: float | None) -> float:
    """1 for equal lengths (seconds), falling smoothly with their ratio; 0 if one is unknown.

    >>> lengths_alike(180, 180), round(lengths_alike(180, 214), 2), lengths_alike(180, None)
    (1.0, 0.61, 0.0)
    """
    if not a or not b or a <= 0 or b <= 0:
        return 0.0
    return math.exp(-(((math.log2(a) - math.log2(b)) / LENGTH_SPREAD) ** 2) / 2)


def varied(
    relevance: Sequence[float],
    alike: Callable[[int, int], float],
    limit: int,
    balance: float,
    allowed: Callable[[int, Sequence[int]], bool] = lambda _item, _chosen: True,
    chosen: Sequence[int] = (),
) -> list[int]:
    """Maximal marginal relevance (Carbonell and Goldstein, SIGIR 1998): up to `limit` items.

    Each next item has the highest `balance * relevance - (1 - balance) * likeness to the most
    alike of those chosen`. `balance` 1 is the order of relevance alone, 0 is variety alone.
    `relevance` and `alike` lie in 0..1; `allowed(item, chosen so far)` rules items out;
    `chosen` are picked already. Equal items keep their order.
    """
    picked = list(chosen)
    nearest = [max((alike(i, j) for j in picked), default=0.0) for i in range(len(relevance))]
    while len(picked) < limit:
        open_to_us = [i for i in range(len(relevance)) if i not in picked and allowed(i, picked)]
        if not open_to_us:
            break
        best = max(
            open_to_us, key=lambda i: (balance * relevance[i] - (1 - balance) * nearest[i], -i)
        )
        picked.append(best)
        nearest = [max(near, alike(i, best)) for i, near in enumerate(nearest)]
    return picked
