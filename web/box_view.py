"""A donated box as it is shown: its line, its rows, and its list on paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalogue import catalogue_rows, donated_boxes, donors, undo
from catalogue.donated_boxes import Box, BoxRow, Decision
from catalogue.errors import NotFound
from catalogue.store import Store
from web import gaps_view, wording
from web.station import now
from web.texts import has, t

LISTED = 40
"""Rows on the page of a box, the latest first; the list to print has them all."""


@dataclass(frozen=True, slots=True)
class BoxShown:
    """A box: its number, who gave it while that is known, and how far it is."""

    id: int
    number: str
    title: str
    donor: str
    donor_kept: str
    count: str
    begun: str
    done: str


@dataclass(frozen=True, slots=True)
class Row:
    """A row: what was typed, what was said of it, and what was decided."""

    id: int
    number: int
    title: str
    artist: str
    about: str
    found: str
    decision: str
    said: str
    label: wording.Label | None
    disc_id: int | None
    to_be_shelved: bool
    room: str
    carrier: str
    catalogue_number: str
    condition: str
    tracks: str


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a page, and the number of the last change, which the page sends back."""

    rows: tuple[Row, ...]
    change: int
    count: str
    more: int


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the printed list: what was kept, declined, or left for later."""

    title: str
    rows: tuple[Row, ...]


def box(store: Store, found: Box) -> BoxShown:
    """A box in words."""
    donor = donors.of_box(store, found.id)
    return BoxShown(
        found.id,
        found.number,
        t("box.title", number=found.number),
        donor.name,
        _day(donor.erase_on),
        count(found),
        _day(found.begun_on),
        _day(found.done_on or ""),
    )


def count(found: Box) -> str:
    """How many discs, and what was done with them."""
    key = "box.count_one" if found.rows == 1 else "box.count"
    of_all = {"rows": wording.count(found.rows)} if found.rows != 1 else {}
    words = t(key, kept=found.kept, declined=found.declined, **of_all)
    return words + (" " + t("box.count_later", later=found.later) if found.later else "")


def rows(store: Store, found: Box) -> Rows:
    """The last rows of a box."""
    last = [row(store, one) for one in donated_boxes.rows_of(store, found.id, LISTED)]
    change = max(undo.last_change(store, table) for table in ("box_rows", "discs"))
    return Rows(tuple(last), change, count(found), max(0, found.rows - len(last)))


def parts(store: Store, found: Box) -> list[Part]:
    """All rows by what was decided, in the order in which they were typed."""
    every = [row(store, one) for one in reversed(donated_boxes.rows_of(store, found.id))]
    return [
        Part(t(f"box.part_{decision}"), tuple(one for one in every if one.decision == decision))
        for decision in Decision
        if any(one.decision == decision for one in every)
    ]


def row(store: Store, one: BoxRow) -> Row:
    """A row in words."""
    disc = None
    if one.disc_id is not None and one.decision is Decision.KEPT:
        try:
            disc = catalogue_rows.disc(store, one.disc_id)
        except NotFound:
            disc = None  # made one with another disc since
    about = [t(f"carrier.{one.carrier}"), t(f"condition.{one.condition}"), one.catalogue_number]
    return Row(
        one.id,
        one.number,
        one.title,
        one.artist,
        " · ".join(part for part in about if part),
        _found(one),
        str(one.decision),
        t(f"box.decision_{one.decision}"),
        wording.disc_label(disc) if disc else None,
        disc.id if disc else None,
        bool(disc and disc.place == t("sheet.to_be_shelved")),
        disc.place if disc else "",
        str(one.carrier),
        one.catalogue_number,
        str(one.condition),
        one.tracks,
    )


def told(store: Store, one: BoxRow) -> str:
    """What was just done, in a sentence that is read out."""
    shown = row(store, one)
    if shown.label is None:
        return t("box.told", number=one.number, title=one.title, decision=shown.said)
    return t("box.told_kept", number=one.number, title=one.title, decision=shown.said,
             where=shown.label.said)  # fmt: skip


def today() -> str:
    """The day, as on paper."""
    return wording.full_day(now().date())


def _found(one: BoxRow) -> str:
    words = t(f"standing.{one.found}") if has(f"standing.{one.found}") else ""
    if one.asked:
        asked = t("sleeve.wanted", times=gaps_view.times(one.asked))
        words = asked if one.found in ("wanted", "not held") else f"{words} {asked}"
    return words


def _day(iso: str) -> str:
    return wording.full_day(date.fromisoformat(iso)) if iso else ""
