"""A programme's list: what is to go out, in order, from slips and put in by hand.

Slips of the programme that nobody placed yet follow at the end, in the order handed over. What
was played stays in the list with its time, so that the list tells the evening.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue import catalogue_rows, play_log, programmes, undo
from catalogue.errors import BadInput, ChangedMeanwhile
from catalogue.records import Holding, Recording
from catalogue.slip_rows import Slip, SlipState, where
from catalogue.store import Row, Store

LONGEST = 300
"""Items in one list: a day of three-minute records is more than any programme."""

_IN_THE_LIST = (SlipState.BEING_WRITTEN, SlipState.HANDED_OVER, SlipState.PLAYED)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list. `id` is None for a slip that nobody placed; `played_at` is when it
    went out (ISO 8601), None while it is to come."""

    id: int | None
    slip: Slip | None
    recording: Recording | None
    holding: Holding | None
    played_at: str | None = None

    @property
    def key(self) -> str:
        """What names the line on a page: "i12" an item, "s7" a slip that nobody placed."""
        return f"i{self.id}" if self.id is not None else f"s{self.slip.id if self.slip else 0}"

    @property
    def length_s(self) -> float | None:
        """The record's length in seconds, None if not known or there is no record."""
        return self.recording.length_s if self.recording else None


@dataclass(frozen=True, slots=True)
class RunningOrder:
    """A programme's list. `to_come_s` is the length of what is to come, a usual length put in
    where one is not known; `left_s` the programme's time after it, negative if too much."""

    programme: programmes.Programme
    items: tuple[Item, ...]
    to_come_s: float
    left_s: float
    unknown_lengths: int


def of(store: Store, programme_id: int, now: datetime) -> RunningOrder:
    """The list of a programme as it stands. Raises NotFound."""
    programme = programmes.get(store, programme_id)
    items = _items(store, programme_id, now)
    to_come = [i for i in items if i.played_at is None and i.recording is not None]
    unknown = sum(i.length_s is None for i in to_come)
    length = sum(i.length_s or programmes.USUAL_S for i in to_come)
    starts = datetime.fromisoformat(programme.starts_at)
    ends = datetime.fromisoformat(programme.ends_at)
    time_left = max(0.0, (ends - max(now, starts)).total_seconds())
    return RunningOrder(programme, tuple(items), length, time_left - length, unknown)


def put_in(
    store: Store,
    programme_id: int,
    recording_id: int,
    holding_id: int | None,
    who: str,
    now: datetime,
) -> int:
    """Put a record at the end of the list by hand; returns the item's id.

    Raises NotFound for an unknown programme or recording, BadInput for a copy of another
    recording or a full list.
    """  # fmt: skip
    with undo.action(store, who, f"put recording {recording_id} into a programme", now):
        programmes.get(store, programme_id)
        catalogue_rows.recording(store, recording_id)
        copy = catalogue_rows.holding(store, holding_id) if holding_id is not None else None
        if copy is not None and copy.recording_id != recording_id:
            raise BadInput("That copy is not of this recording. Choose the copy again.")
        return _insert(store, programme_id, None, recording_id, holding_id)


def take_out(store: Store, programme_id: int, key: str, who: str, now: datetime) -> None:
    """Take a line out of the list: one put in by hand is gone, a slip goes back to the end.

    Raises ChangedMeanwhile for a line that is not there any more.
    """
    with undo.action(store, who, "took a line out of a programme", now):
        item = _found(_items(store, programme_id, now), key)
        if item.id is not None:
            store.db.execute("DELETE FROM programme_items WHERE id = ?", (item.id,))


def move(store: Store, programme_id: int, key: str, steps: int, who: str, now: datetime) -> None:
    """Move a line up (negative) or down by so many lines; at the end it stays.

    Raises ChangedMeanwhile for a line that is not there any more.
    """
    with undo.action(store, who, "changed the order of a programme", now):
        items = _items(store, programme_id, now)
        item = _found(items, key)
        at = items.index(item)
        to = min(max(at + steps, 0), len(items) - 1)
        items.insert(to, items.pop(at))
        for position, one in enumerate(items, start=1):
            if one.id is None and one.slip is not None:
                # Placed now, also those after it: else they would slide about.
                _insert(store, programme_id, one.slip.id, None, None, position)
            else:
                store.db.execute(
                    "UPDATE programme_items SET position = ? WHERE id = ? AND position <> ?",
                    (position, one.id, position),
                )


def played_by_hand(
    store: Store, programme_id: int, key: str, studio: str, who: str, now: datetime
) -> int:
    """A record put in by hand went out: it is logged, and its line keeps the time.

    Returns the play's id. Raises BadInput for a line that is a slip: the studio says of that.
    """
    with undo.action(store, who, "played a record of a programme", now):
        item = _found(_items(store, programme_id, now), key)
        if item.slip is not None or item.recording is None or item.played_at is not None:
            raise BadInput("That line is a slip, or was played already. Nothing was logged.")
        holding_id = item.holding.id if item.holding else None
        return play_log.record(
            store,
            item.recording.id,
            holding_id,
            studio,
            None,
            who,
            now,
            programme_id=programme_id,
            item_id=item.id,
        )


def places_of(store: Store, slips: list[Slip]) -> dict[int, tuple[str, int]]:
    """For slips placed in a list: when its programme starts, and the line they have there."""
    rows = store.rows(
        "SELECT i.slip_id, p.starts_at, i.position FROM programme_items i "
        "JOIN programmes p ON p.id = i.programme_id "
        "WHERE i.slip_id IN (SELECT value FROM json_each(?))",
        (json.dumps([slip.id for slip in slips]),),
    )
    return {row["slip_id"]: (row["starts_at"], row["position"]) for row in rows}


def last_change(store: Store, programme_id: int) -> undo.Action | None:
    """The last change of this programme's list that stands, None if there is none.

    What changed other things as well, as making two entries one does, is not a change of the list.
    """
    rows = store.rows(
        """SELECT a.id, a.at, a.who, a.what, a.takes_back FROM changes c
        JOIN actions a ON a.id = c.action_id
        WHERE c.table_name = 'programme_items' AND a.takes_back IS NULL
            AND ?1 = coalesce(CAST(json_extract(c.before, '$.programme_id') AS INTEGER),
                (SELECT i.programme_id FROM programme_items i WHERE i.id = c.row_id))
            AND NOT EXISTS (SELECT 1 FROM actions b WHERE b.takes_back = a.id)
            AND NOT EXISTS (SELECT 1 FROM changes d
                WHERE d.action_id = a.id AND d.table_name <> 'programme_items')
        ORDER BY c.id DESC LIMIT 1""",
        (programme_id,),
    )
    return undo.Action(**rows[0]) if rows else None


def point_at(store: Store, gone: int, kept: int) -> None:
    """Lines with one recording have another; inside an action."""
    store.db.execute(
        "UPDATE programme_items SET recording_id = ? WHERE recording_id = ?", (kept, gone)
    )


def point_at_copy(store: Store, gone: int, kept: int) -> None:
    """Lines with one copy have another; inside an action."""
    store.db.execute("UPDATE programme_items SET holding_id = ? WHERE holding_id = ?", (kept, gone))


def ends_at(order: RunningOrder, now: datetime) -> datetime:
    """When the list would be over, if nothing but its records went out from now on."""
    starts = datetime.fromisoformat(order.programme.starts_at)
    return max(now, starts) + timedelta(seconds=order.to_come_s)


def _items(store: Store, programme_id: int, now: datetime) -> list[Item]:
    marks = ", ".join("?" for _ in _IN_THE_LIST)
    programme = programmes.get(store, programme_id)
    at = now.isoformat(timespec="seconds")
    # What is for no programme, or only for today, is for the one that is on.
    soon = programme.starts_at <= at < programme.ends_at
    slips = {
        slip.id: slip
        for slip in where(
            store,
            "(programme_id = ? OR (? AND programme_id IS NULL AND state = ? "
            "AND coalesce(wanted_on, ?) <= ?) "
            "OR play_id IN (SELECT id FROM plays WHERE programme_id = ?)) "
            f"AND state IN ({marks}) AND (recording_id IS NOT NULL OR state = ?) "
            "ORDER BY coalesce(handed_at, started_at), id",
            programme_id, soon, SlipState.HANDED_OVER, at[:10], at[:10], programme_id,
            *_IN_THE_LIST, SlipState.HANDED_OVER,
        )
    }  # fmt: skip
    placed = store.rows(
        "SELECT * FROM programme_items WHERE programme_id = ? ORDER BY position, id",
        (programme_id,),
    )
    played = play_log.of_items(store, [row["id"] for row in placed])
    items = [_placed(store, row, slips, played) for row in placed]
    shown = [item for item in items if item is not None]
    done = {item.slip.id for item in shown if item.slip}
    unplaced = [_of_slip(store, None, slip) for slip in slips.values() if slip.id not in done]
    return shown + unplaced


def _placed(store: Store, row: Row, slips: dict[int, Slip], played: dict[int, str]) -> Item | None:
    """A placed line; None for a slip that was withdrawn, not used, or carried to another day."""
    if row["slip_id"] is not None:
        slip = slips.get(row["slip_id"])
        return _of_slip(store, row["id"], slip) if slip else None
    holding = catalogue_rows.holding(store, row["holding_id"]) if row["holding_id"] else None
    recording = catalogue_rows.recording(store, row["recording_id"])
    return Item(row["id"], None, recording, holding, played.get(row["id"]))


def _of_slip(store: Store, item_id: int | None, slip: Slip) -> Item:
    recording = catalogue_rows.recording(store, slip.recording_id) if slip.recording_id else None
    holding = catalogue_rows.holding(store, slip.holding_id) if slip.holding_id else None
    played = slip.done_at if slip.state is SlipState.PLAYED else None
    return Item(item_id, slip, recording, holding, played)


def _found(items: list[Item], key: str) -> Item:
    """The line of this key, also if it was placed meanwhile."""
    for item in items:
        if key in (item.key, f"s{item.slip.id if item.slip else ''}"):
            return item
    raise ChangedMeanwhile("That line is not in the list any more. Look at the list as it is now.")


def _insert(
    store: Store,
    programme_id: int,
    slip_id: int | None,
    recording_id: int | None,
    holding_id: int | None,
    position: int | None = None,
) -> int:
    ((last, count),) = store.db.execute(
        "SELECT coalesce(max(position), 0), count(*) FROM programme_items WHERE programme_id = ?",
        (programme_id,),
    )
    if count >= LONGEST:
        raise BadInput(f"A programme has at most {LONGEST} lines. Take some out first.")
    # A slip carried over from another programme leaves its line there.
    if slip_id is not None:
        store.db.execute("DELETE FROM programme_items WHERE slip_id = ?", (slip_id,))
    cursor = store.db.execute(
        "INSERT INTO programme_items (programme_id, position, slip_id, recording_id, holding_id) "
        "VALUES (?, ?, ?, ?, ?)",
        (programme_id, position or last + 1, slip_id, recording_id, holding_id),
    )
    return int(cursor.lastrowid or 0)
