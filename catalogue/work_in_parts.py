"""Long work, done and taken back in parts, so that no desk waits for it.

A transaction that changes a hundred thousand rows would hold the database until it is done. So
the work is many actions of some hundred rows; each further one names the first (`part_of`), and
to whoever reads of them they are one.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from catalogue import undo
from catalogue.errors import CannotTakeBack, NotFound
from catalogue.store import Store
from catalogue.undo import Action

Progress = Callable[[int, int | None], None]
Stop = Callable[[], bool]


def no_progress(_done: int, _total: int | None = None) -> None:
    """For whoever need not be told."""


def never() -> bool:
    """For work that nobody can stop."""
    return False


def parts(store: Store, action_id: int) -> list[Action]:
    """The parts of a work that stand, the last first: those that were taken back are left out.

    Raises NotFound for an unknown action.
    """
    rows = store.rows(
        "SELECT id, at, who, what, takes_back FROM actions WHERE id = ?1 OR part_of = ?1 "
        "ORDER BY id DESC",
        (action_id,),
    )
    if not rows or rows[-1]["id"] != action_id:
        raise NotFound(f"There is no action number {action_id} to take back.")
    gone = {
        row["takes_back"]
        for row in store.rows(
            "SELECT takes_back FROM actions WHERE takes_back IN "
            "(SELECT id FROM actions WHERE id = ?1 OR part_of = ?1)",
            (action_id,),
        )
    }
    return [Action(**row) for row in rows if row["id"] == action_id or row["id"] not in gone]


def take_back(
    store: Store,
    action_id: int,
    who: str,
    now: datetime,
    progress: Progress = no_progress,
    stop: Stop = never,
) -> Action:
    """Take a whole work back, part by part, the last first; returns what it was.

    Before the first, all are looked at: where later work stands on any, CannotTakeBack is raised
    and nothing was changed. Should it be stopped, or somebody come between, what is done stays
    done, and it can be asked for again.
    """
    standing = parts(store, action_id)
    for part in standing:
        undo.refuse_if_stood_upon(store, part)
    if len(standing) == 1:
        return undo.take_back(store, action_id, who, now)
    first: int | None = None
    for number, part in enumerate(standing):
        if stop():
            raise CannotTakeBack(
                f"It was stopped: {number} of {len(standing)} parts are as they were before. "
                "Take it back again to go on."
            )
        undo.take_back(store, part.id, who, now, part_of=first)
        first = first or _taking_back(store, part.id)
        progress(number + 1, len(standing))
    return standing[-1]


def _taking_back(store: Store, action_id: int) -> int:
    return int(store.rows("SELECT id FROM actions WHERE takes_back = ?", (action_id,))[0]["id"])
