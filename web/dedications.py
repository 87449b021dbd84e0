"""Several people for one record: one play, with all its dedications read out.

A slip joins the first one for the same record, unless its caller goes on air themselves: then it
is a call of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

from catalogue import callers, calls, request_slips, running_order, slip_days
from catalogue.slip_days import Standing
from catalogue.slip_rows import Slip
from catalogue.store import Store
from web.station import now

_SPEAKS = "live"
"""The caller goes on air: nothing to read out, somebody to talk to."""

_UNPLACED = ("9999", 0)
"""After everything that has its place in a programme's list."""


def in_order(store: Store, studio: str) -> list[Slip]:
    """The slips of a studio that are not for a later day, in the order of the programme: what is
    on air, what has its line in the programme's list, then as handed over."""
    waiting = [
        slip
        for slip in request_slips.queue(store, studio)
        if slip_days.standing(store, slip, now()) is not Standing.LATER
    ]
    placed = running_order.places_of(store, waiting)
    return sorted(waiting, key=lambda s: (s.in_studio != calls.ON_AIR, placed.get(s.id, _UNPLACED)))


def together(store: Store, slips: Sequence[Slip]) -> list[tuple[Slip, tuple[Slip, ...]]]:
    """Each slip with those that are read out with it, in the order of the first of them."""
    first: dict[int, Slip] = {}
    joined: dict[int, list[Slip]] = {}
    order: list[Slip] = []
    for slip in slips:
        leader = first.get(slip.recording_id) if slip.recording_id is not None else None
        if leader is not None and not slip.in_studio and not _speaks(store, slip):
            joined[leader.id].append(slip)
            continue
        joined[slip.id] = []
        order.append(slip)
        if slip.recording_id is not None:
            first.setdefault(slip.recording_id, slip)
    return [(slip, tuple(joined[slip.id])) for slip in order]


def _speaks(store: Store, slip: Slip) -> bool:
    details = callers.of(store, slip.id)
    return details is not None and details.how_on_air == _SPEAKS
