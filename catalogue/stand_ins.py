"""What to offer when the record asked for cannot go to air: a short varied list, ready now.

Plain indexed queries gather some hundreds of recordings that share something with what is
known of the one asked for; each shared trait has a worth and becomes a reason; only what is
ready is kept; and of that a varied few are picked, one of each kind if there is one. Everything
is offered, nothing decided: a warning is a reason like the others. One thing alone is left out
unless the station says otherwise: strong language.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from catalogue import (
    availability,
    feel,
    play_log,
    programmes,
    request_slips,
    settings,
    stand_in_lessons,
)
from catalogue import worth as worths
from catalogue.asked_outright import agreed, weighed
from catalogue.basis import Basis
from catalogue.careful import Careful
from catalogue.catalogue_rows import recordings
from catalogue.feel import Facts
from catalogue.likeness import tempos_alike, years_alike
from catalogue.narrowing import Narrowing, best_questions
from catalogue.records import Readiness, Recording, StandIn
from catalogue.related_artists import related
from catalogue.shared_traits import (
    KINDS,
    OFTEN,
    ON_OUR_SHELVES,
    Circumstances,
    traits,
)
from catalogue.sorts_held import SCATTER, day_of
from catalogue.stand_in_sources import Found, any_held, gather, records_of
from catalogue.store import Store
from catalogue.varied_few import PER_ARTIST, Candidate, a_varied_few
from catalogue.worth import Worth

__all__ = [
    "KINDS",
    "Basis",
    "Candidate",
    "artist_name",
    "offer",
    "offered",
    "questions",
    "ready_now",
]

_PER_KIND = 15
"""Recordings of one kind looked at for readiness: enough that seven ready ones are among them."""

_CLOSELY = 36
"""Of what shares years alone, so many are looked at closely, by years, tempo and their own feel."""

_LAST_PLAYS = 1_000
_LAST_SLIPS = 1_000
"""How far back asking is counted: about a year of a weekly request show."""


def offer(
    store: Store,
    basis: Basis,
    now: datetime,
    *,
    limit: int = 5,
    left_out: frozenset[int] = frozenset(),
    slip_id: int | None = None,
    seconds_left: float | None = None,
    worth: Worth | None = None,
) -> tuple[StandIn, ...]:
    """Up to `limit` recordings that are ready now, nearest kinds first, none of `left_out`.

    `seconds_left` is what is left of the programme, by default until the end of the one that is
    on; what lasts longer comes last, and its reason says so. Empty only when nothing is ready
    (or only what is left out). Not two of one song, not more than two of one artist.
    """
    ready = ready_now(store, basis, now, left_out=left_out, slip_id=slip_id,
                      seconds_left=seconds_left, worth=worth)  # fmt: skip
    return offered(ready, basis, limit)


def offered(ready: Sequence[Candidate], basis: Basis, limit: int) -> tuple[StandIn, ...]:
    """A varied few of what `ready_now` gave; for a request that names no record, of what agrees
    with most of what was said."""
    by_name = basis.recording is not None or basis.tells_nothing
    agree = [0 if by_name else agreed(one.recording, basis) for one in ready]
    few: list[Candidate] = []
    for least in sorted(set(agree), reverse=True):
        few = a_varied_few(
            [one for one, agrees in zip(ready, agree, strict=True) if agrees >= least],
            limit,
            any_year=basis.year is None,
            per_artist=_per_artist(basis, limit),
            each_kind=by_name,
        )
        if len(few) == limit:
            break
    return tuple(StandIn(one.recording, one.kind, one.available, one.reasons) for one in few)


def _per_artist(basis: Basis, limit: int) -> int:
    """Records of one artist on the list: most of it where the artist is what was asked for."""
    by_artist = basis.recording is None and basis.artist_id is not None
    return max(PER_ARTIST, limit - 1) if by_artist else PER_ARTIST


def questions(ready: Sequence[Candidate], basis: Basis) -> tuple[Narrowing, ...]:
    """What to ask the caller, the question that narrows what is ready fastest first."""
    return best_questions([(one.recording, one.relevance) for one in ready], basis)


def ready_now(
    store: Store,
    basis: Basis,
    now: datetime,
    *,
    left_out: frozenset[int] = frozenset(),
    slip_id: int | None = None,
    seconds_left: float | None = None,
    worth: Worth | None = None,
    kindred: frozenset[int] = frozenset(),
) -> list[Candidate]:
    """All that could be offered, most relevant first: what the next question has to narrow.

    `kindred` are recordings to look at as well: those whose titles sound like what was said.
    """
    worth = weighed(worth or worths.shipped(), basis)
    if basis.artist_id is basis.year is basis.tempo is None:
        worth = worth.without("feel")  # of nothing, nothing can be guessed
    out = left_out | ({basis.recording.id} if basis.recording else set())
    name = artist_name(store, basis)
    tied = {}
    if basis.artist_id is not None and worth.related:
        album = basis.recording.album if basis.recording else ""
        tied = related(store, basis.artist_id, name, album)
    known = _circumstances(store, basis, now, seconds_left)
    popular = {**known.asked, **known.for_occasion}
    popular |= {one: tally.taken for one, tally in known.lessons.items() if tally.taken}
    closest = sorted(tied, key=lambda one: (-tied[one].closeness, one))
    day = day_of(now)
    found = gather(store, basis, closest, popular, day)
    found.of_kind |= kindred
    asked_feel = _feel_asked(store, basis, name, worth)
    held = recordings(store, sorted(_closely(found, basis, asked_feel, worth) - out))
    known = replace(
        known,
        related=tied,
        of_song=frozenset(found.of_song),
        feel=_feels(store, held, asked_feel, worth),
    )
    judged = [_judge(one, basis, known, worth) for one in held.values()]
    careful = Careful.of(store, basis, worth)
    lately = _artists_lately(store, now)
    return (
        _ready(store, careful.with_ours(_cut(judged, lately, careful, day)), now, slip_id)
        or _ready(store, careful.with_ours(judged), now, slip_id)
        or _anything(store, basis, known, careful, now, out, slip_id)
    )


def artist_name(store: Store, basis: Basis) -> str:
    """The artist asked for, "" if none is known."""
    if basis.recording:
        return basis.recording.artist
    if basis.artist_id is None:
        return ""
    rows = store.rows("SELECT name FROM artists WHERE id = ?", (basis.artist_id,))
    return str(rows[0]["name"]) if rows else ""


def _circumstances(
    store: Store, basis: Basis, now: datetime, seconds_left: float | None
) -> Circumstances:
    """What the station's own books say."""
    chosen = request_slips.chosen_for(store, basis.occasion, _LAST_SLIPS) if basis.occasion else {}
    asked = play_log.often_played(store, _LAST_PLAYS)
    if basis.tells_nothing:
        # Else the same three would be offered to everybody, every evening.
        asked = {one: min(times, OFTEN) for one, times in asked.items()}
    return Circumstances(
        asked=asked,
        for_occasion=chosen,
        lessons=stand_in_lessons.tallies(store, basis.recording.id if basis.recording else None),
        seconds_left=_seconds_left(store, now) if seconds_left is None else seconds_left,
    )


def _seconds_left(store: Store, now: datetime) -> float | None:
    programme = programmes.current(store, now)
    if programme is None:
        return None
    ends = datetime.fromisoformat(programme.ends_at)
    return (ends.replace(tzinfo=now.tzinfo) - now).total_seconds()


def _artists_lately(store: Store, now: datetime) -> set[int]:
    minutes = settings.number(store, "artist_minutes")
    return play_log.artists_since(store, now - timedelta(minutes=minutes)) if minutes else set()


def _feel_asked(store: Store, basis: Basis, name: str, worth: Worth) -> feel.Numbers:
    """The feel of what was asked for: of its artist's records, else of what was said."""
    facts: list[Facts] = []
    if basis.artist_id is not None:
        facts = records_of(store, [basis.artist_id])[basis.artist_id]
    if not facts:
        title = basis.recording.title if basis.recording else ""
        facts = [Facts(basis.year, basis.tempo, basis.length_s, title, name)]
    guess: feel.Numbers = worth.feel_model.guess(facts).mean(axis=0)
    return guess


def _closely(found: Found, basis: Basis, asked: feel.Numbers, worth: Worth) -> set[int]:
    """What is worth a closer look: all that shares a name, and the best of the years."""
    ids = list(found.of_years)
    if len(ids) <= _CLOSELY or basis.year is basis.artist_id is None:
        return found.every()
    facts = [found.of_years[one][1] for one in ids]
    score = worth.feel * feel.alike(asked, worth.feel_model.guess(facts)) + np.array([
        worth.years * years_alike(basis.year, one.year)
        + worth.tempo * tempos_alike(basis.tempo, one.tempo)
        for one in facts
    ])  # fmt: skip
    best = np.argsort(-score, kind="stable")[:_CLOSELY]
    return found.named() | {ids[place] for place in best}


def _feels(
    store: Store, held: dict[int, Recording], asked: feel.Numbers, worth: Worth
) -> dict[int, float]:
    """How near each recording's artist is in feel to what was asked for."""
    if not worth.feel or not held:
        return {}
    by_artist = {
        artist: some
        for artist, some in records_of(store, [one.artist_id for one in held.values()]).items()
        if some  # else its last record went just now
    }
    every = worth.feel_model.guess([facts for some in by_artist.values() for facts in some])
    starts = np.cumsum([0, *(len(some) for some in by_artist.values())])[:-1]
    # Sums: alike asks for the direction alone, and the mean of each one by one takes longer.
    near = dict(
        zip(by_artist, feel.alike(asked, np.add.reduceat(every, starts)).tolist(), strict=True)
    )
    return {one: near.get(recording.artist_id, 0.0) for one, recording in held.items()}


def _judge(recording: Recording, basis: Basis, known: Circumstances, worth: Worth) -> Candidate:
    """What this recording shares with what is known, what that is worth, and the reasons."""
    shared = traits(recording, basis, known, worth)
    kinds = [trait.kind for trait in shared if trait.kind]
    return Candidate(
        recording,
        min(kinds, key=KINDS.index, default=ON_OUR_SHELVES),
        sum(trait.worth for trait in shared),
        tuple(trait.reason for trait in shared if trait.reason),
    )


def _order(day: int) -> Callable[[Candidate], tuple[float, int]]:
    """Most relevant first; equals in an order of no meaning, another every day, lest the oldest
    entries lead."""
    return lambda one: (-one.relevance, (one.recording.id + day) * SCATTER % 2**32)


def _cut(
    candidates: Iterable[Candidate], artists_lately: set[int], careful: Careful, day: int
) -> list[Candidate]:
    """The most relevant of each kind; none by an artist heard only just now."""
    kept: list[Candidate] = []
    count = dict.fromkeys(KINDS, 0)
    for candidate in sorted(candidates, key=_order(day)):
        if candidate.recording.artist_id in artists_lately:
            continue
        if count[candidate.kind] < _PER_KIND and not careful.rules_out(candidate.recording):
            count[candidate.kind] += 1
            kept.append(candidate)
    return kept


def _ready(
    store: Store, candidates: list[Candidate], now: datetime, slip_id: int | None
) -> list[Candidate]:
    """Those of which a copy can go to air now, with that copy, most relevant first."""
    ids = [candidate.recording.id for candidate in candidates]
    lines = availability.of(store, ids, now, slip_id)
    ready = [
        one._replace(available=lines[one.recording.id][0])
        for one in candidates
        if lines[one.recording.id][0].readiness is Readiness.READY
    ]
    return sorted(ready, key=_order(day_of(now)))


def _anything(
    store: Store,
    basis: Basis,
    known: Circumstances,
    careful: Careful,
    now: datetime,
    out: frozenset[int] | set[int],
    slip_id: int | None,
) -> list[Candidate]:
    """Whatever is ready, going through all that is held until something is."""
    for ids in any_held(store):
        held = recordings(store, [one for one in ids if one not in out])
        found = [_judge(one, basis, known, careful.worth) for one in held.values()]
        if ready := _ready(store, careful.with_ours(found), now, slip_id):
            return ready
    return []
