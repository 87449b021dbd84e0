"""What to offer when the record asked for cannot go to air: a short varied list, ready now.

Plain indexed queries gather some hundreds of recordings that share something with what is
known of the one asked for; each shared thing is worth a named weight and becomes a reason;
only what is ready is kept; and of that a varied few are picked, one of each kind if there is
one. Everything is offered, nothing decided: a warning is a reason like the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue import availability, occasions, play_log, request_slips, settings
from catalogue.catalogue_rows import recordings
from catalogue.likeness import (
    bare_title,
    same_song_name,
    same_writer,
    tempos_alike,
    varied,
    years_alike,
)
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Available, Readiness, Recording, StandIn, Voice
from catalogue.stand_in_sources import any_held, gather
from catalogue.store import Store

SAME_SONG, SAME_ARTIST, SAME_WRITER = "same song", "same artist", "same writer"
SAME_YEARS, SAME_FEEL, ASKED_FOR_HERE = "same years", "same feel", "asked for here"
ON_OUR_SHELVES = "on our shelves"
KINDS = (
    SAME_SONG, SAME_ARTIST, SAME_WRITER, SAME_YEARS, SAME_FEEL, ASKED_FOR_HERE, ON_OUR_SHELVES,
)  # fmt: skip
"""What a stand-in has in common with what was asked for, nearest first."""

# What each shared thing is worth. By judgement, in the order in which a librarian offers: the
# song itself, its singer, its writer, then its time and feel; to be fitted when stations have
# kept what their callers took.
_WORTH_SAME_SONG = 1.0
_WORTH_SAME_TITLE = 0.6  # often the same song, but the composer is not known
_WORTH_SAME_ARTIST = 0.7
_WORTH_SAME_WRITER = 0.5
_WORTH_YEARS = 0.4
_WORTH_TEMPO = 0.2
_WORTH_GENRE = 0.2
_WORTH_LANGUAGE = 0.15
_WORTH_VOICE = 0.1
_WORTH_ASKED = 0.3  # the strong plain baseline: what is asked for most
_WORTH_TAKEN_INSTEAD = 0.4  # other callers took just this in its place
_WORTH_OCCASION = 0.15
_MOST = 2.5
"""Relevance is divided by this to lie in 0..1: about what the nearest recording adds up to."""

_SAME_TIME = 0.3
"""Years count as "about the same" above this value of the kernel: six years apart."""

_BALANCE = 0.7
"""Of relevance against variety, for maximal marginal relevance: relevance leads (1 would be
relevance alone); within the 0.5 to 0.8 usual for short lists. By judgement."""

_OFTEN = 2
"""Plays after which "our callers ask for it often" may be said."""

_PER_ARTIST = 2
_PER_KIND = 15
"""Recordings of one kind looked at for readiness: enough that five ready ones are among them."""

_LAST_PLAYS = 1_000
_LAST_SLIPS = 1_000
"""How far back asking is counted: about a year of a weekly request show."""

_NO_ARTIST = frozenset({"unknown artist", "unknown", "various", "various artists"})


@dataclass(frozen=True, slots=True)
class Basis:
    """What is known of the record asked for: the recording itself, or its artist, or only what
    the caller can say. `Basis()` is "you choose". `tempo` is in beats a minute."""

    recording: Recording | None = None
    artist_id: int | None = None
    year: int | None = None
    tempo: float | None = None
    genre: str = ""
    language: str = ""
    voice: Voice = Voice.UNKNOWN
    occasion: str = ""

    @classmethod
    def of(cls, recording: Recording, occasion: str = "") -> Basis:
        """All that is known of a recording."""
        return cls(
            recording, recording.artist_id, recording.year, recording.tempo, recording.genre,
            recording.language, recording.voice, occasion,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A recording that shares something: its kind, 0..1 how much, and why."""

    recording: Recording
    kind: str
    relevance: float
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class _Station:
    """What the station's own books say, looked up once for an offer."""

    asked: dict[int, int]
    most_asked: int
    for_occasion: dict[int, int]
    instead: dict[int, int]
    artists_lately: set[int]


def offer(
    store: Store,
    basis: Basis,
    now: datetime,
    *,
    limit: int = 5,
    left_out: frozenset[int] = frozenset(),
    slip_id: int | None = None,
) -> tuple[StandIn, ...]:
    """Up to `limit` recordings that are ready now, nearest kinds first, none of `left_out`.

    Empty only when nothing is ready. Not two of one song, not more than two of one artist.
    """
    station = _station(store, basis, now)
    out = left_out | ({basis.recording.id} if basis.recording else set())
    popular = {**station.asked, **station.for_occasion, **station.instead}
    found = gather(store, basis.recording, basis.artist_id, basis.year, basis.tempo, basis.genre,
                   popular)  # fmt: skip
    held = recordings(store, sorted(found - out))
    candidates = [_judge(recording, basis, station) for recording in held.values()]
    ready = (
        _ready(store, _cut(candidates, station.artists_lately), now, slip_id)
        or _ready(store, candidates, now, slip_id)
        or _anything(store, basis, station, now, out, slip_id)
    )
    words = settings.lines(store, "warning_words")
    return tuple(
        StandIn(one.recording, one.kind, line, (*one.reasons, *_warnings(one.recording, words)))
        for one, line in _pick(ready, limit)
    )


def _station(store: Store, basis: Basis, now: datetime) -> _Station:
    minutes = settings.number(store, "artist_minutes")
    lately = play_log.artists_since(store, now - timedelta(minutes=minutes)) if minutes else set()
    asked = play_log.often_played(store, _LAST_PLAYS)
    return _Station(
        asked,
        max(asked.values(), default=0),
        request_slips.chosen_for(store, basis.occasion, _LAST_SLIPS) if basis.occasion else {},
        request_slips.taken_instead(store, basis.recording.id, _LAST_SLIPS)
        if basis.recording
        else {},
        lately,
    )


def _warnings(recording: Recording, words: list[str]) -> list[Reason]:
    """Words in the title that a person should look at twice before saying yes."""
    found = occasions.warnings_in(recording.title, words)
    return [Reason(ReasonKind.WARNING, held=word) for word in found]


def _judge(recording: Recording, basis: Basis, station: _Station) -> _Candidate:
    """What this recording shares with what is known, what that is worth, and the reasons."""
    parts = [*_shared_names(recording, basis), *_shared_feel(recording, basis)]
    parts += _asked_here(recording, basis, station)
    kinds = [kind for kind, _, _ in parts if kind]
    return _Candidate(
        recording,
        min(kinds, key=KINDS.index, default=ON_OUR_SHELVES),
        min(1.0, sum(worth for _, worth, _ in parts) / _MOST),
        tuple(reason for _, _, reason in parts if reason),
    )


_Part = tuple[str, float, Reason | None]
"""A kind ("" for none), what it is worth, and the reason to say, if it is worth saying."""


def _shared_names(recording: Recording, basis: Basis) -> list[_Part]:
    """The song, the artist, the writer."""
    parts: list[_Part] = []
    asked = basis.recording
    if asked and same_song_name(asked, recording):
        parts.append(_same_song(asked, recording))
    if recording.artist_id == basis.artist_id and recording.artist.lower() not in _NO_ARTIST:
        by = Reason(ReasonKind.BY_SAME_ARTIST, held=recording.artist)
        parts.append((SAME_ARTIST, _WORTH_SAME_ARTIST, by))
    if asked and recording.composer and same_writer(asked.composer, recording.composer):
        by = Reason(ReasonKind.SAME_WRITER, held=recording.composer)
        parts.append((SAME_WRITER, _WORTH_SAME_WRITER, by))
    return parts


def _same_song(asked: Recording, recording: Recording) -> _Part:
    if asked.artist_id == recording.artist_id:
        # The same people's other recording of it: "by somebody else" would not be true.
        version = recording.version
        said = Reason(ReasonKind.VERSION_AGREES, held=version) if version else None
        return SAME_SONG, _WORTH_SAME_SONG, said
    if asked.song_id == recording.song_id and asked.composer:
        return SAME_SONG, _WORTH_SAME_SONG, Reason(ReasonKind.SAME_SONG, held=recording.title)
    return SAME_SONG, _WORTH_SAME_TITLE, Reason(ReasonKind.SAME_SONG_TITLE, held=recording.title)


def _shared_feel(recording: Recording, basis: Basis) -> list[_Part]:
    """Years, tempo, genre, language, voice: smooth, and none of them decides alone."""
    parts: list[_Part] = []
    if years := years_alike(basis.year, recording.year):
        near = years >= _SAME_TIME
        when = Reason(ReasonKind.SAME_YEARS, held=str(recording.year)) if near else None
        parts.append((SAME_YEARS if near else "", _WORTH_YEARS * years, when))
    if tempo := tempos_alike(basis.tempo, recording.tempo):
        # Said only of tempos equal as written: "about as quick, 60" puzzles who asked for 120.
        same = tempo >= 1 and basis.tempo and recording.tempo and (
            max(basis.tempo, recording.tempo) < 1.5 * min(basis.tempo, recording.tempo)
        )  # fmt: skip
        beats = Reason(ReasonKind.SAME_TEMPO, held=f"{recording.tempo:.0f}") if same else None
        parts.append((SAME_FEEL if tempo >= 1 else "", _WORTH_TEMPO * tempo, beats))
    if basis.genre and basis.genre.lower() == recording.genre.lower():
        genre = Reason(ReasonKind.SAME_GENRE, held=recording.genre)
        parts.append((SAME_FEEL, _WORTH_GENRE, genre))
    if basis.language and basis.language.lower() == recording.language.lower():
        parts.append(("", _WORTH_LANGUAGE, None))
    if basis.voice is not Voice.UNKNOWN and basis.voice is recording.voice:
        parts.append(("", _WORTH_VOICE, None))
    return parts


def _asked_here(recording: Recording, basis: Basis, station: _Station) -> list[_Part]:
    """What callers here ask for, took in place of this one, or chose for the occasion."""
    parts: list[_Part] = []
    times = station.asked.get(recording.id, 0)
    often = times >= _OFTEN
    if times:
        said = Reason(ReasonKind.ASKED_FOR_HERE) if often else None
        worth = _WORTH_ASKED * math.log1p(times) / math.log1p(station.most_asked)
        parts.append((ASKED_FOR_HERE if often else "", worth, said))
    if recording.id in station.instead:
        parts.append((ASKED_FOR_HERE, _WORTH_TAKEN_INSTEAD, None))
    if recording.id in station.for_occasion:
        suits = Reason(ReasonKind.SUITS_OCCASION, held=basis.occasion)
        parts.append((ASKED_FOR_HERE, _WORTH_OCCASION, suits))
    return parts


def _cut(candidates: Iterable[_Candidate], artists_lately: set[int]) -> list[_Candidate]:
    """The most relevant of each kind; none by an artist heard only just now."""
    kept: list[_Candidate] = []
    count = dict.fromkeys(KINDS, 0)
    for candidate in sorted(candidates, key=lambda c: (-c.relevance, c.recording.id)):
        if candidate.recording.artist_id in artists_lately:
            continue
        if count[candidate.kind] < _PER_KIND:
            count[candidate.kind] += 1
            kept.append(candidate)
    return kept


_Ready = tuple[_Candidate, Available]


def _ready(
    store: Store, candidates: list[_Candidate], now: datetime, slip_id: int | None
) -> list[_Ready]:
    """Those of which a copy can go to air now, with that copy, most relevant first."""
    ids = [candidate.recording.id for candidate in candidates]
    first = {found: lines[0] for found, lines in
             availability.of(store, ids, now, slip_id).items()}  # fmt: skip
    ready = [
        (candidate, first[candidate.recording.id])
        for candidate in candidates
        if first[candidate.recording.id].readiness is Readiness.READY
    ]
    return sorted(ready, key=lambda one: (-one[0].relevance, one[0].recording.id))


def _anything(
    store: Store,
    basis: Basis,
    station: _Station,
    now: datetime,
    out: frozenset[int] | set[int],
    slip_id: int | None,
) -> list[_Ready]:
    """Whatever is ready, going through all that is held until something is."""
    for ids in any_held(store):
        held = recordings(store, [one for one in ids if one not in out])
        found = [_judge(recording, basis, station) for recording in held.values()]
        if ready := _ready(store, found, now, slip_id):
            return ready
    return []


def _alike(a: _Candidate, b: _Candidate) -> float:
    """How alike two offers would look to the caller, 0..1: the same singer is nearly the same
    offer, the same kind of reason half of one, and nearness in years and tempo adds to it."""
    if a.recording.song_id == b.recording.song_id:
        return 1.0
    artist = 0.4 if a.recording.artist_id == b.recording.artist_id else 0.0
    kind = 0.2 if a.kind == b.kind else 0.0
    years = 0.2 * years_alike(a.recording.year, b.recording.year)
    return artist + kind + years + 0.2 * tempos_alike(a.recording.tempo, b.recording.tempo)


def _same_name(a: _Candidate, b: _Candidate) -> bool:
    """Songs that a caller would take for one: two of them on a list of five waste a line."""
    one, two = a.recording, b.recording
    return one.song_id == two.song_id or bare_title(one.title) == bare_title(two.title)


def _pick(ready: list[_Ready], limit: int) -> list[_Ready]:
    """One of each kind while there are new kinds, then the rest; always a varied few."""
    offers = [candidate for candidate, _ in ready]

    def fits(item: int, chosen: Sequence[int]) -> bool:
        others = [offers[i] for i in chosen]
        artist = offers[item].recording.artist_id
        return not any(_same_name(offers[item], other) for other in others) and (
            sum(other.recording.artist_id == artist for other in others) < _PER_ARTIST
        )

    def new_kind(item: int, chosen: Sequence[int]) -> bool:
        kind = offers[item].kind
        taken = {ON_OUR_SHELVES, *(offers[i].kind for i in chosen)}
        return kind not in taken and fits(item, chosen)

    relevance = [candidate.relevance for candidate in offers]

    def alike(i: int, j: int) -> float:
        return _alike(offers[i], offers[j])

    first = varied(relevance, alike, limit, _BALANCE, new_kind)
    return [ready[i] for i in varied(relevance, alike, limit, _BALANCE, fits, first)]
