"""Which discs stand on a shelf, or on a part of it, in the shelf's own order.

A shelf is known as in `filing.py`: by how its marks begin, or by its room. A part goes from one
mark to another, both included; one kind of disc may be asked for alone.
"""

from __future__ import annotations

import json
import string
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue import filing, out_of_place
from catalogue.errors import BadInput
from catalogue.filing import mark_order
from catalogue.records import Carrier, Condition, Disc
from catalogue.store import Row, Store

MOST = 1_500
"""Discs of one walk: a long evening's, and few enough for a telephone to hold."""

_SEVERAL = 2
"""Artists on one disc, from which none of them is named."""


@dataclass(frozen=True, slots=True)
class Part:
    """A shelf or a part of it. `by` is "mark" or "room"; an empty `shelf` by mark is every
    shelf; `carrier` empty is every kind of disc, an empty mark the shelf's own end."""

    by: str
    shelf: str
    carrier: str = ""
    from_mark: str = ""
    to_mark: str = ""


@dataclass(frozen=True, slots=True)
class Expected:
    """A disc that should stand there, with what it is called, and who has it if it is out."""

    disc: Disc
    title: str
    artist: str
    out_to: str = ""
    since: str = ""


@dataclass(frozen=True, slots=True)
class Shelves:
    """The shelves there are, each with its discs counted: beginnings of marks, and rooms."""

    beginnings: tuple[tuple[str, int], ...]
    rooms: tuple[tuple[str, int], ...]
    discs: int


def shelves(store: Store) -> Shelves:
    """What there is to choose from. A mark without a leading letter is in no beginning's count."""
    leading = f"substr(shelf_mark, 1, length(shelf_mark) - length(ltrim(shelf_mark, '{_LETTERS}')))"
    begins = store.rows(
        f"SELECT upper({leading}) AS name, count(*) AS n FROM discs GROUP BY 1 ORDER BY 1"
    )
    rooms = store.rows(
        "SELECT min(place) AS name, count(*) AS n FROM discs WHERE place <> '' "
        "GROUP BY place COLLATE NOCASE ORDER BY place COLLATE NOCASE"
    )
    return Shelves(
        tuple((row["name"], row["n"]) for row in begins if row["name"]),
        tuple((row["name"], row["n"]) for row in rooms),
        sum(row["n"] for row in begins),
    )


def checked(store: Store, part: Part) -> Part:
    """The part with tidy words. Raises BadInput for one that is none, is empty or too long."""
    tidy = Part(
        part.by, *(" ".join(text.split()) for text in
                   (part.shelf, part.carrier, part.from_mark, part.to_mark)),
    )  # fmt: skip
    if tidy.by not in filing.BY or (tidy.by == "room" and not tidy.shelf):
        raise BadInput("Choose a shelf: how its marks begin, or its room.")
    if tidy.carrier and tidy.carrier not in [c for c in Carrier if c is not Carrier.FILE]:
        raise BadInput("Choose the kind of disc from the list.")
    if max(map(len, (tidy.shelf, tidy.from_mark, tidy.to_mark))) > _LONGEST:
        raise BadInput(f"A shelf’s name and its marks have {_LONGEST} letters at most.")
    if tidy.from_mark and tidy.to_mark and not _reaches(tidy.from_mark, tidy.to_mark):
        raise BadInput(f"{tidy.from_mark} stands after {tidy.to_mark}. Name the first mark first.")
    count = len(disc_ids(store, tidy))
    if not count:
        raise BadInput("No disc is entered for that part of the shelf. Look at the marks again.")
    if count > MOST:
        raise BadInput(
            f"That is {count} discs; {MOST} in one walk are enough. Take a part of the shelf, from "
            "one mark to another."
        )
    return tidy


def discs(store: Store, part: Part) -> list[Disc]:
    """The discs that should stand there, in the order of the shelf, wherever they are now."""
    numbers = disc_ids(store, part)
    found = _discs(store, numbers)
    return [found[number] for number in numbers if number in found]


def disc_ids(store: Store, part: Part) -> list[int]:
    """The numbers of the discs that should stand there, in the order of the shelf."""
    asked: list[tuple[str, str]] = []
    if part.by == "room":
        asked.append(("place = ? COLLATE NOCASE", part.shelf))
    elif part.shelf[:1].isascii() and part.shelf:
        # The rest of the beginning is looked at below, where spaces and capitals do not count.
        asked.append(
            ("lower(substr(ltrim(shelf_mark, ' -'), 1, 1)) = lower(?)", part.shelf.lstrip("- ")[:1])
        )
    if part.carrier:
        asked.append(("carrier = ?", part.carrier))
    where = " AND ".join(sql for sql, _ in asked) or "1"
    rows = store.db.execute(
        f"SELECT shelf_mark, carrier, id FROM discs WHERE {where}", [value for _, value in asked]
    ).fetchall()
    rules = filing.rules_of(store, part.by, part.shelf)
    found = []
    for mark, carrier, number in rows:
        if part.by == "mark" and not _begins(mark, part.shelf):
            continue
        if part.from_mark and not _reaches(part.from_mark, mark):
            continue
        if part.to_mark and not _within(mark, part.to_mark):
            continue
        found.append((filing.standing_order(mark, rules), carrier, number))
    return [number for *_, number in sorted(found)]


def expected(store: Store, part: Part) -> list[Expected]:
    """The discs that should stand there, with what each is called and who has it."""
    return _with_names(store, discs(store, part))


def named(store: Store, numbers: Sequence[int]) -> dict[int, Expected]:
    """The discs of these numbers that are there, with what each is called and who has it."""
    there = _discs(store, numbers)
    found = {one.disc.id: one for one in _with_names(store, list(there.values()))}
    return {number: found[number] for number in numbers if number in found}


def _discs(store: Store, numbers: Sequence[int]) -> dict[int, Disc]:
    rows = store.rows(
        "SELECT * FROM discs WHERE id IN (SELECT value FROM json_each(?))",
        (json.dumps(list(numbers)),),
    )
    return {row["id"]: _disc(row) for row in rows}


def _with_names(store: Store, found: list[Disc]) -> list[Expected]:
    ids = [disc.id for disc in found]
    called = _called(store, ids)
    out = out_of_place.who_has(store, set(ids))
    return [
        Expected(disc, *_names(disc, called.get(disc.id)), *out.get(disc.id, ("", "")))
        for disc in found
    ]


def _disc(row: Row) -> Disc:
    words = {"carrier": Carrier(row["carrier"]), "condition": Condition(row["condition"])}
    return Disc(**{**row, **words, "missing": bool(row["missing"])})


_LETTERS = string.ascii_letters
_LONGEST = 60


def _called(store: Store, ids: list[int]) -> dict[int, tuple[str, str]]:
    """Of each disc a recording's title, and the artist if there is only one."""
    rows = store.rows(
        """SELECT h.disc_id AS id, r.title, a.name, count(DISTINCT a.id) AS artists,
            count(DISTINCT r.id) AS recordings, min(h.id)
        FROM holdings h JOIN recordings r ON r.id = h.recording_id
        JOIN artists a ON a.id = r.artist_id
        WHERE h.disc_id IN (SELECT value FROM json_each(?)) GROUP BY h.disc_id""",
        (json.dumps(ids),),
    )
    return {
        row["id"]: (row["title"], row["name"] if row["artists"] < _SEVERAL else "") for row in rows
    }


def _names(disc: Disc, called: tuple[str, str] | None) -> tuple[str, str]:
    title, artist = called or ("", "")
    return disc.title or title, artist


def _begins(mark: str, beginning: str) -> bool:
    """Whether a mark begins so and not with a longer word or number: C has C 114, and not CD 5.

    >>> [_begins(mark, "C 1") for mark in ("C 1", "c1a", "C 11", "CD 1")]
    [True, True, False, False]
    """
    whole, begin = out_of_place.bare(mark), out_of_place.bare(beginning)
    if not whole.startswith(begin):
        return False
    here, after = begin[-1:], whole[len(begin) : len(begin) + 1]
    return not (here.isalpha() and after.isalpha()) and not (here.isdigit() and after.isdigit())


def _reaches(first: str, mark: str) -> bool:
    """Whether a mark stands at the first one or after it."""
    return mark_order(mark)[0] >= mark_order(first)[0]


def _within(mark: str, last: str) -> bool:
    """Whether a mark stands before the last one or at it: C 114 a is within C 114."""
    end = mark_order(last)[0]
    return mark_order(mark)[0][: len(end)] <= end
