"""What was asked for and could not be met, by what it most likely was; and who waits for it.

Wants hold a title and an artist as they were heard and agreed, or a recording. Those that are one
record, however it was misheard, are put together: by the catalogue, where it knows the record,
and among themselves by the evidence that finds duplicates. Nothing of a caller is here but the
numbers of slips and the names of places on the station's list.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from catalogue import same_names, settings, undo, waiting, wants
from catalogue.catalogue_rows import recordings
from catalogue.pair_groups import tangles
from catalogue.records import Recording
from catalogue.spelling import plain, without_version
from catalogue.store import Store
from catalogue.wants import Ask, Want

BY_EAR_AT_MOST = 500
"""Lines of a donor's list that are compared with the catalogue by ear: some seconds."""

FEWEST_OF_A_PLACE = 5
"""Askings from one place below which the place is not named: of two or three requests from a
ward of six, somebody would know whose they were. By judgement, as statistics offices do."""

Meant = Callable[[str, str], int | None]
"""Title and artist as heard, to the recording that was most likely meant, if any."""


def nothing_meant(_title: str, _artist: str) -> int | None:
    """Nobody says what was meant: only names that are the very same tell."""
    return None


ASKED = "asked"
"""The state of what was asked for on slips and is not on the list."""

HALF_LIFE_DAYS = 90.0
"""An asking counts half after a season: what was asked for last week is looked for first. By
judgement."""


@dataclass(frozen=True, slots=True)
class Unmet:
    """One thing that was asked for and not met: the name to look for, how often, how lately, from
    which places (those with enough askings to be named), and the wants and the recording it
    stands for. Without wants it is known from slips alone, and not on the list yet."""

    title: str
    artist: str
    times: int
    last_asked: str
    places: tuple[tuple[str, int], ...]
    priority: float
    want_ids: tuple[int, ...]
    recording_id: int | None


@dataclass(frozen=True, slots=True)
class Arrival:
    """A want that can be met now: the recording that came, and the askings that waited."""

    want: Want
    recording: Recording
    waited: tuple[Ask, ...]
    slips: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a donor's list: what it would meet, or whether we hold it already."""

    title: str
    artist: str
    meets: Unmet | None
    held: bool


@dataclass(frozen=True, slots=True)
class Wanted:
    """The open wants, the recording each most likely is, and those of these that are held."""

    wants: tuple[Want, ...]
    target: dict[int, int | None]
    held: frozenset[int]


def wanted(store: Store, meant: Meant = nothing_meant) -> Wanted:
    """What is on the list of wants, and what it is."""
    every = wants.all_wants(store)
    target = _targets(store, every, meant)
    return Wanted(tuple(every), target, _held(store, target.values()))


def asked_and_not_met(
    store: Store, now: datetime, meant: Meant = nothing_meant, known: Wanted | None = None
) -> list[Unmet]:
    """What was asked for and is not held, on the list of wants or not, most wanted first; what is
    one record together. `known` are the wants, where they were read already."""
    known_wants = known or wanted(store, meant)
    on_list, target, held = known_wants.wants, dict(known_wants.target), known_wants.held
    asked: dict[int, list[Ask]] = {want.id: [] for want in on_list}
    for ask in wants.asks(store, asked):
        asked[ask.want_id].append(ask)
    from_slips, asked_on_slips = _on_slips(store)
    every = [want for want in on_list if target[want.id] not in held] + from_slips
    target |= {want.id: want.recording_id for want in from_slips}
    asked |= asked_on_slips
    by_id = {want.id: want for want in every}
    numbers = [number for number in target.values() if number is not None]
    filed = recordings(store, numbers)
    named = {want.id: _name(want, filed.get(target[want.id] or 0)) for want in every}
    links = [
        (one, other)
        for one, other in same_names.kept(tuple(named.items()))
        if None in (target[one], target[other]) or target[one] == target[other]
    ]
    links += same_names.of_one(by_id, target)
    together = tangles(links)
    single = set(by_id) - {number for group in together for number in group}
    found = [
        _unmet([by_id[n] for n in group], target, named, asked, now)
        for group in [*together, *([number] for number in sorted(single))]
    ]
    return sorted(found, key=lambda unmet: (-unmet.priority, -unmet.times, unmet.want_ids))


def _targets(store: Store, every: Sequence[Want], meant: Meant) -> dict[int, int | None]:
    """The recording each want most likely is, but none that somebody said it is not."""
    refused = wants.not_meant(store)
    held = _held_by_name(store, [want for want in every if not want.recording_id])
    found: dict[int, int | None] = {}
    for want in every:
        number = want.recording_id or held.get(want.id) or meant(want.title, want.artist)
        found[want.id] = None if number in refused.get(want.id, ()) else number
    return found


def _on_slips(store: Store) -> tuple[list[Want], dict[int, list[Ask]]]:
    """Recordings that slips asked for, that are known and not held, as wants that nobody noted;
    numbered downwards from nought."""
    # The few recordings first: a copy is looked for once for each, and not for every asking.
    rows = store.rows(
        f"""WITH not_here AS MATERIALIZED (
            SELECT r.id FROM (SELECT recording_id AS id FROM slips UNION
                SELECT stand_in_for FROM slips WHERE stand_in_for IS NOT NULL) r
            WHERE r.id IS NOT NULL AND NOT {_usable(store)})
        SELECT coalesce(s.stand_in_for, s.recording_id) AS id, s.started_at AS at,
            coalesce(p.name, '') AS place
        FROM slips s
        LEFT JOIN caller_details c ON c.slip_id = s.id LEFT JOIN places p ON p.id = c.place_id
        WHERE (s.stand_in_for IN (SELECT id FROM not_here)
            OR +s.stand_in_for IS NULL AND s.recording_id IN (SELECT id FROM not_here))
            AND {_NOT_NOTED} ORDER BY s.started_at DESC"""
    )
    asked: dict[int, list[Ask]] = {}
    for row in rows:
        asked.setdefault(-row["id"], []).append(Ask(-row["id"], row["at"], row["place"]))
    every = [
        Want(number, "", "", -number, len(asks), asks[-1].at, asks[0].at, ASKED)
        for number, asks in asked.items()
    ]
    return every, asked


def put_on_list(store: Store, recording_id: int, who: str, now: datetime) -> int:
    """Put what slips asked for, and nobody noted, on the list of wants, each asking with its own
    time; once if no slip asks for it. Returns the want's number."""
    slips = store.rows(
        f"""SELECT s.id, s.started_at AS at, c.place_id FROM slips s
        LEFT JOIN caller_details c ON c.slip_id = s.id
        WHERE coalesce(s.stand_in_for, s.recording_id) = ? AND {_NOT_NOTED} ORDER BY s.id""",
        (recording_id,),
    )
    with undo.action(store, who, "put something on the list of wants", now):
        want = 0
        for slip in slips or [{"id": None, "at": "", "place_id": None}]:
            want = wants.add(
                store, "", "", recording_id, who, now,
                slip_id=slip["id"], place_id=slip["place_id"], asked_at=slip["at"],
            )  # fmt: skip
    return want


def priority(askings: Iterable[str], now: datetime) -> float:
    """How much something is wanted: one for each asking, halved with every season since.

    >>> priority(["2026-01-01T20:00:00", "2026-01-01T20:00:00"], datetime(2026, 4, 1, 20, 0))
    1.0
    """
    ages = (max(0.0, (now - datetime.fromisoformat(at)).total_seconds()) for at in askings)
    return round(sum((0.5 ** (age / 86_400 / HALF_LIFE_DAYS) for age in ages), 0.0), 3)


def arrivals(
    store: Store, meant: Meant = nothing_meant, known: Wanted | None = None
) -> list[Arrival]:
    """The open wants that we hold a copy of by now, with the requests that waited for them.
    `known` are the wants, where they were read already."""
    known = known or wanted(store, meant)
    every, target, held = known.wants, known.target, recordings(store, list(known.held))
    return [
        Arrival(
            want,
            held[number],
            tuple(wants.asks(store, [want.id])),
            tuple(waiting.of(store, [want.id])),
        )
        for want in every
        if (number := target[want.id]) is not None and number in held
    ]


def marked(
    store: Store,
    unmet: Sequence[Unmet],
    offered: Sequence[tuple[str, str]],
    meant: Meant = nothing_meant,
) -> list[Offer]:
    """A donor's list, (title, artist) line by line in its order, marked against what is wanted.

    Which of the two is the title does not matter. With `meant` a short list is compared with the
    catalogue by ear as well.
    """
    if len(offered) > BY_EAR_AT_MOST:
        meant = nothing_meant
    named = {-1 - n: (u.title, u.artist) for n, u in enumerate(unmet)}
    named |= dict(enumerate(offered))
    met: dict[int, Unmet] = {}
    for one, other in same_names.alike(named):
        ours, theirs = sorted((one, other))
        if ours < 0 <= theirs:
            wanted = unmet[-1 - ours]
            if theirs not in met or wanted.priority > met[theirs].priority:
                met[theirs] = wanted
    return [
        Offer(title, artist, met.get(n), n not in met and _holds(store, title, artist, meant))
        for n, (title, artist) in enumerate(offered)
    ]


def _name(want: Want, recording: Recording | None) -> tuple[str, str]:
    if recording is not None:
        return recording.title, recording.artist
    return want.title, want.artist


def _unmet(
    group: Sequence[Want],
    target: dict[int, int | None],
    named: dict[int, tuple[str, str]],
    asked: dict[int, list[Ask]],
    now: datetime,
) -> Unmet:
    """Named as the catalogue has it, else as it was heard most often."""
    known = [want for want in group if target[want.id] is not None]
    best = max(known or group, key=lambda want: (want.times, want.last_asked, -want.id))
    title, artist = named[best.id]
    asks = [ask for want in group for ask in asked[want.id]]
    places = Counter(ask.place for ask in asks if ask.place)
    named_places = ((p, n) for p, n in places.items() if n >= FEWEST_OF_A_PLACE)
    return Unmet(
        title,
        artist,
        sum(want.times for want in group),
        max(want.last_asked for want in group),
        tuple(sorted(named_places, key=lambda place: (-place[1], place[0]))),
        priority((ask.at for ask in asks), now),
        tuple(sorted(want.id for want in group if want.state != ASKED)),
        target[best.id],
    )


_NOT_NOTED = """NOT EXISTS (SELECT 1 FROM waiting t JOIN wants w ON w.id = t.want_id
    WHERE t.slip_id = s.id) AND NOT EXISTS (
    SELECT 1 FROM wants w JOIN want_asks a ON a.want_id = w.id
    WHERE w.recording_id = coalesce(s.stand_in_for, s.recording_id) AND a.at >= s.started_at)"""
"""Slips whose asking is not on the list of wants: it is not known which slip a want was noted for
once the details are erased, but it was noted after the slip was begun."""


def _usable(store: Store) -> str:
    """SQL for a recording r of which we have a copy that is there, and that the studio can play."""
    played = ", ".join(
        "'" + carrier.replace("'", "''") + "'"
        for carrier in settings.lines(store, "carriers_played")
    )
    return f"""EXISTS (SELECT 1 FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
        WHERE h.recording_id = r.id AND NOT h.missing AND NOT coalesce(d.missing, 0)
            AND coalesce(d.condition, '') <> 'damaged'
            AND coalesce(d.carrier, 'file') IN ({played}))"""


@lru_cache(maxsize=8_192)
def _as_filed(title: str, artist: str) -> tuple[str, str]:
    """Plain words of a title, without its version, and of an artist; kept, since every want is
    looked up each time a page asks."""
    return plain(without_version(title)), plain(artist)


def _held_by_name(store: Store, asked: Sequence[Want]) -> dict[int, int]:
    """By the wants' numbers, a recording we hold of that very title, and artist where known."""
    named = [(want.id, *_as_filed(want.title, want.artist)) for want in asked if want.title]
    rows = store.db.execute(
        f"""SELECT json_extract(j.value, '$[0]'), min(r.id) FROM json_each(?) j
        CROSS JOIN songs s ON s.plain = json_extract(j.value, '$[1]')
        CROSS JOIN recordings r ON r.song_id = s.id
        CROSS JOIN artists a ON a.id = r.artist_id
        WHERE json_extract(j.value, '$[2]') IN ('', a.plain) AND {_usable(store)} GROUP BY 1""",
        (json.dumps(named),),
    )
    return dict(rows.fetchall())


def _held(store: Store, numbers: Iterable[int | None]) -> frozenset[int]:
    """Which of these recordings have a copy here."""
    rows = store.rows(
        "SELECT r.id FROM recordings r WHERE r.id IN (SELECT value FROM json_each(?)) "
        f"AND {_usable(store)}",
        (json.dumps([number for number in numbers if number is not None]),),
    )
    return frozenset(row["id"] for row in rows)


def _holds(store: Store, title: str, artist: str, meant: Meant) -> bool:
    for one, other in ((title, artist), (artist, title)):
        if _held_by_name(store, [Want(0, other, one, None, 1, "", "", "")]):
            return True
    return bool(_held(store, [meant(title, artist)]))
