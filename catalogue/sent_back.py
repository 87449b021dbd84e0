"""Slips that come back to the phone desk: sent back from a studio or from the shelves, and why.

Whoever looks for a record, or wants to play it, may find that it cannot go out. The slip is then
being written again, with the reason on it and, where the record is the reason, without the
record: the phone desk finds something else while the caller can still be asked.
"""

from __future__ import annotations

from datetime import datetime

from catalogue import missing_copies, request_slips, undo
from catalogue.errors import BadInput, CannotTakeBack
from catalogue.request_slips import NOT_FOUND, WHY_NOT
from catalogue.slip_rows import OPEN, Slip, SlipState, expect, get, where, write
from catalogue.store import Store

OF_THE_RECORD = frozenset({NOT_FOUND, "would not play", "played lately", "not suitable here"})
"""Reasons that lie in the record: something else is to be found."""


def send_back(
    store: Store, slip_id: int, why: str, who: str, now: datetime, version: int | None = None
) -> None:
    """Send a slip back to the phone desk; `why` is one of WHY_NOT, else BadInput.

    A copy that was not found is marked missing in the same action.
    """
    if why not in WHY_NOT:
        raise BadInput("Say why it comes back: " + "; ".join(WHY_NOT) + ".")
    with undo.action(store, who, _what(slip_id, why), now):
        slip = expect(store, slip_id, OPEN, version)
        if why == NOT_FOUND and slip.holding_id is not None:
            missing_copies.mark(store, slip.holding_id, who, now)
        off = {"recording_id": None, "holding_id": None, "stand_in_for": None}
        write(
            store,
            slip_id,
            state=SlipState.BEING_WRITTEN,
            studio="",
            handed_at=None,
            in_studio="",
            in_studio_at=None,
            sent_back=why,
            sent_back_at=now.isoformat(timespec="seconds"),
            sent_back_from=slip.studio,
            sent_back_record=slip.recording_id,
            sent_back_copy=slip.holding_id,
            **(off if why in OF_THE_RECORD else {}),
        )


def take_back(store: Store, slip_id: int, who: str, now: datetime) -> None:
    """It need not come back after all: the slip is with the studio as before.

    Raises CannotTakeBack if it did not come back, or the phone desk has written on it since.
    """
    slip = get(store, slip_id)
    sent = [
        done
        for done, _ in undo.history(store, "slips", slip_id)
        if done.what == _what(slip_id, slip.sent_back)
    ]
    if slip.state is not SlipState.BEING_WRITTEN or not slip.sent_back or not sent:
        raise CannotTakeBack(f"Slip {slip_id} was not sent back, so there is nothing to take back.")
    undo.take_back(store, sent[-1].id, who, now)


def take_up_again(store: Store, slip_id: int, who: str, now: datetime) -> None:
    """Write again on a slip that a studio did not use, or that was withdrawn by mistake: its
    caller may still be there."""
    with undo.action(store, who, f"took slip {slip_id} up again", now):
        slip = expect(store, slip_id, (SlipState.NOT_USED, SlipState.WITHDRAWN), None)
        write(
            store,
            slip_id,
            state=SlipState.BEING_WRITTEN,
            studio="",
            handed_at=None,
            done_at=None,
            why_not="",
            sent_back=slip.why_not,
            sent_back_at=now.isoformat(timespec="seconds"),
            sent_back_from=slip.studio,
            sent_back_record=slip.recording_id,
            sent_back_copy=slip.holding_id,
        )


def waiting(store: Store) -> list[Slip]:
    """The slips that came back and are being written again, latest first."""
    return where(
        store,
        "state = ? AND sent_back <> '' ORDER BY sent_back_at DESC, id DESC",
        SlipState.BEING_WRITTEN,
    )


def by_studio(store: Store, studio: str, now: datetime) -> list[Slip]:
    """The slips a studio sent back today that are still with the phone desk, latest first."""
    since = request_slips.start_of_day(now)
    return [
        s for s in waiting(store) if s.sent_back_from == studio and (s.sent_back_at or "") >= since
    ]


def not_used_since(store: Store, since: datetime) -> list[Slip]:
    """The slips a studio laid aside since then, latest first: the phone desk is to know."""
    return where(
        store,
        "state = ? AND studio <> '' AND done_at >= ? ORDER BY done_at DESC, id DESC",
        SlipState.NOT_USED,
        since.isoformat(timespec="seconds"),
    )


def _what(slip_id: int, why: str) -> str:
    return f"sent slip {slip_id} back: {why}"
