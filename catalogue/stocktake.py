"""Stock-taking: a shelf is walked, what is there is ticked, and what was found is kept.

A walk may be broken off and gone on with by anybody, and by several at once: each tick is a row
of its own with a key that its page made, so that a tick sent twice is one, and nobody's tick
takes another's away. What the walk came to is reckoned and written in `stocktake_end.py`.

Owns `stocktakes` and `stocktake_finds`.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from catalogue import missing_copies, shelf_walk, undo
from catalogue.catalogue_rows import disc
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Disc
from catalogue.shelf_walk import Part
from catalogue.store import Row, Store

_LONGEST = {"typed": 80, "about": 200, "key": 64}
"""Characters that are kept of what is typed."""


@dataclass(frozen=True, slots=True)
class StockTake:
    """One walk along a part of a shelf. `state` is "open", "finished" or "given up"; times are
    ISO 8601; `report` is what `stocktake_end` wrote, empty until then."""

    id: int
    part: Part
    state: str
    started_at: str
    started_by: str
    finished_at: str | None = None
    finished_by: str = ""
    report: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it can still be ticked in."""
        return self.state == "open"


@dataclass(frozen=True, slots=True)
class Find:
    """One thing that somebody saw on the shelf: a disc, or by what was `typed` and said `about`
    it something that is not in the catalogue. `stays` is whether it stays where it was seen;
    `gone` whether the tick was taken back, `late` whether it came after the end; `number` is
    which change of the stock-take this is."""

    id: int
    key: str
    disc_id: int | None
    typed: str
    about: str
    stays: bool
    who: str
    at: str
    gone: bool
    late: bool
    number: int


def start(store: Store, part: Part, who: str, now: datetime) -> int:
    """Begin to walk a part of a shelf; returns the stock-take's id. Raises BadInput for a part
    that is none, that has no disc, or too many."""
    tidy = shelf_walk.checked(store, part)
    with undo.action(store, who, f"began a stock-take of {called(tidy)}", now):
        cursor = store.db.execute(
            "INSERT INTO stocktakes (shelf_by, shelf, carrier, from_mark, to_mark, started_at, "
            "started_by) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (tidy.by, tidy.shelf, tidy.carrier, tidy.from_mark, tidy.to_mark,
             now.isoformat(timespec="seconds"), who),
        )  # fmt: skip
        return int(cursor.lastrowid or 0)


def called(part: Part) -> str:
    """A part of a shelf in plain words, for what was done.

    >>> called(Part("mark", "C", "CD", "C 1", "C 40")), called(Part("mark", ""))
    ('C, CD, C 1 – C 40', 'every shelf')
    """
    ends = f"{part.from_mark or '…'} – {part.to_mark or '…'}"
    words = [part.shelf or "every shelf", part.carrier]
    if part.from_mark or part.to_mark:
        words.append(ends)
    return ", ".join(word for word in words if word)


def get(store: Store, take_id: int) -> StockTake:
    """One stock-take. Raises NotFound."""
    rows = store.rows("SELECT * FROM stocktakes WHERE id = ?", (take_id,))
    if not rows:
        raise NotFound(f"There is no stock-take number {take_id}.")
    return _take(rows[0])


def of_state(store: Store, state: str, limit: int = 50) -> list[StockTake]:
    """The latest stock-takes that are open, finished or given up, latest first."""
    rows = store.rows(
        "SELECT * FROM stocktakes WHERE state = ? ORDER BY coalesce(finished_at, started_at) DESC, "
        "id DESC LIMIT ?",
        (state, limit),
    )
    return [_take(row) for row in rows]


def finds(store: Store, take_id: int, since: int = 0) -> list[Find]:
    """What was seen, in the order of its last change; with `since` only what changed after that
    number, those taken back too."""
    rows = store.rows(
        "SELECT id, key, disc_id, typed, about, stays, who, at, gone, late, number "
        "FROM stocktake_finds WHERE stocktake_id = ? AND number > ? ORDER BY number",
        (take_id, since),
    )
    return [
        Find(**{**row, **{name: bool(row[name]) for name in ("stays", "gone", "late")}})
        for row in rows
    ]


def number(store: Store, take_id: int) -> int:
    """The number of the last change of what was seen, 0 if there was none."""
    rows = store.rows(
        "SELECT max(number) AS last FROM stocktake_finds WHERE stocktake_id = ?", (take_id,)
    )
    return int(rows[0]["last"] or 0)


def seen(
    store: Store, take_id: int, key: str, disc_id: int | None, typed: str, who: str, now: datetime
) -> Find:
    """Note that a disc, or what was typed or scanned and is not known, is on the shelf.

    A key that is there already is the same tick sent again, and changes nothing. After the end a
    tick still counts: a disc that was marked missing is found again. Raises NotFound, BadInput for
    nothing typed, ChangedMeanwhile for a stock-take that was given up.
    """
    if disc_id is not None:
        disc(store, disc_id)
    text, tidy_key = _tidy("typed", typed), _tidy("key", key)
    if disc_id is None and not text:
        raise BadInput("Type or scan the disc’s shelf mark.")
    if not tidy_key:
        raise BadInput("That tick came without its key. Load the page again.")
    with store.transaction() as db:
        take = get(store, take_id)
        if take.state == "given up":
            raise ChangedMeanwhile("This stock-take was given up. Nothing was noted.")
        found = [f for f in finds(store, take_id) if f.key == tidy_key]
        if found:
            return found[0]
        db.execute(
            "INSERT INTO stocktake_finds (stocktake_id, key, disc_id, typed, who, at, late, number)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (take_id, tidy_key, disc_id, text, who, now.isoformat(timespec="seconds"),
             int(not take.is_open), number(store, take_id) + 1),
        )  # fmt: skip
        if not take.is_open and disc_id is not None and disc(store, disc_id).missing:
            missing_copies.disc_found(store, disc_id, who, now)
    return next(f for f in finds(store, take_id) if f.key == tidy_key)


def not_seen(store: Store, take_id: int, keys: Collection[str], now: datetime) -> None:
    """Take ticks back by their keys: those that the person saw, and nobody's that came since.

    Raises NotFound, or ChangedMeanwhile once the stock-take is over.
    """
    with store.transaction() as db:
        _refuse_if_over(get(store, take_id))
        for key in dict.fromkeys(keys):
            db.execute(
                "UPDATE stocktake_finds SET gone = 1, number = ? "
                "WHERE stocktake_id = ? AND key = ? AND gone = 0",
                (number(store, take_id) + 1, take_id, key),
            )


def describe(
    store: Store, take_id: int, key: str, *, about: str | None = None, stays: bool | None = None
) -> None:
    """Say what something unknown is, or whether a disc stays where it was seen.

    Raises NotFound, or ChangedMeanwhile once the stock-take is over.
    """
    with store.transaction() as db:
        _refuse_if_over(get(store, take_id))
        there = {find.key: find for find in finds(store, take_id)}
        if key not in there:
            raise NotFound("That was not noted in this stock-take. Load the page again.")
        words = there[key].about if about is None else _tidy("about", about)
        kept = there[key].stays if stays is None else stays
        db.execute(
            "UPDATE stocktake_finds SET about = ?, stays = ?, number = ? "
            "WHERE stocktake_id = ? AND key = ?",
            (words, int(kept), number(store, take_id) + 1, take_id, key),
        )


def meant(store: Store, take_id: int, found: list[Disc]) -> Disc:
    """Of the discs with one mark the one that is meant: the one that should stand on this shelf
    and was not seen yet. Raises BadInput if that could be several."""
    if len(found) > 1:
        here = set(shelf_walk.disc_ids(store, get(store, take_id).part))
        there = {f.disc_id for f in finds(store, take_id) if not f.gone}
        for narrower in (here, here - there):
            found = [d for d in found if d.id in narrower] or found
    if len(found) > 1:
        kinds = ", ".join(d.carrier.value for d in found)
        raise BadInput(
            f"Several discs have the mark {found[0].shelf_mark}: {kinds}. Write which before the "
            "mark."
        )
    return found[0]


def close(store: Store, take_id: int, report: str, who: str, now: datetime) -> None:
    """The walk is over, with this report; inside an action. Raises ChangedMeanwhile."""
    _refuse_if_over(get(store, take_id))
    store.db.execute(
        "UPDATE stocktakes SET state = 'finished', finished_at = ?, finished_by = ?, report = ? "
        "WHERE id = ?",
        (now.isoformat(timespec="seconds"), who, report, take_id),
    )


def give_up(store: Store, take_id: int, who: str, now: datetime) -> None:
    """Give a stock-take up: nothing it found is written. Raises NotFound or ChangedMeanwhile."""
    take = get(store, take_id)
    with undo.action(store, who, f"gave up the stock-take of {called(take.part)}", now):
        _refuse_if_over(get(store, take_id))
        store.db.execute(
            "UPDATE stocktakes SET state = 'given up', finished_at = ?, finished_by = ? "
            "WHERE id = ?",
            (now.isoformat(timespec="seconds"), who, take_id),
        )


def rename_room(store: Store, old: str, new: str) -> None:
    """Walks of one room are another's; inside an action."""
    store.db.execute(
        "UPDATE stocktakes SET shelf = ? WHERE shelf_by = 'room' AND shelf = ? COLLATE NOCASE",
        (new, old),
    )


def point_at_disc(store: Store, gone: int, kept: int) -> None:
    """What was seen of one disc was the other; pages that are open are told."""
    for row in store.rows(
        "SELECT id, stocktake_id FROM stocktake_finds WHERE disc_id = ?", (gone,)
    ):
        store.db.execute(
            "UPDATE stocktake_finds SET disc_id = ?, number = ? WHERE id = ?",
            (kept, number(store, row["stocktake_id"]) + 1, row["id"]),
        )


def _refuse_if_over(take: StockTake) -> None:
    if take.state == "finished":
        raise ChangedMeanwhile(
            f"{take.finished_by or 'Somebody'} finished this stock-take already. Look at its "
            "report."
        )
    if not take.is_open:
        raise ChangedMeanwhile("This stock-take was given up. Nothing was noted.")


def _tidy(kind: str, text: str) -> str:
    return " ".join(text.split())[: _LONGEST[kind]]


def _take(row: Row) -> StockTake:
    part = Part(row["shelf_by"], row["shelf"], row["carrier"], row["from_mark"], row["to_mark"])
    return StockTake(
        row["id"], part, row["state"], row["started_at"], row["started_by"], row["finished_at"],
        row["finished_by"], row["report"],
    )  # fmt: skip
