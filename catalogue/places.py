"""The places callers ring from: wards, homes, the ferry. How each is said on air, and whether
it may be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the list. `say` is how it is said; `on_air` whether it may be named on air;
    `in_use` whether it is offered on new slips."""

    id: int
    name: str
    say: str
    on_air: bool
    in_use: bool = True


_SELECT = "SELECT id, name, say, on_air, in_use FROM places"


def all_places(store: Store) -> list[Place]:
    """Every place, in order of name, those no longer in use too: an old slip may name one."""
    return [_place(row) for row in store.rows(f"{_SELECT} ORDER BY name COLLATE NOCASE, id")]


def get(store: Store, place_id: int) -> Place:
    """One place. Raises NotFound."""
    rows = store.rows(f"{_SELECT} WHERE id = ?", (place_id,))
    if not rows:
        raise NotFound(f"There is no place number {place_id} on the list.")
    return _place(rows[0])


def add(store: Store, name: str, say: str, on_air: bool, who: str, now: datetime) -> int:
    """Put a place on the list. Raises BadInput for no name, or one that is there already."""
    bare = " ".join(name.split())
    if not bare:
        raise BadInput("A place needs a name.")
    with undo.action(store, who, f"added the place “{bare}”", now):
        if store.rows("SELECT 1 FROM places WHERE lower(name) = lower(?)", (bare,)):
            raise BadInput(f"“{bare}” is on the list already.")
        cursor = store.db.execute(
            "INSERT INTO places (name, say, on_air) VALUES (?, ?, ?)",
            (bare, " ".join(say.split()), int(on_air)),
        )
        return int(cursor.lastrowid or 0)


def change(
    store: Store, place_id: int, name: str, say: str, on_air: bool, who: str, now: datetime
) -> None:
    """Change a place on the list. Raises NotFound, or BadInput for a name used already."""
    bare = " ".join(name.split())
    if not bare:
        raise BadInput("A place needs a name.")
    with undo.action(store, who, f"changed the place “{bare}”", now):
        get(store, place_id)
        if store.rows(
            "SELECT 1 FROM places WHERE lower(name) = lower(?) AND id <> ?", (bare, place_id)
        ):
            raise BadInput(f"“{bare}” is on the list already.")
        store.db.execute(
            "UPDATE places SET name = ?, say = ?, on_air = ? WHERE id = ?",
            (bare, " ".join(say.split()), int(on_air), place_id),
        )


def use(store: Store, place_id: int, in_use: bool, who: str, now: datetime) -> None:
    """Offer a place on new slips, or no longer: a ward that closed. Raises NotFound."""
    name = get(store, place_id).name
    what = f"offers the place “{name}” again" if in_use else f"no longer offers “{name}”"
    with undo.action(store, who, what, now):
        store.db.execute("UPDATE places SET in_use = ? WHERE id = ?", (int(in_use), place_id))


def _place(row: Row) -> Place:
    return Place(row["id"], row["name"], row["say"], bool(row["on_air"]), bool(row["in_use"]))
