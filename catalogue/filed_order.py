"""The order of the list and of the shelves, kept in tables so that a page is one short walk.

Triggers note what is to be filed anew (`to_file`); at the end of the action that wrote it,
`settle` files it, in the same transaction. Titles and names are filed under every set of rules
that some shelf goes by. A set of rules that is new is filed by and by (`go_on`), and until it is
ready the list is sorted the slow way (`plain_order.py`). Owns `to_file`, `rule_sets`,
`filed_recordings`, `filed_keys` and `filed_places`.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

from catalogue import held_facts
from catalogue.filing_keys import Rules, mark_key, name_key, title_key
from catalogue.spelling import plain
from catalogue.store import Row, Store

AT_ONCE = 500
"""Rows filed by one statement."""

_A_STEP = 2_000
"""Rows filed in one transaction of a set of rules that is new: a tenth of a second, so that the
desks' own writes wait no longer."""

_WITHIN_A_PAGE = 2_000
"""Rows of a new set of rules, or rows left over, that a page may file before it answers."""


def settle(store: Store, at_most: int | None = None) -> None:
    """File what was noted, inside the transaction that is open; the rest of it stays noted."""
    left = at_most
    while left is None or left > 0:
        part = AT_ONCE if left is None else min(AT_ONCE, left)
        rows = store.db.execute("SELECT kind, id FROM to_file LIMIT ?", (part,)).fetchall()
        if not rows:
            return
        recordings = [number for kind, number in rows if kind == "recording"]
        copies = [number for kind, number in rows if kind == "copy"]
        if recordings:
            _file_recordings(store, recordings)
        if copies:
            _file_copies(store, copies)
        held_facts.settle(store, recordings, copies)
        store.db.conn.executemany("DELETE FROM to_file WHERE kind = ? AND id = ?", rows)
        left = None if left is None else left - len(rows)


def settled(store: Store) -> bool:
    """Whether everything is filed. What little was left over is filed first.

    After an older version's database was brought to this one much is left; `go_on` files it.
    """
    if not _few_left(store):
        return False
    if store.rows("SELECT 1 FROM to_file LIMIT 1"):
        with store.transaction():
            settle(store)
    return True


def rule_set(store: Store, rules: Rules) -> int | None:
    """The number under which titles and names are filed by these rules; None until they are.

    A small catalogue is filed at once.
    """
    if not settled(store):
        return None
    found = _rule_set(store, rules)
    if found is None:
        with store.transaction() as db:
            db.execute(
                "INSERT OR IGNORE INTO rule_sets (articles, mac, saint, numerals) "
                "VALUES (?, ?, ?, ?)",
                _values(rules),
            )
        found = _rule_set(store, rules)
    assert found is not None
    if not found["ready"] and _rest_of(store, found["filed_to"], _WITHIN_A_PAGE):
        while not _a_step(store, found["id"], _WITHIN_A_PAGE + 1):
            pass
        return int(found["id"])
    return int(found["id"]) if found["ready"] else None


def go_on(store: Store, in_use: Sequence[Rules]) -> bool:
    """One short step of what is to be filed yet; whether anything is left to do.

    Sets of rules that no shelf goes by any more are forgotten.
    """
    if store.rows("SELECT 1 FROM to_file LIMIT 1"):
        with store.transaction():
            settle(store, _A_STEP)
        return True
    wanted = {_values(rules) for rules in in_use}
    for row in store.rows("SELECT * FROM rule_sets ORDER BY id"):
        if (row["articles"], row["mac"], row["saint"], row["numerals"]) not in wanted:
            return _forget_some(store, row["id"])
        if not row["ready"]:
            _a_step(store, row["id"], _A_STEP)
            return True
    return False


def _few_left(store: Store) -> bool:
    count = "SELECT count(*) AS n FROM (SELECT 1 FROM to_file LIMIT ?)"
    return int(store.rows(count, (_WITHIN_A_PAGE + 1,))[0]["n"]) <= _WITHIN_A_PAGE


def _rest_of(store: Store, filed_to: int, limit: int) -> bool:
    """Whether so few recordings come after this one."""
    rows = store.rows(
        "SELECT count(*) AS n FROM (SELECT 1 FROM recordings WHERE id > ? LIMIT ?)",
        (filed_to, limit + 1),
    )
    return int(rows[0]["n"]) <= limit


def _rule_set(store: Store, rules: Rules) -> Row | None:
    rows = store.rows(
        "SELECT * FROM rule_sets WHERE articles = ? AND mac = ? AND saint = ? AND numerals = ?",
        _values(rules),
    )
    return rows[0] if rows else None


def _values(rules: Rules) -> tuple[str, str, str, str]:
    return rules.articles, rules.mac, rules.saint, rules.numerals


def _a_step(store: Store, number: int, rows: int) -> bool:
    """File the next recordings by a new set of rules; whether that was all."""
    with store.transaction() as db:
        (filed_to,) = db.execute(
            "SELECT filed_to FROM rule_sets WHERE id = ?", (number,)
        ).fetchone()
        ids = [
            row[0]
            for row in db.execute(
                "SELECT id FROM recordings WHERE id > ? ORDER BY id LIMIT ?", (filed_to, rows)
            )
        ]
        for start in range(0, len(ids), AT_ONCE):
            names = _names(store, ids[start : start + AT_ONCE])
            _write_keys(store, number, _rules_of(store)[number], names)
        done = len(ids) < rows
        db.execute(
            "UPDATE rule_sets SET filed_to = ?, ready = ? WHERE id = ?",
            (ids[-1] if ids else filed_to, done, number),
        )
    return done


def _forget_some(store: Store, number: int) -> bool:
    with store.transaction() as db:
        # From now on it is not ready, should a shelf go by it again before it is gone.
        db.execute("UPDATE rule_sets SET ready = 0, filed_to = 0 WHERE id = ?", (number,))
        gone = db.execute(
            "DELETE FROM filed_keys WHERE rule_set = ? AND recording_id IN ("
            "SELECT recording_id FROM filed_keys WHERE rule_set = ? LIMIT ?)",
            (number, number, _A_STEP),
        ).rowcount
        if not gone:
            db.execute("DELETE FROM rule_sets WHERE id = ?", (number,))
    return True


def _rules_of(store: Store) -> dict[int, Rules]:
    rows = store.rows("SELECT * FROM rule_sets")
    return {r["id"]: Rules(r["articles"], r["mac"], r["saint"], r["numerals"]) for r in rows}


def _names(store: Store, ids: Sequence[int]) -> list[Row]:
    return store.rows(
        """SELECT r.id, r.title, s.title AS song, a.name, coalesce(r.year, 0) AS year
        FROM json_each(?) j JOIN recordings r ON r.id = j.value
        JOIN songs s ON s.id = r.song_id JOIN artists a ON a.id = r.artist_id""",
        (json.dumps(list(ids)),),
    )


def words_of(title: str, artist: str) -> str:
    """The plain words by which the list is looked through.

    >>> words_of("The Ærø Ferry (Live)", "Søren Brandt")
    'the aero ferry live soren brandt'
    """
    return f"{plain(title)} {plain(artist)}"


def _file_recordings(store: Store, ids: Sequence[int]) -> None:
    conn, names = store.db.conn, _names(store, ids)
    new = {row["id"]: words_of(row["title"], row["name"]) for row in names}
    old = dict(
        conn.execute(
            "SELECT recording_id, words FROM filed_recordings "
            "WHERE recording_id IN (SELECT value FROM json_each(?))",
            (json.dumps(list(ids)),),
        ).fetchall()
    )
    gone = [(number, words) for number, words in old.items() if new.get(number) != words]
    come = [(number, words) for number, words in new.items() if old.get(number) != words]
    conn.executemany(
        "INSERT INTO filed_words (filed_words, rowid, words) VALUES ('delete', ?, ?)", gone
    )
    conn.executemany(
        "DELETE FROM filed_recordings WHERE recording_id = ?", [row[:1] for row in gone]
    )
    conn.executemany("INSERT INTO filed_recordings (recording_id, words) VALUES (?, ?)", come)
    conn.executemany("INSERT INTO filed_words (rowid, words) VALUES (?, ?)", come)
    sets = _rules_of(store)
    for number, rules in sets.items():
        conn.executemany(
            "DELETE FROM filed_keys WHERE rule_set = ? AND recording_id = ?",
            [(number, one) for one in ids if one not in new],
        )
        _write_keys(store, number, rules, names)


def _write_keys(store: Store, number: int, rules: Rules, names: Sequence[Row]) -> None:
    store.db.conn.executemany(
        "INSERT INTO filed_keys (rule_set, recording_id, title, name, year, words) "
        "VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET title = excluded.title, "
        "name = excluded.name, year = excluded.year, words = excluded.words "
        "WHERE title <> excluded.title OR name <> excluded.name OR year <> excluded.year "
        "OR words <> excluded.words",
        [
            (number, row["id"], title_key(row["song"], rules), name_key(row["name"], rules),
             row["year"], words_of(row["title"], row["name"]))
            for row in names
        ],
    )  # fmt: skip


def _file_copies(store: Store, ids: Sequence[int]) -> None:
    conn, chosen = store.db.conn, json.dumps(list(ids))
    conn.execute(
        "DELETE FROM filed_places WHERE holding_id IN (SELECT value FROM json_each(?))", (chosen,)
    )
    rows = conn.execute(
        """SELECT h.id, d.shelf_mark, h.side, h.track, h.recording_id, h.disc_id
        FROM json_each(?) j JOIN holdings h ON h.id = j.value JOIN discs d ON d.id = h.disc_id""",
        (chosen,),
    ).fetchall()
    conn.executemany(
        "INSERT INTO filed_places (holding_id, mark, side, track, recording_id, disc_id) "
        "VALUES (?, ?, ?, ?, ?, ?)",
        [
            (number, mark_key(mark), mark_key(side), mark_key(track), recording, disc)
            for number, mark, side, track, recording, disc in rows
        ],
    )
