"""What comes first of what was weighed, beside the order of scores.

Scores tell how well each name fits by itself. A searcher reads a list: the one word that few names
have should be on it, and a guess at a title should not fill it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import numpy as np

from catalogue import comparisons, telling_words
from catalogue.candidates import Asked, Names
from catalogue.records import Band
from catalogue.weighed import HIDDEN_BELOW, Weighed, Weights, band_of

_T = TypeVar("_T")


def _itself(one: Any) -> Any:
    return one


_FIRST_LINES, _OF_ONE_TITLE = 5, 2
"""Lines of an answer that are read at a glance, and how many of them one title may fill where it
is a guess: with one, who asked for the other version of two had to read on."""


def with_telling_words(
    index: Names, asked: Asked, told: list[Weighed], weights: Weights
) -> list[Weighed]:
    """The same, but names that have the telling words are at least possible, those of one title
    together, and come before what is less; unless something is likely without that."""
    if told[0].exact or told[0].probability >= weights.likely:
        return told
    better: dict[int, Weighed] = {}
    having_words = telling_words.having(asked.words, [one.form for one in told], index.rarities)
    for places, chance in zip(having_words, telling_words.CHANCES, strict=True):
        titles = {told[place].form.title for place in places}
        at_least = max(HIDDEN_BELOW, chance / max(1, len(titles)))
        for place in places:
            if told[place].probability < at_least:
                band = band_of(at_least, weights)
                better[place] = told[place]._replace(probability=at_least, band=band)
    if not better:
        return told  # as of nearly every request: nothing is moved, and no score has to follow
    moved = [one for place, one in enumerate(told) if place not in better]
    for one in better.values():
        behind = (n for n, other in enumerate(moved) if other.probability < one.probability)
        moved.insert(next(behind, len(moved)), one)
    return _lifted(moved)


def _lifted(told: Sequence[Weighed]) -> list[Weighed]:
    """The same, no score below one behind it: what comes after goes by scores."""
    least = np.maximum.accumulate([one.score for one in reversed(told)])[::-1].tolist()
    return [
        one if one.score >= score else one._replace(score=score)
        for one, score in zip(told, least, strict=True)
    ]


def titles_in_turn(
    asked: Asked, told: Sequence[_T], match_of: Callable[[_T], Weighed] = _itself
) -> list[_T]:
    """Matches, or what has each its match, with several titles first where nothing is likely.

    Else five people's records of one wrong title would hide the right one. A title that was
    typed exactly is no guess: all who play it stay where they are.
    """
    if not told or match_of(told[0]).exact or match_of(told[0]).band is not Band.POSSIBLE:
        return list(told)
    lines: dict[str, set[str]] = {}
    places: dict[int, None] = {}
    for place, form in enumerate(match_of(one).form for one in told):
        # Entered twice, from a disc and from a file, a record is one line all the same.
        artists = lines.setdefault(form.title, set())
        begun = form.artist in artists
        if not begun and sum(map(len, lines.values())) == _FIRST_LINES:
            break
        if begun or len(artists) < _OF_ONE_TITLE or comparisons.exact_title(asked, form):
            artists.add(form.artist)
            places[place] = None
    others = (place for place in range(len(told)) if place not in places)
    return [told[place] for place in (*places, *others)]
