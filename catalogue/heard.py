"""What was heard, as typed, to what may be wanted: several readings, none thrown away.

The words themselves stay as they are; readings only say which of them may be the title and
which the artist. Politeness at either end ("could you play … please") is set aside, a year or
decade said in passing is noted, and requests that name no record ("you choose") are marked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.records import Reading, Wanted
from catalogue.search_keys import LONGEST_HEARD
from catalogue.spelling import plain

LONGEST_TEXT = 2_000
"""Characters of a request that are read. More is a pasted story, not a request."""

_BEFORE = re.compile(
    r"^(?:(?:please|hello|hi|er+m?|um+|well|oh|so|and)\s+)*"
    r"(?:(?:can|could|would|will|may) (?:you|i|we|she|he) (?:please )?(?:play|have|hear|request|"
    r"put on|find|get)(?: (?:me|us|him|her))?|(?:i|we|she|he)(?:'d| would|'ll)? (?:like|love|want|"
    r"wants)(?: to (?:hear|request|have))?|have you got|do you have|(?:please )?play(?: me| us)?|"
    r"it'?s called|the one (?:called|that goes)|that (?:one|song|record) (?:called|that goes|by)|"
    r"(?:the|a) (?:song|record|tune) called)\s+(?=\S)"
)
_AFTER = re.compile(r"(?<=\S)\s+(?:please|thank you(?: very much)?|thanks|if you have it|ta)$")
_BY = re.compile(r"\s+by\s+")
_FROM = re.compile(r"\s+from\s+")
_MARKED = re.compile(r"\s+[-–—]\s+|\s*[/|;\n]\s*|,\s+")
_NO_RECORD = re.compile(
    r"^(?:you (?:choose|pick|decide)|your choice|surprise (?:me|us|him|her)|"
    r"(?:anything|something|whatever)(?: (?:you (?:like|want|choose|have)|at all|nice|cheerful|"
    r"gentle|quiet|slow|lively|old|happy|jolly|romantic|from .+))?|"
    r"(?:a|any|some) (?:hymn|carol|waltz|song|tune|music|dance|march|lullaby|shanty))$"
)
_ANYTHING_BY = re.compile(
    r"^(?:anything|something|whatever|any(?: song| record| one)?|a (?:song|record)|one|some)"
    r"(?: (?:nice|else|old|slow|gentle|quiet))? (?:by|from|of) (?P<artist>\S.*)$"
)
_YEAR = re.compile(r"\b(1[89]\d\d|20\d\d)\b")
_DECADE = re.compile(
    r"\b(?:(?P<century>18|19|20)?(?P<tens>[0-9]0)'?s|(?P<word>twent|thirt|fort|fift|sixt|sevent|"
    r"eight|ninet)ies)\b"
)
_TENS = {"twent": 20, "thirt": 30, "fort": 40, "fift": 50, "sixt": 60, "sevent": 70,
         "eight": 80, "ninet": 90}  # fmt: skip
_VERSION = re.compile(r"\b(live|acoustic|instrumental|karaoke|remix|unplugged|mono|reprise)\b")


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
        words = _shortened(f"{plain(title)} {plain(artist)}".strip())
        readings: tuple[Reading, ...] = (
            Reading(plain(title), plain(artist), "two fields"),
            Reading(words, "", "title alone"),
        )
        text = f"{title} {artist}"
    else:
        if title.strip() or artist.strip():
            text = f"{text} {title} {artist}"
        words = _shortened(_without_politeness(plain(text)))
        readings = tuple(_readings(text, words))
    no_record, anything_by = bool(_NO_RECORD.match(words)), _ANYTHING_BY.match(words)
    year_from, year_to = _years(plain(text))
    if anything_by:
        no_record = True
        if not _years(anything_by["artist"])[0]:
            readings = (Reading("", anything_by["artist"], "anything by"), *readings)
    version = _VERSION.search(words)
    return Wanted(
        heard=words,
        readings=readings,
        year_from=year_from,
        year_to=year_to,
        version=version.group(1) if version else "",
        names_no_record=no_record,
    )


def _shortened(words: str) -> str:
    return " ".join(words.split()[:LONGEST_HEARD])


def _without_politeness(words: str) -> str:
    """The words without politeness at either end, unless nothing else was said."""
    bare = _BEFORE.sub("", words)
    while (shorter := _AFTER.sub("", bare)) != bare:
        bare = shorter
    return bare or words


def _readings(text: str, words: str) -> Iterator[Reading]:
    """Splits at "by", at marks, at "from", and no split at all; each once."""
    seen: set[tuple[str, str]] = set()
    splits: list[tuple[str, str, str]] = []
    by = list(_BY.finditer(words))
    for found in reversed(by):
        splits.append((words[: found.start()], words[found.end() :], "title by artist"))
    marks = list(_MARKED.finditer(text.strip()))
    if len(marks) == 1:
        left = _without_politeness(plain(text.strip()[: marks[0].start()]))
        right = _without_politeness(plain(text.strip()[marks[0].end() :]))
        splits.append((left, right, "title, artist"))
        splits.append((right, left, "artist, title"))
    splits += [(words[: f.start()], words[f.end() :], "from") for f in _FROM.finditer(words)][:1]
    for title, artist, how in splits:
        if title and artist and (title, artist) not in seen:
            seen.add((title, artist))
            yield Reading(title, artist, how)
    yield Reading(words, "", "title alone")


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
        century = decade["century"] or ("20" if tens < 30 else "19")
        start = int(century) * 100 + tens
    return start, start + 9
