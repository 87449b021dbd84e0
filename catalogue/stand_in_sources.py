"""Where stand-ins come from: ids of recordings held, by short indexed queries.

Each query looks at a bounded number of rows, so that an offer takes as long among a million
recordings as among ten thousand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from catalogue.likeness import TEMPO_TOLERANCE
from catalogue.records import Recording
from catalogue.spelling import plain, without_version
from catalogue.store import Store

_LOOKED_AT = 400
"""Rows one query of a name looks at: more than nearly any artist recorded or any song has
records; "various artists" may have more."""

_TAKEN = 40
"""Recordings one query of a name gives: readiness and variety need some to choose from."""

_YEARS_EACH_WAY = 4
"""Years before and after: where the kernel of `likeness.py` has fallen to 0.61."""

_YEARS_ACROSS = 10
"""Years tried, evenly spread over all there are, when the caller's is not known."""

_LOOKED_AT_IN_YEAR = 30
_TAKEN_IN_YEAR = 2
"""The same for one year from one tempo on, up or down: there are dozens of such queries."""

_USUAL_TEMPOS = (75.0, 100.0, 125.0)
"""Where to begin in a year when the tempo is not known: slow, middling, quick."""

_POPULAR = 40
"""Of what is asked for here, the most asked-for so many."""

_PROBES = 12
_PROBE_TAKES = 3
"""Places, evenly spread over all copies, where a few are taken: so that something is offered
on a station's first day, when nothing is known and nothing was played."""

_ENOUGH = 40
"""Recordings found by what they share; with fewer, some that share nothing are added."""

_BATCH = 400
_HAS_COPY = "EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = one.id AND h.missing = 0)"


def gather(
    store: Store,
    recording: Recording | None,
    artist_id: int | None,
    year: int | None,
    tempo: float | None,
    genre: str,
    popular: Mapping[int, int],
) -> set[int]:
    """Some hundreds of ids of recordings held that share something with what is known."""
    found: set[int] = set()
    if recording:
        found |= _of_song(store, recording)
        found |= _of_writer(store, recording)
    if artist_id is not None:
        found |= _held(store, "SELECT id FROM recordings WHERE artist_id = ?", [artist_id])
    found |= _of_years(store, year, tempo, genre)
    found |= set(sorted(popular, key=lambda one: (-popular[one], one))[:_POPULAR])
    return found if len(found) >= _ENOUGH else found | _spread(store)


def any_held(store: Store) -> Iterator[list[int]]:
    """The ids of all recordings with a copy, in batches."""
    last = 0
    while True:
        rows = store.rows(
            """SELECT DISTINCT recording_id AS id FROM holdings
            WHERE missing = 0 AND recording_id > ? ORDER BY recording_id LIMIT ?""",
            (last, _BATCH),
        )
        if not rows:
            return
        last = rows[-1]["id"]
        yield [row["id"] for row in rows]


def _held(store: Store, source: str, parameters: Sequence[Any]) -> set[int]:
    """Of the first rows of a query of ids, some that have a copy."""
    return _ids(
        store,
        f"SELECT id FROM ({source} LIMIT {_LOOKED_AT}) one WHERE {_HAS_COPY} LIMIT {_TAKEN}",
        parameters,
    )


def _ids(store: Store, sql: str, parameters: Sequence[Any]) -> set[int]:
    return {row[0] for row in store.db.execute(sql, parameters).fetchall()}


def _of_song(store: Store, recording: Recording) -> set[int]:
    """Records of the song, and of songs of its name where one composer is not known."""
    words, writer = plain(without_version(recording.title)), plain(recording.composer)
    return _held(
        store,
        """SELECT r.id FROM songs s CROSS JOIN recordings r ON r.song_id = s.id
        WHERE s.plain = ? AND (s.id = ? OR s.composer_plain = '' OR ? = '')""",
        [words, recording.song_id, writer],
    )


def _of_writer(store: Store, recording: Recording) -> set[int]:
    writer = plain(recording.composer)
    if not writer:
        return set()
    return _held(
        store,
        """SELECT r.id FROM songs s CROSS JOIN recordings r ON r.song_id = s.id
        WHERE s.composer_plain = ? AND s.composer_plain <> ''""",
        [writer],
    )


def _of_years(store: Store, year: int | None, tempo: float | None, genre: str) -> set[int]:
    """In each of some years: those nearest in tempo, quicker and slower, some of half and double
    the tempo, and some whose tempo is not known."""
    starts = (tempo,) if tempo else _USUAL_TEMPOS
    found: set[int] = set()
    for one_year in _years(store, year):
        for start in starts:
            for side in (">= ? ORDER BY tempo", "< ? ORDER BY tempo DESC"):
                found |= _in_year(store, f"year = ? AND tempo {side}", [one_year, start], genre)
        for other in (tempo / 2, tempo * 2) if tempo else ():
            near = [one_year, other * (1 - TEMPO_TOLERANCE), other * (1 + TEMPO_TOLERANCE)]
            found |= _in_year(store, "year = ? AND tempo BETWEEN ? AND ?", near, genre)
        found |= _in_year(store, "year = ? AND tempo IS NULL", [one_year], genre)
    return found


def _in_year(store: Store, where: str, parameters: Sequence[Any], genre: str) -> set[int]:
    source = f"SELECT id, genre FROM recordings WHERE {where} LIMIT {_LOOKED_AT_IN_YEAR}"
    if genre:
        # The limit keeps the order, so that copies are sought only until there are enough.
        source = f"SELECT id FROM ({source}) ORDER BY lower(genre) <> lower(?) LIMIT -1"
        parameters = [*parameters, genre]
    return _ids(
        store,
        f"SELECT id FROM ({source}) one WHERE {_HAS_COPY} LIMIT {_TAKEN_IN_YEAR}",
        parameters,
    )


def _years(store: Store, year: int | None) -> list[int]:
    if year is not None:
        return list(range(year - _YEARS_EACH_WAY, year + _YEARS_EACH_WAY + 1))
    (first,) = store.db.execute("SELECT min(year) FROM recordings").fetchone()
    (last,) = store.db.execute("SELECT max(year) FROM recordings").fetchone()
    if first is None:
        return []
    step = max(1, -(-(last - first) // _YEARS_ACROSS))  # rounded up
    return list(range(first, last + 1, step))


def _spread(store: Store) -> set[int]:
    (last,) = store.db.execute("SELECT max(id) FROM holdings").fetchone()
    found: set[int] = set()
    for probe in range(_PROBES if last else 0):
        found |= _ids(
            store,
            f"SELECT recording_id FROM holdings WHERE id >= ? AND missing = 0 LIMIT {_PROBE_TAKES}",
            [1 + probe * int(last) // _PROBES],
        )
    return found
