"""Reasons, and the one place where a reason becomes a sentence to say aloud.

A score never travels without its reason: each `Reason` keeps its kind and the two values
compared, what was heard and what is held. `sentence` is what the searcher reads.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class ReasonKind(StrEnum):
    """The claim a reason makes. For matches first, then for stand-ins."""

    SAME_TITLE = "same title"
    SAME_ARTIST = "same artist"
    TITLE_SOUNDS_ALIKE = "title sounds alike"
    ARTIST_SOUNDS_ALIKE = "artist sounds alike"
    TITLE_SPELT_ALIKE = "title spelt alike"
    ARTIST_SPELT_ALIKE = "artist spelt alike"
    WHOLE_SOUNDS_ALIKE = "whole sounds alike"
    TITLE_NOT_HEARD = "title not heard"
    ARTIST_NOT_HEARD = "artist not heard"
    KNOWN_AS = "known as"
    HEARD_BEFORE = "heard before"
    YEAR_AGREES = "year agrees"
    YEAR_DIFFERS = "year differs"
    VERSION_AGREES = "version agrees"
    OTHERS_AS_NEAR = "others as near"

    SAME_SONG = "same song"
    SAME_SONG_TITLE = "same song title"
    BY_SAME_ARTIST = "by same artist"
    SAME_WRITER = "same writer"
    SAME_YEARS = "same years"
    SAME_TEMPO = "same tempo"
    SAME_GENRE = "same genre"
    ASKED_FOR_HERE = "asked for here"
    SINGS_WITH = "sings with"
    SHARED_ALBUM = "shared album"
    ARTIST_SWAPPED_HERE = "artist swapped here"
    TAKEN_INSTEAD = "taken instead"
    REFUSED_BEFORE = "refused before"
    SAME_FAMILY = "same family"
    SAME_MOOD = "same mood"
    SAME_LANGUAGE = "same language"
    PACE = "pace"
    TOO_LONG = "too long"
    TOO_SHORT = "too short"
    SUITS_OCCASION = "suits occasion"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Reason:
    """One claim and the two values it rests on: what was heard (or asked), what is held."""

    kind: ReasonKind
    heard: str = ""
    held: str = ""


_SENTENCES: dict[ReasonKind, str] = {
    ReasonKind.SAME_TITLE: "the title is “{held}”, as you typed it",
    ReasonKind.SAME_ARTIST: "the artist is {held}, as you typed it",
    ReasonKind.TITLE_SOUNDS_ALIKE: "you typed “{heard}”, we know “{held}”: sounds alike",
    ReasonKind.ARTIST_SOUNDS_ALIKE: "you typed “{heard}”, we know {held}: sounds alike",
    ReasonKind.TITLE_SPELT_ALIKE: "you typed “{heard}”, we know “{held}”: nearly the same letters",
    ReasonKind.ARTIST_SPELT_ALIKE: "you typed “{heard}”, we know {held}: nearly the same letters",
    ReasonKind.WHOLE_SOUNDS_ALIKE: "said together, “{heard}” sounds like “{held}”",
    ReasonKind.TITLE_NOT_HEARD: "the title “{held}” was not clearly heard",
    ReasonKind.ARTIST_NOT_HEARD: "no artist was clearly heard; this one is by {held}",
    ReasonKind.KNOWN_AS: "“{heard}” is another name for {held}",
    ReasonKind.HEARD_BEFORE: "“{heard}” has meant “{held}” before",
    ReasonKind.YEAR_AGREES: "the year {held} fits",
    ReasonKind.YEAR_DIFFERS: "you said {heard}, this one is from {held}",
    ReasonKind.VERSION_AGREES: "it is the {held} version",
    ReasonKind.OTHERS_AS_NEAR: "others come as near, so ask which",
    ReasonKind.SAME_SONG: "the same song, “{held}”, by somebody else",
    ReasonKind.SAME_SONG_TITLE: "a song of the same name, “{held}”; it may not be the same song",
    ReasonKind.BY_SAME_ARTIST: "also by {held}",
    ReasonKind.SAME_WRITER: "also written by {held}",
    ReasonKind.SAME_YEARS: "from about the same time, {held}",
    ReasonKind.SAME_TEMPO: "about as quick, {held} beats a minute",
    ReasonKind.SAME_GENRE: "the same kind of music, {held}",
    ReasonKind.ASKED_FOR_HERE: "our callers ask for it often",
    ReasonKind.SINGS_WITH: "by {held}, who sings with people of the one asked for",
    ReasonKind.SHARED_ALBUM: "by {held}, who is on a record with the one asked for",
    ReasonKind.ARTIST_SWAPPED_HERE: "callers here took {held} in place of that artist before",
    ReasonKind.TAKEN_INSTEAD: "callers here took it in place of that one, {held}",
    ReasonKind.REFUSED_BEFORE: "callers here refused it in place of that one, {held}",
    ReasonKind.SAME_FAMILY: "much the same kind of music, {held}",
    ReasonKind.SAME_MOOD: "a {held} one",
    ReasonKind.SAME_LANGUAGE: "also in {held}",
    ReasonKind.PACE: "a {held} one",
    ReasonKind.TOO_LONG: "it lasts {held}, and {heard} is left of the programme",
    ReasonKind.TOO_SHORT: "it lasts only {held}",
    ReasonKind.SUITS_OCCASION: "others chose it for {held}",
    ReasonKind.WARNING: "take care: “{held}” is in the title",
}


def sentence(reason: Reason) -> str:
    """The reason in words that can be said aloud; no full stop, no capital.

    >>> sentence(Reason(ReasonKind.YEAR_AGREES, held="1958"))
    'the year 1958 fits'
    """
    return _SENTENCES[reason.kind].format(heard=reason.heard, held=reason.held)
