"""What went out: one row for each recording played, when, where, from which copy."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store

_LONGEST_S = 24 * 60 * 60


@dataclass(frozen=True, slots=True)
class Play:
    """One recording played; `at` is an ISO 8601 text."""

    id: int
    at: str
    recording_id: int
    holding_id: int | None
    programme_id: int | None
    slip_id: int | None
    studio: str
    note: str
    heard_s: float | None = None
    """How long it was heard, in seconds; None where nobody said."""
    item_id: int | None = None
    """The line of a programme's list that it was, for a record put in by hand."""


def record(
    store: Store,
    recording_id: int,
    holding_id: int | None,
    studio: str,
    slip_id: int | None,
    who: str,
    now: datetime,
    *,
    programme_id: int | None = None,
    item_id: int | None = None,
) -> int:
    """Note that a recording was played now; returns the play's id.

    Raises NotFound for an unknown recording, BadInput for a copy of another recording.
    """
    with undo.action(store, who, f"played recording {recording_id}", now):
        _refuse_unknown(store, recording_id, holding_id)
        cursor = store.db.execute(
            "INSERT INTO plays (at, recording_id, holding_id, programme_id, slip_id, studio, "
            "item_id) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (
                now.isoformat(timespec="seconds"),
                recording_id,
                holding_id,
                programme_id,
                slip_id,
                studio,
                item_id,
            ),
        )
        return int(cursor.lastrowid or 0)


def add_by_hand(
    store: Store,
    recording_id: int,
    holding_id: int | None,
    at: datetime,
    studio: str,
    who: str,
    now: datetime,
    *,
    programme_id: int | None = None,
    heard_s: float | None = None,
) -> int:
    """Note a play that nobody noted at the time, with the programme that was on then.

    Raises NotFound for an unknown recording, BadInput for a time to come or a copy of another.
    """
    if at > now:
        raise BadInput("That time is still to come. Write when it was played.")
    with undo.action(store, who, f"added a play of recording {recording_id}", now):
        play_id = record(
            store, recording_id, holding_id, studio, None, who, at, programme_id=programme_id
        )
        _set(store, play_id, heard_s=_sensible(heard_s))
        return play_id


def correct(
    store: Store,
    play_id: int,
    who: str,
    now: datetime,
    *,
    at: datetime,
    recording_id: int,
    holding_id: int | None,
    programme_id: int | None,
    heard_s: float | None,
    seen: int | None = None,
) -> None:
    """Correct when, what or how long; what it was before is kept, and can be taken back.

    `seen` is the row's number as the page showed it. Raises NotFound, BadInput for a time to
    come or a copy of another recording, ChangedMeanwhile.
    """
    if at > now:
        raise BadInput("That time is still to come. Write when it was played.")
    with undo.action(store, who, f"corrected play {play_id}", now):
        get(store, play_id)
        undo.refuse_if_changed(store, "plays", play_id, seen)
        _refuse_unknown(store, recording_id, holding_id)
        _set(
            store,
            play_id,
            at=at.isoformat(timespec="seconds"),
            recording_id=recording_id,
            holding_id=holding_id,
            heard_s=_sensible(heard_s),
            programme_id=programme_id,
        )


def strike(store: Store, play_id: int, who: str, now: datetime, seen: int | None = None) -> None:
    """It did not go out after all. The row stays in the history, and can be taken back.

    Raises NotFound, ChangedMeanwhile, and BadInput for a play that met a request: the studio
    takes that back, so that the request waits again.
    """
    with undo.action(store, who, f"struck out play {play_id}", now):
        get(store, play_id)
        undo.refuse_if_changed(store, "plays", play_id, seen)
        if store.rows("SELECT 1 FROM slips WHERE play_id = ?", (play_id,)):
            raise BadInput(
                "This play met a request. Take back “played” in the studio: then the request "
                "waits again."
            )
        store.db.execute("DELETE FROM plays WHERE id = ?", (play_id,))


def _refuse_unknown(store: Store, recording_id: int, holding_id: int | None) -> None:
    if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (recording_id,)):
        raise NotFound(f"There is no recording number {recording_id}; nothing was logged.")
    if holding_id is not None and not store.rows(
        "SELECT 1 FROM holdings WHERE id = ? AND recording_id = ?", (holding_id, recording_id)
    ):
        raise BadInput("That copy is not of this recording. Choose the copy again.")


def _sensible(heard_s: float | None) -> float | None:
    if heard_s is not None and not 0 < heard_s <= _LONGEST_S:
        raise BadInput("A play lasts longer than nothing and less than a day. Look at it again.")
    return heard_s


def _set(store: Store, play_id: int, **columns: object) -> None:
    sets = ", ".join(f"{name} = ?" for name in columns)
    store.db.execute(f"UPDATE plays SET {sets} WHERE id = ?", [*columns.values(), play_id])


def point_at(store: Store, gone: int, kept: int) -> None:
    """The plays of one recording are another's; inside an action."""
    store.db.execute("UPDATE plays SET recording_id = ? WHERE recording_id = ?", (kept, gone))


def point_at_copy(store: Store, gone: int, kept: int) -> None:
    """The plays of one copy are another's; inside an action."""
    store.db.execute("UPDATE plays SET holding_id = ? WHERE holding_id = ?", (kept, gone))


def get(store: Store, play_id: int) -> Play:
    """One play. Raises NotFound."""
    rows = store.rows("SELECT * FROM plays WHERE id = ?", (play_id,))
    if not rows:
        raise NotFound(f"There is no play number {play_id} in the log.")
    return Play(**rows[0])


def of_items(store: Store, item_ids: Iterable[int]) -> dict[int, str]:
    """When each of these lines of a programme's list went out (ISO 8601), those that did."""
    rows = store.rows(
        "SELECT item_id, at FROM plays WHERE item_id IN (SELECT value FROM json_each(?))",
        (json.dumps(list(item_ids)),),
    )
    return {row["item_id"]: row["at"] for row in rows}


def last_played(store: Store, recording_ids: Iterable[int]) -> dict[int, str]:
    """When each of these was last played (ISO 8601); those never played are left out."""
    rows = store.rows(
        "SELECT recording_id, max(at) AS at FROM plays "
        "WHERE recording_id IN (SELECT value FROM json_each(?)) GROUP BY recording_id",
        (json.dumps(list(recording_ids)),),
    )
    return {row["recording_id"]: row["at"] for row in rows}


def times_played(store: Store, recording_ids: Iterable[int]) -> dict[int, int]:
    """How often each of these was played; those never played are left out."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM plays "
        "WHERE recording_id IN (SELECT value FROM json_each(?)) GROUP BY recording_id",
        (json.dumps(list(recording_ids)),),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def often_played(store: Store, last: int) -> dict[int, int]:
    """Of the last so many plays: how often each recording was among them."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM "
        "(SELECT recording_id FROM plays ORDER BY at DESC LIMIT ?) GROUP BY recording_id",
        (last,),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def artists_since(store: Store, start: datetime) -> set[int]:
    """The artists played since then."""
    rows = store.rows(
        "SELECT DISTINCT r.artist_id FROM plays p JOIN recordings r ON r.id = p.recording_id "
        "WHERE p.at >= ?",
        (start.isoformat(timespec="seconds"),),
    )
    return {row["artist_id"] for row in rows}


def between(store: Store, start: datetime, end: datetime) -> list[Row]:
    """What was played from `start` to before `end`, earliest first, with the columns of `since`
    and `heard_s`."""
    return store.rows(
        f"{_LISTED} WHERE p.at >= ? AND p.at < ? ORDER BY p.at, p.id",
        (_stored(start), _stored(end)),
    )


def slips_of(store: Store, play_ids: Iterable[int]) -> dict[int, list[int]]:
    """The slips that each of these plays met, those without any left out."""
    rows = store.rows(
        "SELECT id, play_id FROM slips WHERE play_id IN (SELECT value FROM json_each(?)) "
        "ORDER BY id",
        (json.dumps(list(play_ids)),),
    )
    found: dict[int, list[int]] = {}
    for row in rows:
        found.setdefault(row["play_id"], []).append(row["id"])
    return found


_LISTED = """SELECT p.id, p.at, p.recording_id, r.title, a.name AS artist, r.version, p.holding_id,
        CASE WHEN h.id IS NULL THEN '' ELSE coalesce(d.carrier, 'file') END AS carrier,
        coalesce(d.shelf_mark, h.path, '') AS place,
        coalesce(h.side, '') AS side, coalesce(h.track, '') AS track,
        p.studio, p.slip_id, coalesce(g.name, '') AS programme, p.note, p.heard_s
    FROM plays p JOIN recordings r ON r.id = p.recording_id
        JOIN artists a ON a.id = r.artist_id
        LEFT JOIN holdings h ON h.id = p.holding_id LEFT JOIN discs d ON d.id = h.disc_id
        LEFT JOIN programmes g ON g.id = p.programme_id"""


def _stored(at: datetime) -> str:
    return at.isoformat(timespec="seconds")


def since(store: Store, start: datetime, limit: int = 200) -> list[Row]:
    """What was played since then, latest first.

    Each row has id, at, recording_id, title, artist, version, holding_id, carrier, place (the
    shelf mark, or the file's path), side, track, studio, slip_id, programme, note, heard_s.
    """
    return store.rows(
        f"{_LISTED} WHERE p.at >= ? ORDER BY p.at DESC, p.id DESC LIMIT ?",
        (_stored(start), limit),
    )
