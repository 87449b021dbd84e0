"""Figures of what was asked for and played: counts, each a table, with nobody in them.

By place, a count under five people is not told: it could point at somebody. The numbers behind
it are not told in another way either: what is hidden is left out of the table, and no total of
it is given.
"""

from __future__ import annotations

import statistics
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from catalogue import filed_order, genres, held_facts, place_counts, places, slip_days
from catalogue.store import Row, Store

FEWEST = 5
"""Fewer people than this from one place are not shown (a common rule of small cells; the
station's own policy may ask for more)."""

MOST_PLAYED = 20
_READY_STEPS_MIN = (1, 2, 3, 4, 5, 10, 30)
"""Minutes from call to ready: a record lasts three to four, so the first steps are fine."""

_NOT_SAID = "not known"


@dataclass(frozen=True, slots=True)
class Figure:
    """One table: its name, what its columns are, its rows (label, then numbers), and remarks as
    name and number, such as how many rows are hidden."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[float, ...]], ...]
    remarks: tuple[tuple[str, float], ...] = ()


def all_of(store: Store, first: date, last: date) -> list[Figure]:
    """Every figure for the requests and plays from the first to the last day."""
    slips = _requests(store, first, last)
    return [
        _outcomes(slips),
        _by_hour(slips),
        _by_place(store, first),
        _by_decade(slips),
        _asked_and_held(store, slips, "decade"),
        _asked_and_held(store, slips, "genre"),
        _until_ready(slips),
        _ways(slips),
        _most_played(store, first, last),
    ]


def _requests(store: Store, first: date, last: date) -> list[Row]:
    """Slips that asked for music, with what was asked for: the record, or what it stood in for."""
    return store.rows(
        """SELECT s.id, s.state, s.started_at, s.handed_at, s.came_by, s.stand_in_for,
            s.recording_id, r.year, r.genre
        FROM slips s LEFT JOIN recordings r ON r.id = coalesce(s.stand_in_for, s.recording_id)
        WHERE s.purpose IN ('request', 'dedication') AND s.state <> 'withdrawn'
            AND s.started_at >= ? AND s.started_at < ? ORDER BY s.id""",
        (first.isoformat(), (last + timedelta(days=1)).isoformat()),
    )


def _outcomes(slips: list[Row]) -> Figure:
    counts = Counter(_outcome(slip) for slip in slips)
    order = ("met", "stand-in", "not met", "open")
    return Figure("outcomes", ("requests",), tuple((o, (counts[o],)) for o in order))


def _outcome(slip: Row) -> str:
    if slip["state"] == "played":
        return "stand-in" if slip["stand_in_for"] is not None else "met"
    return "not met" if slip["state"] == "not used" else "open"


def _by_hour(slips: list[Row]) -> Figure:
    counts = Counter(datetime.fromisoformat(s["started_at"]).hour for s in slips)
    if not counts:
        return Figure("by_hour", ("requests",), ())
    hours = range(min(counts), max(counts) + 1)
    return Figure("by_hour", ("requests",), tuple((f"{h:02}", (counts[h],)) for h in hours))


def _by_place(store: Store, first: date) -> Figure:
    """Callers by place since the first month: the months are whole, since counts are kept so."""
    names = {place.id: place.name for place in places.all_places(store)}
    counts: Counter[int] = Counter()
    for count in place_counts.since(store, first.isoformat()[:7]):
        counts[count.place_id] += count.requests
    shown = [(names[p], (float(n),)) for p, n in counts.most_common() if n >= FEWEST and p in names]
    return Figure(
        "by_place",
        ("callers",),
        tuple(shown),
        (("hidden", sum(n < FEWEST for n in counts.values())),),
    )


def _by_decade(slips: list[Row]) -> Figure:
    counts = Counter(_decade(s["year"]) for s in slips if s["recording_id"] is not None)
    return Figure("by_decade", ("requests",), _in_order({k: (v,) for k, v in counts.items()}))


def _asked_and_held(store: Store, slips: list[Row], by: str) -> Figure:
    """The share of requests beside the share of what is held, in hundredths."""
    named = _decade if by == "decade" else _family
    column = "year" if by == "decade" else "genre"
    asked = Counter(named(s[column]) for s in slips if s["recording_id"] is not None)
    held = _held(store, by)
    table: dict[str, tuple[float, ...]] = {
        key: (_share(asked[key], asked.total()), _share(held[key], held.total()))
        for key in asked | held
    }
    if by == "decade":
        return Figure("asked_by_decade", ("asked", "held"), _in_order(table))
    rows = sorted(table.items(), key=lambda item: -max(item[1]))
    return Figure("asked_by_genre", ("asked", "held"), tuple(rows[:15]))


def _held(store: Store, by: str) -> Counter[str]:
    """How many recordings of each decade or kind of music have a copy that is not missing."""
    filed_order.settled(store)
    held: Counter[str] = Counter()
    for value, count in held_facts.counts(store, by).items():
        if by == "decade":
            held[_decade(int(value) if value else None)] += count
        else:
            held[_family(value)] += count
    for row in store.rows(
        """SELECT r.year, r.genre FROM recordings r
        WHERE r.id IN (SELECT recording_id FROM holdings WHERE missing)
            AND NOT EXISTS (SELECT 1 FROM holdings h
                WHERE h.recording_id = r.id AND NOT h.missing)"""
    ):
        held[_decade(row["year"]) if by == "decade" else _family(row["genre"])] -= 1
    return +held


def _until_ready(slips: list[Row]) -> Figure:
    """Minutes from the first word on a slip to the studio; paper slips are not waited for."""
    minutes = [
        (datetime.fromisoformat(s["handed_at"]) - datetime.fromisoformat(s["started_at"])) / _MINUTE
        for s in slips
        if s["handed_at"] and s["came_by"] == "telephone"
    ]
    rows, below = [], 0.0
    for step in _READY_STEPS_MIN:
        rows.append((f"{below:g}–{step}", (float(sum(below <= m < step for m in minutes)),)))
        below = step
    rows.append((f"{below:g}+", (float(sum(m >= below for m in minutes)),)))
    remarks = (("median", round(statistics.median(minutes), 1)),) if minutes else ()
    return Figure("until_ready", ("requests",), tuple(rows) if minutes else (), remarks)


_MINUTE = timedelta(minutes=1)


def _ways(slips: list[Row]) -> Figure:
    """By month: how many came by each way."""
    ways = slip_days.CAME_BY
    table: dict[str, Counter[str]] = {}
    for slip in slips:
        table.setdefault(slip["started_at"][:7], Counter())[slip["came_by"]] += 1
    rows = tuple((month, tuple(float(table[month][w]) for w in ways)) for month in sorted(table))
    return Figure("ways", ways, rows)


def _most_played(store: Store, first: date, last: date) -> Figure:
    rows = store.rows(
        """SELECT r.title, a.name AS artist, count(*) AS times FROM plays p
            JOIN recordings r ON r.id = p.recording_id JOIN artists a ON a.id = r.artist_id
        WHERE p.at >= ? AND p.at < ? GROUP BY r.id ORDER BY times DESC, r.title LIMIT ?""",
        (first.isoformat(), (last + timedelta(days=1)).isoformat(), MOST_PLAYED),
    )
    return Figure(
        "most_played",
        ("plays",),
        tuple((f"{r['title']} — {r['artist']}", (float(r["times"]),)) for r in rows),
    )


def _decade(year: int | None) -> str:
    return f"{year // 10 * 10}s" if year else _NOT_SAID


def _family(genre: str | None) -> str:
    """The family of a genre, so that "C&W" and "country" are one."""
    if not genre:
        return _NOT_SAID
    return genres.family(genre) or genre.casefold()


def _in_order(table: dict[str, tuple[float, ...]]) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """By label, what is not known last."""
    return tuple(sorted(table.items(), key=lambda item: (item[0] == _NOT_SAID, item[0])))


def _share(part: float, whole: float) -> float:
    return round(100 * part / whole, 1) if whole else 0.0
