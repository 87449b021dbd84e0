"""Levels of the claims that are not names: tracks, year, length, version, numbers and the rest."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalogue import pair_weights as weights
from catalogue.described import Described
from catalogue.evidence import Levels
from catalogue.fingerprints import FEWEST, FEWEST_MARKS, bit_error_rate, mark_lists
from catalogue.misread import garbled
from catalogue.name_columns import Names
from catalogue.pair_weights import CLAIMS, Floats
from catalogue.word_lists import Ints, Vocabulary, WordLists, information, shared, total

UNKNOWN = -1
RANDOM_PAIRS = 40_000
"""Pairs drawn to count u on: the rarest level that is counted, 3 %, then has a thousand."""

_SEED = 20
_AT_ONCE = 200_000
"""Pairs whose tracks are compared at once: some hundred megabytes."""

EQUAL = ("version", "numbers", "position", "performers", "identifier", "sound")
"""Claims whose values are equal or not."""


class Claimed:
    """What these records say beside their names; what does not depend on the pair is counted
    once. Pairs are two arrays of places."""

    def __init__(self, described: Described) -> None:
        self.count = len(described)
        self._other = {name: Names(getattr(described, name), {}) for name in EQUAL}
        self._later = np.array(described.later, bool)
        self._on = np.array([position.partition(":")[0] for position in described.position])
        self._numbers = {name: described.numbers_of(name) for name in ("year", "length")}
        self.tracks: WordLists | None = None
        if any(described.tracks):
            vocabulary = Vocabulary()
            self.tracks = vocabulary.lists(described.tracks)
            self._garbled_tracks = np.array([garbled(text) for text in described.tracks], bool)
            self._track_bits = information(vocabulary.counts(self.tracks), self.count)

        self._prints = described.fingerprint
        self._printed = np.array([len(values) >= FEWEST for values in self._prints], bool)
        self._marks = WordLists(*mark_lists(self._prints)) if self._printed.any() else None

    def sound_alike(self, first: Ints, second: Ints) -> NDArray[np.bool_]:
        """Whether acoustic fingerprints have enough marks in common to be laid side by side."""
        if self._marks is None:
            return np.zeros(len(first), bool)
        ones = np.ones(int(self._marks.words.max(initial=0)) + 1, np.float32)
        return shared(self._marks, first, self._marks, second, ones) >= FEWEST_MARKS

    def known(self, name: str) -> bool:
        """Whether any record has a value of this claim, one of `EQUAL`."""
        return bool(self._other[name].known.any())

    def level(self, name: str, first: Ints, second: Ints) -> Levels:
        """The level of a claim that is not about names."""
        ladder = CLAIMS[name]
        if name in self._numbers:
            column = self._numbers[name]
            apart = np.abs(column[first] - column[second])
            level = weights.level_of((-apart).astype(np.float32), ladder)
            level[np.isnan(apart)] = UNKNOWN
            return level
        if name == "tracks":
            if self.tracks is None:
                return np.full(len(first), UNKNOWN, np.int8)
            alike = self.tracks_alike(first, second)
            level = weights.level_of(alike, ladder)
            level[alike < 0] = UNKNOWN
            return level
        if name == "fingerprint":
            return self._by_ear(first, second)
        return self._equal(name, first, second)

    def _by_ear(self, first: Ints, second: Ints) -> Levels:
        """The level of acoustic fingerprints by how many of their bits differ."""
        found = np.full(len(first), UNKNOWN, np.int8)
        at = np.flatnonzero(self._printed[first] & self._printed[second])
        rates = (bit_error_rate(self._prints[first[n]], self._prints[second[n]]) for n in at)
        errors = np.array([np.nan if rate is None else rate for rate in rates], np.float32)
        known = ~np.isnan(errors)
        found[at[known]] = weights.level_of(-errors[known], CLAIMS["fingerprint"])
        return found

    def _equal(self, name: str, first: Ints, second: Ints) -> Levels:
        """0 for equal values, the last level for different ones; no version is one as well."""
        values = self._other[name]
        level: Levels = (values.numbers[first] != values.numbers[second]).astype(np.int8)
        there = values.known[first] & values.known[second]
        if name == "position":
            there &= self._on[first] == self._on[second]
        if name == "numbers":
            apart = level == 1
            later = self._later[first[apart]] | self._later[second[apart]]
            level[apart] = np.where(there[apart], 3, np.where(later, 2, 1))
        elif name != "version":
            level[~there] = UNKNOWN
        return level

    def tracks_alike(self, first: Ints, second: Ints) -> Floats:
        """Weighted share of words in common, 0 to 1; -1 where one has no tracks."""
        assert self.tracks is not None
        bits, lists = self._track_bits, self.tracks
        parts = []
        for start in range(0, len(first), _AT_ONCE):
            one, other = first[start : start + _AT_ONCE], second[start : start + _AT_ONCE]
            both = shared(lists, one, lists, other, bits)
            mine, theirs = total(lists, one, bits), total(lists, other, bits)
            alike = both / np.maximum(mine + theirs - both, 1e-3)
            # A list of which only some was written down is all in the other.
            whole = both >= weights.WHOLE * np.minimum(mine, theirs)
            alike[whole] = np.maximum(alike[whole], weights.TRACKS[weights.LISTED].at_least)
            alike[(lists.sizes(one) == 0) | (lists.sizes(other) == 0)] = -1
            lost = self._garbled_tracks[one] | self._garbled_tracks[other]
            alike[lost & (alike < weights.TRACKS[0].at_least)] = -1
            parts.append(alike)
        return np.concatenate(parts) if parts else np.zeros(0, np.float32)

    def tracks_shared(self, first: Ints, second: Ints) -> Floats:
        """Bits of the words of tracks that both have."""
        assert self.tracks is not None
        return shared(self.tracks, first, self.tracks, second, self._track_bits)

    def counted_us(self) -> dict[str, Floats]:
        """u of each level of the claims that are not names, counted on random pairs."""
        chance = np.random.default_rng(_SEED)
        first = chance.integers(0, max(self.count, 1), RANDOM_PAIRS)
        second = chance.integers(0, max(self.count, 1), RANDOM_PAIRS)
        differ = first != second
        first, second = first[differ], second[differ]
        us = {}
        for name, ladder in CLAIMS.items():
            if name in weights.NOT_COUNTED or self.count < weights.FEWEST_RECORDS:
                us[name] = np.array([level.u for level in ladder], np.float32)
            elif name not in weights.NAMES:
                us[name] = weights.counted_us(self.level(name, first, second), ladder)
        return us
