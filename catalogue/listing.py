"""A page of the list, by title, by artist or along the shelf: one short walk through the order.

The order is kept in `filed_order.py`. A page begins after, or ends before, a line that is known,
so that the hundredth page costs no more than the first. Where few records are meant they are
looked up and sorted; where many are, the order is walked until the page is full. While the order
is not filed yet, the list is sorted the plain way.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from catalogue import filed_order, filing, plain_order
from catalogue.filing import Rules, Shelf
from catalogue.plain_order import MOST_WORDS, pattern, stands_on
from catalogue.spelling import plain
from catalogue.store import Store

FEW = 4_000
"""Records that are looked up and sorted for a page; more of them are walked through in order."""

_FEW_DISCS = 2_000

_SHORTEST_INDEXED = 3
"""Letters that a word needs to be looked up: the index is of three letters in a row."""

_WILD = re.compile(r"[%_]")
"""Signs of no shelf mark, left out of what is typed."""

_BY = {
    "title": ("title", "name", "year", "recording_id"),
    "artist": ("name", "title", "year", "recording_id"),
    "mark": ("mark", "side", "track", "recording_id", "holding_id"),
}


@dataclass(frozen=True, slots=True)
class Sought:
    """What the list is narrowed to, and its order: "title", "artist" or "mark".

    Words are looked for in title and artist; by shelf mark the text is the mark's beginning.
    """

    text: str = ""
    order: str = "title"
    shelf: Shelf | None = None


@dataclass(frozen=True, slots=True)
class Start:
    """Where a page begins: after one line, before one, or so many lines from the first.

    Lines are known by their recording, along the shelf by their copy. `offset` tells too how
    many lines are before the page, as far as is known.
    """

    offset: int = 0
    after: int | None = None
    before: int | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """The recordings of a page in order, its first and last line, whether there are more on
    either side, and how many in all; with `exact` false there are more than `total`."""

    ids: tuple[int, ...]
    first: int | None
    last: int | None
    earlier: bool
    later: bool
    total: int
    exact: bool


@dataclass(frozen=True, slots=True)
class _Walk:
    """A query without its order and its limit: from where, under which conditions, by what."""

    source: str
    where: str
    given: tuple[Any, ...]
    columns: tuple[str, ...]
    total: int
    exact: bool = True
    rule_set: int | None = None

    @property
    def line(self) -> str:
        """The column that tells one line from another."""
        return self.columns[-1]


def page(store: Store, sought: Sought, start: Start, limit: int) -> Found:
    """A page of the list."""
    rules = sought.shelf.rules if sought.shelf is not None else filing.everywhere(store)
    if sought.order == "mark":
        if not filed_order.settled(store):
            return _cut(plain_order.along(store, _mark(sought), sought.shelf), start, limit)
        return _walked(store, _along(store, sought), start, limit)
    number = filed_order.rule_set(store, rules)
    if number is None:
        ids = plain_order.by_words(store, sought.text, sought.order, rules, sought.shelf)
        return _cut([(one, one) for one in ids], start, limit)
    return _walked(store, _by_name(store, sought, number), start, limit)


def all_ids(store: Store, sought: Sought, limit: int) -> list[int]:
    """The recordings of the whole list in its order, each once; of more than `limit` the first."""
    ids: dict[int, None] = {}
    start = Start()
    while len(ids) < limit:
        found = page(store, sought, start, FEW)
        ids.update(dict.fromkeys(found.ids))
        if not found.later:
            break
        start = Start(start.offset + len(found.ids), after=found.last)
    return list(ids)[:limit]


def rules_in_use(store: Store) -> list[Rules]:
    """Each set of rules that the list or some shelf goes by, once."""
    rules = [filing.everywhere(store), *(shelf.rules for shelf in filing.all_shelves(store))]
    return list(dict.fromkeys(rules))


def _mark(sought: Sought) -> str:
    return _WILD.sub("", " ".join(sought.text.split()))


def _by_name(store: Store, sought: Sought, number: int) -> _Walk:
    words, columns = plain(sought.text).split()[:MOST_WORDS], _BY[sought.order]
    if not words and sought.shelf is None:
        total = store.rows("SELECT count(*) AS n FROM recordings")[0]["n"]
        return _Walk("filed_keys f", "f.rule_set = ?", (number,), columns, int(total), True, number)
    ids = _few(store, words, sought.shelf)
    if ids is not None and len(ids) <= FEW:
        # CROSS JOIN: the few are looked up, rather than the whole order searched for them.
        return _Walk(
            "json_each(?) few CROSS JOIN filed_keys f "
            "ON f.rule_set = ? AND f.recording_id = few.value",
            "1", (json.dumps(ids), number), columns, len(ids), True, number,
        )  # fmt: skip
    where, given = ["f.rule_set = ?"], [number, *words]
    where += ["instr(f.words, ?)" for _ in words]
    if sought.shelf is not None:
        stands, more = _holds("f.recording_id", sought.shelf)
        where.append(stands)
        given += more
    return _Walk("filed_keys f", " AND ".join(where), tuple(given), columns, FEW, False, number)


def _few(store: Store, words: Sequence[str], shelf: Shelf | None) -> list[int] | None:
    """The recordings that are meant, up to one more than few; None where that cannot be told
    without going through all."""
    long = [word for word in words if len(word) >= _SHORTEST_INDEXED]
    if long:
        # Found by the index; the short words and the shelf are looked at one by one.
        where = ["w.words LIKE ?"] * len(long) + ["instr(w.words, ?)"] * (len(words) - len(long))
        given: list[Any] = [f"%{word}%" for word in long]
        given += [word for word in words if len(word) < _SHORTEST_INDEXED]
        if shelf is not None:
            stands, more = _holds("w.rowid", shelf)
            where.append(stands)
            given += more
        sql = f"SELECT w.rowid FROM filed_words w WHERE {' AND '.join(where)} LIMIT ?"
    elif shelf is not None:
        stands, given = stands_on(shelf)[0], [*stands_on(shelf)[1], *words]
        sql = (
            "SELECT DISTINCT h.recording_id FROM discs d CROSS JOIN holdings h ON h.disc_id = d.id "
            + ("CROSS JOIN filed_recordings w ON w.recording_id = h.recording_id " if words else "")
            + f"WHERE {stands}"
            + "".join(" AND instr(w.words, ?)" for _ in words)
            + " LIMIT ?"
        )
    else:
        return None
    return [row[0] for row in store.db.execute(sql, [*given, FEW + 1])]


def _holds(recording: str, shelf: Shelf) -> tuple[str, list[str]]:
    stands, given = stands_on(shelf)
    return (
        "EXISTS (SELECT 1 FROM holdings h JOIN discs d ON d.id = h.disc_id "
        f"WHERE h.recording_id = {recording} AND {stands})",
        given,
    )


def _along(store: Store, sought: Sought) -> _Walk:
    columns, beginning = _BY["mark"], _mark(sought)
    if not beginning and sought.shelf is None:
        total = store.rows("SELECT count(*) AS n FROM filed_places")[0]["n"]
        return _Walk("filed_places f", "1", (), columns, int(total))
    stands, given = stands_on(sought.shelf) if sought.shelf is not None else ("1", [])
    where = f"d.shelf_mark LIKE ? ESCAPE '!' AND {stands}"
    given = [pattern(beginning), *given]
    discs = [row[0] for row in store.db.execute(f"SELECT d.id FROM discs d WHERE {where}", given)]
    meant = json.dumps(discs)
    total = store.rows(
        "SELECT count(*) AS n FROM json_each(?) j CROSS JOIN holdings h ON h.disc_id = j.value",
        (meant,),
    )[0]["n"]
    if len(discs) <= _FEW_DISCS:
        return _Walk(
            "json_each(?) few CROSS JOIN holdings h ON h.disc_id = few.value "
            "CROSS JOIN filed_places f ON f.holding_id = h.id",
            "1", (meant,), columns, int(total),
        )  # fmt: skip
    return _Walk(
        "filed_places f", "f.disc_id IN (SELECT value FROM json_each(?))", (meant,), columns,
        int(total),
    )  # fmt: skip


def _walked(store: Store, walk: _Walk, start: Start, limit: int) -> Found:
    known = start.before if start.before is not None else start.after
    edge = _edge(store, walk, known) if known is not None else None
    back = edge is not None and start.before is not None
    columns = [f"f.{column}" for column in walk.columns]
    where, given = walk.where, list(walk.given)
    if edge is not None:
        marks = ", ".join("?" for _ in edge)
        where += f" AND ({', '.join(columns)}) {'<' if back else '>'} ({marks})"
        given += edge
    skipped = 0 if edge is not None else start.offset
    order = ", ".join(f"{column} DESC" if back else column for column in columns)
    rows = store.db.execute(
        f"SELECT f.recording_id, f.{walk.line} FROM {walk.source} WHERE {where} "
        f"ORDER BY {order} LIMIT ? OFFSET ?",
        [*given, limit + 1, skipped],
    ).fetchall()
    more, rows = len(rows) > limit, rows[:limit]
    if back:
        rows.reverse()
    return Found(
        tuple(row[0] for row in rows),
        rows[0][1] if rows else None,
        rows[-1][1] if rows else None,
        more if back else edge is not None or skipped > 0,
        True if back else more,
        walk.total,
        walk.exact,
    )


def _edge(store: Store, walk: _Walk, line: int) -> tuple[Any, ...] | None:
    """The place of a known line in the order; None if it is gone."""
    if walk.rule_set is None:
        table, where, given = "filed_places", "holding_id = ?", [line]
    else:
        table, where = "filed_keys", "rule_set = ? AND recording_id = ?"
        given = [walk.rule_set, line]
    found = store.db.execute(
        f"SELECT {', '.join(walk.columns)} FROM {table} WHERE {where}", given
    ).fetchone()
    return tuple(found) if found else None


def _cut(lines: Sequence[tuple[int, int]], start: Start, limit: int) -> Found:
    """A page of a list that was sorted whole, of (line, recording)."""
    at = {line: place for place, (line, _) in enumerate(lines)}
    begin = start.offset
    if start.before is not None and start.before in at:
        begin = max(0, at[start.before] - limit)
    elif start.after is not None and start.after in at:
        begin = at[start.after] + 1
    part = lines[begin : begin + limit]
    return Found(
        tuple(recording for _, recording in part),
        part[0][0] if part else None,
        part[-1][0] if part else None,
        begin > 0,
        begin + limit < len(lines),
        len(lines),
        True,
    )
