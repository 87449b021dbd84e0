"""What the pages of a stock-take show: the walk, what was seen elsewhere, reports."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import url_for

from catalogue import out_of_place, shelf_walk, stocktake, stocktake_end
from catalogue.records import Carrier
from catalogue.shelf_walk import Expected, Part
from catalogue.stocktake import Find, StockTake
from catalogue.stocktake_end import Astray, Line
from catalogue.store import Store
from web import wording
from web.station import now, who
from web.texts import t

PIECE = 200
"""Rows of one page of a walk: a telephone scrolls through them, and they come at once."""

_FAR = 5
"""Places between two scans from which the second is said to stand out of its order."""


@dataclass(frozen=True, slots=True)
class Row:
    """A disc on the walk. `note` says if it is out or missing; `keys` are its ticks; `by` who
    else ticked it; `known_as` how it may be typed, each without spaces."""

    id: int
    label: wording.Label
    title: str
    artist: str
    note: str
    seen: bool
    keys: str
    by: str
    known_as: str


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a long walk that is a page of its own."""

    address: str
    name: str
    current: bool


@dataclass(frozen=True, slots=True)
class Walk:
    """The page of a walk, as of change `number`; `next` is the row to go on with, 0 for none."""

    id: int
    name: str
    number: int
    count: str
    rows: tuple[Row, ...]
    pieces: tuple[Piece, ...]
    next: int


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What was seen and does not belong here, or is not known."""

    astray: tuple[tuple[Astray, str], ...]
    unknown: tuple[Find, ...]
    by_room: bool


@dataclass(frozen=True, slots=True)
class Summary:
    """A stock-take in the list: what was walked, when and by whom, how far."""

    id: int
    name: str
    about: str


def called(part: Part) -> str:
    """A part of a shelf in words."""
    name = t("stock.mark", name=part.shelf) if part.shelf else t("stock.every")
    words = [part.shelf if part.by == "room" else name]
    if part.carrier:
        words.append(t(f"carrier.{part.carrier}"))
    if part.from_mark and part.to_mark:
        words.append(t("stock.from_to", first=part.from_mark, last=part.to_mark))
    elif part.from_mark:
        words.append(t("stock.from", first=part.from_mark))
    elif part.to_mark:
        words.append(t("stock.to", last=part.to_mark))
    return ", ".join(words)


def summary(store: Store, take: StockTake) -> Summary:
    """A stock-take as a line of the list."""
    today = now().date()
    if take.is_open:
        when = wording.clock_time(take.started_at, today)
        about = t("stock.begun", who=take.started_by, at=when, count=count(store, take))
    else:
        when = wording.clock_time(take.finished_at, today)
        about = t("stock.finished_by", who=take.finished_by, at=when)
    return Summary(take.id, called(take.part), about)


def walk(store: Store, take: StockTake, expected: Sequence[int], piece: int | None) -> Walk:
    """A page of the walk: the piece asked for, else the one where somebody ticked last.

    `expected` are the numbers of its discs in their order; of those shown alone all is read.
    """
    # The number first: what comes while the page is made is told with the next answer.
    number = stocktake.number(store, take.id)
    ticks = _ticks(store, take.id)
    place = {disc_id: at for at, disc_id in enumerate(expected)}
    last = next((place[i] for i in reversed(list(ticks)) if i in place), -1)
    onward = [disc_id for disc_id in expected[last + 1 :] if disc_id not in ticks]
    pieces = max(1, -(-len(expected) // PIECE))
    chosen = max(last, 0) // PIECE if piece is None else min(max(piece, 1), pieces) - 1
    shown = shelf_walk.named(store, expected[chosen * PIECE : (chosen + 1) * PIECE])
    return Walk(
        take.id,
        called(take.part),
        number,
        count(store, take, expected),
        tuple(row(one, ticks.get(one.disc.id, [])) for one in shown.values()),
        _pieces(store, take.id, expected, chosen) if pieces > 1 else (),
        onward[0] if onward and ticks else 0,
    )


def row(one: Expected, ticks: list[Find]) -> Row:
    """A disc on the walk with its ticks."""
    disc = one.disc
    said = {disc.shelf_mark, f"{disc.carrier.value} {disc.shelf_mark}"}
    said |= {f"{t(f'carrier.{disc.carrier}')} {disc.shelf_mark}", disc.barcode}
    return Row(
        disc.id,
        wording.disc_label(disc),
        one.title,
        one.artist,
        note(one),
        bool(ticks),
        " ".join(find.key for find in ticks),
        by(ticks),
        " ".join(sorted(filter(None, map(out_of_place.bare, said)))),
    )


def note(one: Expected) -> str:
    """Whether a disc is out, or noted as missing, in words."""
    if one.out_to:
        since = wording.moment(one.since)
        day = wording.day(since.date(), now().date()) if since else ""
        return t("loans.had", who=one.out_to, day=day)
    return t("stock.was_missing") if one.disc.missing else ""


def by(ticks: list[Find]) -> str:
    """Who ticked it, unless it was only the person at this desk."""
    names = list(dict.fromkeys(find.who for find in ticks))
    return t("stock.by", who=", ".join(names)) if names and names != [who()] else ""


def count(store: Store, take: StockTake, expected: Sequence[int] | None = None) -> str:
    """How far the walk has come, in words; `expected` are the numbers of its discs."""
    ids = set(shelf_walk.disc_ids(store, take.part) if expected is None else expected)
    there = [find for find in stocktake.finds(store, take.id) if not find.gone]
    seen = {find.disc_id for find in there if find.disc_id is not None}
    words = [t("stock.count", here=len(seen & ids), all=len(ids))]
    if astray := len(seen - ids):
        words.append(t("stock.count_astray", count=astray))
    if unknown := sum(find.disc_id is None for find in there):
        words.append(t("stock.count_unknown", count=unknown))
    return ", ".join(words)


def elsewhere(store: Store, take: StockTake, expected: Sequence[int]) -> Elsewhere:
    """What was seen and does not belong here, or is not known; latest first."""
    astray, unknown = stocktake_end.elsewhere(store, take, expected)
    return Elsewhere(
        tuple((one, belongs(one)) for one in reversed(astray)),
        tuple(reversed(unknown)),
        take.part.by == "room",
    )


def belongs(astray: Astray) -> str:
    """Where a misplaced disc belongs, in words."""
    disc = astray.disc
    if disc.place:
        return t("stock.belongs_in", mark=disc.shelf_mark, room=disc.place)
    return t("stock.belongs", mark=disc.shelf_mark)


def said_of(
    store: Store, find: Find, before: list[Find], expected: Sequence[int], scanned: bool
) -> str:
    """What to say of what was just seen; `before` are the earlier ticks, `expected` the numbers
    of the discs of the walk in their order."""
    if find.disc_id is None:
        return t("stock.not_known", mark=find.typed)
    one = shelf_walk.named(store, [find.disc_id])[find.disc_id]
    place = {number: at for at, number in enumerate(expected)}
    if find.disc_id not in place:
        where = belongs(Astray(one.disc, "", "", (), False))
        return t("stock.astray", mark=wording.disc_label(one.disc).said, where=where)
    mark = one.disc.shelf_mark
    live = [earlier for earlier in before if not earlier.gone and earlier.id != find.id]
    if any(earlier.disc_id == find.disc_id for earlier in live):
        return t("stock.again", mark=mark)
    if one.out_to:
        return t("stock.here_out", mark=mark, who=one.out_to)
    if one.disc.missing:
        return t("stock.here_missing", mark=mark)
    at = place[find.disc_id]
    mine = [place[e.disc_id] for e in live if e.who == find.who and e.disc_id in place]  # type: ignore[index]
    if scanned and mine and abs(at - mine[-1]) > _FAR:
        beside = [expected[i] for i in (at - 1, at + 1) if 0 <= i < len(expected)]
        around = [n.disc.shelf_mark for n in shelf_walk.named(store, beside).values()]
        return t("stock.here_order", mark=mark, around=t("stock.and").join(around))
    return t("stock.here", mark=mark)


def report_lines(lines: tuple[Line, ...]) -> list[tuple[wording.Label, str, str]]:
    """Lines of a report: label, title, and where it belongs or what it is."""
    return [
        (
            wording.Label(t(f"carrier.{Carrier(line.carrier)}") if line.carrier else "", line.mark),
            line.title,
            line.note,
        )
        for line in lines
    ]


def _ticks(store: Store, take_id: int) -> dict[int, list[Find]]:
    """Of each disc the ticks that stand, the disc ticked last at the end."""
    found: dict[int, list[Find]] = {}
    for find in stocktake.finds(store, take_id):
        if find.disc_id is not None and not find.gone:
            found[find.disc_id] = [*found.pop(find.disc_id, []), find]
    return found


def _pieces(store: Store, take_id: int, expected: Sequence[int], chosen: int) -> tuple[Piece, ...]:
    edges = [(at, min(at + PIECE, len(expected)) - 1) for at in range(0, len(expected), PIECE)]
    numbers = [expected[at] for two in edges for at in two]
    marks = {n: one.disc.shelf_mark for n, one in shelf_walk.named(store, numbers).items()}
    found = []
    for number, (first, last) in enumerate(edges):
        name = t("stock.from_to", first=marks.get(expected[first], ""),
                 last=marks.get(expected[last], ""))  # fmt: skip
        address = url_for("stock_take.walk", take_id=take_id, piece=number + 1)
        found.append(Piece(address, name, number == chosen))
    return tuple(found)
