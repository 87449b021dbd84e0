"""Going along the shelves: recordings by words, title, artist or shelf mark, a page at a time.

This is looking through a list, not hearing a caller: every word must be there as it is spelt,
in any order, accents and capitals aside. `enquiry.py` is for what was half heard.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from catalogue import availability
from catalogue.catalogue_rows import recordings
from catalogue.errors import BadInput
from catalogue.records import Available, Recording
from catalogue.spelling import plain
from catalogue.store import Store
from catalogue.undo import Action

ORDERS = ("title", "artist", "mark")
"""By title, by artist, or along the shelf by shelf mark."""

_FILED = "CASE WHEN {0} LIKE 'the %' THEN substr({0}, 5) ELSE {0} END"
"""A leading "the" is passed over in filing (ALA Filing Rules 1980)."""

_MOST_WORDS = 8
"""Words looked for; a longer text is a sentence, and finds nothing anyway."""

_OF_THE_SHELVES = (
    "artists", "songs", "recordings", "discs", "holdings", "other_names", "loans", "wants",
    "judgements", "places", "looked_at",
)  # fmt: skip
"""Tables whose changes a librarian looks through and may take back."""

_DIGITS = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: a recording and what its copies are good for now."""

    recording: Recording
    availability: tuple[Available, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A page of the list, and how many lines there are in all."""

    lines: tuple[Line, ...]
    total: int
    offset: int
    limit: int

    @property
    def before(self) -> int | None:
        """Where the page before begins, None on the first."""
        return max(0, self.offset - self.limit) if self.offset else None

    @property
    def after(self) -> int | None:
        """Where the page after begins, None on the last."""
        end = self.offset + self.limit
        return end if end < self.total else None


def look_through(
    store: Store,
    text: str,
    now: datetime,
    *,
    order: str = "title",
    offset: int = 0,
    limit: int = 50,
) -> Part:
    """The recordings with all these words in title or artist, or with this shelf mark.

    By shelf mark the text is the mark's beginning, and only what is on discs is listed. An
    empty text lists everything. Raises BadInput for an unknown order.
    """
    if order not in ORDERS:
        raise BadInput("The list can be ordered by title, artist or shelf mark.")
    if order == "mark":
        ids, total = _along_the_shelf(store, text, offset, limit)
    else:
        ids, total = _by_words(store, plain(text).split()[:_MOST_WORDS], order, offset, limit)
    found = recordings(store, ids)
    ready = availability.of(store, ids, now)
    lines = tuple(Line(found[i], ready.get(i, ())) for i in ids if i in found)
    return Part(lines, total, offset, limit)


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
        ORDER BY id DESC LIMIT ?""",
        (*_OF_THE_SHELVES, limit),
    )
    return [Action(**row) for row in rows]


def _by_words(
    store: Store, words: Sequence[str], order: str, offset: int, limit: int
) -> tuple[list[int], int]:
    tables = "recordings r JOIN songs s ON s.id = r.song_id JOIN artists a ON a.id = r.artist_id"
    where = " AND ".join("(s.plain LIKE ? OR a.plain LIKE ?)" for _ in words) or "1"
    likes = [f"%{word}%" for word in words for _ in range(2)]
    title, artist = _FILED.format("s.plain"), _FILED.format("a.plain")
    by = f"{title}, {artist}" if order == "title" else f"{artist}, {title}"
    total = store.rows(f"SELECT count(*) AS n FROM {tables} WHERE {where}", likes)[0]["n"]
    rows = store.rows(
        f"SELECT r.id FROM {tables} WHERE {where} ORDER BY {by}, r.year, r.id LIMIT ? OFFSET ?",
        [*likes, limit, offset],
    )
    return [row["id"] for row in rows], int(total)


def _along_the_shelf(store: Store, text: str, offset: int, limit: int) -> tuple[list[int], int]:
    beginning = " ".join(text.split()).replace("\\", "").replace("%", "").replace("_", "")
    rows = store.rows(
        """SELECT h.recording_id AS id, d.shelf_mark AS mark, h.side, h.track
        FROM holdings h JOIN discs d ON d.id = h.disc_id WHERE d.shelf_mark LIKE ?""",
        (f"{beginning}%",),
    )
    rows.sort(key=lambda row: (_in_order(row["mark"]), _in_order(row["side"]),
                               _in_order(row["track"]), row["id"]))  # fmt: skip
    ids = list(dict.fromkeys(row["id"] for row in rows))
    return ids[offset : offset + limit], len(ids)


def _in_order(mark: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key in which C 2 stands before C 114.

    >>> sorted(["C 114", "C 2", "B 3"], key=_in_order)
    ['B 3', 'C 2', 'C 114']
    """
    parts = _DIGITS.split(mark.casefold().strip())
    return tuple((1, int(p), "") if p.isdigit() else (0, 0, p) for p in parts if p)
