"""Going along the shelves: recordings by words, title, artist or shelf mark, a page at a time.

This is looking through a list, not hearing a caller: every word must be there as it is spelt,
in any order, accents and capitals aside. `enquiry.py` is for what was half heard.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from catalogue import availability, listing
from catalogue.catalogue_rows import recordings
from catalogue.errors import BadInput
from catalogue.filing import Shelf
from catalogue.listing import Sought, Start
from catalogue.records import Available, Recording
from catalogue.store import Store
from catalogue.undo import Action

ORDERS = ("title", "artist", "mark")
"""By title, by artist, or along the shelf by shelf mark."""

_OF_THE_SHELVES = (
    "artists", "songs", "recordings", "discs", "holdings", "other_names", "loans", "wants",
    "judgements", "places", "looked_at", "filing_rules",
    "shelf_places", "stocktakes", "pulled_discs", "donated_boxes", "box_rows",
)  # fmt: skip
"""Tables whose changes a librarian looks through and may take back."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: a recording and what its copies are good for now."""

    recording: Recording
    availability: tuple[Available, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A page of the list. There are `total` lines in all; with `exact` false more than that.

    `offset` lines are before it, as far as is known: it is carried from page to page, and
    another desk may have put one in meanwhile.
    """

    lines: tuple[Line, ...]
    total: int
    exact: bool
    offset: int
    before: Start | None
    """Where the page before begins, None on the first."""
    after: Start | None
    """Where the page after begins, None on the last."""


def look_through(
    store: Store,
    text: str,
    now: datetime,
    *,
    order: str = "title",
    shelf: Shelf | None = None,
    start: Start = Start(),  # noqa: B008  (frozen)
    limit: int = 50,
) -> Part:
    """The recordings with all these words in title or artist, or with this shelf mark.

    By shelf mark the text is the mark's beginning, only what is on discs is listed, and what is
    on two of them stands at both places. An empty text lists everything. Of one shelf, its own
    filing rules hold; else those of the whole list. Raises BadInput for an unknown order.
    """
    if order not in ORDERS:
        raise BadInput("The list can be ordered by title, artist or shelf mark.")
    page = listing.page(store, Sought(text, order, shelf), start, limit)
    found = recordings(store, page.ids)
    ready = availability.of(store, page.ids, now)
    lines = tuple(Line(found[i], ready.get(i, ())) for i in page.ids if i in found)
    offset = start.offset if page.earlier else 0
    before = Start(max(0, offset - limit), before=page.first) if page.earlier else None
    after = Start(offset + len(page.ids), after=page.last) if page.later else None
    return Part(lines, page.total, page.exact, offset, before, after)


def path_filed(store: Store, path: str) -> bool:
    """Whether a copy with this file's path is in the catalogue already."""
    return bool(store.rows("SELECT 1 FROM holdings WHERE path = ?", (path,)))


@dataclass(frozen=True, slots=True)
class AsItCame:
    """What one file or row said of a recording, untouched, and what was made of it.

    `said` is under the names of its tags or headings, `read_as` under our fields; `came_from`
    says for a field which name it stood under, `guessed` which fields nobody said outright.
    """

    source: str
    is_file: bool
    said: Mapping[str, str]
    read_as: Mapping[str, Any]
    came_from: Mapping[str, str]
    guessed: frozenset[str]
    numbers: Mapping[str, float]


def as_it_came(store: Store, recording_id: int, limit: int = 5) -> list[AsItCame]:
    """What files and rows said of a recording, the latest of each, latest first."""
    rows = store.rows(
        """SELECT e.source, e.raw, h.path IS NOT NULL AS is_file FROM raw_entries e
        LEFT JOIN holdings h ON h.id = e.holding_id
        WHERE e.id IN (SELECT max(id) FROM raw_entries WHERE recording_id = ? GROUP BY source)
        AND NOT EXISTS (SELECT 1 FROM actions a WHERE a.takes_back = e.action_id)
        ORDER BY e.id DESC LIMIT ?""",
        (recording_id, limit),
    )
    found = []
    for row in rows:
        kept = json.loads(row["raw"])
        found.append(
            AsItCame(
                row["source"], bool(row["is_file"]), kept.get("said", {}),
                kept.get("read_as", {}), kept.get("came_from", {}),
                frozenset(kept.get("guessed", ())), kept.get("numbers", {}),
            )
        )  # fmt: skip
    return found


def done_on_shelves(store: Store, limit: int) -> list[Action]:
    """The last actions on what the shelves hold, latest first; those on slips are left out."""
    marks = ", ".join("?" for _ in _OF_THE_SHELVES)
    rows = store.rows(
        f"""SELECT id, at, who, what, takes_back FROM actions a WHERE EXISTS (
            SELECT 1 FROM changes c WHERE c.action_id = a.id AND c.table_name IN ({marks}))
            AND a.part_of IS NULL
        ORDER BY id DESC LIMIT ?""",
        (*_OF_THE_SHELVES, limit),
    )
    return [Action(**row) for row in rows]
