"""A request that names no record but says what it should be: "a hymn", "something lively".

Every word must be one that tells of a sort of music, a pace, a mood, a voice, a language or a
time, or one that tells nothing ("a nice old … please"): one word beyond, and it may be a title.
"""

from __future__ import annotations

import re
from typing import Any

from catalogue import genres
from catalogue.basis import Basis, Pace
from catalogue.records import Voice

_ANY = frozenset(
    "something anything whatever some any a an one the bit of piece little record song songs tune "
    "tunes music number good nice lovely old older really very quite please for to sing sung along "
    "dance dancing with it that is i you we us me like want choose have got from".split()
)
"""Words that tell nothing of what it should be (common practice, no source)."""

_BEGINS = re.compile(
    r"^(?:something|anything|whatever|some|any|a bit of|a piece of|an?|one)\b", re.IGNORECASE
)
"""How such a request begins; "Quick March" alone may be a title."""

_PACES = {
    Pace.SLOW: "slow slower slowish",
    Pace.QUICK: "quick quicker fast faster brisk",
}
_MOODS = {
    genres.GENTLE: "gentle quiet soft soothing calm peaceful restful relaxing romantic sad tender",
    genres.LIVELY: "lively cheerful cheery happy jolly bright upbeat bouncy rousing merry fun",
}
_VOICES = (
    (Voice.GROUP, r"\b(?:by a group|(?:by a )?(?:male voice |ladies |childrens )?choirs?)\b"),
    (Voice.WOMAN, r"\b(?:by a |a )?(?:woman|lady|girl|female)(?: singer)?\b"),
    (Voice.MAN, r"\b(?:by a |a )?(?:man|gentleman|male)(?: singer)?\b"),
    (Voice.NONE, r"\b(?:without|no) (?:words|singing|voices?)\b|\binstrumental\b"),
)  # fmt: skip
_LANGUAGES = (
    "english welsh irish gaelic scots french german italian spanish portuguese dutch polish "
    "latin greek hindi punjabi urdu bengali norwegian swedish danish finnish russian hebrew "
    "yiddish arabic turkish cornish manx breton"
).split()
_IN_LANGUAGE = re.compile(rf"\b(?:in|sung in) ({'|'.join(_LANGUAGES)})\b")
_WHEN = re.compile(
    r"\b(?:from|of|in|about|around)?\s*(?:the )?(?:early |late |mid )?"
    r"(?:(?:18|19|20)\d\d(?:'?s)?|\d0'?s|(?:twent|thirt|fort|fift|sixt|sevent|eight|ninet)ies)\b"
)
_FOR = re.compile(
    r"\bfor (?:(?:a|an|the|my|our|his|her|their|your) )?(?:[\w']+ ){0,2}?"
    r"(birthday|anniversary|wedding|funeral)\b"
)
_OCCASION_OF = {"wedding": "anniversary", "funeral": "in memory"}
"""Words for an occasion of the list, where they are not its own."""

_LONGEST_SORT = 4
"""Words in the longest sort of music, as "country and western"."""


def kind_asked(words: str) -> Basis | None:
    """What a request in plain words asks for by its kind; None if it may name a record.

    The time is told apart (`heard.py` reads years), so `year` is never set.

    >>> kind_asked("a nice hymn").genre, kind_asked("a hymn to the sea")
    ('hymn', None)
    """
    if not _BEGINS.match(words):
        return None
    rest = _WHEN.sub(" ", words)
    found: dict[str, Any] = {}
    if spoken := _IN_LANGUAGE.search(rest):
        found["language"] = spoken[1].capitalize()
        rest = _IN_LANGUAGE.sub(" ", rest)
    if why := _FOR.search(rest):
        found["occasion"] = _OCCASION_OF.get(why[1], why[1])
        rest = _FOR.sub(" ", rest)
    for voice, pattern in _VOICES:
        if re.search(pattern, rest) and "voice" not in found:
            found["voice"] = voice
            rest = re.sub(pattern, " ", rest)
    left = rest.split()
    while left:
        sort = next((n for n in range(_LONGEST_SORT, 0, -1) if _is_sort(left[:n])), 0)
        if sort and not (sort == 1 and left[0] in _TOLD):
            found.setdefault("genre", " ".join(left[:sort]))
        elif left[0] in _TOLD:
            found.setdefault(*_TOLD[left[0]])
        elif left[0] in _LANGUAGES:
            found.setdefault("language", left[0].capitalize())
        elif left[0] not in _ANY:
            return None
        left = left[max(1, sort) :]
    return Basis(**found)


def kind_said(words: str) -> Basis:
    """What is said of the kind, of all the words or of those before "by"; nothing for neither.

    >>> str(kind_said("a slow one by ann oke").pace), kind_said("my lantern") == Basis()
    ('slow', True)
    """
    before, by, _ = words.partition(" by ")
    return kind_asked(words) or (by and kind_asked(before)) or Basis()


_TOLD: dict[str, tuple[str, str]] = {
    **{word: ("pace", pace) for pace, words in _PACES.items() for word in words.split()},
    **{word: ("mood", mood) for mood, words in _MOODS.items() for word in words.split()},
}


def _is_sort(words: list[str]) -> bool:
    """Whether these words together are a sort of music, and no word that tells nothing."""
    text = " ".join(words)
    return text not in _ANY and genres.is_sort(text)
