"""What librarians said of likely doubles, for looking through and for undoing.

Two entries that were made one are there as well: the name of the one that is gone is read from
the history of its row.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from catalogue import merging
from catalogue.catalogue_rows import recordings
from catalogue.errors import NotFound
from catalogue.store import Row, Store
from catalogue.verdicts import Verdict


@dataclass(frozen=True, slots=True)
class Named:
    """One of the two: its number, how it is called, and whether it is there still."""

    id: int
    title: str
    artist: str
    there: bool


@dataclass(frozen=True, slots=True)
class Judged:
    """One judgement: of recordings, or of discs (`discs`; then the title is the shelf mark).

    `merged` says that the two were made one. `action_id` is what undoing takes back; None where
    that was done already.
    """

    a: Named
    b: Named
    verdict: Verdict
    signed_by: str
    at: str
    discs: bool
    merged: bool
    action_id: int | None


def judged(store: Store, limit: int = 100) -> list[Judged]:
    """The judgements, latest first."""
    rows = store.rows(
        """SELECT 0 AS discs, id, recording_a AS a, recording_b AS b, verdict, signed_by, at
            FROM judgements
        UNION ALL SELECT 1, id, disc_a, disc_b, verdict, signed_by, at FROM disc_judgements
        ORDER BY at DESC, discs DESC, id DESC LIMIT ?""",
        (limit,),
    )
    names = [
        _recordings(store, [r[side] for r in rows if not r["discs"] for side in ("a", "b")]),
        _discs(store, [r[side] for r in rows if r["discs"] for side in ("a", "b")]),
    ]
    return [_judged(store, row, names[row["discs"]]) for row in rows]


def take_back(store: Store, action_id: int, who: str, now: datetime) -> None:
    """Undo a judgement whole, with everything that was merged by it.

    Raises NotFound if the action judged nothing, CannotTakeBack if it cannot be undone.
    """
    if not store.rows(
        "SELECT 1 FROM changes WHERE action_id = ? "
        "AND table_name IN ('judgements', 'disc_judgements')",
        (action_id,),
    ):
        raise NotFound(f"Action {action_id} judged nothing.")
    merging.unmerge(store, action_id, who, now)


def _judged(store: Store, row: Row, names: dict[int, Named]) -> Judged:
    a, b = names[row["a"]], names[row["b"]]
    table = "disc_judgements" if row["discs"] else "judgements"
    return Judged(
        a,
        b,
        Verdict(row["verdict"]),
        row["signed_by"],
        row["at"],
        bool(row["discs"]),
        row["verdict"] == Verdict.SAME and not (a.there and b.there),
        _said_by(store, table, row["id"]),
    )


def _said_by(store: Store, table: str, row_id: int) -> int | None:
    """The action by which somebody said this last: not one that only pointed it elsewhere."""
    rows = store.rows(
        """SELECT a.id, a.takes_back, c.kind, c.before, c.after FROM changes c
        JOIN actions a ON a.id = c.action_id
        WHERE c.table_name = ? AND c.row_id = ?
            AND NOT EXISTS (SELECT 1 FROM actions b WHERE b.takes_back = a.id)
        ORDER BY c.id DESC""",
        (table, row_id),
    )
    for row in rows:
        if row["takes_back"] is not None:
            continue
        if row["kind"] == "insert":
            return int(row["id"])
        before, after = json.loads(row["before"]), json.loads(row["after"])
        if any(before[name] != after[name] for name in ("verdict", "signed_by", "at")):
            return int(row["id"])
    return None


def _recordings(store: Store, ids: Iterable[int]) -> dict[int, Named]:
    there = recordings(store, list(dict.fromkeys(ids)))
    found = {r.id: Named(r.id, r.title, r.artist, True) for r in there.values()}
    for number in set(ids) - set(found):
        row = _last_row(store, "recordings", number)
        artist = store.rows("SELECT name FROM artists WHERE id = ?", (row.get("artist_id"),))
        found[number] = Named(
            number, str(row.get("title", "")), artist[0]["name"] if artist else "", False
        )
    return found


def _discs(store: Store, ids: Iterable[int]) -> dict[int, Named]:
    found = {}
    for number in set(ids):
        rows = store.rows("SELECT * FROM discs WHERE id = ?", (number,))
        row = rows[0] if rows else _last_row(store, "discs", number)
        mark = f"{row.get('carrier', '')} {row.get('shelf_mark', '')}".strip()
        found[number] = Named(number, mark, str(row.get("title", "")), bool(rows))
    return found


def _last_row(store: Store, table: str, row_id: int) -> dict[str, object]:
    """A row that is gone, as it was."""
    rows = store.rows(
        "SELECT before FROM changes WHERE table_name = ? AND row_id = ? AND kind = 'delete' "
        "ORDER BY id DESC LIMIT 1",
        (table, row_id),
    )
    return dict(json.loads(rows[0]["before"])) if rows else {}
