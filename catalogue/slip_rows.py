"""The rows of slips: what a slip is, and reading and writing one.

The steps of a slip's life are in `request_slips.py`, those of a call in `calls.py`; both write
through `write`, inside an action.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Any

from catalogue.errors import ChangedMeanwhile, NotFound
from catalogue.store import Store


class SlipState(StrEnum):
    """Where a slip is in its life."""

    BEING_WRITTEN = "being written"
    HANDED_OVER = "handed over"
    PLAYED = "played"
    NOT_USED = "not used"
    WITHDRAWN = "withdrawn"


OPEN = (SlipState.BEING_WRITTEN, SlipState.HANDED_OVER)
"""The states in which something may still become of a slip."""

_STATE_SAID = {
    SlipState.BEING_WRITTEN: "is with the phone desk, still being written",
    SlipState.HANDED_OVER: "was handed over already",
    SlipState.PLAYED: "was played already",
    SlipState.NOT_USED: "was put aside as not used",
    SlipState.WITHDRAWN: "was withdrawn",
}


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip; times are ISO 8601 texts. `stand_in_for` is the recording asked for, when
    another was agreed; `same_call` the first slip of a call that has several; `hold_since` when
    the caller was asked to hold; `in_studio` what `calls.py` says; `came_by`, `asked_by`,
    `wanted_on` and `carried_from` what `slip_days.py` says; `play_id` the play it was met by;
    `sent_back` why it came back to the phone desk, with the studio it came from, and the record
    and copy that were on it."""

    id: int
    purpose: str
    state: SlipState
    studio: str
    recording_id: int | None
    holding_id: int | None
    stand_in_for: int | None
    occasion: str
    why_not: str
    started_at: str
    handed_at: str | None
    done_at: str | None
    programme_id: int | None
    version: int
    urgent: bool = False
    hold_since: str | None = None
    same_call: int | None = None
    in_studio: str = ""
    in_studio_at: str | None = None
    came_by: str = "telephone"
    asked_by: str = ""
    wanted_on: str | None = None
    carried_from: str | None = None
    round_id: int | None = None
    play_id: int | None = None
    sent_back: str = ""
    sent_back_at: str | None = None
    sent_back_from: str = ""
    sent_back_record: int | None = None
    sent_back_copy: int | None = None

    @property
    def call(self) -> int:
        """The number of the call: that of its first slip."""
        return self.same_call or self.id


_SELECT = f"SELECT {', '.join(f.name for f in fields(Slip))} FROM slips"


def get(store: Store, slip_id: int) -> Slip:
    """One slip. Raises NotFound."""
    found = where(store, "id = ?", slip_id)
    if not found:
        raise NotFound(f"There is no slip number {slip_id}.")
    return found[0]


def where(store: Store, condition: str, *parameters: Any) -> list[Slip]:
    """The slips for which this SQL holds."""
    rows = store.rows(f"{_SELECT} WHERE {condition}", parameters)
    return [
        Slip(**{**row, "state": SlipState(row["state"]), "urgent": bool(row["urgent"])})
        for row in rows
    ]


def expect(store: Store, slip_id: int, states: tuple[SlipState, ...], version: int | None) -> Slip:
    """The slip, if it is in one of these states and as the desk last saw it."""
    slip = get(store, slip_id)
    if slip.state not in states:
        raise ChangedMeanwhile(
            f"Slip {slip_id} {_STATE_SAID[slip.state]}. Nothing was changed; "
            "look at it as it is now."
        )
    if version is not None and version != slip.version:
        raise ChangedMeanwhile(
            f"Somebody else changed slip {slip_id} meanwhile. Nothing was overwritten: "
            "look at it as it is now, and do it again."
        )
    return slip


def write(store: Store, slip_id: int, **columns: Any) -> None:
    """Write some columns; for this file and `calls.py`, inside an action."""
    sets = ", ".join(f"{name} = ?" for name in columns)
    store.db.execute(
        f"UPDATE slips SET {sets}, version = version + 1 WHERE id = ?",
        [*columns.values(), slip_id],
    )
