"""The evidence about pairs of records: levels of every claim, and their weight in bits.

Three readings of the names are weighed and the likeliest is taken: each field with its own,
title and artist changed places, and names run together in one field.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalogue import pair_weights as weights
from catalogue.claimed import UNKNOWN, Claimed
from catalogue.comparisons import pairs_alike
from catalogue.described import NOBODY, Described
from catalogue.evidence import Evidence, Levels, joined
from catalogue.name_columns import Names, frequencies, names_alike, other_words
from catalogue.pair_among import Among
from catalogue.pair_weights import CLAIMS, Floats
from catalogue.sound import sound_of
from catalogue.word_lists import Ints, Vocabulary, information, shared, total

WORTH_WEIGHING = 0.6
"""Plain ratio of all words of title and artist, in alphabetical order, from which a pair is
weighed; or, for records with tracks, the least level of tracks that counts for it."""

HEARD_FROM = 0.6
SOUNDS_SAME = 0.94
"""Names alike in letters from the first on are compared by sound; from the second on in sound
they are nearly the same."""

UNDECIDED_BITS = 12.0
"""Only pairs this near to even are compared by sound, which is slow for new words."""

_AT_ONCE = 200_000
"""Pairs weighed at once: some hundred megabytes."""


class Weigher:
    """Weighs pairs of these records; what does not depend on the pair is counted once.

    Where they are a part of more records, `among` has the counts of all of them. `share` of them
    is thought to have a double; `prior` may be set when more is known.
    """

    def __init__(
        self,
        described: Described,
        among: Among | None = None,
        share: float = weights.SHARE_WITH_DOUBLE,
    ) -> None:
        self.described = described
        self.count = among.records if among else len(described)
        self.prior = weights.prior_of(self.count, share)
        self._frequency = {
            name: among.frequency(name, getattr(described, name))
            if among
            else frequencies(getattr(described, name))
            for name in weights.NAMES
        }
        shared_numbers: dict[str, int] = {}
        self._columns = {
            name: Names(getattr(described, name), shared_numbers) for name in weights.NAMES
        }
        self._claimed = Claimed(described)
        self._has_artist = np.array([bool(name) for name in described.artist], bool)
        # "Untitled" by nobody is no title that would tell; and where records of several stations
        # are put together by themselves, nobody is asked: a title alone is too little.
        told = zip(described.tracks, described.title, strict=True)
        self._is_named = self._has_artist | np.array(
            [bool(t) or n in NOBODY for t, n in told], bool
        )
        self._is_named |= among is not None
        both = [" ".join(row) for row in zip(described.title, described.artist, strict=True)]
        self._sorted_words = np.array(
            [*(" ".join(sorted(set(text.split()))) for text in both), None], object
        )[:-1]
        self._vocabulary = Vocabulary()
        lists = self._vocabulary.lists
        self._title_words = lists(described.title)
        self._name_words = lists(described.title, described.artist)
        self._all_words = lists(described.title, described.artist, described.album)
        counts = self._vocabulary.counts(self._all_words)
        if among:
            counts = among.word_counts(self._vocabulary.words())
        self._is_word = (counts >= weights.COMMON_WORD).astype(np.float32)
        self._name_bits = information(counts, max(self.count, weights.WORLD))
        self._us = among.us if among else self._claimed.counted_us()

    def worth_weighing(self, first: Ints, second: Ints) -> NDArray[np.bool_]:
        """Which pairs may be one at all, cheaply."""
        ones, others = self._sorted_words[first].tolist(), self._sorted_words[second].tolist()
        keep = pairs_alike(ones, others, WORTH_WEIGHING) >= WORTH_WEIGHING
        # Where one has no artist its title is compared alone.
        at = np.flatnonzero(~keep & (self._has_artist[first] != self._has_artist[second]))
        texts = self._columns["title"].texts
        ones, others = texts[first[at]].tolist(), texts[second[at]].tolist()
        keep[at] = pairs_alike(ones, others, WORTH_WEIGHING) >= WORTH_WEIGHING
        if self._claimed.tracks is not None:
            keep |= self._claimed.tracks_alike(first, second) >= weights.TRACKS[2].at_least
        for name in ("identifier", "sound"):
            if self._claimed.known(name):
                keep |= self._claimed.level(name, first, second) == 0
        keep |= self._claimed.sound_alike(first, second)
        return keep

    def weigh(self, first: Ints, second: Ints) -> Evidence:
        """The evidence about these pairs of places."""
        parts = [
            self._weigh(first[start : start + _AT_ONCE], second[start : start + _AT_ONCE])
            for start in range(0, max(len(first), 1), _AT_ONCE)
        ]
        return joined(parts)

    def _weigh(self, first: Ints, second: Ints) -> Evidence:
        levels = np.full((len(first), len(CLAIMS)), UNKNOWN, np.int8)
        bits = np.zeros((len(first), len(CLAIMS)), np.float32)
        for place, (name, ladder) in enumerate(CLAIMS.items()):
            if name in weights.NAMES:
                continue
            levels[:, place] = self._claimed.level(name, first, second)
            bits[:, place] = weights.fixed_bits(levels[:, place], ladder, self._us[name])
            if name == "tracks" and self._claimed.tracks is not None:
                told = weights.TOGETHER_SHARE * self._claimed.tracks_shared(first, second)
                bits[:, place] = np.minimum(bits[:, place], told)
        columns = list(CLAIMS)
        at = {name: columns.index(name) for name in columns}
        album = self._names("album", "album", first, second)
        levels[:, at["album"]] = album[0]
        bits[:, at["album"]] = np.minimum(album[1], weights.ALBUM_MOST)
        other = levels[:, at["album"]] != 0
        levels[other, at["position"]], bits[other, at["position"]] = UNKNOWN, 0
        straight = [self._names(name, name, first, second) for name in ("title", "artist")]
        rest = bits.sum(axis=1) + self.prior
        self._by_words(straight[0], first, second)
        self._by_sound("title", straight[0], rest + straight[1][1], first, second)
        self._by_sound("artist", straight[1], rest + straight[0][1], first, second)
        turned = self._turned(first, second, straight)
        together = self._together(first, second, straight)
        sums = np.stack([straight[0][1] + straight[1][1], turned[0][1] + turned[1][1], together])
        sums += np.asarray(weights.READING_BITS, np.float32)[:, None]
        # Run together, the words of an album are among the names, and say nothing twice.
        own_album = np.maximum(bits[:, at["album"]], 0)
        reading = (sums - np.stack([own_album * 0, own_album * 0, own_album])).argmax(axis=0)
        for number, name in enumerate(("title", "artist")):
            for how, found in ((weights.STRAIGHT, straight), (weights.TURNED, turned)):
                here = reading == how
                levels[here, at[name]] = found[number][0][here]
                bits[here, at[name]] = found[number][1][here]
        bits[reading == weights.TURNED, at["title"]] += weights.READING_BITS[weights.TURNED]
        here = reading == weights.RUN_TOGETHER
        levels[here, at["title"]] = levels[here, at["artist"]] = 1
        bits[here, at["title"]] = sums[weights.RUN_TOGETHER][here]
        bits[here, at["album"]] = np.minimum(bits[here, at["album"]], 0)
        self._of_course(levels, bits, at)
        self._of_one_artist(levels, bits, at)
        self._same_beginning(levels, bits, at)
        # An album is of one year: if both agree, that is one thing and not two.
        one_thing = np.minimum(bits[:, at["album"]], bits[:, at["year"]])
        bits[:, at["year"]] -= np.maximum(one_thing, 0)
        # What is on two discs says more than how each of them is called.
        listed = (levels[:, at["tracks"]] >= 0) & (levels[:, at["tracks"]] <= weights.LISTED)
        for name, least in (
            ("numbers", weights.LISTED_LEAST),
            ("version", weights.LISTED_LEAST),
            ("title", weights.LISTED_TITLE_LEAST),
        ):
            bits[listed, at[name]] = np.maximum(bits[listed, at[name]], least)
        reading = reading.astype(np.int8)
        names = bits[:, at["title"]] + bits[:, at["artist"]]
        # What is too much is taken off the title, so that the bits still add up.
        bits[:, at["title"]] -= np.maximum(names + self.prior - weights.NAMES_MOST, 0)
        return Evidence(first, second, levels, bits, reading, bits.sum(axis=1) + self.prior)

    def _of_course(self, levels: Levels, bits: Floats, at: dict[str, int]) -> None:
        """A different title has other numbers, or none, as a matter of course; and that it has
        none, or is no live version, says nothing."""
        level = levels[:, at["title"]]
        unlike = (level >= weights.UNLIKE) | (level == UNKNOWN)
        for name in ("numbers", "version"):
            quiet = unlike & (bits[:, at[name]] > 0)
            if name == "numbers":
                quiet |= unlike & (levels[:, at[name]] == 1)
                quiet |= (level != weights.UNLIKE) & unlike & (levels[:, at[name]] == 2)
            levels[quiet, at[name]], bits[quiet, at[name]] = UNKNOWN, 0

    def _same_beginning(self, levels: Levels, bits: Floats, at: dict[str, int]) -> None:
        """An edit begins like the whole, and a remix may: there an equal sound says nothing."""
        begins = (levels[:, at["version"]] == 1) | (levels[:, at["length"]] == 3)
        begins &= levels[:, at["fingerprint"]] < len(weights.FINGERPRINT) - 1
        levels[begins, at["fingerprint"]], bits[begins, at["fingerprint"]] = UNKNOWN, 0

    def _of_one_artist(self, levels: Levels, bits: Floats, at: dict[str, int]) -> None:
        """Songs and albums in common say less of records of one artist."""
        ladder, us = CLAIMS["tracks"], np.array(weights.TRACKS_OF_ONE_ARTIST, np.float32)
        artist, tracks = levels[:, at["artist"]], levels[:, at["tracks"]]
        one = (artist >= 0) & (artist <= weights.UNLIKE)
        most = weights.ALBUM_OF_ONE_ARTIST
        bits[one, at["album"]] = np.minimum(bits[one, at["album"]], most)
        here = one & (tracks >= 0)
        told = weights.fixed_bits(tracks[here], ladder, us)
        bits[here, at["tracks"]] = np.minimum(bits[here, at["tracks"]], told)

    def _names(self, one: str, other: str, first: Ints, second: Ints) -> tuple[Levels, Floats]:
        """Level and bits of column `one` of the first against column `other` of the second."""
        ladder = CLAIMS[one]
        alike = names_alike(self._columns[one], first, self._columns[other], second, ladder)
        level = weights.level_of(alike, ladder)
        level[alike < 0] = UNKNOWN
        frequency = np.maximum(self._frequency[one][first], self._frequency[other][second])
        alone = self._alone(first, second) if one == other == "title" else None
        return level, weights.name_bits(level, frequency, self.count, ladder, alone)

    def _alone(self, first: Ints, second: Ints) -> NDArray[np.bool_]:
        """Whether the title is all that names one of the two: artist and tracks are unknown."""
        alone: NDArray[np.bool_] = ~(self._is_named[first] & self._is_named[second])
        return alone

    def _by_words(self, title: tuple[Levels, Floats], first: Ints, second: Ints) -> None:
        """Alike titles with other words, not slips of the pen, are one level less alike; those
        that are not alike in the words they do not share, such as the movements of one work, are
        different."""
        self._by_the_rest(title, first, second)
        level, bits = title
        at = np.flatnonzero((level == 1) | (level == 2))
        lists, ones = self._title_words, self._is_word
        for mine, theirs in ((first, second), (second, first)):
            theirs_too = shared(lists, mine[at], lists, theirs[at], ones)
            at = at[total(lists, mine[at], ones) - theirs_too > 0]
        level[at] += 1
        bits[at] = self._bits_of("title", level[at], first[at], second[at])

    def _by_the_rest(self, title: tuple[Levels, Floats], first: Ints, second: Ints) -> None:
        """Titles of which each has a word that is like none of the other's are different.

        Numbers are a claim of their own, and of discs the tracks say more than the title.
        """
        level, bits = title
        alike = (level == 1) | (level == 2)
        if self._claimed.tracks is not None:
            listed = self._claimed.tracks.sizes
            alike &= (listed(first) == 0) | (listed(second) == 0)
        at = np.flatnonzero(alike)
        texts = self._columns["title"].texts
        at = at[other_words(texts[first[at]].tolist(), texts[second[at]].tolist())]
        level[at] = len(CLAIMS["title"]) - 1
        bits[at] = self._bits_of("title", level[at], first[at], second[at])

    def _by_sound(
        self, name: str, found: tuple[Levels, Floats], rest: Floats, first: Ints, second: Ints
    ) -> None:
        """Names that sound the same are nearly the same, however they are spelt."""
        level, bits = found
        at = np.flatnonzero((level >= 2) & (np.abs(rest + bits) < UNDECIDED_BITS))
        texts = self._columns[name].texts
        ones, others = texts[first[at]].tolist(), texts[second[at]].tolist()
        at = at[pairs_alike(ones, others) >= HEARD_FROM]
        mine, theirs = (
            [sound_of(text).phones for text in texts[side[at]]] for side in (first, second)
        )
        at = at[pairs_alike(mine, theirs) >= SOUNDS_SAME]
        level[at] = 1
        bits[at] = self._bits_of(name, level[at], first[at], second[at])

    def _bits_of(self, name: str, level: Levels, first: Ints, second: Ints) -> Floats:
        """Bits of a name at these levels, by how common the more common of the two is."""
        frequency = self._frequency[name]
        common = np.maximum(frequency[first], frequency[second])
        alone = self._alone(first, second) if name == "title" else None
        return weights.name_bits(level, common, self.count, CLAIMS[name], alone)

    def _turned(
        self, first: Ints, second: Ints, straight: Sequence[tuple[Levels, Floats]]
    ) -> list[tuple[Levels, Floats]]:
        """Title against artist and artist against title, where the fields do not agree."""
        level = np.full(len(first), UNKNOWN, np.int8)
        bits = np.full(len(first), -99, np.float32)
        found = [(level.copy(), bits.copy()), (level.copy(), bits.copy())]
        unlike = weights.UNLIKE
        at = np.flatnonzero((straight[0][0] >= unlike) & (straight[1][0] >= unlike))
        title = self._names("title", "artist", first[at], second[at])
        artist = self._names("artist", "title", first[at], second[at])
        # Without both fields there on both sides there is nothing to have changed places.
        both = (title[0] != UNKNOWN) & (artist[0] != UNKNOWN)
        for number, (its_level, its_bits) in enumerate((title, artist)):
            found[number][0][at[both]] = its_level[both]
            found[number][1][at[both]] = its_bits[both]
        return found

    def _together(
        self, first: Ints, second: Ints, straight: Sequence[tuple[Levels, Floats]]
    ) -> Floats:
        """Bits of names whose words are found anywhere in the other's names and album."""
        bits = np.full(len(first), -99, np.float32)
        artist = self._has_artist
        at = np.flatnonzero((straight[1][0] != 0) & (artist[first] | artist[second]))
        if not len(at):
            return bits
        one, other = first[at], second[at]
        told, least = [], np.ones(len(at), np.float32)
        for mine, theirs in ((one, other), (other, one)):
            for words in (self._title_words, self._name_words):
                there = shared(words, mine, self._all_words, theirs, self._name_bits)
                whole = total(words, mine, self._name_bits)
                least = np.minimum(least, there / np.maximum(whole, 1e-3))
            told.append(there)
        found = weights.TOGETHER_SHARE * np.minimum(*told)
        bits[at] = np.where(
            least >= weights.TOGETHER_LEAST,
            np.minimum(found, weights.TOGETHER_MOST),
            weights.TOGETHER_NOT,
        )
        return bits
