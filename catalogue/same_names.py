"""Which of some names, (title, artist) by number, are one: by the evidence that finds duplicates.

For what was asked for and what is offered: some thousand names, of which each may lack an artist.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import combinations

from catalogue import pair_finding
from catalogue.comparisons import pairs_alike
from catalogue.described import Described, bare_title
from catalogue.sound import sound_of

SOUNDS_SAME = 0.85
"""Plain ratio of phones from which two names are one, where nothing else is known: about one sound
in seven misheard, or misread. By judgement."""


Names = tuple[tuple[int, tuple[str, str]], ...]


@lru_cache(maxsize=2)
def kept(named: Names) -> tuple[tuple[int, int], ...]:
    """The same as `alike`, kept until a name is another: the pages of wants ask again and again,
    and comparing a thousand names takes a fifth of a second."""
    return tuple(alike(dict(named)))


def alike(named: Mapping[int, tuple[str, str]]) -> list[tuple[int, int]]:
    """Pairs of numbers whose titles and artists are one by the evidence of names; of titles
    alone, those that sound the same."""
    described = Described()
    numbers = list(named)
    for number, (title, artist) in named.items():
        described.add(number, title, artist)
    pairs = pair_finding.find(described).in_groups()
    alone = [n for n, artist in enumerate(described.artist) if not artist and described.title[n]]
    sounds = [sound_of(bare_title(named[numbers[n]][0])).phones for n in alone]
    twos = list(combinations(range(len(alone)), 2))
    alike = pairs_alike([sounds[a] for a, _ in twos], [sounds[b] for _, b in twos])
    pairs |= {
        (alone[a], alone[b])
        for (a, b), likeness in zip(twos, alike, strict=True)
        if likeness >= SOUNDS_SAME
    }
    return [(numbers[a], numbers[b]) for a, b in sorted(pairs)]


def of_one(numbers: Iterable[int], target: Mapping[int, int | None]) -> Iterator[tuple[int, int]]:
    """Every two of these that are one recording."""
    together: dict[int, list[int]] = {}
    for number in numbers:
        meant = target[number]
        if meant is not None:
            together.setdefault(meant, []).append(number)
    for group in together.values():
        yield from combinations(group, 2)
