"""Why people ask: words for the person at the phone, and which titles to look at twice.

Nothing is said here about which music suits which occasion: no such thing is known, and no
music heals. A word of warning is shown to a person, who decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from catalogue.spelling import plain

_TENDER = ("get well", "in memory", "homesick")
"""Occasions where a misplaced title hurts most (common practice, no source)."""

_WORDS: dict[str, str] = {
    "birthday": "Ask whose birthday it is, and how to say the name.",
    "anniversary": "Ask whose it is and how many years, if they like to say.",
    "get well": "Wish them well. Do not ask what the illness is.",
    "thank you": "Ask who is being thanked, and what for.",
    "in memory": "Take your time. Ask for the name, and how to say it; nothing more is needed.",
    "homesick": "Ask what they miss, if they like to tell.",
    "just because": "No reason is needed.",
}
_OTHERWISE = "Ask what it is for, if they like to say."


def words_about(occasion: str) -> str:
    """A sentence for the person at the phone about this occasion."""
    return _WORDS.get(occasion.strip().lower(), _OTHERWISE)


def is_tender(occasion: str) -> bool:
    """Whether a word in a title deserves a second look all the more."""
    return occasion.strip().lower() in _TENDER


_OTHER_WORDS = {"german": frozenset({"die", "hell"}), "danish": frozenset({"die"})}
"""Words that are something harmless in another language: "die" is an article, "hell" is bright."""


def warnings_in(title: str, words: Iterable[str], language: str = "") -> list[str]:
    """Which of these words or phrases are in the title, as whole words, however spelt.

    `language` is the recording's, by its English name; what is harmless there is no warning.

    >>> warnings_in("Über die Brücke", ["die"], "German"), warnings_in("To Die For", ["die"])
    ([], ['die'])
    >>> warnings_in("Dying for a Biscuit", ["die", "dying"])
    ['dying']
    >>> warnings_in("The Shell Collector", ["hell"])
    []
    """
    said = _said(title)
    harmless = _OTHER_WORDS.get(language.casefold(), frozenset())
    return [word for word, key in _keys(tuple(words)) if f" {key} " in said and key not in harmless]


@lru_cache(maxsize=8192)
def _said(title: str) -> str:
    """The plain words of a title, between spaces; the same titles are offered all evening."""
    return f" {plain(title)} "


@lru_cache(maxsize=32)
def _keys(words: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Each word with its plain form; a station's list is asked about hundreds of titles."""
    return tuple((word, key) for word in words if (key := plain(word)))
