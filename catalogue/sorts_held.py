"""What is held of a sort of music, of a mood or in a language, others every day.

Where little is known of what is wanted, thousands are as good as one another. Which of them are
looked at turns with the day of the programme: the same all evening, so that a list does not
change in the middle of a call, and others tomorrow, so that not the same few are always offered.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from catalogue import genres
from catalogue.basis import Basis
from catalogue.store import Store

_SORTS = 400
"""Different sorts of music that are told apart: more than any station writes."""

_SORTS_TAKEN = 12
"""Sorts looked into for one request, the very one first, then its family."""

_TAKEN = 40
"""Recordings given for a request: readiness and variety need some to choose from."""

_LOOKED_AT = 200
"""Rows looked at for copies, of one sort or language."""

_NIGHT_HOURS = 5
"""An evening's programme may go on past midnight: until five it is still the day before."""

SCATTER = 2_654_435_761
"""Knuth's multiplier for hashing (The Art of Computer Programming 3, 6.4): the golden ratio."""

HAS_COPY = "EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = one.id AND h.missing = 0)"
"""SQL: whether `one` has a copy that is not missing."""


def day_of(now: datetime) -> int:
    """The number of the programme's day."""
    return (now - timedelta(hours=_NIGHT_HOURS)).toordinal()


def turned(day: int) -> float:
    """A share of the way round, 0 to 1, evenly spread over the days."""
    return day * SCATTER % 2**32 / 2**32


def of_kind(store: Store, basis: Basis, day: int) -> set[int]:
    """Ids of recordings held of the sort, mood or language asked for.

    None where a record with its year is known: its years give enough of its sort.
    """
    found: set[int] = set()
    if basis.recording is not None and basis.year is not None:
        return found
    for sort in _sorts_asked(store, basis):
        found |= _some(store, "genre", sort, day, _TAKEN - len(found))
        if len(found) >= _TAKEN:
            break
    if basis.language:
        found |= _some(store, "language", basis.language.lower(), day, _TAKEN)
    return found


def _sorts_asked(store: Store, basis: Basis) -> list[str]:
    """Of the sorts that recordings here have, those that are asked for, nearest first."""
    if not basis.genre and not basis.mood:
        return []
    near: list[tuple[float, str]] = []
    for sort in sorts(store):
        alike = genres.genres_alike(basis.genre, sort)
        mood = 0.25 if basis.mood and genres.mood(sort) == basis.mood else 0.0
        if alike or mood:
            near.append((-alike - mood, sort))
    return [sort for _, sort in sorted(near)[:_SORTS_TAKEN]]


def sorts(store: Store) -> list[str]:
    """Every sort of music written here, in small letters."""
    return _different(store, "genre")


def languages(store: Store) -> list[str]:
    """Every language written here, with a capital."""
    return [name.capitalize() for name in _different(store, "language")]


def _different(store: Store, column: str) -> list[str]:
    """The different values of a column: one step of the index for each."""
    rows = store.db.conn.execute(
        f"""WITH RECURSIVE held(it) AS (
            SELECT * FROM (SELECT lower({column}) FROM recordings WHERE {column} <> ''
                ORDER BY lower({column}) LIMIT 1)
            UNION ALL
            SELECT (SELECT lower({column}) FROM recordings WHERE {column} <> ''
                AND lower({column}) > it ORDER BY lower({column}) LIMIT 1)
            FROM held WHERE it IS NOT NULL LIMIT ?)
        SELECT it FROM held WHERE it IS NOT NULL""",
        (_SORTS,),
    ).fetchall()
    return [row[0] for row in rows]


def _some(store: Store, column: str, value: str, day: int, taken: int) -> set[int]:
    """Some with a copy, beginning at the day's place and going round."""
    (last,) = store.db.conn.execute("SELECT max(id) FROM recordings").fetchone()
    start = int(turned(day) * (last or 0))
    found: set[int] = set()
    for where in ("id >= ?", "id < ?"):
        rows = store.db.conn.execute(
            f"""SELECT id FROM (SELECT id FROM recordings WHERE {column} <> ''
                AND lower({column}) = ? AND {where} ORDER BY id LIMIT {_LOOKED_AT}) one
            WHERE {HAS_COPY} LIMIT ?""",
            (value, start, max(0, taken - len(found))),
        ).fetchall()
        found |= {row[0] for row in rows}
    return found
