"""A slip's life: written at the phone, handed to a studio, played or not.

    being written ⇄ handed over → played
          │              ├──────→ not used       (and back: sent_back.py)
          └──────────────┴──────→ withdrawn      (being written → not used as well)

Only fixed words are in this table, since its earlier values are kept: nothing a caller said.
Every function that writes takes the `version` of the slip the desk last showed; when somebody
has changed it since, ChangedMeanwhile is raised and nothing is overwritten.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from catalogue import callers, missing_copies, play_log, programmes, settings, undo
from catalogue.errors import BadInput, NotFound
from catalogue.slip_rows import OPEN, Slip, SlipState, expect, get, where, write
from catalogue.store import Store

__all__ = ["OPEN", "Slip", "SlipState", "get"]

PURPOSES = ("request", "dedication", "competition", "conversation")
NEEDS_MUSIC = frozenset({"request", "dedication"})
NOT_FOUND = "not found in its place"
WHY_NOT = (
    "no time", NOT_FOUND, "would not play", "played lately", "not suitable here",
    "caller gone", "nothing agreed", "too late", "gone home", "moved",
)  # fmt: skip
"""Why a slip was not used: a fixed list, so that no caller's words get in."""

_LATE_SHOW = timedelta(hours=6)
"""How far back "today" reaches just after midnight: a late show's list must not vanish at 0:00."""


def purposes(store: Store) -> tuple[str, ...]:
    """What a call can be for: the usual, and the station's own kinds."""
    return (*PURPOSES, *(k for k in settings.lines(store, "own_kinds") if k not in PURPOSES))


def start(
    store: Store, purpose: str, who: str, now: datetime, *, same_call: int | None = None
) -> int:
    """Begin a slip, with an empty row for the caller's details; returns its number.

    `purpose` may be "" until it is known; `same_call` is the first slip of the caller's.
    """
    _check_purpose(store, purpose, blank=True)
    programme = programmes.current(store, now)
    with undo.action(store, who, "started a slip", now):
        cursor = store.db.execute(
            "INSERT INTO slips (purpose, state, started_at, programme_id, same_call) "
            "VALUES (?, ?, ?, ?, ?)",
            (
                purpose,
                SlipState.BEING_WRITTEN,
                now.isoformat(timespec="seconds"),
                programme.id if programme else None,
                same_call,
            ),
        )
        slip_id = int(cursor.lastrowid or 0)
        ends = datetime.fromisoformat(programme.ends_at).date() if programme else None
        callers.begin(store, slip_id, now, count_from=ends)
    return slip_id


def set_purpose(
    store: Store, slip_id: int, purpose: str, who: str, now: datetime, version: int | None = None
) -> None:
    """What the call is for. Raises BadInput for a purpose that is not on the list."""
    _check_purpose(store, purpose, blank=False)
    with undo.action(store, who, f"set the purpose of slip {slip_id}", now):
        expect(store, slip_id, OPEN, version)
        write(store, slip_id, purpose=purpose)


def set_occasion(
    store: Store, slip_id: int, occasion: str, who: str, now: datetime, version: int | None = None
) -> None:
    """Why the caller asks: one of the station's occasions, or "". Raises BadInput otherwise."""
    if occasion and occasion not in settings.lines(store, "occasions"):
        raise BadInput("That occasion is not on the station's list. Choose one, or leave it blank.")
    with undo.action(store, who, f"set the occasion of slip {slip_id}", now):
        expect(store, slip_id, OPEN, version)
        write(store, slip_id, occasion=occasion)


def set_urgent(
    store: Store, slip_id: int, urgent: bool, who: str, now: datetime, version: int | None = None
) -> None:
    """Whether the studio is told that it cannot wait."""
    with undo.action(store, who, f"set whether slip {slip_id} is urgent", now):
        expect(store, slip_id, OPEN, version)
        write(store, slip_id, urgent=int(urgent))


def choose(
    store: Store,
    slip_id: int,
    recording_id: int,
    holding_id: int | None,
    who: str,
    now: datetime,
    stand_in_for: int | None = None,
    version: int | None = None,
) -> None:
    """Put a recording on the slip, with the copy to play and the recording it stands in for.

    Raises NotFound for an unknown recording, BadInput for a copy of another recording.
    """
    with undo.action(store, who, f"chose recording {recording_id} for slip {slip_id}", now):
        expect(store, slip_id, OPEN, version)
        for wanted in {recording_id, stand_in_for} - {None}:
            if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (wanted,)):
                raise NotFound(f"There is no recording number {wanted}; the slip is as it was.")
        if holding_id is not None and not store.rows(
            "SELECT 1 FROM holdings WHERE id = ? AND recording_id = ?", (holding_id, recording_id)
        ):
            raise BadInput("That copy is not of this recording. Choose the copy again.")
        write(
            store,
            slip_id,
            recording_id=recording_id,
            holding_id=holding_id,
            stand_in_for=None if stand_in_for == recording_id else stand_in_for,
        )


def unchoose(
    store: Store, slip_id: int, who: str, now: datetime, version: int | None = None
) -> None:
    """Take the recording off the slip again."""
    with undo.action(store, who, f"took the recording off slip {slip_id}", now):
        expect(store, slip_id, OPEN, version)
        write(store, slip_id, recording_id=None, holding_id=None, stand_in_for=None)


def hand_over(
    store: Store, slip_id: int, studio: str, who: str, now: datetime, version: int | None = None
) -> None:
    """Hand the slip to a studio. It may name no record: then the presenter chooses.

    Raises BadInput for a slip without a purpose or an unknown studio.
    """
    if studio not in settings.lines(store, "studios"):
        raise BadInput("That studio is not on the station's list. Choose one of the studios.")
    with undo.action(store, who, f"handed slip {slip_id} to {studio}", now):
        slip = expect(store, slip_id, (SlipState.BEING_WRITTEN,), version)
        if not slip.purpose:
            raise BadInput("Say first what the call is for: " + ", ".join(purposes(store)) + ".")
        write(
            store,
            slip_id,
            state=SlipState.HANDED_OVER,
            studio=studio,
            handed_at=now.isoformat(timespec="seconds"),
        )


def call_back(
    store: Store, slip_id: int, who: str, now: datetime, version: int | None = None
) -> None:
    """Take a slip back from the studio to the phone desk."""
    with undo.action(store, who, f"called slip {slip_id} back", now):
        expect(store, slip_id, (SlipState.HANDED_OVER,), version)
        write(
            store,
            slip_id,
            state=SlipState.BEING_WRITTEN,
            studio="",
            handed_at=None,
            in_studio="",
            in_studio_at=None,
            sent_back="",
        )


def played(
    store: Store,
    slip_id: int,
    who: str,
    now: datetime,
    version: int | None = None,
    *,
    also: Sequence[int] = (),
) -> int | None:
    """The slip went to air; its recording is put into the log in the same action.

    `also` are other slips for the same record that were read out with it: one play meets them
    all. Returns the play's id, or None for a conversation or competition without a record.
    Raises BadInput for a request or dedication that still names no record, or a slip in `also`
    that names another.
    """
    with undo.action(store, who, f"played slip {slip_id}", now):
        slip = expect(store, slip_id, (SlipState.HANDED_OVER,), version)
        if slip.recording_id is None and slip.purpose in NEEDS_MUSIC:
            raise BadInput("This slip names no record. Choose what you played, then say it again.")
        _finish(store, slip_id, SlipState.PLAYED, now)
        if slip.recording_id is None:
            return None
        programme = programmes.current(store, now)
        play_id = play_log.record(
            store,
            slip.recording_id,
            slip.holding_id,
            slip.studio,
            slip_id,
            who,
            now,
            programme_id=programme.id if programme else slip.programme_id,
        )
        write(store, slip_id, play_id=play_id)
        for other_id in also:
            other = expect(store, other_id, (SlipState.HANDED_OVER,), None)
            if other.recording_id != slip.recording_id:
                raise BadInput(f"Slip {other_id} is for another record. Nothing was logged.")
            _finish(store, other_id, SlipState.PLAYED, now)
            write(store, other_id, play_id=play_id)
        return play_id


def not_used(
    store: Store, slip_id: int, why: str, who: str, now: datetime, version: int | None = None
) -> None:
    """The slip was not used; `why` is one of WHY_NOT, else BadInput.

    A copy that was not found is marked missing in the same action.
    """
    if why not in WHY_NOT:
        raise BadInput("Say why it was not used: " + "; ".join(WHY_NOT) + ".")
    with undo.action(store, who, f"slip {slip_id} was not used: {why}", now):
        slip = expect(store, slip_id, OPEN, version)
        if why == NOT_FOUND and slip.holding_id is not None:
            missing_copies.mark(store, slip.holding_id, who, now)
        _finish(store, slip_id, SlipState.NOT_USED, now, why_not=why)


def withdraw(
    store: Store, slip_id: int, who: str, now: datetime, version: int | None = None
) -> None:
    """The caller changed their mind, or the slip was started by mistake."""
    with undo.action(store, who, f"withdrew slip {slip_id}", now):
        expect(store, slip_id, OPEN, version)
        _finish(store, slip_id, SlipState.WITHDRAWN, now)


def open_slips(store: Store) -> list[Slip]:
    """The slips being written at the phones, oldest first; those of a round are with the round."""
    return where(
        store,
        "state = ? AND round_id IS NULL ORDER BY started_at, id",
        SlipState.BEING_WRITTEN,
    )


def on_hold(store: Store) -> list[Slip]:
    """The slips whose callers hold the line, those who have waited longest first."""
    return where(store, "hold_since IS NOT NULL AND state IN (?, ?) ORDER BY hold_since, id", *OPEN)


def queue(store: Store, studio: str) -> list[Slip]:
    """The slips handed to a studio and not done, in the order they were handed over."""
    return where(
        store, "state = ? AND studio = ? ORDER BY handed_at, id", SlipState.HANDED_OVER, studio
    )


def done_today(store: Store, studio: str, now: datetime) -> list[Slip]:
    """The slips a studio has done today, latest first; after midnight the evening's too."""
    return where(
        store,
        "state IN (?, ?, ?) AND studio = ? AND done_at >= ? ORDER BY done_at DESC, id DESC",
        SlipState.PLAYED, SlipState.NOT_USED, SlipState.WITHDRAWN, studio, start_of_day(now),
    )  # fmt: skip


def start_of_day(now: datetime) -> str:
    """When "today" began, as the tables keep a time; after midnight the evening is in it."""
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    return min(midnight, now - _LATE_SHOW).isoformat(timespec="seconds")


def chosen_for(store: Store, occasion: str, last: int) -> dict[int, int]:
    """Of the last so many slips: how often each recording was played for this occasion."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM "
        "(SELECT recording_id, occasion, stand_in_for, state FROM slips ORDER BY id DESC LIMIT ?)"
        " WHERE occasion = ? AND state = ? AND recording_id IS NOT NULL GROUP BY recording_id",
        (last, occasion, SlipState.PLAYED),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def point_at(store: Store, gone: int, kept: int) -> None:
    """Slips with one recording have another; inside an action. None stands in for itself."""
    _point(store, "recording_id", gone, kept)
    _point(store, "stand_in_for", gone, kept)
    _point(store, "sent_back_record", gone, kept)
    _point(store, "stand_in_for", kept, None, f"AND recording_id = {int(kept)}")


def point_at_copy(store: Store, gone: int, kept: int) -> None:
    """Slips with one copy have another; inside an action."""
    _point(store, "holding_id", gone, kept)
    _point(store, "sent_back_copy", gone, kept)


def _point(store: Store, column: str, gone: int, kept: int | None, only: str = "") -> None:
    sql = f"UPDATE slips SET {column} = ?, version = version + 1 WHERE {column} = ? {only}"
    store.db.execute(sql, (kept, gone))


def taken_instead(store: Store, recording_id: int, last: int) -> dict[int, int]:
    """Of the last so many slips: which recordings callers took in place of this one."""
    rows = store.rows(
        "SELECT recording_id, count(*) AS times FROM "
        "(SELECT recording_id, occasion, stand_in_for, state FROM slips ORDER BY id DESC LIMIT ?)"
        " WHERE stand_in_for = ? AND state = ? AND recording_id IS NOT NULL GROUP BY recording_id",
        (last, recording_id, SlipState.PLAYED),
    )
    return {row["recording_id"]: row["times"] for row in rows}


def _finish(store: Store, slip_id: int, state: SlipState, now: datetime, why_not: str = "") -> None:
    done_at = now.isoformat(timespec="seconds")
    write(store, slip_id, state=state, done_at=done_at, why_not=why_not, hold_since=None)


def _check_purpose(store: Store, purpose: str, *, blank: bool) -> None:
    if purpose not in purposes(store) and not (blank and purpose == ""):
        raise BadInput("Say what the call is for: " + ", ".join(purposes(store)) + ".")
