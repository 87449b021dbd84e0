"""How alike two recordings are, and how to pick a varied few: pure functions.

Every number here has a name and a reason; `stand_ins.py` says what the parts are worth.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

from catalogue.records import Recording
from catalogue.spelling import plain, without_version

YEAR_SPREAD = 4.0
"""Years at which the kernel has fallen to 0.61: about a pop generation, so that neighbours in a
chart count as one time and ten years apart (0.04) do not. By judgement, not fitted."""

TEMPO_TOLERANCE = 0.04
"""Tempos this near are the same: the tolerance of the tempo metric (Gouyon et al. 2006), and
about the just noticeable difference."""

TEMPO_SPREAD = 0.10
"""Beyond the tolerance likeness falls smoothly: 10 % further off is 0.61. By judgement."""


_NO_WRITER = frozenset({"", "traditional", "trad", "anonymous", "anon", "unknown", "various"})
"""What labels print where nobody in particular wrote it (common practice, no source)."""

_REMEMBERED = 4096
"""Names kept in plain words: those of an evening's offers."""


@lru_cache(maxsize=_REMEMBERED)
def bare_title(title: str) -> str:
    """The plain words of a title without its version: what a caller takes for one song."""
    return plain(without_version(title))


def same_song_name(a: Recording, b: Recording) -> bool:
    """One song, or songs of one name where a composer is not known; else they are two songs."""
    if a.song_id == b.song_id:
        return True
    if a.composer and b.composer:
        return False
    return bare_title(a.title) == bare_title(b.title)


def same_writer(a: str, b: str) -> bool:
    """Whether two composers are one person; "traditional" and the like are nobody.

    >>> same_writer("Cy Reed", "CY REED"), same_writer("Trad.", "Trad.")
    (True, False)
    """
    return bare_title(a) == bare_title(b) and bare_title(a) not in _NO_WRITER


def years_alike(a: int | None, b: int | None) -> float:
    """A smooth kernel on the years of first release, 1 for equal, 0 for unknown; no decades.

    >>> years_alike(1959, 1959), round(years_alike(1959, 1963), 2), years_alike(1959, None)
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
    apart = abs(math.log2(a / b))
    octave = abs(apart - round(apart)) if apart < 1.5 else apart - 1
    beyond = max(0.0, octave - math.log2(1 + TEMPO_TOLERANCE))
    return math.exp(-((beyond / math.log2(1 + TEMPO_SPREAD)) ** 2) / 2)


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
