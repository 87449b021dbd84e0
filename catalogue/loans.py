"""Who has which disc: lent, and brought back."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from catalogue import undo
from catalogue.catalogue_rows import disc
from catalogue.errors import BadInput, ChangedMeanwhile
from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class Loan:
    """One disc lent. `since` and `back` are ISO 8601 times, `due` a date; `back` None is out."""

    id: int
    disc_id: int
    lent_to: str
    since: str
    due: str | None = None
    back: str | None = None


def lend(
    store: Store, disc_id: int, lent_to: str, due: date | str | None, who: str, now: datetime
) -> int:
    """Lend a disc; returns the loan's id.

    Raises NotFound for an unknown disc, BadInput for nobody to lend to or an unreadable date,
    ChangedMeanwhile if the disc is out already.
    """
    borrower = " ".join(lent_to.split())
    if not borrower:
        raise BadInput("Write who has the disc, so that somebody can ask for it back.")
    due_on = _date(due)
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who, f"lent {mark} to {borrower}", now):
        if held := out(store, [disc_id]).get(disc_id):
            raise ChangedMeanwhile(
                f"{mark} is on loan to {held.lent_to} already. Bring it back first."
            )
        cursor = store.db.execute(
            "INSERT INTO loans (disc_id, lent_to, since, due) VALUES (?, ?, ?, ?)",
            (disc_id, borrower, now.isoformat(timespec="seconds"), due_on),
        )
        return int(cursor.lastrowid or 0)


def bring_back(store: Store, disc_id: int, who: str, now: datetime) -> None:
    """The disc is home again. Raises NotFound, or ChangedMeanwhile if it was not out."""
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who, f"brought back {mark}", now):
        held = out(store, [disc_id]).get(disc_id)
        if held is None:
            raise ChangedMeanwhile(f"{mark} is not on loan. Perhaps it was brought back already.")
        store.db.execute(
            "UPDATE loans SET back = ? WHERE id = ?",
            (now.isoformat(timespec="seconds"), held.id),
        )


def point_at(store: Store, gone: int, kept: int) -> None:
    """The loans of one disc are another's; inside an action."""
    store.db.execute("UPDATE loans SET disc_id = ? WHERE disc_id = ?", (kept, gone))


def out(store: Store, disc_ids: Iterable[int] | None = None) -> dict[int, Loan]:
    """The loans that are out, by disc: of these discs, or of all."""
    chosen = "" if disc_ids is None else "AND disc_id IN (SELECT value FROM json_each(?))"
    rows = store.rows(
        f"SELECT * FROM loans WHERE back IS NULL {chosen} ORDER BY since, id",
        () if disc_ids is None else (json.dumps(list(disc_ids)),),
    )
    return {row["disc_id"]: Loan(**row) for row in rows}


def overdue(store: Store, now: datetime) -> list[Loan]:
    """The loans that should have been back by today, longest out first."""
    today = now.date().isoformat()
    return [loan for loan in out(store).values() if loan.due and loan.due < today]


def _date(due: date | str | None) -> str | None:
    if due is None or due == "":
        return None
    if isinstance(due, datetime):
        return due.date().isoformat()
    if isinstance(due, date):
        return due.isoformat()
    try:
        return date.fromisoformat(due.strip()).isoformat()
    except ValueError as problem:
        raise BadInput(
            "That is not a date. Write it as year, month, day, such as 2026-12-24."
        ) from problem
