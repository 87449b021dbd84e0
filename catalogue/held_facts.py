"""What the librarian's pages count, kept up to date record by record instead of counted anew.

For each recording that is held: which fields it lacks, its decade, its kind of music and what it
is held on, with how many there are of each. For each side of a disc, or album of files: which
tracks are not filed. `filed_order.settle` calls `settle` for what has changed, within the same
transaction. Owns `held_recordings`, `held_counts`, `copy_places` and `album_gaps`.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Iterable

from catalogue.store import Row, Store

LACKS: dict[str, str] = {
    "year": "r.year IS NULL",
    "tempo": "r.tempo IS NULL",
    "composer": "r.composer = ''",
    "length": "r.length_s IS NULL",
    "genre": "r.genre = ''",
    "language": "r.language = ''",
    "voice": "r.voice = 'unknown'",
    "isrc": "r.isrc = ''",
}
"""Field to the condition under which a recording `r` lacks it; its place is its bit."""

FEWEST_TRACKS = 3
"""Tracks of an album that must be there: two files of a large album are a choice, not a gap."""

_HIGHEST_TRACK = 60
"""A number above this is a slip, or a number within a series."""

_FACTS = ("lacks", "decade", "genre", "carriers")


def bit(field: str) -> int:
    """The bit of a field in `held_recordings.lacks`. A KeyError for an unknown name."""
    return 1 << {name: place for place, name in enumerate(LACKS)}[field]


def settle(store: Store, recordings: Collection[int], copies: Collection[int]) -> None:
    """Bring up to date what is kept of these recordings and copies, inside a transaction."""
    touched = set(recordings) | _settle_copies(store, recordings, copies)
    _settle_recordings(store, touched)


def counts(store: Store, fact: str) -> dict[str, int]:
    """How many recordings that are held have each value of "lacks", "decade", "genre" or
    "carriers"; values as text, "" where it is not known."""
    rows = store.rows("SELECT value, n FROM held_counts WHERE fact = ?", (fact,))
    return {row["value"]: int(row["n"]) for row in rows}


def track_number(text: str) -> int | None:
    """The track as a number: "3", "03", "3/12", "A3"."""
    digits = text.split("/", maxsplit=1)[0].strip().lstrip("ABCDabcd")
    if not (digits.isascii() and digits.isdigit()):
        return None
    return number if 0 < (number := int(digits[:9])) <= _HIGHEST_TRACK else None


def _settle_copies(store: Store, recordings: Collection[int], copies: Collection[int]) -> set[int]:
    """Returns the recordings that these copies are of, and were of."""
    chosen = set(copies) | {
        row["id"]
        for row in store.rows(
            "SELECT h.id FROM json_each(?) j JOIN holdings h ON h.recording_id = j.value",
            (json.dumps(list(recordings)),),
        )
    }
    listed = json.dumps(list(chosen))
    old = {
        row["holding_id"]: (row["recording_id"], row["album"], row["number"])
        for row in store.rows(
            "SELECT * FROM copy_places WHERE holding_id IN (SELECT value FROM json_each(?))",
            (listed,),
        )
    }
    new = {
        row["id"]: (row["recording_id"], *_place(row))
        for row in store.rows(
            """SELECT h.id, h.recording_id, h.side, h.track, d.id AS disc,
                coalesce(nullif(d.title, ''), r.album) AS album,
                coalesce(d.shelf_mark, '') AS mark, a.name AS artist
            FROM json_each(?) j JOIN holdings h ON h.id = j.value
            JOIN recordings r ON r.id = h.recording_id JOIN artists a ON a.id = r.artist_id
            LEFT JOIN discs d ON d.id = h.disc_id""",
            (listed,),
        )
    }
    conn = store.db.conn
    conn.executemany(
        "DELETE FROM copy_places WHERE holding_id = ?", [(n,) for n in old if n not in new]
    )
    conn.executemany(
        "INSERT INTO copy_places (holding_id, recording_id, album, number) VALUES (?, ?, ?, ?) "
        "ON CONFLICT DO UPDATE SET recording_id = excluded.recording_id, album = excluded.album, "
        "number = excluded.number",
        [(n, *place) for n, place in new.items() if old.get(n) != place],
    )
    moved = [n for n in chosen if old.get(n) != new.get(n)]
    _settle_albums(store, {there[n][1] for n in moved for there in (old, new) if n in there} - {""})
    return {there[n][0] for n in chosen for there in (old, new) if n in there}


def _place(row: Row) -> tuple[str, int | None]:
    """The album or side that a copy belongs to, as one text, and the number of its track."""
    number = track_number(row["track"])
    if number is None or not (row["album"] or row["disc"]):
        return "", None
    artist = "" if row["disc"] else row["artist"]
    return json.dumps([row["album"], artist, row["mark"], row["side"]]), number


def _settle_albums(store: Store, albums: Iterable[str]) -> None:
    for key in albums:
        rows = store.rows(
            "SELECT number, recording_id FROM copy_places WHERE album = ? ORDER BY holding_id",
            (key,),
        )
        there = {row["number"]: row["recording_id"] for row in rows}
        missing = sorted(set(range(1, max(there, default=0) + 1)) - set(there))
        store.db.execute("DELETE FROM album_gaps WHERE key = ?", (key,))
        if missing and len(there) >= max(FEWEST_TRACKS, len(missing) + 1):
            album, artist, mark, side = json.loads(key)
            store.db.execute(
                "INSERT INTO album_gaps (key, album, artist, mark, side, missing, held, "
                "recording_id) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (key, album, artist, mark, side, json.dumps(missing), len(there),
                 there[min(there)]),
            )  # fmt: skip


def _settle_recordings(store: Store, touched: Collection[int]) -> None:
    listed = json.dumps(list(touched))
    old = {
        row["recording_id"]: tuple(row[fact] for fact in _FACTS)
        for row in store.rows(
            "SELECT * FROM held_recordings WHERE recording_id IN (SELECT value FROM json_each(?))",
            (listed,),
        )
    }
    lacks = " + ".join(f"({test}) * {bit(name)}" for name, test in LACKS.items())
    new = {
        row["id"]: tuple(row[fact] for fact in _FACTS)
        for row in store.rows(
            f"""SELECT r.id, {lacks} AS lacks, r.year / 10 * 10 AS decade,
                lower(r.genre) AS genre, (SELECT group_concat(carrier, char(10)) FROM (
                    SELECT DISTINCT coalesce(d.carrier, 'file') AS carrier FROM holdings h
                    LEFT JOIN discs d ON d.id = h.disc_id WHERE h.recording_id = r.id
                    ORDER BY 1)) AS carriers
            FROM json_each(?) j JOIN recordings r ON r.id = j.value
            WHERE EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id)""",
            (listed,),
        )
    }
    conn = store.db.conn
    conn.executemany(
        "DELETE FROM held_recordings WHERE recording_id = ?", [(n,) for n in old if n not in new]
    )
    conn.executemany(
        "INSERT INTO held_recordings (recording_id, lacks, decade, genre, carriers) "
        "VALUES (?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET lacks = excluded.lacks, "
        "decade = excluded.decade, genre = excluded.genre, carriers = excluded.carriers",
        [(n, *facts) for n, facts in new.items() if old.get(n) != facts],
    )
    change: Counter[tuple[str, str]] = Counter()
    for there, sign in ((old, -1), (new, 1)):
        for facts in there.values():
            for fact, value in zip(_FACTS, facts, strict=True):
                change[fact, "" if value is None else str(value)] += sign
    conn.executemany(
        "INSERT INTO held_counts (fact, value, n) VALUES (?, ?, ?) "
        "ON CONFLICT DO UPDATE SET n = n + excluded.n",
        [(*what, n) for what, n in change.items() if n],
    )
