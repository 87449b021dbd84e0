"""The list sorted the plain way: everything is read and sorted each time a page is asked for.

Right whatever is filed, and slow where there is much. It stands in until the order is kept in
`filed_order.py`, after an older version's database was opened or a shelf's rules were changed,
and the benchmark of pages measures against it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from catalogue import filing
from catalogue.filing import Rules, Shelf, mark_order
from catalogue.spelling import plain
from catalogue.store import Store

MOST_WORDS = 8
"""Words looked for; a longer text is a sentence, and finds nothing anyway."""


def by_words(store: Store, text: str, order: str, rules: Rules, shelf: Shelf | None) -> list[int]:
    """The recordings with all these words, in order of "title" or "artist"."""
    words = plain(text).split()[:MOST_WORDS]
    tables = "recordings r JOIN songs s ON s.id = r.song_id JOIN artists a ON a.id = r.artist_id"
    title, artist = _keys(store, rules)
    by = f"{title}, {artist}" if order == "title" else f"{artist}, {title}"
    where = (
        " AND ".join("(s.plain LIKE ? OR a.plain LIKE ? OR r.title LIKE ?)" for _ in words) or "1"
    )
    given: list[Any] = [f"%{word}%" for word in words for _ in range(3)]
    if shelf is not None:
        stands, more = stands_on(shelf)
        where += (
            " AND r.id IN (SELECT h.recording_id FROM holdings h "
            f"JOIN discs d ON d.id = h.disc_id WHERE {stands})"
        )
        given += more
    rows = store.db.execute(
        f"SELECT r.id FROM {tables} WHERE {where} ORDER BY {by}, r.year, r.id", given
    )
    return [row[0] for row in rows]


def along(store: Store, beginning: str, shelf: Shelf | None) -> list[tuple[int, int]]:
    """(copy, recording) of what stands on discs, in the order of the shelf marks."""
    stands, given = stands_on(shelf) if shelf is not None else ("1", [])
    rows = store.db.execute(
        f"""SELECT d.shelf_mark, h.side, h.track, h.recording_id, h.id
        FROM holdings h JOIN discs d ON d.id = h.disc_id
        WHERE d.shelf_mark LIKE ? ESCAPE '!' AND {stands}""",
        (pattern(beginning), *given),
    ).fetchall()
    # Each mark is read once, however many tracks its disc has.
    stand = {mark: at for at, mark in enumerate(sorted({row[0] for row in rows}, key=mark_order))}
    spots = {spot: mark_order(spot) for spot in {spot for row in rows for spot in row[1:3]}}
    rows.sort(key=lambda row: (stand[row[0]], spots[row[1]], spots[row[2]], row[3], row[4]))
    return [(row[4], row[3]) for row in rows]


def stands_on(shelf: Shelf) -> tuple[str, list[str]]:
    """SQL that says whether disc `d` stands on this shelf, and what it is given."""
    if shelf.by == "room":
        return "d.place = ? COLLATE NOCASE", [shelf.name]
    return "d.shelf_mark LIKE ? ESCAPE '!'", [pattern(shelf.name)]


def pattern(text: str) -> str:
    """A pattern for all that begins so, with signs that LIKE would read as wild cards."""
    for sign in "!%_":
        text = text.replace(sign, f"!{sign}")
    return f"{text}%"


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
