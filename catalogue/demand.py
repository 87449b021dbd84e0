"""What was asked for and could not be met, by what it most likely was; and who waits for it.

Wants hold a title and an artist as they were heard and agreed, or a recording. Those that are one
record, however it was misheard, are put together: by the catalogue, where it knows the record,
and among themselves by the evidence that finds duplicates. Nothing of a caller is here but the
numbers of slips and the names of places on the station's list.
"""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import combinations

from catalogue import pair_finding, wants
from catalogue.catalogue_rows import recordings
from catalogue.comparisons import pairs_alike
from catalogue.described import Described, bare_title
from catalogue.pair_groups import tangles
from catalogue.records import Recording
from catalogue.sound import sound_of
from catalogue.spelling import plain, without_version
from catalogue.store import Store
from catalogue.wants import Ask, Want

Meant = Callable[[str, str], int | None]
"""Title and artist as heard, to the recording that was most likely meant, if any."""

HALF_LIFE_DAYS = 90.0
"""An asking counts half after a season: what was asked for last week is looked for first. By
judgement."""

TITLE_SOUNDS_SAME = 0.85
"""Plain ratio of phones from which titles without any artist are one: about one sound in seven
misheard. By judgement."""


@dataclass(frozen=True, slots=True)
class Unmet:
    """One thing that was asked for and not met: the name to look for, how often, how lately, from
    which places, and the wants and the recording it stands for."""

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


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a donor's list: what it would meet, or whether we hold it already."""

    title: str
    artist: str
    meets: Unmet | None
    held: bool


def asked_and_not_met(
    store: Store, now: datetime, meant: Meant = lambda _title, _artist: None
) -> list[Unmet]:
    """Open wants, those that are one record together, most wanted first."""
    every = wants.all_wants(store)
    by_id = {want.id: want for want in every}
    target = {want.id: want.recording_id or meant(want.title, want.artist) for want in every}
    known = recordings(store, [number for number in target.values() if number is not None])
    named = {want.id: _name(want, known.get(target[want.id] or 0)) for want in every}
    links = [
        (one, other)
        for one, other in _alike(named)
        if None in (target[one], target[other]) or target[one] == target[other]
    ]
    links += [
        (one, other)
        for one, other in combinations(by_id, 2)
        if target[one] is not None and target[one] == target[other]
    ]
    together = tangles(links)
    single = set(by_id) - {number for group in together for number in group}
    found = [
        _unmet(store, [by_id[n] for n in group], target, named, now)
        for group in [*together, *([number] for number in sorted(single))]
    ]
    return sorted(found, key=lambda unmet: (-unmet.priority, -unmet.times, unmet.want_ids))


def priority(askings: Iterable[str], now: datetime) -> float:
    """How much something is wanted: one for each asking, halved with every season since.

    >>> priority(["2026-01-01T20:00:00", "2026-01-01T20:00:00"], datetime(2026, 4, 1, 20, 0))
    1.0
    """
    ages = (max(0.0, (now - datetime.fromisoformat(at)).total_seconds()) for at in askings)
    return round(sum((0.5 ** (age / 86_400 / HALF_LIFE_DAYS) for age in ages), 0.0), 3)


def arrivals(store: Store, meant: Meant = lambda _title, _artist: None) -> list[Arrival]:
    """The open wants that we hold a copy of by now, with the requests that waited for them."""
    found = []
    for want in wants.all_wants(store):
        number = want.recording_id or _held_by_name(store, want) or meant(want.title, want.artist)
        if number is None or not _is_held(store, number):
            continue
        recording = recordings(store, [number]).get(number)
        if recording is not None:
            found.append(Arrival(want, recording, tuple(wants.asks(store, [want.id]))))
    return found


def marked(store: Store, unmet: Sequence[Unmet], offered: Sequence[tuple[str, str]]) -> list[Offer]:
    """A donor's list, (title, artist) line by line in its order, marked against what is wanted."""
    named = {-1 - n: (u.title, u.artist) for n, u in enumerate(unmet)}
    named |= dict(enumerate(offered))
    met: dict[int, Unmet] = {}
    for one, other in _alike(named):
        ours, theirs = sorted((one, other))
        if ours < 0 <= theirs:
            wanted = unmet[-1 - ours]
            if theirs not in met or wanted.priority > met[theirs].priority:
                met[theirs] = wanted
    return [
        Offer(title, artist, met.get(n), _holds(store, title, artist))
        for n, (title, artist) in enumerate(offered)
    ]


def for_a_fair(unmet: Sequence[Unmet], width: int = 80) -> str:
    """The list of wants as text to print and take along: most wanted first, with a box to tick."""
    lines = ["WANTED", ""]
    for number, one in enumerate(unmet, 1):
        name = one.title or "anything"
        if one.artist:
            name += f", {one.artist}"
        asked = "once" if one.times == 1 else f"{one.times} times"
        text = f"{name} (asked for {asked}, last on {one.last_asked[:10]})"
        lines += textwrap.wrap(
            text, width, initial_indent=f"[ ] {number:>3}. ", subsequent_indent=" " * 9
        )
    return "\n".join(lines) + "\n"


def _name(want: Want, recording: Recording | None) -> tuple[str, str]:
    if recording is not None:
        return recording.title, recording.artist
    return want.title, want.artist


def _alike(named: dict[int, tuple[str, str]]) -> list[tuple[int, int]]:
    """Pairs of numbers whose titles and artists are one by the evidence of names; of titles
    alone, those that sound the same."""
    described = Described()
    numbers = list(named)
    for number, (title, artist) in named.items():
        described.add(number, title, artist)
    pairs = pair_finding.find(described).in_groups()
    alone = [n for n, artist in enumerate(described.artist) if not artist and described.title[n]]
    sounds = [sound_of(bare_title(named[numbers[n]][0])).phones for n in alone]
    twos = list(combinations(range(len(alone)), 2))
    alike = pairs_alike([sounds[a] for a, _ in twos], [sounds[b] for _, b in twos])
    pairs |= {
        (alone[a], alone[b])
        for (a, b), likeness in zip(twos, alike, strict=True)
        if likeness >= TITLE_SOUNDS_SAME
    }
    return [(numbers[a], numbers[b]) for a, b in sorted(pairs)]


def _unmet(
    store: Store,
    group: Sequence[Want],
    target: dict[int, int | None],
    named: dict[int, tuple[str, str]],
    now: datetime,
) -> Unmet:
    """Named as the catalogue has it, else as it was heard most often."""
    known = [want for want in group if target[want.id] is not None]
    best = max(known or group, key=lambda want: (want.times, want.last_asked, -want.id))
    title, artist = named[best.id]
    asked = wants.asks(store, [want.id for want in group])
    places = Counter(ask.place for ask in asked if ask.place)
    return Unmet(
        title,
        artist,
        sum(want.times for want in group),
        max(want.last_asked for want in group),
        tuple(sorted(places.items(), key=lambda place: (-place[1], place[0]))),
        priority((ask.at for ask in asked), now),
        tuple(sorted(want.id for want in group)),
        target[best.id],
    )


_HELD = "EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id AND NOT h.missing)"


def _held_by_name(store: Store, want: Want) -> int | None:
    """A recording we hold of this very title, and artist where one is known."""
    if not want.title:
        return None
    rows = store.rows(
        f"""SELECT r.id FROM recordings r JOIN songs s ON s.id = r.song_id
        JOIN artists a ON a.id = r.artist_id
        WHERE s.plain = ? AND (? = '' OR a.plain = ?) AND {_HELD} ORDER BY r.id LIMIT 1""",
        (plain(without_version(want.title)), plain(want.artist), plain(want.artist)),
    )
    return int(rows[0]["id"]) if rows else None


def _is_held(store: Store, number: int) -> bool:
    return bool(store.rows(f"SELECT 1 FROM recordings r WHERE r.id = ? AND {_HELD}", (number,)))


def _holds(store: Store, title: str, artist: str) -> bool:
    return _held_by_name(store, Want(0, artist, title, None, 1, "", "", "")) is not None
