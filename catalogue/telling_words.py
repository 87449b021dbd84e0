"""Names that have the telling words of a short request: "samphire", "that one about the boat quay".

Somebody in a hurry types the one word of a title that they are sure of. Compared with a whole
name it is very little, and short names that sound a bit like it come out ahead. But a word that
few names have says which names are meant, and these can be shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from catalogue.found_names import Forms
from catalogue.search_keys import Form

FEW = 40
"""Names that have a word, up to which it is telling: so many can still be looked through."""

MOST_WORDS = 3
"""Words of a request that may be no more than some words of a name; more of them are compared
with the whole name well enough."""

CHANCES = (0.3, 0.1)
"""What names share that have every word of a short request, some of them telling, and names that
have a telling word of it. By definition, as for a title alone: enough to be offered, not to be
called likely."""

SHORT = 24
BY_KEYS = 40
"""Letters of a request that may be only a word of a name, and how many of the first names by keys
are then compared closely too: plain ratios put short names before long ones that have the word."""

_SHORTEST = 4
"""Letters from which a word may have its "s" left off: "me" and "mes" are no such pair."""

_NO_WORD = "\0"
"""What is in no name: how rare it is tells how many names there are."""

Rarities = Callable[[Sequence[str]], list[float]]


_FILLING = frozenset(
    "a about an and by called for from in is it of on one or song some something that the to was "
    "with".split()
)
"""Words that are said around a title as often as in one."""


class Having(NamedTuple):
    """Places of the names that have every word heard, one of them telling, and of those that
    have a telling word and lack others."""

    every: list[int]
    some: list[int]


def having(heard: str, forms: Sequence[Form], rarities: Rarities) -> Having:
    """Which of the forms have the words of a short request.

    `heard` are plain words; a word with or without an "s" at its end counts as the same. `rarities`
    tells for words the natural log of how many names there are for each that has it.
    """
    words = [word for word in heard.split() if word not in _FILLING]
    found = Having([], [])
    if not 1 <= len(words) <= MOST_WORDS:
        return found
    spelt = {word: _with_or_without_s(word) for word in words}
    every = [other for others in spelt.values() for other in others]
    *rare, rarest = rarities([*every, _NO_WORD])
    least = rarest - math.log(FEW + 1)
    telling = {word for word, rarity in zip(every, rare, strict=True) if least <= rarity < rarest}
    table = Forms.of(forms if telling else [])
    names = zip(table.column("title"), table.column("artist"), strict=True)
    for place, (title, artist) in enumerate(names):
        held = {*title.split(), *artist.split()}
        if not telling.isdisjoint(held):
            whole = all(held & spelt[word] for word in words)
            (found.every if whole else found.some).append(place)
    return found


def _with_or_without_s(word: str) -> frozenset[str]:
    """The word as it is, and with an "s" more or less.

    >>> sorted(_with_or_without_s("walnut")), sorted(_with_or_without_s("herrings"))
    (['walnut', 'walnuts'], ['herring', 'herrings'])
    >>> sorted(_with_or_without_s("me"))
    ['me']
    """
    if len(word) < _SHORTEST:
        return frozenset({word})
    return frozenset({word, word[:-1] if word.endswith("s") else f"{word}s"})
