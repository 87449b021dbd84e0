"""What sort of music a record's year, tempo, length and names suggest, where nothing says it.

A fitted guess: linear in smooth bumps along year, tempo and length, in the form of the artist's
name (guests, "&", how many words) and in how these change over the decades. It gives a direction
in the space of tags that real songs of such a kind bear, and two records are alike as far as the
directions agree. An artist is guessed from all records of theirs. Nothing of it is ever said to
anybody: it only helps to order a list. Fitted by `python -m tests.benchmarks.fit_stand_ins` on
`tests/reference/songs` (chart songs of 1960 to 2015, so elsewhere it says little).
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

FILE = Path(__file__).with_name("data") / "stand_in_weights.json"

Numbers = NDArray[np.float64]

_YEARS, _YEAR_WIDTH = np.arange(1958.0, 2018.0, 4.0), 4.0
_DECADES, _DECADE_WIDTH = np.arange(1960.0, 2018.0, 10.0), 6.0
_TEMPOS, _TEMPO_WIDTH, _TEMPO_MIDDLE = np.arange(5.8, 8.0, 0.2), 0.15, 6.9
_LENGTHS, _LENGTH_WIDTH, _LENGTH_MIDDLE = np.arange(6.8, 8.6, 0.2), 0.15, 7.8
"""Where the bumps stand, and how wide they are: years; base-2 logarithms of beats a minute and of
seconds. As wide as they stand apart or a little less, so that any smooth curve can be made."""

_MOST_WORDS = 4
_GUESTS = re.compile(r"\b(?:feat|featuring|ft)\b", re.IGNORECASE)
_SEVERAL = re.compile(r"&|\+|\band\b|\bwith\b", re.IGNORECASE)


class Facts(NamedTuple):
    """What the guess goes by; every number may be unknown."""

    year: int | None
    tempo: float | None
    length_s: float | None
    title: str
    artist: str


@dataclass(frozen=True, slots=True)
class FeelModel:
    """A fitted guess: `mean` (K tags), `middle` (F signs), `weights` (F by K)."""

    mean: Numbers
    middle: Numbers
    weights: Numbers

    def guess(self, facts: Sequence[Facts]) -> Numbers:
        """One row of K for each record: the mean of all songs, moved by what is known."""
        if not facts:
            return np.zeros((0, len(self.mean)))
        known = signs(facts) - self.middle
        guessed: Numbers = np.nan_to_num(known) @ self.weights + self.mean
        return guessed


def alike(one: Numbers, others: Numbers) -> Numbers:
    """Cosine of one guess (K) with each of several (N by K), in -1..1; one N-long row."""
    norms = np.linalg.norm(others, axis=1) * np.linalg.norm(one)
    cosines: Numbers = others @ one / np.where(norms > 0, norms, 1.0)
    return cosines


def signs(facts: Sequence[Facts]) -> Numbers:
    """What the guess is linear in, one row for each record; not-a-number where it is unknown."""
    years, tempos, lengths, titles, artists = zip(*facts, strict=True)
    year, tempo, length = _column(years), np.log2(_column(tempos)), np.log2(_column(lengths))
    found = map(_GUESTS.search, map(" ".join, zip(artists, titles, strict=True)))
    guests = np.array([one is not None for one in found], dtype=float)
    # An artist's records come several together.
    size_of = {artist: min(_MOST_WORDS, len(artist.split())) for artist in artists}
    crowds = {artist for artist in size_of if _SEVERAL.search(artist)}
    several = np.array([artist in crowds for artist in artists], dtype=float)
    words = np.array([size_of[artist] for artist in artists])
    decades = _bumps(year, _DECADES, _DECADE_WIDTH)
    return np.column_stack([
        _bumps(year, _YEARS, _YEAR_WIDTH),
        _bumps(tempo, _TEMPOS, _TEMPO_WIDTH),
        _bumps(length, _LENGTHS, _LENGTH_WIDTH),
        decades * (length - _LENGTH_MIDDLE)[:, None],
        decades * (tempo - _TEMPO_MIDDLE)[:, None],
        decades * guests[:, None],
        decades * several[:, None],
        guests,
        several,
        (words[:, None] == np.arange(1, _MOST_WORDS + 1)).astype(float),
    ])  # fmt: skip


def _bumps(values: Numbers, centres: Numbers, width: float) -> Numbers:
    bumps: Numbers = np.exp(-(((values[:, None] - centres) / width) ** 2) / 2)
    return bumps


def _column(values: Sequence[float | None]) -> Numbers:
    known = np.array(values, dtype=float)  # None becomes not-a-number
    known[~(known > 0)] = np.nan
    return known


def from_json(told: Mapping[str, Any]) -> FeelModel:
    """A model from the lists that `fit_stand_ins` writes."""
    return FeelModel(*(np.array(told[name], dtype=float) for name in ("mean", "middle", "weights")))


@lru_cache(maxsize=1)
def shipped() -> FeelModel:
    """The model that comes with the program."""
    return from_json(json.loads(FILE.read_text(encoding="utf-8"))["feel"])
