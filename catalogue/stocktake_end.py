"""What a stock-take came to: reckoned from what was seen, and written as one action.

Passed over is what stands before the end of the walk and was not seen. Of a disc that is out it
is known where it is: it is not missing. What stands after the end was not walked, and nothing is
said of it.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime

from catalogue import (
    catalogue_rows,
    missing_copies,
    out_of_place,
    shelf_walk,
    stocktake,
    undo,
)
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Disc
from catalogue.shelf_walk import Expected
from catalogue.stocktake import Find, StockTake
from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class Astray:
    """A disc that was seen here and belongs elsewhere; `keys` are its ticks."""

    disc: Disc
    title: str
    out_to: str
    keys: tuple[str, ...]
    stays: bool


@dataclass(frozen=True, slots=True)
class Reckoning:
    """What a walk comes to so far, as of change `number` of what was seen.

    `here` is what was seen in its place; `missing` what was passed over; `still` what was passed
    over and is noted as missing already; `found` what was noted as missing and seen; `home` what
    was noted as out and seen; `out` what was passed over and is out; `not_walked` what stands
    after the end. `end` is the mark at which the walk ended, empty before the first tick.
    """

    number: int
    here: tuple[Expected, ...]
    missing: tuple[Expected, ...]
    still: tuple[Expected, ...]
    found: tuple[Expected, ...]
    home: tuple[Expected, ...]
    out: tuple[Expected, ...]
    astray: tuple[Astray, ...]
    unknown: tuple[Find, ...]
    not_walked: tuple[Expected, ...]
    end: str


@dataclass(frozen=True, slots=True)
class Line:
    """One disc in a report, as it was called on the day; `note` where it belongs, or what."""

    disc_id: int | None
    carrier: str
    mark: str
    title: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Report:
    """What a stock-take came to, and what it changed. Nobody's name is in it."""

    end: str
    here: int
    not_walked: int
    missing: tuple[Line, ...] = ()
    still: tuple[Line, ...] = ()
    found: tuple[Line, ...] = ()
    home: tuple[Line, ...] = ()
    out: tuple[Line, ...] = ()
    astray: tuple[Line, ...] = ()
    moved: tuple[Line, ...] = ()
    unknown: tuple[Line, ...] = ()
    spared: tuple[Line, ...] = field(default=())


_LISTS = ("missing", "still", "found", "home", "out", "astray", "moved", "unknown", "spared")


def reckon(store: Store, take: StockTake, end: str = "") -> Reckoning:
    """What the walk comes to. It ended at the mark `end`, or where the last disc was seen.

    Raises NotFound for an end that is not on this part of the shelf.
    """
    # The number first: what comes while this is reckoned is told when it is to be written.
    number = stocktake.number(store, take.id)
    expected = shelf_walk.expected(store, take.part)
    seen, unknown = _finds_of(store, take.id)
    last = _end(expected, seen, end)
    here = [one for one in expected if one.disc.id in seen]
    passed = [one for one in expected[:last] if one.disc.id not in seen]
    astray = _astray(store, seen, {one.disc.id for one in expected})
    return Reckoning(
        number,
        tuple(here),
        tuple(one for one in passed if not one.out_to and not one.disc.missing),
        tuple(one for one in passed if not one.out_to and one.disc.missing),
        tuple(one for one in here if one.disc.missing),
        tuple(one for one in here if one.out_to),
        tuple(one for one in passed if one.out_to),
        astray,
        tuple(unknown),
        tuple(one for one in expected[last:] if one.disc.id not in seen),
        expected[last - 1].disc.shelf_mark if last else "",
    )


def finish(
    store: Store,
    take_id: int,
    number: int,
    end: str,
    spared: Collection[int],
    who: str,
    now: datetime,
) -> int:
    """Write what the walk came to, all of it as one action; returns the action's id.

    Discs passed over are marked missing, but for those `spared`, by their numbers; those seen are
    found again and home again; what stays in this room is entered there. `number` is what the
    reckoning showed. Raises ChangedMeanwhile if somebody ticked since or finished it, BadInput
    where nothing was seen at all, or as `reckon`.
    """
    take = stocktake.get(store, take_id)
    what = f"finished the stock-take of {stocktake.called(take.part)}"
    with undo.action(store, who, what, now) as action_id:
        take = stocktake.get(store, take_id)
        if take.is_open and stocktake.number(store, take_id) != number:
            raise ChangedMeanwhile(
                "Somebody ticked meanwhile. Nothing was written: look at what it comes to now."
            )
        came_to = reckon(store, take, end)
        if not (came_to.here or came_to.astray or came_to.unknown or came_to.end):
            raise BadInput("Nothing was seen yet. Tick what is on the shelf first.")
        stocktake.close(store, take_id, _report(take, came_to, spared), who, now)
        for one in came_to.missing:
            if one.disc.id not in spared:
                missing_copies.disc_missing(store, one.disc.id, who, now)
        for disc in _seen(came_to):
            _put_right(store, disc, who, now)
        for astray in came_to.astray:
            if astray.stays and take.part.by == "room":
                catalogue_rows.change_disc(store, astray.disc.id, place=take.part.shelf)
    return action_id


def report(take: StockTake) -> Report | None:
    """The report of a stock-take that is finished, else None."""
    if not take.report:
        return None
    kept = json.loads(take.report)
    return Report(
        kept["end"],
        kept["here"],
        kept["not_walked"],
        **{name: tuple(Line(*line) for line in kept.get(name, ())) for name in _LISTS},
    )


def _end(expected: list[Expected], seen: Collection[int], end: str) -> int:
    """How many of the expected discs were walked along."""
    if not end:
        reached = [at for at, one in enumerate(expected) if one.disc.id in seen]
        return reached[-1] + 1 if reached else 0
    bare = out_of_place.bare(end)
    reached = [
        at for at, one in enumerate(expected) if out_of_place.bare(one.disc.shelf_mark) == bare
    ]
    if not reached:
        raise NotFound(f"No disc of this part of the shelf has the mark “{end}”.")
    return reached[-1] + 1


def elsewhere(
    store: Store, take: StockTake, expected: Collection[int]
) -> tuple[tuple[Astray, ...], tuple[Find, ...]]:
    """What was seen and does not belong here, and what is not known, as `reckon` has them.

    `expected` are the numbers of the discs of the walk, so that none of them need be read.
    """
    seen, unknown = _finds_of(store, take.id)
    return _astray(store, seen, set(expected)), tuple(unknown)


def _finds_of(store: Store, take_id: int) -> tuple[dict[int, list[Find]], list[Find]]:
    """What was seen and stands: the finds of each disc, and those of no disc that is known."""
    seen: dict[int, list[Find]] = {}
    unknown = []
    for find in stocktake.finds(store, take_id):
        if find.gone:
            continue
        if find.disc_id is None:
            unknown.append(find)
        else:
            seen.setdefault(find.disc_id, []).append(find)
    return seen, unknown


def _astray(
    store: Store, seen: dict[int, list[Find]], expected: Collection[int]
) -> tuple[Astray, ...]:
    """What was seen and does not belong here; a disc that is no more in the catalogue is not."""
    ids = [disc_id for disc_id in seen if disc_id not in expected]
    out = out_of_place.who_has(store, set(ids))
    found = []
    for disc_id, called in shelf_walk.named(store, ids).items():
        keys = tuple(find.key for find in seen[disc_id])
        stays = seen[disc_id][-1].stays
        found.append(Astray(called.disc, called.title, out.get(disc_id, ("", ""))[0], keys, stays))
    return tuple(found)


def _seen(came_to: Reckoning) -> list[Disc]:
    """The discs that were seen and of which something else is noted."""
    noted = {one.disc.id: one.disc for one in (*came_to.found, *came_to.home)}
    noted |= {a.disc.id: a.disc for a in came_to.astray if a.disc.missing or a.out_to}
    return list(noted.values())


def _put_right(store: Store, disc: Disc, who: str, now: datetime) -> None:
    """It was noted as out or missing, and it is here."""
    if out_of_place.who_has(store, {disc.id}):
        out_of_place.come_home(store, [disc], who, now)
    elif disc.missing:
        missing_copies.disc_found(store, disc.id, who, now)


def _report(take: StockTake, came_to: Reckoning, spared: Collection[int]) -> str:
    def lines(some: Collection[Expected]) -> list[list[object]]:
        return [_line(one.disc, one.title) for one in some]

    moved = [a for a in came_to.astray if a.stays and take.part.by == "room"]
    kept = {
        "end": came_to.end,
        "here": len(came_to.here),
        "not_walked": len(came_to.not_walked),
        "missing": lines([one for one in came_to.missing if one.disc.id not in spared]),
        "spared": lines([one for one in came_to.missing if one.disc.id in spared]),
        "still": lines(came_to.still),
        "found": lines(came_to.found),
        "home": lines(came_to.home),
        "out": lines(came_to.out),
        "astray": [_line(a.disc, a.title, a.disc.place) for a in came_to.astray if a not in moved],
        "moved": [_line(a.disc, a.title, a.disc.place) for a in moved],
        "unknown": [[None, "", find.typed, find.about, ""] for find in came_to.unknown],
    }
    return json.dumps(kept, ensure_ascii=False)


def _line(disc: Disc, title: str, note: str = "") -> list[object]:
    return [disc.id, disc.carrier.value, disc.shelf_mark, title, note]
