"""The programmes: what is on when. A slip belongs to the one that is on as it is written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Store

USUAL_S = 210.0
"""A record of three and a half minutes (common practice, no source), until the station's own
plays tell better."""

_SHORTEST_S = 60.0
"""Anything shorter is a jingle or a sample, not a record."""

_LAST_PLAYS = 100
_ENOUGH_PLAYS = 10


@dataclass(frozen=True, slots=True)
class Programme:
    """One programme; times are ISO 8601 texts."""

    id: int
    name: str
    presenter: str
    starts_at: str
    ends_at: str
    kind: str = ""


_SELECT = "SELECT id, name, presenter, starts_at, ends_at, kind FROM programmes"


def add(
    store: Store,
    name: str,
    presenter: str,
    starts_at: datetime,
    ends_at: datetime,
    who: str,
    now: datetime,
    kind: str = "",
) -> int:
    """Put a programme in; `kind` is the station's own word for it.

    Raises BadInput for no name, or an end that is not after the start.
    """
    if not name.strip():
        raise BadInput("A programme needs a name.")
    if ends_at <= starts_at:
        raise BadInput("A programme ends after it starts. Look at the two times again.")
    with undo.action(store, who, f"added the programme “{name.strip()}”", now):
        cursor = store.db.execute(
            "INSERT INTO programmes (name, presenter, starts_at, ends_at, kind) "
            "VALUES (?, ?, ?, ?, ?)",
            (
                name.strip(),
                presenter.strip(),
                starts_at.isoformat(timespec="seconds"),
                ends_at.isoformat(timespec="seconds"),
                kind.strip(),
            ),
        )
        return int(cursor.lastrowid or 0)


def get(store: Store, programme_id: int) -> Programme:
    """One programme. Raises NotFound."""
    rows = store.rows(f"{_SELECT} WHERE id = ?", (programme_id,))
    if not rows:
        raise NotFound(f"There is no programme number {programme_id}.")
    return Programme(**rows[0])


def to_come(store: Store, now: datetime, limit: int = 30) -> list[Programme]:
    """What is on now and what comes, soonest first."""
    rows = store.rows(
        f"{_SELECT} WHERE ends_at > ? ORDER BY starts_at, id LIMIT ?",
        (now.isoformat(timespec="seconds"), limit),
    )
    return [Programme(**row) for row in rows]


def current(store: Store, now: datetime) -> Programme | None:
    """What is on now; of two that overlap, the one that started last."""
    at = now.isoformat(timespec="seconds")
    rows = store.rows(
        f"{_SELECT} WHERE starts_at <= ? AND ends_at > ? ORDER BY starts_at DESC, id DESC LIMIT 1",
        (at, at),
    )
    return Programme(**rows[0]) if rows else None


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a programme: whole minutes, and about how many records that is."""

    programme: Programme
    minutes: int
    records: int


def left(store: Store, now: datetime) -> Left | None:
    """What is left of what is on now; None while nothing is."""
    programme = current(store, now)
    if programme is None:
        return None
    seconds = (datetime.fromisoformat(programme.ends_at) - now).total_seconds()
    return Left(programme, int(seconds // 60), int(seconds // _usual_length_s(store)))


def _usual_length_s(store: Store) -> float:
    """How long a record is here: the mean of the last ones played whose length is known."""
    rows = store.rows(
        "SELECT avg(length_s) AS mean, count(*) AS n FROM (SELECT r.length_s FROM plays p "
        "JOIN recordings r ON r.id = p.recording_id WHERE r.length_s >= ? "
        "ORDER BY p.at DESC LIMIT ?)",
        (_SHORTEST_S, _LAST_PLAYS),
    )
    return float(rows[0]["mean"]) if rows[0]["n"] >= _ENOUGH_PLAYS else USUAL_S


def all_programmes(store: Store, limit: int = 200) -> list[Programme]:
    """The programmes, latest first."""
    rows = store.rows(
        f"{_SELECT} ORDER BY starts_at DESC, id DESC LIMIT ?",
        (limit,),
    )
    return [Programme(**row) for row in rows]
