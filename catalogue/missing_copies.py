"""Copies that are not where they should be: marked by whoever looked, and found again.

A disc that is not in its place is missing with everything on it; a file is missing by itself.
"""

from __future__ import annotations

from datetime import datetime

from catalogue import undo
from catalogue.catalogue_rows import change_disc, change_holding, disc, holding
from catalogue.store import Store


def mark(store: Store, holding_id: int, who: str, now: datetime) -> None:
    """Note that a copy is not in its place; nothing if that is noted already. Raises NotFound."""
    copy = holding(store, holding_id)
    if copy.missing:
        return
    where = copy.shelf_mark or copy.path
    with undo.action(store, who, f"noted that {where} is not in its place", now):
        if copy.disc_id is not None:
            change_disc(store, copy.disc_id, missing=1)
        else:
            change_holding(
                store, holding_id, missing=1, missing_since=now.isoformat(timespec="seconds")
            )


def found(store: Store, holding_id: int, who: str, now: datetime) -> None:
    """Note that a copy is in its place again. Raises NotFound."""
    copy = holding(store, holding_id)
    where = copy.shelf_mark or copy.path
    with undo.action(store, who, f"noted that {where} is in its place again", now):
        if copy.disc_id is not None and disc(store, copy.disc_id).missing:
            change_disc(store, copy.disc_id, missing=0)
        change_holding(store, holding_id, missing=0, missing_since=None)


def disc_missing(store: Store, disc_id: int, who: str, now: datetime) -> None:
    """Note that a disc is not in its place; nothing if that is noted already. Raises NotFound."""
    held = disc(store, disc_id)
    if held.missing:
        return
    with undo.action(store, who, f"noted that {held.shelf_mark} is not in its place", now):
        change_disc(store, disc_id, missing=1)


def disc_found(store: Store, disc_id: int, who: str, now: datetime) -> None:
    """Note that a disc, and every copy on it, is in its place again. Raises NotFound."""
    mark = disc(store, disc_id).shelf_mark
    with undo.action(store, who, f"noted that {mark} is in its place again", now):
        change_disc(store, disc_id, missing=0)
        for row in store.rows("SELECT id FROM holdings WHERE disc_id = ? AND missing", (disc_id,)):
            change_holding(store, row["id"], missing=0, missing_since=None)
