"""Who changed what, and how it is taken back: one mechanism for every owner of a table.

Every write to a tracked table happens inside an `action`. The triggers of `schema.py` note each
changed row under it, in the same transaction. `take_back` puts the changed columns back as they
were, unless a later action has changed those again: then it says which, and changes nothing.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from catalogue import filed_order
from catalogue.errors import CannotTakeBack, ChangedMeanwhile, NotFound
from catalogue.schema import TRACKED
from catalogue.store import Row, Store

_LISTED_AT_MOST = 5
"""How many standing-in-the-way rows a message names; more would not be read."""


@dataclass(frozen=True, slots=True)
class Action:
    """Something a person did: when, who, what, and which earlier action it took back."""

    id: int
    at: str
    who: str
    what: str
    takes_back: int | None = None


@contextmanager
def action(
    store: Store, who: str, what: str, now: datetime, part_of: int | None = None
) -> Iterator[int]:
    """Do some writes as one action: all of them or none.

    Inside another action it joins that one, so that owners can call each other. `part_of` is the
    first action of a longer work, of which this is a further part (`work_in_parts.py`). Yields
    the action's id.
    """
    with store.transaction(), action_within(store, who, what, now, part_of) as action_id:
        yield action_id


@contextmanager
def action_within(
    store: Store, who: str, what: str, now: datetime, part_of: int | None = None
) -> Iterator[int]:
    """The same inside a transaction that goes back whole if anything fails.

    It sets no savepoint: SQLite keeps every page written since an open one, and goes through all
    of them after each further statement, so that thousands of writes under one take ever longer.
    """
    db = store.db
    (running,) = db.execute("SELECT action_id FROM current_action").fetchone()
    if running is not None:
        yield running
        return
    cursor = db.execute(
        "INSERT INTO actions (at, who, what, part_of) VALUES (?, ?, ?, ?)",
        (now.isoformat(timespec="seconds"), who, what, part_of),
    )
    action_id = int(cursor.lastrowid or 0)
    db.execute("UPDATE current_action SET action_id = ?", (action_id,))
    yield action_id
    filed_order.settle(store)
    db.execute("UPDATE current_action SET action_id = NULL")


def recent(store: Store, limit: int = 50) -> list[Action]:
    """The last actions, latest first."""
    rows = store.rows(
        "SELECT id, at, who, what, takes_back FROM actions WHERE part_of IS NULL "
        "ORDER BY id DESC LIMIT ?",
        (limit,),
    )
    return [Action(**row) for row in rows]


def recent_on(store: Store, tables: Sequence[str], limit: int = 50) -> list[Action]:
    """The last actions that changed one of these tables, latest first."""
    marks = ", ".join("?" for _ in tables)
    rows = store.rows(
        f"""SELECT id, at, who, what, takes_back FROM actions a WHERE EXISTS (
            SELECT 1 FROM changes c WHERE c.action_id = a.id AND c.table_name IN ({marks}))
            AND a.part_of IS NULL
        ORDER BY id DESC LIMIT ?""",
        (*tables, limit),
    )
    return [Action(**row) for row in rows]


def history(store: Store, table: str, row_id: int) -> list[tuple[Action, str]]:
    """What was done to one row, oldest first: the action, and insert, update or delete."""
    rows = store.rows(
        """SELECT a.id, a.at, a.who, a.what, a.takes_back, c.kind FROM changes c
        JOIN actions a ON a.id = c.action_id
        WHERE c.table_name = ? AND c.row_id = ? ORDER BY c.id""",
        (table, row_id),
    )
    return [(Action(**{k: v for k, v in row.items() if k != "kind"}), row["kind"]) for row in rows]


def last_change(store: Store, table: str) -> int:
    """The number of the last change to a table, 0 if there was none: what pages ask since."""
    rows = store.rows("SELECT max(id) AS last FROM changes WHERE table_name = ?", (table,))
    return int(rows[0]["last"] or 0)


def row_number(store: Store, table: str, row_id: int) -> int:
    """The number of the last change to one row, 0 if there was none: what a form shows it as."""
    rows = store.rows(
        "SELECT max(id) AS last FROM changes WHERE table_name = ? AND row_id = ?", (table, row_id)
    )
    return int(rows[0]["last"] or 0)


def refuse_if_changed(store: Store, table: str, row_id: int, seen: int | None) -> None:
    """Raise ChangedMeanwhile if a row was changed after its number was `seen`.

    Inside the action that writes, so that nobody can come between; None is not checked.
    """
    if seen is None or row_number(store, table, row_id) == seen:
        return
    last, _ = history(store, table, row_id)[-1]
    raise ChangedMeanwhile(
        f"{last.who or 'Somebody'} changed this meanwhile ({last.what}, {last.at[11:16]}). Nothing "
        "was overwritten: look at it as it is now, and write yours again."
    )


def take_back(
    store: Store,
    action_id: int,
    who: str,
    now: datetime,
    later_stays: Sequence[str] = (),
    part_of: int | None = None,
) -> Action:
    """Put every row the action changed back as it was before.

    Of a work in several parts, the part of this number alone; `work_in_parts` takes back all.

    In the tables of `later_stays` a column that was corrected since does not stand in the way: it
    is left as it is now. Another merge since does: it goes first.

    Raises NotFound for an unknown action, CannotTakeBack if it was taken back already, is
    itself a taking back, or if later work stands on it. Inside a transaction of the caller's,
    that later entries rest on its records comes out at its end, as an IntegrityError.
    """
    found = store.rows(
        "SELECT id, at, who, what, takes_back FROM actions WHERE id = ?", (action_id,)
    )
    if not found:
        raise NotFound(f"There is no action number {action_id} to take back.")
    done = Action(**found[0])
    try:
        with action(store, who, f"took back: {done.what}", now, part_of) as new_id:
            refuse_if_stood_upon(store, done, later_stays)
            store.db.execute("UPDATE actions SET takes_back = ? WHERE id = ?", (action_id, new_id))
            # Children may go before their parents: keys are checked when all rows are back.
            store.db.execute("PRAGMA defer_foreign_keys = ON")
            for change in store.rows(
                "SELECT table_name, row_id, kind, before, after FROM changes WHERE action_id = ? "
                "ORDER BY id DESC",
                (action_id,),
            ):
                _reverse(store, change, keep_later=change["table_name"] in later_stays)
    except sqlite3.IntegrityError as problem:
        raise CannotTakeBack(
            f"“{done.what}” cannot be taken back, because later entries rest on its records"
            f"{_named(_resting_on(store, done))}. Take that back first."
        ) from problem
    return done


def refuse_if_stood_upon(store: Store, done: Action, later_stays: Sequence[str] = ()) -> None:
    """Raise CannotTakeBack if the action is a taking back, was taken back, or later work stands
    on it; what refers to rows it put in is found only when it is taken back."""
    if done.takes_back is not None:
        raise CannotTakeBack("A taking back cannot itself be taken back; do the work again.")
    if store.rows("SELECT 1 FROM actions WHERE takes_back = ?", (done.id,)):
        raise CannotTakeBack(f"“{done.what}” was taken back already.")
    later = (
        _later_work(store, done, later_stays)
        or _moved_away(store, done)
        or store.rows(_DOUBLE_DROPPED, (done.id,))
    )
    if later:
        raise CannotTakeBack(
            f"“{done.what}” cannot be taken back, because of later work on the same records"
            f"{_named(later)}. Take that back first."
        )


def _later_work(store: Store, done: Action, later_stays: Sequence[str]) -> list[Row]:
    """Later actions that changed the very columns this one changed, or rows it put in."""
    found: dict[int, Row] = {}
    rows = store.db.execute(
        f"""SELECT a.id, a.what, a.who, a.at, mine.table_name, mine.kind, mine.before,
            mine.after, c.kind, c.before, c.after, EXISTS (SELECT 1 FROM changes d
                WHERE d.action_id = a.id AND d.table_name = c.table_name AND d.kind = 'delete')
        FROM changes mine
        JOIN changes c ON c.table_name = mine.table_name AND c.row_id = mine.row_id
            AND c.action_id > mine.action_id
        JOIN actions a ON a.id = c.action_id
        WHERE mine.action_id = ?1 AND {_STANDS} ORDER BY a.id""",
        (done.id,),
    )
    for number, what, who, at, table, *mine, kind, before, after, takes_rows_away in rows:
        # A correction stays; what made rows one gave this one values that are not its own.
        stays = table in later_stays and mine[0] == kind == "update" and not takes_rows_away
        if number in found or stays:
            continue
        if mine[0] == kind == "update" and not (
            (set(_changed(*mine[1:])) & set(_changed(before, after))) - _COUNTERS
        ):
            continue
        found[number] = {"what": what, "who": who, "at": at}
        if len(found) == _LISTED_AT_MOST:
            break
    return list(found.values())


def _moved_away(store: Store, done: Action) -> list[Row]:
    """Later actions that turned other rows away from rows this one put in, or took such rows
    out: without these rows they could never be taken back."""
    later = {row["id"]: row for row in store.rows(_STANDING_SINCE, (done.id,))}
    if not later:
        return []
    put_in = {row["table_name"] for row in store.rows(
        "SELECT DISTINCT table_name FROM changes WHERE action_id = ? AND kind = 'insert'",
        (done.id,),
    )}  # fmt: skip
    found: set[int] = set()
    for table, column, parent in _references(store):
        if parent in put_in:
            asked = (done.id, json.dumps(list(later)), table, f"$.{column}", parent)
            found |= {row["action_id"] for row in store.rows(_TURNED_AWAY, asked)}
    return [later[number] for number in sorted(found)][:_LISTED_AT_MOST]


_STANDS = """a.takes_back IS NULL AND NOT EXISTS (SELECT 1 FROM actions b WHERE b.takes_back = a.id)
    AND coalesce(a.part_of, a.id) <> (SELECT coalesce(part_of, id) FROM actions WHERE id = ?1)"""
"""SQL: whether action `a` is work that was not taken back, and not the same work as action ?1."""

_STANDING_SINCE = f"""SELECT a.id, a.what, a.who, a.at FROM actions a
    WHERE a.id > ?1 AND {_STANDS} ORDER BY a.id"""

_TURNED_AWAY = f"""SELECT DISTINCT c.action_id
    FROM json_each(?2) later CROSS JOIN changes c ON c.action_id = later.value
    WHERE c.table_name = ?3 AND c.kind <> 'insert'
        AND json_extract(c.before, ?4) IS NOT json_extract(c.after, ?4)
        AND json_extract(c.before, ?4) IN (SELECT row_id FROM changes
            WHERE action_id = ?1 AND table_name = ?5 AND kind = 'insert')
    LIMIT {_LISTED_AT_MOST}"""

_DOUBLE_DROPPED = f"""SELECT DISTINCT a.id, a.what, a.who, a.at FROM changes mine
    JOIN holdings h ON h.id = mine.row_id
    JOIN changes c ON c.table_name = 'holdings' AND c.kind = 'delete'
        AND c.action_id > mine.action_id
        AND json_extract(c.before, '$.recording_id') = h.recording_id
        AND json_extract(c.before, '$.side') = h.side
        AND json_extract(c.before, '$.track') = h.track
    JOIN actions a ON a.id = c.action_id
    WHERE mine.action_id = ?1 AND mine.table_name = 'holdings' AND mine.kind = 'update'
        AND json_extract(mine.after, '$.recording_id') = h.recording_id
        AND json_extract(mine.before, '$.recording_id') <> h.recording_id
        AND {_STANDS} ORDER BY a.id LIMIT {_LISTED_AT_MOST}"""
"""Later actions that took a copy out, as one at its place was of the same recording: this action
had pointed that one at it, and without it the recording would have no copy there."""

_COUNTERS = {"version"}
"""Columns that only count changes: they are no work of anybody's."""


def _changed(before: str, after: str) -> dict[str, object]:
    """The columns in which two states of a row differ, as they were before."""
    old, new = json.loads(before), json.loads(after)
    return {name: value for name, value in old.items() if new.get(name) != value}


def _named(actions: list[Row]) -> str:
    what = "; ".join(f"“{row['what']}” ({row['who']}, {row['at'][:10]})" for row in actions)
    return f": {what}" if what else ""


def _resting_on(store: Store, done: Action) -> list[Row]:
    """The later actions that made the rows which refer to what this action put in."""
    found: dict[int, Row] = {}
    for table, column, parent in _references(store):
        for row in store.rows(
            f"""SELECT DISTINCT a.id, a.what, a.who, a.at FROM changes mine
            JOIN [{table}] child ON child.[{column}] = mine.row_id
            JOIN changes c ON c.table_name = ? AND c.row_id = child.id
            JOIN actions a ON a.id = c.action_id
            WHERE mine.action_id = ? AND mine.table_name = ? AND mine.kind = 'insert'
                AND a.id > mine.action_id AND a.takes_back IS NULL LIMIT ?""",
            (table, done.id, parent, _LISTED_AT_MOST),
        ):
            found.setdefault(row["id"], row)
    return list(found.values())[:_LISTED_AT_MOST]


def _references(store: Store) -> list[tuple[str, str, str]]:
    """(table, column, the table it refers to) of every reference between rows that are tracked."""
    return [
        (table, column, parent)
        for table in TRACKED
        for _, _, parent, column, *_ in store.db.execute(f"PRAGMA foreign_key_list([{table}])")
    ]


def _is_still(now: object, noted: object) -> bool:
    """Whether a column has the value that was noted; numbers are noted as text of 17 digits."""
    return float(str(noted)) == now if isinstance(now, float) and noted else now == noted


def _reverse(store: Store, change: dict[str, object], *, keep_later: bool) -> None:
    table, row_id = change["table_name"], change["row_id"]
    if change["kind"] == "insert":
        store.db.execute(f"DELETE FROM [{table}] WHERE id = ?", (row_id,))
        return
    if change["kind"] == "delete":
        before = json.loads(str(change["before"]))
        marks = ", ".join("?" for _ in before)
        store.db.execute(
            f"INSERT INTO [{table}] ({', '.join(before)}) VALUES ({marks})", list(before.values())
        )
        return
    # Only what was changed: what somebody else changed beside it since stays as it is.
    changed = _changed(str(change["before"]), str(change["after"]))
    if keep_later:
        row = store.rows(f"SELECT * FROM [{table}] WHERE id = ?", (row_id,))
        after = json.loads(str(change["after"]))
        changed = {n: v for n, v in changed.items() if row and _is_still(row[0][n], after[n])}
    if changed:
        sets = ", ".join(f"{name} = ?" for name in changed)
        store.db.execute(f"UPDATE [{table}] SET {sets} WHERE id = ?", [*changed.values(), row_id])
