"""What a recording shares with the one asked for: each trait with its kind, worth and reason.

Traits are summed and decide nothing alone. What is only weighed (years, tempo, length, feel) is
not always said: a reason is given where it can be said truly and simply.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from catalogue import genres, occasions
from catalogue.asked_outright import SAME_TIME, sort_alike
from catalogue.basis import Basis, Pace, pace_of
from catalogue.likeness import lengths_alike, tempos_alike, years_alike
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Recording, Voice
from catalogue.related_artists import NOBODY, Related, Tie
from catalogue.song_identity import chance_one_song, same_writer
from catalogue.spelling import plain
from catalogue.stand_in_lessons import Tally
from catalogue.worth import Worth

SAME_SONG, SAME_ARTIST, SAME_WRITER = "same song", "same artist", "same writer"
RELATED_ARTIST = "related artist"
SAME_YEARS, SAME_FEEL, ASKED_FOR_HERE = "same years", "same feel", "asked for here"
SAME_TITLE, ON_OUR_SHELVES = "same title", "on our shelves"
KINDS = (
    SAME_SONG, SAME_ARTIST, RELATED_ARTIST, SAME_WRITER, SAME_TITLE, SAME_YEARS, SAME_FEEL,
    ASKED_FOR_HERE, ON_OUR_SHELVES,
)  # fmt: skip
"""What a stand-in has in common with what was asked for, nearest first."""

_LIKELY_ONE_SONG = 0.5
"""Chance from which a record of one title is offered as the same song, with the caution."""

_MAYBE_ONE_SONG = 0.05
"""Chance from which it is offered for its title alone: the caller may know it. Below are titles of
a word or two that everybody uses."""

_SHORTEST_S = 40.0
"""Seconds below which a sound is a jingle or a piece of a record, and no record (common practice,
no source)."""

OFTEN = 2
"""Plays after which "our callers ask for it often" may be said."""

_TIMES_FOR_HALF = 2
"""Takings or refusals after which a lesson is worth half of its most: once may be a whim."""

_PACE_MIDDLE, _PACE_STEEPNESS = 102.0, 0.15
"""Beats a minute between slow and quick, and the doublings over which one becomes the other: the
middle of the gap in `basis.py`. By judgement."""

_TIE_REASONS = {
    Tie.SINGS_WITH: ReasonKind.SINGS_WITH,
    Tie.SWAPPED_HERE: ReasonKind.ARTIST_SWAPPED_HERE,
    Tie.SHARED_ALBUM: ReasonKind.SHARED_ALBUM,
}


class Trait(NamedTuple):
    """A kind ("" for none), what it is worth, and the reason to say, if it is worth saying."""

    kind: str
    worth: float
    reason: Reason | None = None


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What is looked up once for an offer: the station's books, related artists, the feel of each
    recording (cosine with what was asked for), the seconds left."""

    asked: Mapping[int, int] = field(default_factory=dict)
    for_occasion: Mapping[int, int] = field(default_factory=dict)
    lessons: Mapping[int, Tally] = field(default_factory=dict)
    related: Mapping[int, Related] = field(default_factory=dict)
    of_song: frozenset[int] = frozenset()
    feel: Mapping[int, float] = field(default_factory=dict)
    seconds_left: float | None = None


def traits(recording: Recording, basis: Basis, known: Circumstances, worth: Worth) -> list[Trait]:
    """All that this recording shares, and what speaks against it."""
    return [
        *_of_names(recording, basis, known, worth),
        *_of_time(recording, basis, known, worth),
        *_of_sort(recording, basis, worth),
        *_of_this_station(recording, basis, known, worth),
        *_too_long(recording, known, worth),
    ]


def _of_names(
    recording: Recording, basis: Basis, known: Circumstances, worth: Worth
) -> list[Trait]:
    """The song, the artist, artists who belong to it, the writer."""
    found: list[Trait] = []
    asked = basis.recording
    if asked and (recording.id in known.of_song or recording.song_id == asked.song_id):
        found += _same_song(asked, recording, worth)
    if recording.artist_id == basis.artist_id and plain(recording.artist) not in NOBODY:
        by = Reason(ReasonKind.BY_SAME_ARTIST, held=recording.artist)
        found.append(Trait(SAME_ARTIST, worth.same_artist, by))
    elif tie := known.related.get(recording.artist_id):
        reason = Reason(_TIE_REASONS[tie.tie], asked.artist if asked else "", recording.artist)
        found.append(Trait(RELATED_ARTIST, worth.related * tie.closeness, reason))
    if asked and recording.composer and same_writer(asked.composer, recording.composer):
        by = Reason(ReasonKind.SAME_WRITER, held=recording.composer)
        found.append(Trait(SAME_WRITER, worth.same_writer, by))
    return found


def _same_song(asked: Recording, recording: Recording, worth: Worth) -> list[Trait]:
    chance = chance_one_song(asked, recording)
    if not chance:
        return []
    value = worth.same_song * chance
    if asked.artist_id == recording.artist_id:
        # The same people's other recording of it: "by somebody else" would not be true.
        version = recording.version
        said = Reason(ReasonKind.VERSION_AGREES, held=version) if version else None
        return [Trait(SAME_SONG, value, said)]
    kind = ReasonKind.SAME_SONG if chance == 1 else ReasonKind.SAME_SONG_TITLE
    likely = SAME_SONG if chance >= _LIKELY_ONE_SONG else SAME_TITLE
    return [
        Trait(
            likely if chance >= _MAYBE_ONE_SONG else "", value, Reason(kind, held=recording.title)
        )
    ]


def _of_time(recording: Recording, basis: Basis, known: Circumstances, worth: Worth) -> list[Trait]:
    """Years, tempo, length and the feel they suggest: smooth."""
    found: list[Trait] = []
    if basis.year is not None and recording.year is not None:
        near = abs(basis.year - recording.year) <= SAME_TIME
        when = Reason(ReasonKind.SAME_YEARS, held=str(recording.year)) if near else None
        value = worth.years * years_alike(basis.year, recording.year)
        found.append(Trait(SAME_YEARS if near else "", value, when))
    if tempo := tempos_alike(basis.tempo, recording.tempo):
        # Said only of tempos equal as written: "about as quick, 60" puzzles who asked for 120.
        same = tempo >= 1 and basis.tempo and recording.tempo and (
            max(basis.tempo, recording.tempo) < 1.5 * min(basis.tempo, recording.tempo)
        )  # fmt: skip
        beats = Reason(ReasonKind.SAME_TEMPO, held=f"{recording.tempo:.0f}") if same else None
        found.append(Trait(SAME_FEEL if tempo >= 1 else "", worth.tempo * tempo, beats))
    if basis.pace is not Pace.UNKNOWN and recording.tempo and recording.tempo > 0:
        own = pace_of(recording.tempo)
        agrees = Reason(ReasonKind.PACE, held=own) if own is basis.pace else None
        value = worth.pace * _paces_alike(basis.pace, recording.tempo)
        found.append(Trait(SAME_FEEL if agrees else "", value, agrees))
    found.append(Trait("", worth.length * lengths_alike(basis.length_s, recording.length_s)))
    found.append(Trait("", worth.feel * known.feel.get(recording.id, 0.0)))
    return found


def _paces_alike(pace: Pace, tempo: float) -> float:
    """How well a tempo goes by the name of slow or quick, 0 to 1, without an edge."""
    beyond = (math.log2(tempo) - math.log2(_PACE_MIDDLE)) / _PACE_STEEPNESS
    quick = (1 + math.tanh(beyond / 2)) / 2
    return quick if pace is Pace.QUICK else 1 - quick


def _of_sort(recording: Recording, basis: Basis, worth: Worth) -> list[Trait]:
    """The sort of music, its mood, the language, who sings."""
    found: list[Trait] = []
    outright = basis.recording is None and bool(basis.genre)
    alike = (
        sort_alike(recording, basis.genre)
        if outright
        else genres.genres_alike(basis.genre, recording.genre)
    )
    if alike:
        kind = ReasonKind.SAME_GENRE if alike == genres.SAME else ReasonKind.SAME_FAMILY
        own = genres.genres_alike(basis.genre, recording.genre) == alike
        sort = recording.genre if own else basis.genre
        found.append(Trait(SAME_FEEL, worth.genre * alike, Reason(kind, held=sort)))
    found += _of_mood(recording, basis, worth)
    if basis.language and basis.language.lower() == recording.language.lower():
        said = Reason(ReasonKind.SAME_LANGUAGE, held=recording.language)
        found.append(Trait("", worth.language, said))
    if basis.voice is not Voice.UNKNOWN and basis.voice is recording.voice:
        found.append(Trait("", worth.voice))
    return found


def _of_mood(recording: Recording, basis: Basis, worth: Worth) -> list[Trait]:
    """Gentle or lively, by the sort of music; where that says nothing, by the tempo, if it was
    asked for outright."""
    mood, own = basis.mood or genres.mood(basis.genre), genres.mood(recording.genre)
    if mood and mood == own:
        said = Reason(ReasonKind.SAME_MOOD, held=mood) if basis.mood else None
        return [Trait(SAME_FEEL if basis.mood else "", worth.mood, said)]
    if own or not basis.mood or not recording.tempo or recording.tempo <= 0:
        return []
    pace = Pace.QUICK if basis.mood == genres.LIVELY else Pace.SLOW
    agrees = pace_of(recording.tempo) is pace and basis.pace is Pace.UNKNOWN
    said = Reason(ReasonKind.PACE, held=pace) if agrees else None
    return [
        Trait(SAME_FEEL if agrees else "", worth.mood * _paces_alike(pace, recording.tempo), said)
    ]


def _of_this_station(
    recording: Recording, basis: Basis, known: Circumstances, worth: Worth
) -> list[Trait]:
    """What callers here ask for, took or refused in its place, or chose for the occasion."""
    found: list[Trait] = []
    if times := known.asked.get(recording.id, 0):
        often = times >= OFTEN
        said = Reason(ReasonKind.ASKED_FOR_HERE) if often else None
        most = max(known.asked.values())
        value = worth.asked_here * math.log1p(times) / math.log1p(most)
        found.append(Trait(ASKED_FOR_HERE if often else "", value, said))
    if tally := known.lessons.get(recording.id):
        if tally.taken:
            said = Reason(ReasonKind.TAKEN_INSTEAD, held=_times(tally.taken))
            value = worth.taken_instead * _grown(tally.taken)
            found.append(Trait(ASKED_FOR_HERE, value, said))
        if tally.refused:
            said = Reason(ReasonKind.REFUSED_BEFORE, held=_times(tally.refused))
            found.append(Trait("", -worth.refused * _grown(tally.refused), said))
    if recording.id in known.for_occasion:
        suits = Reason(ReasonKind.SUITS_OCCASION, held=basis.occasion)
        found.append(Trait(ASKED_FOR_HERE, worth.occasion, suits))
    return found


def _grown(times: int) -> float:
    """From 0 towards 1 with how often something happened."""
    return times / (times + _TIMES_FOR_HALF)


def _times(times: int) -> str:
    return "once" if times == 1 else "twice" if times == 2 else f"{times} times"


def _too_long(recording: Recording, known: Circumstances, worth: Worth) -> list[Trait]:
    """Longer than what is left of the programme, or too short to be a record."""
    left, length = known.seconds_left, recording.length_s
    if length and length < _SHORTEST_S:
        short = Reason(ReasonKind.TOO_SHORT, held=_minutes(length))
        return [Trait("", -worth.too_long, short)]
    if left is None or not length or length <= left:
        return []
    said = Reason(ReasonKind.TOO_LONG, heard=_minutes(left), held=_minutes(length))
    return [Trait("", -worth.too_long, said)]


def warnings(recording: Recording, basis: Basis, words: Sequence[str], worth: Worth) -> list[Trait]:
    """Words in the title to look at twice: a reason always, further down on a tender occasion."""
    weight = -worth.warned if occasions.is_tender(basis.occasion) else 0.0
    return [
        Trait("", weight, Reason(ReasonKind.WARNING, held=word))
        for word in occasions.warnings_in(recording.title, words, recording.language)
    ]


def _minutes(seconds: float) -> str:
    return f"{int(max(0.0, seconds)) // 60}:{int(max(0.0, seconds)) % 60:02}"
