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

from catalogue import availability, filing
from catalogue.catalogue_rows import recordings
from catalogue.errors import BadInput
from catalogue.filing import Rules, Shelf, mark_order
from catalogue.records import Available, Recording
from catalogue.spelling import plain
from catalogue.store import Store
from catalogue.undo import Action

ORDERS = ("title", "artist", "mark")
"""By title, by artist, or along the shelf by shelf mark."""

_WILD = re.compile(r"[%_]")
"""Signs of no shelf mark, left out of what is typed."""

_MOST_WORDS = 8
"""Words looked for; a longer text is a sentence, and finds nothing anyway."""

_OF_THE_SHELVES = (
    "artists", "songs", "recordings", "discs", "holdings", "other_names", "loans", "wants",
    "judgements", "places", "looked_at", "filing_rules",
    "shelf_places", "stocktakes", "pulled_discs",
)  # fmt: skip
"""Tables whose changes a librarian looks through and may take back."""


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
    shelf: Shelf | None = None,
    offset: int = 0,
    limit: int = 50,
) -> Part:
    """The recordings with all these words in title or artist, or with this shelf mark.

    By shelf mark the text is the mark's beginning, and only what is on discs is listed. An
    empty text lists everything. Of one shelf, its own filing rules hold; else those of the whole
    list. Raises BadInput for an unknown order.
    """
    if order not in ORDERS:
        raise BadInput("The list can be ordered by title, artist or shelf mark.")
    if order == "mark":
        ids, total = _along_the_shelf(store, text, shelf, offset, limit)
    else:
        words = plain(text).split()[:_MOST_WORDS]
        ids, total = _by_words(store, words, order, shelf, offset, limit)
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
    store: Store, words: Sequence[str], order: str, shelf: Shelf | None, offset: int, limit: int
) -> tuple[list[int], int]:
    tables = "recordings r JOIN songs s ON s.id = r.song_id JOIN artists a ON a.id = r.artist_id"
    where = " AND ".join("(s.plain LIKE ? OR a.plain LIKE ?)" for _ in words) or "1"
    given: list[Any] = [f"%{word}%" for word in words for _ in range(2)]
    if shelf is not None:
        stands, more = _stands_on(shelf)
        where += (
            " AND r.id IN (SELECT h.recording_id FROM holdings h "
            f"JOIN discs d ON d.id = h.disc_id WHERE {stands})"
        )
        given += more
    rules = shelf.rules if shelf is not None else filing.everywhere(store)
    title, artist = _keys(store, rules)
    by = f"{title}, {artist}" if order == "title" else f"{artist}, {title}"
    total = store.rows(f"SELECT count(*) AS n FROM {tables} WHERE {where}", given)[0]["n"]
    rows = store.rows(
        f"SELECT r.id FROM {tables} WHERE {where} ORDER BY {by}, r.year, r.id LIMIT ? OFFSET ?",
        [*given, limit, offset],
    )
    return [row["id"] for row in rows], int(total)


def _keys(store: Store, rules: Rules) -> tuple[str, str]:
    """SQL for the filing keys of title and artist.

    Most names need no more of a rule than SQL can do; `filing` is asked about the others alone,
    since a call for each of a million names would be felt.
    """
    conn = store.db.conn
    conn.create_function("title_key", 1, lambda text: filing.title_key(text, rules))
    conn.create_function("name_key", 1, lambda text: filing.name_key(text, rules))
    asked = ["{0} GLOB '*[0-9]*'"]
    if rules.mac == filing.IN_FULL:
        asked += ["instr({0}, 'mc')", "instr({0}, 'm''')"]
    if rules.saint == filing.IN_FULL:
        asked.append("instr(' ' || {0}, ' st')")
    return (
        _key("s.plain", "title_key(s.title)", asked, filing.articles(rules)),
        _key("a.plain", "name_key(a.name)", asked, filing.articles_of_names(rules)),
    )


def _key(words: str, asks: str, asked: Sequence[str], articles: Sequence[str]) -> str:
    odd = " OR ".join(condition.format(words) for condition in asked)
    without = "".join(
        f" WHEN {words} LIKE '{article} _%' THEN substr({words}, {len(article) + 2})"
        for article in articles
    )
    bare = f"CASE {without} ELSE {words} END" if without else words
    return f"CASE WHEN {odd} THEN {asks} ELSE replace({bare}, '''', '') END"


def _along_the_shelf(
    store: Store, text: str, shelf: Shelf | None, offset: int, limit: int
) -> tuple[list[int], int]:
    stands, given = _stands_on(shelf) if shelf is not None else ("1", [])
    rows = store.db.execute(
        f"""SELECT h.recording_id, d.shelf_mark, h.side, h.track
        FROM holdings h JOIN discs d ON d.id = h.disc_id
        WHERE d.shelf_mark LIKE ? ESCAPE '!' AND {stands}""",
        (_beginning(_WILD.sub("", " ".join(text.split()))), *given),
    ).fetchall()
    # Each mark is read once, however many tracks its disc has.
    stand = {mark: at for at, mark in enumerate(sorted({row[1] for row in rows}, key=mark_order))}
    spots = {spot: mark_order(spot) for spot in {spot for row in rows for spot in row[2:]}}
    rows.sort(key=lambda row: (stand[row[1]], spots[row[2]], spots[row[3]], row[0]))
    ids = list(dict.fromkeys(row[0] for row in rows))
    return ids[offset : offset + limit], len(ids)


def _stands_on(shelf: Shelf) -> tuple[str, list[str]]:
    """SQL that says whether disc `d` stands on this shelf, and what it is given."""
    if shelf.by == "room":
        return "d.place = ? COLLATE NOCASE", [shelf.name]
    return "d.shelf_mark LIKE ? ESCAPE '!'", [_beginning(shelf.name)]


def _beginning(text: str) -> str:
    """A pattern for all that begins so, with signs that LIKE would read as wild cards."""
    for sign in "!%_":
        text = text.replace(sign, f"!{sign}")
    return f"{text}%"
