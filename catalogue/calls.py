"""A call: one caller, on one slip or on several, on hold or taken in the studio.

A caller may ask for several records: each is a slip of its own, tied to the first slip of the
call. What is the caller's (name, place, consent) is written on all of them, and they go to the
studio, and come back, together.

What a studio does with a slip that was handed over is kept in `in_studio`: "" it waits, "taken"
the presenter has the caller on the line, "on air" it goes out now.
"""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime

from catalogue import availability, callers, catalogue_rows, request_slips, settings, undo, wants
from catalogue.errors import BadInput
from catalogue.records import Readiness
from catalogue.slip_rows import OPEN, Slip, SlipState, expect, get, where, write
from catalogue.store import Store

TAKEN, ON_AIR = "taken", "on air"

OF_THE_CALLER = (
    "caller_name", "say_name", "place_id", "place_detail", "talk_about", "how_on_air", "line",
    "ring_back", "consent", "place_consent", "under_sixteen", "adult_consent",
)  # fmt: skip
"""Details that are the caller's, whatever the record; the others are a slip's own."""

MOST_SLIPS = 12
"""Slips of one call: more is a key held down."""


def slips_of(store: Store, slip: Slip) -> list[Slip]:
    """The slips of the same call, the first one first; this one is among them."""
    return where(store, "id = ? OR same_call = ? ORDER BY id", slip.call, slip.call)


def another(store: Store, slip_id: int, who: str, now: datetime) -> int:
    """Begin another slip for the same caller; returns its number. Raises BadInput for too many."""
    with undo.action(store, who, f"began another slip for the caller of slip {slip_id}", now):
        slip = expect(store, slip_id, (SlipState.BEING_WRITTEN,), None)
        if len(slips_of(store, slip)) >= MOST_SLIPS:
            raise BadInput(f"One call has at most {MOST_SLIPS} slips. Hand these over first.")
        new = request_slips.start(store, slip.purpose, who, now, same_call=slip.call)
        write(store, new, hold_since=slip.hold_since, urgent=int(slip.urgent))
        callers.copy(store, slip_id, new, OF_THE_CALLER)
    return new


def write_details(
    store: Store,
    slip_id: int,
    changes: dict[str, object],
    who: str,
    now: datetime,
    *,
    seen: dict[str, object] | None = None,
) -> None:
    """Write details of a slip; what is the caller's, on every slip of the call still written.

    Raises what `callers.write` raises; then nothing is written at all.
    """
    with store.transaction():
        callers.write(store, slip_id, changes, who, now, seen=seen)
        shared = {name: value for name, value in changes.items() if name in OF_THE_CALLER}
        for other in slips_of(store, get(store, slip_id)) if shared else ():
            written = other.state is SlipState.BEING_WRITTEN
            if other.id != slip_id and written and callers.of(store, other.id) is not None:
                callers.write(store, other.id, shared, who, now)


def write_what_agrees(
    store: Store,
    slip_id: int,
    changes: dict[str, object],
    who: str,
    now: datetime,
    *,
    seen: dict[str, object],
) -> list[str]:
    """As `write_details`, but a field that somebody else has written meanwhile is left as they
    wrote it, and the others are written all the same. Returns the fields left."""
    with store.transaction():
        left = callers.changed_meanwhile(store, slip_id, changes, seen)
        agreed = {name: value for name, value in changes.items() if name not in left}
        write_details(store, slip_id, agreed, who, now, seen=seen)
    return left


def hold(store: Store, slip_id: int, holding: bool, who: str, now: datetime) -> None:
    """Note that the caller holds the line, or no longer does: on every open slip of the call."""
    since = now.isoformat(timespec="seconds") if holding else None
    what = "is on hold" if holding else "holds no longer"
    with undo.action(store, who, f"the caller of slip {slip_id} {what}", now):
        slip = expect(store, slip_id, OPEN, None)
        for other in slips_of(store, slip):
            if other.state in OPEN and not (holding and other.hold_since):
                write(store, other.id, hold_since=since)


def hand_over(store: Store, slip_id: int, studio: str, who: str, now: datetime) -> list[int]:
    """Hand the slips of this call that are being written to a studio; returns their numbers.

    One on which nothing of its own was written is laid aside, unless it is the only one. What was
    asked for and cannot be had, so that something else was agreed, is put on the list of wants.
    Raises what `request_slips.hand_over` raises; then none of them has moved.
    """
    with undo.action(store, who, f"handed the call of slip {slip_id} to {studio}", now):
        expect(store, slip_id, (SlipState.BEING_WRITTEN,), None)
        written, full = _of_call(store, slip_id)
        for slip in written:
            if slip in full:
                request_slips.hand_over(store, slip.id, studio, who, now)
                _note_unmet(store, slip, who, now)
            else:
                request_slips.withdraw(store, slip.id, who, now)
    return [slip.id for slip in full]


def call_back(store: Store, slip_id: int, who: str, now: datetime) -> None:
    """Take a slip back from the studio, with those of the same call that wait there.

    Raises BadInput for one that is on air.
    """
    with undo.action(store, who, f"called the call of slip {slip_id} back", now):
        slip = expect(store, slip_id, (SlipState.HANDED_OVER,), None)
        if slip.in_studio == ON_AIR:
            raise BadInput(f"Slip {slip_id} is on air, so it cannot be called back.")
        for other in slips_of(store, slip):
            if other.state is SlipState.HANDED_OVER and other.in_studio != ON_AIR:
                request_slips.call_back(store, other.id, who, now)


def take(store: Store, slip_id: int, who: str, now: datetime, version: int | None = None) -> None:
    """The presenter has the caller on the line: nobody of this call holds any longer."""
    with undo.action(store, who, f"took the call of slip {slip_id}", now):
        slip = _in_studio(store, slip_id, TAKEN, now, version)
        for other in slips_of(store, slip):
            if other.hold_since:
                write(store, other.id, hold_since=None)


def on_air(store: Store, slip_id: int, who: str, now: datetime, version: int | None = None) -> None:
    """This slip goes out now."""
    with undo.action(store, who, f"put slip {slip_id} on air", now):
        slip = _in_studio(store, slip_id, ON_AIR, now, version)
        if slip.hold_since:
            write(store, slip_id, hold_since=None)


def wait_again(
    store: Store, slip_id: int, who: str, now: datetime, version: int | None = None
) -> None:
    """Neither taken nor on air after all: the slip waits as before."""
    with undo.action(store, who, f"slip {slip_id} waits again", now):
        _in_studio(store, slip_id, "", now, version)


def move(
    store: Store, slip_id: int, studio: str, who: str, now: datetime, version: int | None = None
) -> None:
    """Give a slip that waits to another studio; it is then in that one's list and no other.

    Raises BadInput for an unknown studio, or a slip that is on air.
    """
    if studio not in settings.lines(store, "studios"):
        raise BadInput("That studio is not on the station's list. Choose one of the studios.")
    with undo.action(store, who, f"gave slip {slip_id} to {studio}", now):
        slip = expect(store, slip_id, (SlipState.HANDED_OVER,), version)
        if slip.in_studio == ON_AIR:
            raise BadInput(f"Slip {slip_id} is on air, so it stays where it is.")
        write(
            store,
            slip_id,
            studio=studio,
            handed_at=now.isoformat(timespec="seconds"),
            in_studio="",
            in_studio_at=None,
        )


def _in_studio(store: Store, slip_id: int, state: str, now: datetime, version: int | None) -> Slip:
    slip = expect(store, slip_id, (SlipState.HANDED_OVER,), version)
    at = now.isoformat(timespec="seconds") if state else None
    write(store, slip_id, in_studio=state, in_studio_at=at)
    return slip


NOTHING, NO_RECORD = "nothing", "no record"


def lacks(store: Store, slip_id: int) -> str:
    """What somebody may have forgotten before these slips are handed over.

    NOTHING if nothing at all is written on them, NO_RECORD if music is asked for and neither a
    record is named nor what was heard; "" if there is nothing to ask. Both may be meant.
    """
    _, full = _of_call(store, slip_id)
    if all(nothing_written(store, slip) for slip in full):
        return NOTHING
    for slip in full:
        details = callers.of(store, slip.id)
        heard = details and (details.heard or details.heard_title or details.heard_artist)
        if slip.purpose in request_slips.NEEDS_MUSIC and slip.recording_id is None and not heard:
            return NO_RECORD
    return ""


def nothing_written(store: Store, slip: Slip) -> bool:
    """Whether nothing but what the call is for was ever noted on this slip."""
    if slip.recording_id is not None or slip.occasion or slip.urgent or slip.hold_since:
        return False
    details = callers.of(store, slip.id)
    given = asdict(details) if details else {}
    return not any(given.get(name) for name in (*callers.WRITABLE, "recording_file"))


def _of_call(store: Store, slip_id: int) -> tuple[list[Slip], list[Slip]]:
    """The slips of this call that are being written, and those of them to be handed over."""
    slip = get(store, slip_id)
    written = [s for s in slips_of(store, slip) if s.state is SlipState.BEING_WRITTEN]
    return written, [s for s in written if not _is_blank(store, s)] or [slip]


_CANNOT_BE_HAD = (Readiness.NOT_HELD, Readiness.MISSING, Readiness.DAMAGED)
"""Played lately, on loan or on another slip is no gap: nobody has to look for it."""


def _note_unmet(store: Store, slip: Slip, who: str, now: datetime) -> None:
    """Put what this slip's record stands in for on the wants, if no copy of it can be had.

    Its title and artist are the catalogue's: no word of the caller is in it.
    """
    if slip.stand_in_for is None:
        return
    copies = availability.of(store, [slip.stand_in_for], now, slip_id=slip.id)[slip.stand_in_for]
    if any(copy.readiness not in _CANNOT_BE_HAD for copy in copies):
        return
    asked = catalogue_rows.recording(store, slip.stand_in_for)
    details = callers.of(store, slip.id)
    wants.add(
        store,
        asked.title,
        asked.artist,
        asked.id,
        who,
        now,
        slip_id=slip.id,
        place_id=details.place_id if details else None,
    )


_OWN_DETAILS = ("heard", "heard_title", "heard_artist", "for_whom", "why")


def _is_blank(store: Store, slip: Slip) -> bool:
    """Whether a further slip of a call has nothing of its own on it."""
    details = callers.of(store, slip.id)
    if slip.same_call is None or slip.recording_id is not None or details is None:
        return False
    own = asdict(details)
    return not any(own[name] for name in _OWN_DETAILS)
