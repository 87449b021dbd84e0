"""What a station shares, read from its database: the only place where that is decided.

Shared are recordings that the station holds, how many copies on which sort of carrier, how many
of them may be lent, and how to ask. Not shared: paths, shelf marks, places on shelves, notes,
who has what, recordings that are only known of (a caller may have wished for them), and what
callers were heard to say (names of the kind `hearing`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from catalogue import settings
from catalogue.records import Condition
from catalogue.store import Store

LONGEST_NAME, LONGEST_LOAN = 200, 2_000
"""Characters in what a station says of itself: these are shown to others."""

_AT_ONCE = 5_000
"""Recordings read at once."""

_RECORDINGS = """SELECT r.id, r.title, a.name, r.version, r.genre, r.language, r.voice, r.album,
    r.composer, r.work, r.movement, r.soloist, r.conductor, r.label, r.isrc, r.year, r.tempo,
    r.length_s, coalesce((SELECT min(coalesce(d.carrier, 'file') || ':' || h.side || '/' || h.track)
        FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
        WHERE h.recording_id = r.id AND h.track <> '' AND h.track NOT GLOB '*[^0-9]*'
        AND length(h.side) < 3), ''),
    coalesce((SELECT min(audio) FROM holdings WHERE recording_id = r.id AND audio <> ''), ''),
    r.artist_id
    FROM recordings r JOIN artists a ON a.id = r.artist_id
    WHERE r.id > ? AND EXISTS (SELECT 1 FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
        WHERE h.recording_id = r.id AND max(h.missing, coalesce(d.missing, 0)) = 0)
    ORDER BY r.id LIMIT ?"""

_HOLDINGS = """SELECT h.recording_id, coalesce(d.carrier, 'file') AS carrier,
    count(DISTINCT coalesce(h.disc_id, -h.id)),
    count(DISTINCT CASE WHEN coalesce(d.condition, '') <> ? THEN coalesce(h.disc_id, -h.id) END)
    FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
    WHERE h.recording_id BETWEEN ? AND ? AND max(h.missing, coalesce(d.missing, 0)) = 0
    GROUP BY 1, 2 ORDER BY 1, 2"""

_NAMES = """SELECT recording_id, artist_id, kind, name FROM other_names
    WHERE kind IN ('also known as', 'refrain') ORDER BY kind, name"""
"""Names of the kind `hearing` are what callers were heard to say, and stay here."""

Row = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Says:
    """What a station says of itself. `latitude` and `longitude` are in degrees, None for unsaid;
    `loan` is how to ask for a loan."""

    id: str
    name: str
    place: str = ""
    latitude: float | None = None
    longitude: float | None = None
    loan: str = ""


def says(store: Store, station: str) -> Says:
    """What the station's settings say of it; `station` is its id in the network."""
    latitude, longitude = settings.degrees(settings.get(store, "network_position")) or (None, None)
    return Says(
        station,
        settings.get(store, "station_name")[:LONGEST_NAME],
        settings.get(store, "network_place")[:LONGEST_NAME],
        latitude,
        longitude,
        settings.get(store, "network_loan")[:LONGEST_LOAN],
    )


def held_at_most(store: Store) -> int:
    """How many recordings have a copy at all, for a progress bar."""
    rows = store.rows("SELECT count(DISTINCT recording_id) AS n FROM holdings")
    return int(rows[0]["n"])


def shared(store: Store) -> Iterator[list[tuple[Row, list[Row]]]]:
    """What is shared, some recordings at a time in the order of their numbers.

    Each is a row with the columns of a recordings file, and (carrier, copies, lendable) of each
    sort of carrier it is on.
    """
    lent = frozenset(settings.lines(store, "network_lends"))
    own, artists = _other_names(store)
    last = 0
    while some := store.db.execute(_RECORDINGS, (last, _AT_ONCE)).fetchall():
        last = some[-1][0]
        held = _holdings(store, some[0][0], last, lent)
        yield [
            (
                (
                    *_in_order(columns),
                    own.get((columns[0], "also known as"), []),
                    own.get((columns[0], "refrain"), []),
                    artists.get(artist, []),
                ),
                held[columns[0]],
            )
            for *columns, artist in some
        ]


def _in_order(shared: list[Any]) -> Row:
    """A row of the query with its columns as the Parquet file has them; numbers as such."""
    year, tempo, length = shared[15:18]
    return (
        *shared[:15], None if year is None else int(year),
        *(None if value is None else float(value) for value in (tempo, length)), *shared[18:20],
    )  # fmt: skip


def _holdings(store: Store, first: int, last: int, lent: frozenset[str]) -> dict[int, list[Row]]:
    """(carrier, copies, lendable) of each recording from the first number to the last."""
    held: dict[int, list[Row]] = defaultdict(list)
    for number, carrier, copies, sound in store.db.execute(
        _HOLDINGS, (Condition.DAMAGED, first, last)
    ):
        held[number].append((carrier, copies, sound if carrier in lent else 0))
    return held


def _other_names(store: Store) -> tuple[dict[tuple[int, str], list[str]], dict[int, list[str]]]:
    """Other names of recordings by (number, kind), and of artists by their ids."""
    own: dict[tuple[int, str], list[str]] = defaultdict(list)
    artists: dict[int, list[str]] = defaultdict(list)
    for recording, artist, kind, name in store.db.execute(_NAMES):
        if recording is not None:
            own[(recording, kind)].append(name)
        elif kind == "also known as":
            artists[artist].append(name)
    return own, artists
