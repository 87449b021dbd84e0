"""For which day or programme a request is: later, now, or left over. None is silently dropped.

A slip keeps the programme it is for, or only a day. Until that day it waits out of the studio's
way; when its time is over and it was not played, it is left over, and stays in sight until
somebody carries it over or says why not.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from catalogue import callers, programmes, undo
from catalogue.errors import BadInput
from catalogue.slip_rows import OPEN, Slip, SlipState, expect, where, write
from catalogue.store import Store

CAME_BY = ("telephone", "round", "answering machine", "letter")
"""How a request reached the station; the first is the usual one."""

ASKED_BY = ("", "relative", "staff", "friend")
"""Who asked, when it was somebody else than the one it is for."""


_STALE = timedelta(hours=12)
"""After so long a slip with neither day nor programme is of another evening."""


class Standing(StrEnum):
    """How a slip's day stands to now."""

    LATER = "later"
    NOW = "now"
    LEFT_OVER = "left over"


@dataclass(frozen=True, slots=True)
class Day:
    """The day and, where there is one, the programme a slip is for."""

    on: date
    programme: programmes.Programme | None = None


def day_of(store: Store, slip: Slip) -> Day | None:
    """What the slip is for; None for a slip with neither day nor programme."""
    if slip.programme_id is not None:
        programme = programmes.get(store, slip.programme_id)
        return Day(datetime.fromisoformat(programme.starts_at).date(), programme)
    return Day(date.fromisoformat(slip.wanted_on)) if slip.wanted_on else None


def standing(store: Store, slip: Slip, now: datetime) -> Standing:
    """Whether the slip's day is to come, is now, or is over.

    Tonight's programme is now from midnight on, so that its list can be made ready all day.
    """
    day = day_of(store, slip)
    if day is None:
        begun = datetime.fromisoformat(slip.handed_at or slip.started_at)
        return Standing.LEFT_OVER if begun < now - _STALE else Standing.NOW
    if day.on == now.date():
        over = day.programme is not None and _ended(day.programme, now)
        return Standing.LEFT_OVER if over else Standing.NOW
    if day.on > now.date():
        return Standing.LATER
    late_show = day.programme is not None and not _ended(day.programme, now)
    return Standing.NOW if late_show else Standing.LEFT_OVER


def ask_for(
    store: Store,
    slip_id: int,
    who: str,
    now: datetime,
    *,
    programme_id: int | None = None,
    on: date | None = None,
    version: int | None = None,
) -> None:
    """Say which programme or which day the request is for; neither means as soon as may be.

    The days until the caller's details are erased count from then. Raises NotFound for an
    unknown programme, BadInput for a day or programme that is over.
    """
    with undo.action(store, who, f"said when slip {slip_id} is for", now):
        expect(store, slip_id, OPEN, version)
        counted_from = _refuse_what_is_over(store, programme_id, on, now)
        wanted_on = on.isoformat() if on and programme_id is None else None
        write(store, slip_id, programme_id=programme_id, wanted_on=wanted_on)
        callers.count_from(store, slip_id, counted_from or now.date())


def carry_over(
    store: Store,
    slip_id: int,
    who: str,
    now: datetime,
    *,
    programme_id: int | None = None,
    on: date | None = None,
    version: int | None = None,
) -> None:
    """Give a slip that was left over another programme or day; it remembers its first one.

    Raises BadInput without either, or for one that is over.
    """
    if programme_id is None and on is None:
        raise BadInput("Choose the programme or the day it is carried over to.")
    with undo.action(store, who, f"carried slip {slip_id} over", now):
        slip = expect(store, slip_id, OPEN, version)
        day = day_of(store, slip)
        ask_for(store, slip_id, who, now, programme_id=programme_id, on=on)
        if slip.carried_from is None and day is not None:
            write(store, slip_id, carried_from=day.on.isoformat())


def came(store: Store, slip_id: int, came_by: str, asked_by: str, who: str, now: datetime) -> None:
    """Note how a request reached the station, and who asked. Raises BadInput for other words."""
    if came_by not in CAME_BY or asked_by not in ASKED_BY:
        raise BadInput("Choose from the lists how the request came and who asked.")
    with undo.action(store, who, f"noted how slip {slip_id} came", now):
        expect(store, slip_id, OPEN, None)
        write(store, slip_id, came_by=came_by, asked_by=asked_by)


def waiting(store: Store, now: datetime) -> dict[Standing, list[Slip]]:
    """The slips with a studio, by how their day stands to now, in the order handed over."""
    found: dict[Standing, list[Slip]] = {one: [] for one in Standing}
    for slip in where(store, "state = ? ORDER BY handed_at, id", SlipState.HANDED_OVER):
        found[standing(store, slip, now)].append(slip)
    return found


def _refuse_what_is_over(
    store: Store, programme_id: int | None, on: date | None, now: datetime
) -> date | None:
    """The day that details are counted from. Raises BadInput for one that is over."""
    if programme_id is not None:
        programme = programmes.get(store, programme_id)
        if _ended(programme, now):
            raise BadInput(f"“{programme.name}” is over. Choose a programme that is still to come.")
        return datetime.fromisoformat(programme.ends_at).date()
    if on is not None and on < now.date():
        raise BadInput(f"{on.isoformat()} is over. Choose today or a day to come.")
    return on


def _ended(programme: programmes.Programme, now: datetime) -> bool:
    return programme.ends_at <= now.isoformat(timespec="seconds")
