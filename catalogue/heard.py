"""What was heard, as typed, to what may be wanted: several readings, none thrown away.

Readings say which words may be the title and which the artist. Politeness at either end ("could
you play … please") is set aside, but kept as one more reading, since titles begin so too. A year
or decade said in passing is noted, and requests that name no record ("you choose") are marked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.asked_in_words import kind_asked
from catalogue.records import Reading, Wanted
from catalogue.search_keys import shortened
from catalogue.spelling import plain

LONGEST_TEXT = 2_000
"""Characters of a request that are read. More is a pasted story, not a request."""

_BEFORE = re.compile(
    r"^(?:(?:please|hello|hi|er+m?|um+|well|oh|so|and)\s+)*"
    r"(?:(?:can|could|would|will|may) (?:you|i|we|she|he) "
    r"(?:(?:please|possibly|kindly) )*(?:play|have|request|"
    r"put on|find|get)(?: (?:me|us))?|(?:can|could|may) (?:i|we|she|he) (?:please )?hear|"
    r"(?:i|we|she|he)(?:'d| would) (?:like|love)(?: to (?:hear|request|have)|(?! to\b))|"
    r"(?:i|we) want to (?:hear|request|have)|(?:she|he) wants to (?:hear|request|have)|"
    r"have you got|do you have|(?:please )?play(?: me| us)?|"
    r"it'?s called|the one (?:called|that goes)|that (?:one|song|record) (?:called|that goes|by)|"
    r"(?:the|a) (?:song|record|tune) called)\s+(?=\S)"
)
_AFTER = re.compile(r"(?<=\S)\s+(?:please|thank you(?: very much)?|thanks|if you have it|ta)$")
_BY = re.compile(r"\s+by\s+")
_BY_TYPED = re.compile(r"\s+by\s+", re.IGNORECASE)
_FROM = re.compile(r"\s+from\s+")
_MARKED = re.compile(r"\s+[-–—]\s+|\s*[/|;\n]\s*|,\s+")
_NO_RECORD = re.compile(
    r"^(?:you (?:choose|pick|decide)|your choice|surprise (?:me|us|him|her)|"
    r"(?:anything|something|whatever)(?: (?:you (?:like|want|choose|have)|at all|nice|cheerful|"
    r"gentle|quiet|slow|lively|old|happy|jolly|romantic|from .+))?|"
    r"(?:a|any|some) (?:song|tune|music|record))$"
)
_ANYTHING_BY = re.compile(
    r"^(?:anything|something|whatever|any(?: song| record| one)?|a (?:song|record)|one|some|"
    r"(?:that|the|this) (?:one|song|record))"
    r"(?: (?:nice|else|old|slow|gentle|quiet))? (?:by|from|of) (?P<artist>\S.*)$"
)
_WHEN = re.compile(r"\s+(?:from|of|in) (?:the )?(?:early |late )?(?:\d{4}|\S*ies|(?:\d\d)?\d0'?s)$")
ANYTHING_BY = "anything by"
"""How a reading is named in which an artist is asked for and no record."""

_YEAR = re.compile(r"\b(1[89]\d\d|20\d\d)(?!'s)\b")
_DECADE = re.compile(
    r"\b(?:(?P<century>18|19|20)?(?P<tens>[0-9]0)'?s|(?P<word>twent|thirt|fort|fift|sixt|sevent|"
    r"eight|ninet)ies)\b"
)
_TENS = {"twent": 20, "thirt": 30, "fort": 40, "fift": 50, "sixt": 60, "sevent": 70,
         "eight": 80, "ninet": 90}  # fmt: skip
_ANY_DATE = (
    r"(?:the\s+)?(?:(?:early|late|mid)[\s-]+)?(?:(?:18|19|20)\d\d(?!')|(?:18|19|20)?\d0'?s|"
    r"(?:nineteen\s+)?(?:twent|thirt|fort|fift|sixt|sevent|eight|ninet)ies)"
)
_DATED = re.compile(
    rf"\s+(?:from|in|around|about)\s+{_ANY_DATE}(?=\W|$)|(?<=\S)[\s,]+{_ANY_DATE}\W*$",
    re.IGNORECASE,
)
"""A year or decade with "from" and the like, or at the end."""

VERSION_WORDS = re.compile(
    r"\b(live|acoustic|instrumental|karaoke|remix|unplugged|mono|reprise|demo|edit|mix|session)\b"
)
"""Words that mark a version, in what is said as in what is held."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What was typed: all in `text`, or `title` and `artist` where they were heard apart."""

    text: str = ""
    title: str = ""
    artist: str = ""

    @property
    def whole(self) -> str:
        """Everything typed, in one line."""
        return " ".join(part for part in (self.text, self.title, self.artist) if part.strip())


def understand(heard: Heard) -> Wanted:
    """All readings of what was heard, the likeliest first. Any text at all is taken."""
    title, artist = heard.title[:LONGEST_TEXT], heard.artist[:LONGEST_TEXT]
    text = heard.text[:LONGEST_TEXT]
    if (title.strip() or artist.strip()) and not text.strip():
        typed = words = shortened(f"{plain(title)} {plain(artist)}".strip())
        readings: tuple[Reading, ...] = (
            Reading(plain(title), plain(artist), "two fields"),
            Reading(words, "", "title alone"),
        )
        text = f"{title} {artist}"
    else:
        if title.strip() or artist.strip():
            text = f"{text} {title} {artist}"
        typed = shortened(_signs_named(text))
        words = shortened(_without_politeness(_signs_named(text)))
        readings = tuple(_readings(text, words, typed))
    said = f"{plain(title)} by {plain(artist)}" if title and artist and not heard.text else words
    no_record, anything_by = (
        bool(_NO_RECORD.match(words)) or kind_asked(words) is not None,
        _ANYTHING_BY.match(said) or _ANYTHING_BY.match(typed) or _kind_by(said),
    )
    year_from, year_to = _years(plain(text))
    if anything_by:
        no_record = True
        artist = _WHEN.sub("", anything_by["artist"])
        if not _years(artist)[0] and kind_asked(words) is None:
            readings = (Reading("", artist, ANYTHING_BY), *readings)
    version = VERSION_WORDS.search(words)
    undated = Heard(*(_DATED.sub("", part) for part in (heard.text, heard.title, heard.artist)))
    said_in_passing = year_from is not None and undated != heard and undated.whole.strip()
    return Wanted(
        heard=words,
        readings=readings,
        year_from=year_from,
        year_to=year_to,
        version=version.group(1) if version else "",
        names_no_record=no_record,
        typed=typed,
        undated=understand(undated) if said_in_passing else None,
    )


def _kind_by(words: str) -> re.Match[str] | None:
    """The artist, where a kind is asked for and not a record: "a slow one by the Sluices"."""
    by = _BY_ARTIST.match(words)
    return by if by and kind_asked(by["kind"]) is not None else None


_BY_ARTIST = re.compile(r"^(?P<kind>.+?) by (?P<artist>\S.*)$")


def _signs_named(text: str) -> str:
    """Plain words; a title of signs alone before a "by" is named, as in "?! by The Bargemen"."""
    by = _BY_TYPED.search(text)
    before = text[: by.start()].strip() if by else ""
    if by and before and not any(character.isalnum() for character in before):
        return f"{plain(before)} by {plain(text[by.end() :])}"
    return plain(text)


def _without_politeness(words: str) -> str:
    """The words without politeness at either end, unless nothing else was said."""
    bare = _BEFORE.sub("", words)
    while (shorter := _AFTER.sub("", bare)) != bare:
        bare = shorter
    return bare or words


def _readings(text: str, words: str, typed: str) -> Iterator[Reading]:
    """Splits at "by", at marks, at "from", no split at all, and as typed; each once."""
    seen: set[tuple[str, str]] = set()
    splits: list[tuple[str, str, str]] = []
    by = list(_BY.finditer(words))
    for found in reversed(by):
        splits.append((words[: found.start()], words[found.end() :], "title by artist"))
    text = text.strip()
    marks = list(_MARKED.finditer(text))
    if len(marks) == 1:
        left, right = plain(text[: marks[0].start()]), plain(text[marks[0].end() :])
        left_said, right_said = _without_politeness(left), _without_politeness(right)
        splits.append((left_said, right_said, "title, artist"))
        splits.append((right_said, left_said, "artist, title"))
        splits += [(left, right, "as typed"), (right, left, "as typed")]
    splits += [(words[: f.start()], words[f.end() :], "from") for f in _FROM.finditer(words)][:1]
    if typed != words:
        for found in reversed(list(_BY.finditer(typed))):
            splits.append((typed[: found.start()], typed[found.end() :], "as typed"))
    for title, artist, how in splits:
        if title and artist and (title, artist) not in seen:
            seen.add((title, artist))
            yield Reading(title, artist, how)
    yield Reading(words, "", "title alone")


def years_in(text: str) -> tuple[int | None, int | None]:
    """The first and last year of a year or decade written freely; a bare number of two digits is
    a decade here.

    >>> years_in("about 1961"), years_in("the sixties"), years_in("60"), years_in("long ago")
    ((1961, 1961), (1960, 1969), (1960, 1969), (None, None))
    """
    words = plain(text) if text.strip() else ""
    return _years(_TWO_DIGITS.sub(lambda found: f"{found[1]}0s", words))


_TWO_DIGITS = re.compile(r"\b([1-9])\d\b(?!'?s)")


def _years(words: str) -> tuple[int | None, int | None]:
    """The year or decade named, as first and last year; a bare number such as "99" is neither."""
    year = _YEAR.search(words)
    if year:
        return int(year.group()), int(year.group())
    decade = _DECADE.search(words)
    if not decade:
        return None, None
    if decade["word"]:
        start = 1900 + _TENS[decade["word"]]
    else:
        tens = int(decade["tens"])
        # "The 20s" are the twenties of people's parents; only tens and noughts are of this century.
        century = decade["century"] or ("20" if tens < 20 else "19")
        start = int(century) * 100 + tens
    return start, start + 9
