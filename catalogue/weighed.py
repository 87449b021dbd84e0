"""What weighing comes to: the fitted weights, and a recording with its score, chance and band."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from catalogue import comparisons
from catalogue.records import Band
from catalogue.search_keys import Form

FILE = Path(__file__).with_name("data") / "matcher_weights.json"

NONE_CLAIMS = ("constant", "heard_size")
"""What speaks for "none of these": a constant, and the natural log of the phones heard, plus
one, since among many names some always fit a long request a little."""

SIGNS = (
    "log_odds_of_share",
    "name_share",
    "heard_share",
    "best_aligned",
    "phones_alike",
    "letters_alike",
    "exact",
    "artist_share",
    "heard_left",
    "title_left",
    "artist_left",
    "another_artist",
)
"""What tells whether the first match is right: its share of all that the candidates' scores
promise (as log odds), how much of its name was heard, how much of what was heard it explains,
the evidence itself, plain likeness, and whether it was typed exactly; how much of its artist was
heard; and how many letters are in words of what was heard, of the title and of the artist that
have nothing like them on the other side, natural log, plus one; and the lesser of what is left
of the heard and of the artist, which may be somebody else's name."""

HIDDEN_BELOW = 0.02
"""A match less likely right than this is noise to a searcher in a hurry."""


@dataclass(frozen=True, slots=True)
class Weights:
    """Fitted weights: of the claims, of "none of these", of the signs (with their constant),
    and the bands' lowest chances."""

    claims: NDArray[np.float32]
    none: NDArray[np.float64]
    signs: NDArray[np.float64]
    constant: float
    certain: float
    likely: float

    @classmethod
    def from_json(cls, data: Mapping[str, Mapping[str, float]]) -> Weights:
        """From the file's named numbers. Raises KeyError if one is missing."""
        return cls(
            np.array([data["claims"][name] for name in comparisons.CLAIMS], np.float32),
            np.array([data["none"][name] for name in NONE_CLAIMS]),
            np.array([data["signs"][name] for name in SIGNS]),
            data["signs"]["constant"],
            data["bands"]["certain"],
            data["bands"]["likely"],
        )


@lru_cache(maxsize=1)
def shipped_weights() -> Weights:
    """The weights that come with the program."""
    return Weights.from_json(json.loads(FILE.read_text(encoding="utf-8")))


class Weighed(NamedTuple):
    """One recording under the name of it that fits best: its claims, score and chance.

    A tuple, since hundreds are made for every search, and a dataclass takes three times as long.
    """

    recording_id: int
    form: Form
    claims: NDArray[np.float32]
    score: float
    probability: float = 0.0
    band: Band = Band.POSSIBLE
    exact: bool = False

    def claim(self, name: str) -> float:
        """One claim by its name."""
        return float(self.claims[comparisons.CLAIMS.index(name)])


def hopeful(told: Sequence[Weighed]) -> list[Weighed]:
    """The first match, and those behind it that are likely enough to be shown."""
    return [*told[:1], *(w for w in told[1:] if w.probability >= HIDDEN_BELOW)]


def in_order(match: Weighed) -> tuple[bool, bool, float, int]:
    """What was typed exactly first, a name before a lesson, then by score."""
    learnt = match.form.kind == comparisons.LEARNT
    return not match.exact, learnt and match.exact, -match.score, match.recording_id


def band_of(chance: float, weights: Weights) -> Band:
    """The band of a chance of being right."""
    if chance >= weights.certain:
        return Band.CERTAIN
    return Band.LIKELY if chance >= weights.likely else Band.POSSIBLE
