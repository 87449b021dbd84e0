"""Who changed what, to be read by the keeper: actions page by page, values before and after.

Nothing of a caller is in it: their details lie in a table that is not tracked (`callers.py`).
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.store import Row, Store
from catalogue.undo import Action

_CALLED_BY = ("title", "name", "shelf_mark", "path")
"""Columns by which a row is called, the first that has something in it."""

_AFTER_ALL = 2**63 - 1

_COUNTERS = frozenset({"version"})
"""Columns that only count changes."""


@dataclass(frozen=True, slots=True)
class Change:
    """One row of a table that an action put in, changed or took out ("insert", "update",
    "delete"). `called` is what the row is called, empty if it has no name; `values` are the
    columns that differ, as (column, before, after)."""

    table: str
    row_id: int
    kind: str
    called: str
    values: tuple[tuple[str, str, str], ...]


def page(store: Store, before: int | None, limit: int) -> list[Action]:
    """Actions, latest first; with `before` only those of a smaller number."""
    rows = store.rows(
        "SELECT id, at, who, what, takes_back FROM actions WHERE part_of IS NULL AND id < ? "
        "ORDER BY id DESC LIMIT ?",
        (before if before is not None else _AFTER_ALL, limit),
    )
    return [Action(**row) for row in rows]


def counts(store: Store, action_ids: Sequence[int]) -> dict[int, int]:
    """How many rows each of these actions changed, in all its parts."""
    rows = store.rows(
        """SELECT j.value AS id, (SELECT count(*) FROM changes WHERE action_id = j.value)
            + (SELECT count(*) FROM actions part JOIN changes c ON c.action_id = part.id
                WHERE part.part_of = j.value) AS n FROM json_each(?) j""",
        (json.dumps(list(action_ids)),),
    )
    return {int(row["id"]): int(row["n"]) for row in rows if row["n"]}


def changes_of(store: Store, action_ids: Sequence[int], each: int) -> dict[int, list[Change]]:
    """The first `each` changes of each of these actions, in the order they were made."""
    found: dict[int, list[Change]] = defaultdict(list)
    for action_id in action_ids:
        rows = store.rows(
            "SELECT table_name, row_id, kind, before, after FROM changes WHERE action_id = ? "
            "ORDER BY id LIMIT ?",
            (action_id, each),
        )
        found[action_id] = [change_of(store, row) for row in rows]
    return found


def change_of(store: Store, row: Row) -> Change:
    """A row of `changes` as what it changed: its table, kind, and the columns that differ."""
    before, after = json.loads(row["before"] or "{}"), json.loads(row["after"] or "{}")
    values = tuple(
        (column, _said(value), _said(after.get(column)))
        for column, value in before.items()
        if row["kind"] == "update" and after.get(column) != value and column not in _COUNTERS
    )
    shown = after or before or _now(store, row["table_name"], row["row_id"])
    called = next((str(shown[c]) for c in _CALLED_BY if shown.get(c)), "")
    return Change(row["table_name"], int(row["row_id"]), row["kind"], called, values)


def _now(store: Store, table: str, row_id: int) -> Row:
    """A row that was put in is not kept in the list of changes; it may be there still."""
    rows = store.rows(f"SELECT * FROM [{table}] WHERE id = ?", (row_id,))
    return rows[0] if rows else {}


def _said(value: object) -> str:
    return "" if value is None else str(value)
