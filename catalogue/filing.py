"""How each shelf is filed: the station's choice of the published rules.

Libraries file by published rules that differ, and a station's shelves were often filed by two
of them. So the rules are chosen for every shelf apart. What the rules are is in `filing_keys.py`;
the order itself is kept by `filed_order.py`. Owns `filing_rules`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.filing_keys import (
    ALA_1968,
    ALA_1980,
    ARTICLES,
    CHOICES,
    DIGITS,
    IN_FULL,
    SPOKEN,
    WRITTEN,
    MarkOrder,
    Rules,
    articles,
    articles_of_names,
    mark_order,
    name_key,
    standing_order,
    title_key,
)
from catalogue.store import Row, Store

__all__ = [
    "ALA_1968",
    "ALA_1980",
    "ARTICLES",
    "BY",
    "CHOICES",
    "DIGITS",
    "IN_FULL",
    "SPOKEN",
    "WRITTEN",
    "MarkOrder",
    "Rules",
    "Shelf",
    "all_shelves",
    "articles",
    "articles_of_names",
    "everywhere",
    "forget",
    "get",
    "keep",
    "mark_order",
    "name_key",
    "standing_order",
    "title_key",
]

BY = ("mark", "room")
"""A shelf is known by how its marks begin, or by its room."""

_LONGEST = 60
"""Characters of a room's name or a mark's beginning: what fits on a shelf's label."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """A shelf and its rules: `by` is "mark" or "room", `name` the beginning or the room."""

    id: int
    by: str
    name: str
    rules: Rules


def all_shelves(store: Store) -> list[Shelf]:
    """The shelves that have rules of their own, in the order of their names."""
    rows = store.rows("SELECT * FROM filing_rules WHERE shelf <> ''")
    return sorted(map(_shelf, rows), key=lambda shelf: (shelf.by, mark_order(shelf.name)))


def everywhere(store: Store) -> Rules:
    """The rules of the list as a whole, and of every shelf without rules of its own."""
    rows = store.rows("SELECT * FROM filing_rules WHERE shelf = ''")
    return _shelf(rows[0]).rules if rows else ALA_1980


def get(store: Store, shelf_id: int) -> Shelf:
    """One shelf. Raises NotFound."""
    rows = store.rows("SELECT * FROM filing_rules WHERE id = ? AND shelf <> ''", (shelf_id,))
    if not rows:
        raise NotFound(f"There is no shelf number {shelf_id} with filing rules of its own.")
    return _shelf(rows[0])


def keep(store: Store, by: str, shelf: str, rules: Rules, who: str, now: datetime) -> None:
    """Set the rules of a shelf, or of all the rest where `shelf` is empty.

    Raises BadInput for a rule that is none, or a name too long for a shelf's label.
    """
    name = " ".join(shelf.split())
    if len(name) > _LONGEST:
        raise BadInput(f"A shelf’s name has {_LONGEST} letters at most. Nothing was changed.")
    if by not in BY or any(getattr(rules, rule) not in can for rule, can in CHOICES.items()):
        raise BadInput("Choose each filing rule from the list. Nothing was changed.")
    what = f"set the filing of “{name}”" if name else "set how the list is filed"
    with undo.action(store, who, what, now):
        store.db.execute(
            "INSERT INTO filing_rules (shelf_by, shelf, articles, mac, saint, numerals) "
            "VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (shelf_by, shelf) DO UPDATE SET "
            "articles = excluded.articles, mac = excluded.mac, saint = excluded.saint, "
            "numerals = excluded.numerals",
            (by if name else "mark", name, rules.articles, rules.mac, rules.saint, rules.numerals),
        )


def rules_of(store: Store, by: str, name: str) -> Rules:
    """The rules that hold for a shelf: its own, or those of the whole list."""
    rows = store.rows(
        "SELECT * FROM filing_rules WHERE shelf_by = ? AND shelf = ? AND shelf <> ''", (by, name)
    )
    return _shelf(rows[0]).rules if rows else everywhere(store)


def rename_room(store: Store, old: str, new: str) -> None:
    """The rules of one room are another's, which keeps its own where it has some; inside an
    action."""
    store.db.execute(
        "UPDATE filing_rules SET shelf = ? WHERE shelf_by = 'room' AND shelf = ? AND NOT EXISTS ("
        "SELECT 1 FROM filing_rules o WHERE o.shelf_by = 'room' AND o.shelf = ? "
        "AND o.id <> filing_rules.id)",
        (new, old, new),
    )
    if old.casefold() != new.casefold():
        store.db.execute("DELETE FROM filing_rules WHERE shelf_by = 'room' AND shelf = ?", (old,))


def forget(store: Store, shelf_id: int, who: str, now: datetime) -> None:
    """A shelf is filed as all the rest again. Raises NotFound."""
    shelf = get(store, shelf_id)
    with undo.action(store, who, f"filed “{shelf.name}” as the rest again", now):
        store.db.execute("DELETE FROM filing_rules WHERE id = ?", (shelf_id,))


def _shelf(row: Row) -> Shelf:
    rules = Rules(row["articles"], row["mac"], row["saint"], row["numerals"])
    return Shelf(row["id"], row["shelf_by"], row["shelf"], rules)
