"""Weighing: which recordings were meant, in what order, how sure, and why.

The claims of `comparisons.py` are summed with fitted weights: a conditional logit (McFadden
1974), in which "none of these" is one of the choices, since what is asked for may not be in the
catalogue. A second fitted sum turns the share of the first into its chance of being right. Both
are in `data/matcher_weights.json`, written by `python -m tests.benchmarks.fit_matcher`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalogue import comparisons
from catalogue.candidates import Asked, Names, asked_for
from catalogue.comparisons import unaccounted
from catalogue.confusion_weights import ConfusionWeights, shipped
from catalogue.filed_names import PART, PERSON
from catalogue.first_lines import with_telling_words
from catalogue.records import Wanted
from catalogue.shortlist import Shortlist, shortlist
from catalogue.weighed import (
    Weighed,
    Weights,
    band_of,
    hopeful,
    in_order,
    shipped_weights,
)

_SHARE_BOUND = 0.03
"""Shares nearer to 0 or 1 than this say no more: beyond, the other signs decide. Measured: at 0.003
*certain* covers 65 % of typed requests, at 0.03 it covers 81 %, with as few errors."""

_TITLE_ALONE = 0.92
"""When all that was heard is this much like the title alone, no artist was said, and other
records of the same title are no rivals but versions to choose from."""

_HEARD = 0.30
"""Share of a name's perfect score below which it was not heard, as in `match_reasons.py`."""

EXACT_CHANCE = 0.99
"""Title and artist typed exactly are meant, whatever else sounds like them. By definition rather
than fitted: near-namesakes must not talk a searcher out of what was spelt out."""

EXACT_TITLE_CHANCE = 0.3
"""A title typed exactly and alone is at least offered, however short: "Ta", "Play Me". By
definition; it is not enough to be called likely."""


def weigh(
    index: Names,
    wanted: Wanted,
    weights: Weights | None = None,
    confusion: ConfusionWeights | None = None,
    *,
    keep_hopeless: bool = False,
    left_out: frozenset[int] = frozenset(),
) -> list[Weighed]:
    """The recordings that may be meant, likeliest first, each once, with chance and band.

    What was typed exactly, title and artist, is always first. Hopeless ones are left out unless
    asked for, and so are the recordings `left_out`. A year or decade is part of what was heard
    unless the rest makes a likelier match without it.
    """
    weights = weights or shipped_weights()
    asked = asked_for(wanted)
    told = _weigh(index, asked, weights, confusion, keep_hopeless, left_out)
    spelt = bool(told) and (told[0].exact or comparisons.exact_title(asked, told[0].form))
    if wanted.undated and not spelt:
        undated = asked_for(wanted.undated)
        others = _weigh(index, undated, weights, confusion, keep_hopeless, left_out)
        if others and (not told or others[0].probability > told[0].probability):
            return others
    return told


def _weigh(
    index: Names,
    asked: Asked,
    weights: Weights,
    confusion: ConfusionWeights | None,
    keep_hopeless: bool,
    left_out: frozenset[int],
) -> list[Weighed]:
    short = shortlist(index, asked, left_out)
    if not short.ids:
        return []
    claims = claims_of(index, asked, short, confusion)
    told = with_telling_words(index, asked, ordered(asked, short, claims, weights, True), weights)
    return told if keep_hopeless else hopeful(told)


def claims_of(
    index: Names, asked: Asked, short: Shortlist, confusion: ConfusionWeights | None = None
) -> NDArray[np.float32]:
    """All claims about the shortlist, one row a name."""
    return comparisons.compare(
        asked, short.forms, short.ranks, confusion or shipped(), index.rarities, short.ratios
    )


def ordered(
    asked: Asked,
    short: Shortlist,
    claims: NDArray[np.float32],
    weights: Weights,
    keep_hopeless: bool = False,
) -> list[Weighed]:
    """Each recording once, by the name that fits best, likeliest first, with chance and band."""
    scores = claims @ weights.claims
    forms = list(short.forms)
    exact = comparisons.exactly(asked, forms)
    best: dict[int, int] = {}
    for place in np.argsort(-scores, kind="stable").tolist():
        known = best.setdefault(short.ids[place], place)
        if exact[place] and not exact[known]:
            best[short.ids[place]] = place
    each_once = [
        Weighed(one, forms[place], claims[place], float(scores[place]), exact=exact[place])
        for one, place in best.items()
    ]
    told = _with_chances(asked, sorted(each_once, key=in_order), weights)
    return told if keep_hopeless else hopeful(told)


def none_claims(asked: Asked) -> NDArray[np.float64]:
    """What speaks for "none of these"; shape (len(NONE_CLAIMS),)."""
    return np.array([1.0, math.log(len(asked.sound.phones) + 1)])


def signs_of(asked: Asked, ordered: Sequence[Weighed], none_score: float) -> NDArray[np.float64]:
    """The signs about the first of the ordered matches; shape (len(SIGNS),)."""
    return _signs(asked, ordered[0], float(_shares(asked, ordered, none_score)[0]))


def _signs(asked: Asked, first: Weighed, share: float) -> NDArray[np.float64]:
    bounded = min(max(share, _SHARE_BOUND), 1 - _SHARE_BOUND)
    exact = first.exact or comparisons.exact_title(asked, first.form)
    title, artist = first.form.title, first.form.artist
    heard_left = math.log1p(unaccounted(asked.words, f"{title} {artist}"))
    artist_left = math.log1p(unaccounted(artist, asked.words))
    return np.array(
        [
            math.log(bounded / (1 - bounded)),
            first.claim("name_share"),
            first.claim("heard_share"),
            first.claim("best_aligned"),
            first.claim("phones_alike"),
            first.claim("letters_alike"),
            float(exact),
            min(max(first.claim("artist_share"), 0.0), 1.0),
            heard_left,
            math.log1p(unaccounted(title, asked.words)),
            artist_left,
            min(heard_left, artist_left),
        ]
    )


def _shares(asked: Asked, ordered: Sequence[Weighed], none_score: float) -> NDArray[np.float64]:
    """Each match's share of the promise of all, that of its namesakes counted with its own.

    Namesakes bear the same title and artist; where no artist was said, the same title.
    """
    scores = np.array([*(w.score for w in ordered), none_score], np.float64)
    shares: NDArray[np.float64] = np.exp(scores - scores.max())
    shares = (shares / shares.sum())[:-1]
    title_alone = ordered[0].claim("title_phones_alike") >= _TITLE_ALONE
    names = [
        (w.form.title, "" if title_alone or _nobody_heard(w) else w.form.artist) for w in ordered
    ]
    together: dict[tuple[str, str], float] = {}
    for name, share in zip(names, shares, strict=True):
        together[name] = together.get(name, 0.0) + float(share)
    return np.array([together[name] for name in names], np.float64)


def _nobody_heard(match: Weighed) -> bool:
    """Whether a part of a work was heard, but none of the people it is filed under."""
    return match.form.kind in (PART, PERSON) and match.claim("artist_share") < _HEARD


def _with_chances(asked: Asked, ordered: Sequence[Weighed], weights: Weights) -> list[Weighed]:
    """The matches with their chance of being right and band."""
    none_score = float(none_claims(asked) @ weights.none)
    shares = _shares(asked, ordered, none_score)
    signs = _signs(asked, ordered[0], float(shares[0]))
    first_right = 1 / (1 + math.exp(-float(signs @ weights.signs) - weights.constant))
    chances = np.minimum(first_right * shares / max(float(shares[0]), 1e-9), first_right)
    told = []
    # Beside a name that was spelt out, the others share what doubt is left.
    most = 1 - EXACT_CHANCE if ordered[0].exact else 1.0
    for weighed, fitted in zip(ordered, chances.tolist(), strict=True):
        chance = EXACT_CHANCE if weighed.exact else min(fitted, most)
        if not weighed.exact and comparisons.exact_title(asked, weighed.form):
            chance = max(chance, min(EXACT_TITLE_CHANCE, most))
        told.append(
            Weighed(weighed.recording_id, weighed.form, weighed.claims, weighed.score,
                    chance, band_of(chance, weights), weighed.exact)
        )  # fmt: skip
    return told
