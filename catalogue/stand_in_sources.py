"""Where stand-ins come from: ids of recordings held, by short indexed queries.

Each query looks at a bounded number of rows, so that an offer takes as long among a million
recordings as among ten thousand.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.basis import Basis, Pace
from catalogue.feel import Facts
from catalogue.genres import LIVELY, family, words_of
from catalogue.likeness import TEMPO_TOLERANCE
from catalogue.records import Recording, Voice
from catalogue.song_identity import spellings
from catalogue.sorts_held import HAS_COPY, SCATTER, of_kind, turned
from catalogue.spelling import plain
from catalogue.store import Store

_LOOKED_AT = 400
"""Rows one query of a name looks at: more than nearly any artist recorded or any song has
records; "various artists" may have more."""

_TAKEN = 40
"""Recordings one query of a name gives: readiness and variety need some to choose from."""

_YEARS_EACH_WAY = 3
"""Years before and after that are looked at: where the kernel of `likeness.py` is still 0.93; those
further off would be offered only if there were nothing nearer."""

_YEARS_ACROSS = 8
"""Years tried, evenly spread over all there are, when the caller's is not known."""

_LOOKED_AT_IN_YEAR = 30
_TAKEN_IN_YEAR = (14, 8, 5, 3)
_TAKEN_OF_ANY = 3
"""The same for one year from one tempo on, up or down, by years apart, and for each of many years:
there are dozens of such queries. Nearer years give more, for the nearest are offered most."""

_OCTAVE_YEARS = 2
"""Years apart up to which half and double of the tempo are sought as well."""

_USUAL_TEMPOS: dict[Pace, tuple[float, ...]] = {
    Pace.SLOW: (70.0, 80.0),
    Pace.QUICK: (125.0, 140.0),
    Pace.UNKNOWN: (80.0, 120.0),
}
"""Where to begin in a year when only slow or quick, or not even that, is known: slow, middling,
quick (common practice, no source)."""

_OF_ARTIST = 4
"""Records of an artist by which their sort of music is guessed."""

_RELATED_EACH = 3
_RELATED_ARTISTS = 10
"""Records of each related artist, and how many of these artists are looked at."""

_POPULAR = 24
"""Of what is asked for here, the most asked-for so many."""

_PROBES = 12
_PROBE_TAKES = 3
"""Places, evenly spread over all copies, where a few are taken: so that something is offered
on a station's first day, when nothing is known and nothing was played."""

_ENOUGH = 40
"""Recordings found by what they share; with fewer, some that share nothing are added."""

_BATCH = 400


@dataclass(slots=True)
class Found:
    """Ids by what they share: the song, its writer, its artist, a related artist, the sort of music
    or language asked for, what is asked for here; and all that was found in the years, each with
    its artist and what its sort can be guessed from."""

    of_song: set[int] = field(default_factory=set)
    of_writer: set[int] = field(default_factory=set)
    of_artist: set[int] = field(default_factory=set)
    of_related: set[int] = field(default_factory=set)
    of_kind: set[int] = field(default_factory=set)
    popular: set[int] = field(default_factory=set)
    of_years: dict[int, tuple[int, Facts]] = field(default_factory=dict)
    anywhere: set[int] = field(default_factory=set)

    def named(self) -> set[int]:
        """Those that share more than a time: few, and all looked at closely."""
        return (
            self.of_song | self.of_writer | self.of_artist | self.of_related | self.of_kind
            | self.popular | self.anywhere
        )  # fmt: skip

    def every(self) -> set[int]:
        """All of them."""
        return self.named() | set(self.of_years)


def gather(
    store: Store,
    basis: Basis,
    related: Sequence[int] = (),
    popular: Mapping[int, float] | None = None,
    day: int = 0,
) -> Found:
    """Some hundreds of ids of recordings held that share something with what is known.

    `related` are artists, closest first; `popular` recordings with how much they are asked for;
    `day` is the programme's, with which what is tried of many equals turns.
    """
    found, popular = Found(), popular or {}
    if basis.recording:
        found.of_song = _of_song(store, basis.recording)
        found.of_writer = _of_writer(store, basis.recording)
    if basis.artist_id is not None:
        found.of_artist = _of_artist(store, basis.artist_id, basis.year, day)
    for artist in related[:_RELATED_ARTISTS]:
        found.of_related |= _held(
            store, "SELECT id FROM recordings WHERE artist_id = ?", [artist], _RELATED_EACH
        )
    found.of_kind = of_kind(store, basis, day)
    found.of_years = _of_years(store, basis, day)
    asked_most = sorted(popular, key=lambda one: (-popular[one], (one + day) * SCATTER % 2**32))
    found.popular = set(asked_most[:_POPULAR])
    if len(found.every()) < _ENOUGH:
        found.anywhere = _spread(store, day)
    return found


def records_of(store: Store, artist_ids: Sequence[int]) -> dict[int, list[Facts]]:
    """Some records of each artist, held or not, to guess their sort of music from."""
    found: dict[int, list[Facts]] = {artist: [] for artist in artist_ids}
    rows = store.db.conn.execute(
        "SELECT a.id, r.year, r.tempo, r.length_s, r.title, a.name FROM json_each(?) one "
        "JOIN artists a ON a.id = one.value JOIN recordings r ON r.id IN "
        "(SELECT id FROM recordings WHERE artist_id = a.id LIMIT ?)",
        (json.dumps(list(found)), _OF_ARTIST),
    )
    for artist, *facts in rows:
        found[artist].append(Facts(*facts))
    return found


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


def _held(store: Store, source: str, parameters: Sequence[Any], taken: int = _TAKEN) -> set[int]:
    """Of the first rows of a query of ids, some that have a copy."""
    return _ids(
        store,
        f"SELECT id FROM ({source} LIMIT {_LOOKED_AT}) one WHERE {HAS_COPY} LIMIT {taken}",
        parameters,
    )


def _ids(store: Store, sql: str, parameters: Sequence[Any]) -> set[int]:
    return {row[0] for row in store.db.conn.execute(sql, parameters).fetchall()}


def _of_artist(store: Store, artist_id: int, year: int | None, day: int) -> set[int]:
    """Some of an artist's records: those of nearest years first, or others every day."""
    order = "year IS NULL, abs(year - ?)" if year is not None else "(id + ?) * ? % 4294967296"
    return _ids(
        store,
        f"""SELECT id FROM (SELECT id FROM (
            SELECT id, year FROM recordings WHERE artist_id = ? LIMIT {_LOOKED_AT})
            ORDER BY {order} LIMIT -1) one
        WHERE {HAS_COPY} LIMIT {_TAKEN}""",
        [artist_id, year] if year is not None else [artist_id, day, SCATTER],
    )


def _of_song(store: Store, recording: Recording) -> set[int]:
    """Records of the song, and of songs of its name, under any spelling of the title.

    Whether one name is one song is told by `song_identity.py`.
    """
    words = spellings(recording.title)
    marks = ", ".join("?" for _ in words)
    return _held(
        store,
        f"""SELECT r.id FROM songs s CROSS JOIN recordings r ON r.song_id = s.id
        WHERE s.plain IN ({marks})""",
        words,
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


_Rows = dict[int, tuple[int, Facts]]
_Some = tuple[str, tuple[float, ...], int]
"""More of a condition on a year's recordings, its values, and how many are taken."""


def _of_years(store: Store, basis: Basis, day: int) -> _Rows:
    """In each of some years: those nearest in tempo, quicker and slower, some of half and double
    the tempo, and some whose tempo is not known."""
    tempo = basis.tempo
    starts = (tempo,) if tempo else _tempos_tried(basis, day)
    said, parameters = _said_of(basis)
    found: _Rows = {}
    for year in _years(store, basis.year, day):
        apart = abs(year - basis.year) if basis.year is not None else None
        taken = _TAKEN_OF_ANY if apart is None else _TAKEN_IN_YEAR[apart]
        some: list[_Some] = []
        for start in starts:
            some.append(("AND tempo >= ? ORDER BY tempo", (start,), taken))
            some.append(("AND tempo < ? ORDER BY tempo DESC", (start,), taken))
        octaves = tempo is not None and tempo > 0 and (apart is None or apart <= _OCTAVE_YEARS)
        for other in (tempo / 2, tempo * 2) if tempo and octaves else ():
            near = other * (1 - TEMPO_TOLERANCE), other * (1 + TEMPO_TOLERANCE)
            some.append(("AND tempo BETWEEN ? AND ?", near, max(1, taken // 2)))
        some.append(("AND tempo IS NULL", (), taken))
        found.update(_in_year(store, year, some, said, parameters))
    return found


def _tempos_tried(basis: Basis, day: int) -> tuple[float, ...]:
    """Where to begin in a year, a little higher or lower every day."""
    pace = basis.pace
    if pace is Pace.UNKNOWN and basis.mood:
        pace = Pace.QUICK if basis.mood == LIVELY else Pace.SLOW
    moved = 2.0 ** (_TEMPO_TURN * (turned(day) - 0.5))
    return tuple(tempo * moved for tempo in _USUAL_TEMPOS[pace])


_TEMPO_TURN = 0.3
"""Doublings by which the beginning is moved: a tenth up or down, so that slow stays slow."""


def _said_of(basis: Basis) -> tuple[str, list[Any]]:
    """SQL that counts how much of what was said outright is true of `one`, and its parameters."""
    said: list[str] = []
    parameters: list[Any] = []
    if basis.genre:
        kin = words_of(family(basis.genre))
        said.append("2 * (lower(one.genre) = lower(?))")
        said.append(f"(lower(one.genre) IN ({', '.join('?' for _ in kin)}))")
        parameters += [basis.genre, *kin]
    if basis.voice is not Voice.UNKNOWN:
        said.append("(one.voice = ?)")
        parameters.append(basis.voice)
    if basis.language:
        said.append("(lower(one.language) = lower(?))")
        parameters.append(basis.language)
    return " + ".join(said), parameters


def _in_year(
    store: Store, year: int, some: Sequence[_Some], said: str, parameters: Sequence[Any]
) -> _Rows:
    """For each condition, some with a copy of the first rows of a year; those for which more is
    true come first. All in one statement: its parts are so short that asking takes as long."""
    # Ids alone are read from the index; the records only of those that have a copy.
    columns = "id, genre, voice, language" if said else "id"
    # The limit keeps the order, so that copies are sought only until there are enough.
    order = f"ORDER BY {said} DESC LIMIT -1" if said else ""
    parts: list[str] = []
    values: list[Any] = []
    for where, wanted, taken in some:
        parts.append(
            f"""SELECT * FROM (
            SELECT r.id, r.artist_id, r.year, r.tempo, r.length_s, r.title, a.name
            FROM (SELECT id FROM (SELECT {columns} FROM recordings WHERE year = ? {where}
            LIMIT {_LOOKED_AT_IN_YEAR}) one {order}) one
            CROSS JOIN recordings r ON r.id = one.id CROSS JOIN artists a ON a.id = r.artist_id
            WHERE {HAS_COPY} LIMIT ?)"""
        )
        values += [year, *wanted, *parameters, taken]
    rows = store.db.conn.execute(" UNION ALL ".join(parts), values).fetchall()
    return {row[0]: (row[1], Facts(*row[2:])) for row in rows}


def _years(store: Store, year: int | None, day: int) -> list[int]:
    if year is not None:
        return list(range(year - _YEARS_EACH_WAY, year + _YEARS_EACH_WAY + 1))
    (first,) = store.db.conn.execute("SELECT min(year) FROM recordings").fetchone()
    (last,) = store.db.conn.execute("SELECT max(year) FROM recordings").fetchone()
    if first is None:
        return []
    step = max(1, -(-(last - first) // _YEARS_ACROSS))  # rounded up
    return list(range(first + int(turned(day) * step), last + 1, step))


def _spread(store: Store, day: int) -> set[int]:
    (last,) = store.db.conn.execute("SELECT max(id) FROM holdings").fetchone()
    found: set[int] = set()
    for probe in range(_PROBES if last else 0):
        start = 1 + int((probe + turned(day)) * int(last) / _PROBES)
        found |= _ids(
            store,
            f"SELECT recording_id FROM holdings WHERE id >= ? AND missing = 0 LIMIT {_PROBE_TAKES}",
            [start],
        )
    return found
