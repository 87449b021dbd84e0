"""The round: requests collected on paper, typed in as a stack, and handed over in one go.

A round holds no place and no name: those are on each slip's own details, and go with them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime

from catalogue import callers, request_slips, settings, slip_days, undo
from catalogue.errors import BadInput, NotFound
from catalogue.request_slips import NEEDS_MUSIC
from catalogue.slip_rows import Slip, SlipState, where, write
from catalogue.store import Store

_KEY = re.compile(r"[0-9a-f]{24}")
"""A row's key as the page makes it: chance alone, so that no word of anybody's is kept in it."""

LARGEST = 200
"""Slips in one round: more is two evenings' work, or a key held down."""


@dataclass(frozen=True, slots=True)
class Round:
    """One stack of paper slips; `handed_at` is set when none of it is left to look at."""

    id: int
    started_at: str
    handed_at: str | None


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One paper slip as typed. `collector` asked for the consent at the bedside; `details` are
    fields of `CallerDetails`; `occasion` is one of the station's."""

    came_by: str = "round"
    asked_by: str = ""
    collector: str = ""
    occasion: str = ""
    programme_id: int | None = None
    on: date | None = None
    same_person_as: int | None = None
    details: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class HandedOver:
    """What became of a round: how many went to the studio, and the slips left to look at."""

    handed: int
    left: tuple[Slip, ...]


def start(store: Store, who: str, now: datetime) -> int:
    """Begin a round; returns its number."""
    with undo.action(store, who, "began a round", now):
        cursor = store.db.execute(
            "INSERT INTO rounds (started_at) VALUES (?)", (now.isoformat(timespec="seconds"),)
        )
        return int(cursor.lastrowid or 0)


def get(store: Store, round_id: int) -> Round:
    """One round. Raises NotFound."""
    rows = store.rows("SELECT id, started_at, handed_at FROM rounds WHERE id = ?", (round_id,))
    if not rows:
        raise NotFound(f"There is no round number {round_id}.")
    return Round(**rows[0])


def not_done(store: Store) -> list[Round]:
    """The rounds that have slips left to look at, the latest first."""
    rows = store.rows(
        "SELECT id, started_at, handed_at FROM rounds r WHERE EXISTS "
        "(SELECT 1 FROM slips s WHERE s.round_id = r.id AND s.state = ?) ORDER BY id DESC",
        (SlipState.BEING_WRITTEN,),
    )
    return [Round(**row) for row in rows]


def slips_of(store: Store, round_id: int) -> list[Slip]:
    """The slips of a round, in the order typed, without those withdrawn."""
    return where(store, "round_id = ? AND state <> ? ORDER BY id", round_id, SlipState.WITHDRAWN)


def slip_with_key(store: Store, key: str) -> Slip | None:
    """The slip that a row of the sheet became, if it did."""
    found = where(store, "row_key = ?", key)
    return found[0] if found else None


def key_of(store: Store, slip_id: int) -> str:
    """The key of the row that a slip was, empty for one that was none."""
    rows = store.rows("SELECT row_key FROM slips WHERE id = ?", (slip_id,))
    return str(rows[0]["row_key"] or "") if rows else ""


def keep_row(store: Store, round_id: int, key: str, row: RoundRow, who: str, now: datetime) -> int:
    """Keep one row of the sheet as a slip, new or as it was before; returns its number.

    `key` is the row's own, made by the page: sent twice, it is one slip. All of it is kept or
    nothing. Raises BadInput for a full round or a field that cannot be used.
    """
    if not _KEY.fullmatch(key):
        raise BadInput("This row has no key of its own. Load the page again.")
    with undo.action(store, who, "typed a slip of the round", now):
        get(store, round_id)
        slip = slip_with_key(store, key)
        slip_id = slip.id if slip else _new(store, round_id, key, row, who, now)
        slip_days.came(store, slip_id, row.came_by, row.asked_by, who, now)
        slip_days.ask_for(store, slip_id, who, now, programme_id=row.programme_id, on=row.on)
        request_slips.set_occasion(store, slip_id, row.occasion, who, now)
        callers.write(store, slip_id, row.details, row.collector or who, now)
    return slip_id


def hand_over(store: Store, round_id: int, studio: str, who: str, now: datetime) -> HandedOver:
    """Hand over every slip of the round that has its record, in one action.

    A slip that asks for music and has none agreed stays, to be looked at again. Raises BadInput
    for an unknown studio, also when there is nothing to hand over: its name stands in the action.
    """
    if studio not in settings.lines(store, "studios"):
        raise BadInput("That studio is not on the station's list. Choose one of the studios.")
    with undo.action(store, who, f"handed round {round_id} to {studio}", now):
        written = [s for s in slips_of(store, round_id) if s.state is SlipState.BEING_WRITTEN]
        ready = [s for s in written if s.recording_id is not None or s.purpose not in NEEDS_MUSIC]
        for slip in ready:
            request_slips.hand_over(store, slip.id, studio, who, now)
        left = tuple(slip for slip in written if slip not in ready)
        if written and not left:
            store.db.execute(
                "UPDATE rounds SET handed_at = ? WHERE id = ?",
                (now.isoformat(timespec="seconds"), round_id),
            )
    return HandedOver(len(ready), left)


def _new(store: Store, round_id: int, key: str, row: RoundRow, who: str, now: datetime) -> int:
    if len(slips_of(store, round_id)) >= LARGEST:
        raise BadInput(f"A round has at most {LARGEST} slips. Hand these over, and begin another.")
    call = None
    if row.same_person_as is not None:
        call = request_slips.get(store, row.same_person_as).call
    slip_id = request_slips.start(store, "request", who, now, same_call=call)
    write(store, slip_id, round_id=round_id, row_key=key)
    return slip_id
