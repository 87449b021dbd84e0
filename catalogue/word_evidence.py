"""Which words of a name were heard, weighed by how rare they are in this catalogue.

That "Grimethorpe" was heard tells more than that "love" was. A word counts as heard by its very
letters, or by its phones lying somewhere inside what was heard, whatever words were written
there. Rarity is the inverse document frequency of Spärck Jones (1972), natural log.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from catalogue.alignment import align_inside, own_scores
from catalogue.confusion_weights import ConfusionWeights
from catalogue.found_names import Forms
from catalogue.search_keys import Form, words_and_phones

Floats = NDArray[np.float32]
Rarities = Callable[[Sequence[str]], list[float]]
"""Words to the natural log of how many names there are for each name that has the word."""

KINDS = ("same", "same_share", "rarity", "sounded", "sounded_share", "clear", "clear_share")
"""What is told of the words of a title or artist; sums are in tens of nats.

same: rarity of the words whose very letters were heard; rarity: of all words; sounded: of all,
each times the chance that its phones are there; clear: of all, each times how much of its phones
was heard. …_share: as a share of the rarity of all, plus one nat.
"""

CLAIMS = tuple(f"{part}_words_{kind}" for part in ("title", "artist") for kind in KINDS)
"""The claims in the order of the columns of `words_heard`."""

_SURE_FROM = 1.0
"""Log odds, beyond those of so many places to lie at, from which a word is likelier there than
not; by judgement, and the fitted weights hardly depend on it."""


_NEVER = 50.0
"""Log odds against from which a word is simply not there."""


def words_heard(
    heard: str, phones: str, forms: Sequence[Form], weights: ConfusionWeights, rarities: Rarities
) -> Floats:
    """The claims about the words of all forms: shape (len(forms), len(CLAIMS)).

    `heard` are plain words, `phones` their sound.
    """
    table = Forms.of(forms)
    titles, artists = (
        words_and_phones(
            table.column(part), table.column(f"{part}_phones"), table.column(f"{part}_sizes")
        )
        for part in ("title", "artist")
    )
    # One word is always said alike.
    sounds = dict(zip(titles.words, titles.phones, strict=True))
    sounds |= zip(artists.words, artists.phones, strict=True)
    place = {word: number for number, word in enumerate(sounds)}
    evidence = _evidence(heard, phones, sounds, weights, rarities)
    parts = [
        _summed(evidence, [place[word] for word in names.words], names.counts)
        for names in (titles, artists)
    ]
    return np.hstack(parts)


def _evidence(
    heard: str,
    phones: str,
    sounds: Mapping[str, str],
    weights: ConfusionWeights,
    rarities: Rarities,
) -> Floats:
    """For each word: rarity if its letters were heard, rarity, rarity if its phones, and clear."""
    said = set(heard.split())
    rarity = np.array(rarities(list(sounds)), np.float32)
    names = list(sounds.values())
    scores = align_inside(phones, names, weights)
    clear = np.clip(scores / (own_scores(names, weights) + 0.5), 0, 1)
    against = math.log(len(phones) + 1) + _SURE_FROM - scores
    there = 1 / (1 + np.exp(np.minimum(against, _NEVER)))
    same = np.array([word in said for word in sounds], np.float32)
    return np.stack([rarity * same, rarity, rarity * there, rarity * clear], axis=1)


def _summed(evidence: Floats, words: Sequence[int], counts: Sequence[int]) -> Floats:
    """The evidence summed over the words of each name; shape (len(counts), len(KINDS)).

    `words` are rows of `evidence`, those of one name after another, `counts` how many each has.
    """
    sums = np.zeros((len(counts), evidence.shape[1]), np.float32)
    rows = np.repeat(np.arange(len(counts)), counts)
    np.add.at(sums, rows, evidence[np.array(words, np.intp)])
    same, rarity, there, clear = sums.T
    all_of_it = rarity + 1
    return np.stack(
        [same / 10, same / all_of_it, rarity / 10, there / 10, there / all_of_it,
         clear / 10, clear / all_of_it],
        axis=1,
    )  # fmt: skip
