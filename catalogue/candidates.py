"""A few hundred recordings worth comparing, from the sound index."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

from catalogue.found_names import Found
from catalogue.pronunciations import is_listed
from catalogue.records import Reading, Wanted
from catalogue.search_keys import Keys, keys_of_heard, letters_of
from catalogue.sound import Sound, sound_of
from catalogue.spelling import spoken, without_article

FETCHED_AS_TYPED = 200
"""Names taken besides for the words with the politeness that was set aside from them."""

RAREST_KEYS = 90
"""Keys asked for at most: a long request has more, and its frequent ones cost much."""


class Names(Protocol):
    """Where names are found: a station's `SoundIndex`, or a union of many stations' names."""

    @property
    def fetched(self) -> int:
        """How many names are taken for one request."""
        ...

    def search(self, keys: Keys, limit: int, rarest: int) -> Found:
        """The `limit` best names by BM25 of the `rarest` keys."""
        ...

    def rarities(self, words: Sequence[str]) -> list[float]:
        """For each plain word the log of how many names there are for each that has it."""
        ...


@dataclass(frozen=True, slots=True)
class Asked:
    """What was heard, made ready for comparing.

    `joined` is the sound of the words with a "by" between title and artist left out; `fields`
    are the readings that tell title and artist apart, with their sounds. `letters` are the
    words without gaps, `unlisted` is the share of the words that no dictionary has: slips of the
    hand make such words, mishearing does not. `typed` are the words before politeness was set
    aside: a title may begin with "Play" or "Can You". `spelt` are both without a leading article.
    """

    words: str
    sound: Sound
    joined: Sound
    letters: str = ""
    unlisted: float = 0.0
    typed: str = ""
    spelt: frozenset[str] = frozenset()
    fields: tuple[tuple[Reading, Sound, Sound], ...] = ()


@lru_cache(maxsize=8)
def asked_for(wanted: Wanted) -> Asked:
    """The sounds of what is wanted; kept while one enquiry asks for them again."""
    sound = sound_of(wanted.heard)
    by = next((r for r in wanted.readings if r.how == "title by artist"), None)
    joined = sound_of(f"{by.title} {by.artist}") if by else sound
    fields = tuple(
        (reading, sound_of(reading.title), sound_of(reading.artist))
        for reading in wanted.readings
        if reading.artist and reading.title
    )
    words = spoken(wanted.heard).split()
    unlisted = sum(not is_listed(word) for word in words) / max(1, len(words))
    spelt = frozenset(map(without_article, (wanted.heard, wanted.typed)))
    return Asked(
        wanted.heard, sound, joined, letters_of(wanted.heard), unlisted, wanted.typed, spelt, fields
    )


def candidates(index: Names, asked: Asked) -> Found:
    """The names that share the most telling keys with what was heard.

    A recording appears once for each of its names that was found.
    """
    if not asked.words:
        return Found.nothing()
    found = index.search(keys_of_heard(asked.words, asked.sound), index.fetched, RAREST_KEYS)
    if asked.typed and asked.typed != asked.words:
        keys = keys_of_heard(asked.typed, sound_of(asked.typed))
        found = found.followed_by(index.search(keys, FETCHED_AS_TYPED, RAREST_KEYS))
    return found
