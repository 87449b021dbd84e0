"""Donated boxes: what was in them, row by row as it was typed, and what was kept or declined.

Each row is stored as it is decided, so that a box can be broken off at any row and gone on with by
anybody. A row has a key of its own: sent twice, it is one row. Owns `donated_boxes` and
`box_rows`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from catalogue import donors, undo
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, Condition
from catalogue.store import Row, Store

_LONGEST_NUMBER = 20
"""Characters of a box's number, as it is written on the box."""

LONGEST = 200
"""Characters of a title or an artist: more is not on any sleeve's spine."""

_LONGEST_TRACKS = 8_000
"""Characters of a row's track list: some hundred titles."""

_KEY = re.compile("[0-9a-f]{24}")
"""A row's key, which the page makes up."""


class Decision(StrEnum):
    """What is done with a disc of a box."""

    KEPT = "kept"
    DECLINED = "declined"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Box:
    """A box: its number as written on it, the days on which it was begun and done (ISO 8601), and
    how many of its discs were kept, declined, and left for later."""

    id: int
    number: str
    begun_on: str
    done_on: str | None
    kept: int = 0
    declined: int = 0
    later: int = 0

    @property
    def rows(self) -> int:
        """All the discs that were typed."""
        return self.kept + self.declined + self.later


@dataclass(frozen=True, slots=True)
class NewRow:
    """A disc of a box as it was typed from its sleeve.

    `tracks` is one track a line. `found` says what was said of it when it was decided, `asked` how
    often it had been asked for.
    """

    key: str
    artist: str
    title: str
    carrier: Carrier
    catalogue_number: str = ""
    condition: Condition = Condition.UNKNOWN
    tracks: str = ""
    found: str = ""
    asked: int = 0


@dataclass(frozen=True, slots=True)
class BoxRow:
    """A row that is kept; `disc_id` is the disc that was made of it, if any."""

    id: int
    box_id: int
    number: int
    key: str
    artist: str
    title: str
    carrier: Carrier
    catalogue_number: str
    condition: Condition
    tracks: str
    found: str
    asked: int
    decision: Decision
    disc_id: int | None


_SELECT = """SELECT b.id, b.number, b.begun_on, b.done_on,
    (SELECT count(*) FROM box_rows r WHERE r.box_id = b.id AND r.decision = 'kept') AS kept,
    (SELECT count(*) FROM box_rows r WHERE r.box_id = b.id AND r.decision = 'declined') AS declined,
    (SELECT count(*) FROM box_rows r WHERE r.box_id = b.id AND r.decision = 'later') AS later
    FROM donated_boxes b"""


def begin(store: Store, number: str, donor: str, who: str, now: datetime) -> int:
    """Begin a box; returns its id. Raises BadInput for no number, or one that is there already."""
    bare = " ".join(number.split())
    if not bare or len(bare) > _LONGEST_NUMBER:
        raise BadInput("Write the box's number, as it stands on the box: 20 signs at most.")
    with undo.action(store, who, f"began the box {bare}", now):
        if store.rows("SELECT 1 FROM donated_boxes WHERE number = ?", (bare,)):
            raise BadInput(
                f"There is a box {bare} already. Go on with that one, or write another number."
            )
        cursor = store.db.execute(
            "INSERT INTO donated_boxes (number, begun_on) VALUES (?, ?)",
            (bare, now.date().isoformat()),
        )
        box_id = int(cursor.lastrowid or 0)
        donors.note(store, donor, now, box_id=box_id)
    return box_id


def get(store: Store, box_id: int) -> Box:
    """One box. Raises NotFound."""
    rows = store.rows(f"{_SELECT} WHERE b.id = ?", (box_id,))
    if not rows:
        raise NotFound("There is no such box. Look at the list of boxes.")
    return Box(**rows[0])


def all_boxes(store: Store, limit: int = 100) -> list[Box]:
    """The boxes, those not done first, then the latest."""
    rows = store.rows(f"{_SELECT} ORDER BY b.done_on IS NOT NULL, b.id DESC LIMIT ?", (limit,))
    return [Box(**row) for row in rows]


def next_number(store: Store) -> str:
    """A number for the next box: one more than the highest that is a number."""
    rows = store.rows(
        "SELECT max(CAST(number AS INTEGER)) AS n FROM donated_boxes "
        "WHERE number NOT GLOB '*[^0-9]*' AND length(number) < 10"
    )
    return str(int(rows[0]["n"] or 0) + 1)


def rows_of(store: Store, box_id: int, limit: int | None = None) -> list[BoxRow]:
    """The rows of a box, the latest first; all of them, or so many."""
    rows = store.rows(
        "SELECT * FROM box_rows WHERE box_id = ? ORDER BY number DESC LIMIT ?",
        (box_id, -1 if limit is None else limit),
    )
    return [_row(row) for row in rows]


def row(store: Store, row_id: int) -> BoxRow:
    """One row. Raises NotFound."""
    rows = store.rows("SELECT * FROM box_rows WHERE id = ?", (row_id,))
    if not rows:
        raise NotFound("That row is not there any more. Look at the box's list again.")
    return _row(rows[0])


def with_key(store: Store, key: str) -> BoxRow | None:
    """The row that was sent with this key, if it was."""
    rows = store.rows("SELECT * FROM box_rows WHERE key = ?", (key,))
    return _row(rows[0]) if rows else None


def of_disc(store: Store, disc_id: int) -> tuple[Box, BoxRow] | None:
    """The box and the row that a disc came from, if it came in a box."""
    rows = store.rows("SELECT * FROM box_rows WHERE disc_id = ? ORDER BY id LIMIT 1", (disc_id,))
    return (get(store, rows[0]["box_id"]), _row(rows[0])) if rows else None


def write(
    store: Store, box_id: int, new: NewRow, decision: Decision, who: str, now: datetime
) -> BoxRow:
    """Write a row into a box with what was decided; its number is the next of the box.

    Raises BadInput for a row without a title or with something too long, NotFound for an unknown
    box, ChangedMeanwhile for a box that is done.
    """
    _check(new)
    with undo.action(store, who, f"{decision} a disc of a box", now):
        box = get(store, box_id)
        if box.done_on:
            raise ChangedMeanwhile(f"Box {box.number} is done. Go on with it first.")
        numbers = store.rows(
            "SELECT coalesce(max(number), 0) + 1 AS n FROM box_rows WHERE box_id = ?", (box_id,)
        )
        cursor = store.db.execute(
            "INSERT INTO box_rows (box_id, number, key, artist, title, carrier, catalogue_number, "
            "condition, tracks, found, asked, decision) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, "
            "?)",
            (
                box_id, numbers[0]["n"], new.key, new.artist, new.title, new.carrier,
                new.catalogue_number, new.condition, new.tracks, new.found, new.asked, decision,
            ),
        )  # fmt: skip
        donors.worked_on(store, box_id, now)
        return row(store, int(cursor.lastrowid or 0))


def decide(
    store: Store, row_id: int, before: Decision, decision: Decision, who: str, now: datetime
) -> None:
    """Decide a row anew, as it was seen `before`. Raises ChangedMeanwhile if it is not so now."""
    with undo.action(store, who, f"{decision} a disc of a box", now):
        there = row(store, row_id)
        if there.decision is not before:
            last, _ = undo.history(store, "box_rows", row_id)[-1]
            raise ChangedMeanwhile(
                f"{last.who or 'Somebody'} has decided on “{there.title}” meanwhile. Nothing was "
                "changed; look at it as it is now."
            )
        store.db.execute("UPDATE box_rows SET decision = ? WHERE id = ?", (decision, row_id))


def point_at(store: Store, row_id: int, disc_id: int) -> None:
    """Note which disc was made of a row; inside an action."""
    store.db.execute("UPDATE box_rows SET disc_id = ? WHERE id = ?", (disc_id, row_id))


def done(store: Store, box_id: int, is_done: bool, who: str, now: datetime) -> None:
    """A box is done, or gone on with again. Raises NotFound."""
    box = get(store, box_id)
    what = f"the box {box.number} is done" if is_done else f"goes on with the box {box.number}"
    with undo.action(store, who, what, now):
        store.db.execute(
            "UPDATE donated_boxes SET done_on = ? WHERE id = ?",
            (now.date().isoformat() if is_done else None, box_id),
        )
        donors.worked_on(store, box_id, now)


def _check(new: NewRow) -> None:
    if not new.title.strip():
        raise BadInput("Write the title of the disc, as it stands on the sleeve.")
    if max(len(new.title), len(new.artist), len(new.catalogue_number)) > LONGEST:
        raise BadInput("That is too long for a title, an artist or a number. Nothing was kept.")
    if len(new.tracks) > _LONGEST_TRACKS:
        raise BadInput("That is too long for the tracks of one disc. Nothing was kept.")
    if not _KEY.fullmatch(new.key) or new.carrier is Carrier.FILE:
        raise BadInput("This row was not sent as the page sends it. Load the page again.")


def _row(found: Row) -> BoxRow:
    return BoxRow(
        **{
            **found,
            "carrier": Carrier(found["carrier"]),
            "condition": Condition(found["condition"]),
            "decision": Decision(found["decision"]),
        }
    )
