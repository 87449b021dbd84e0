"""The places of the station where discs are: shelves, the store room, studios, vans.

Not the places that callers ring from, which are in `places.py`. A disc carries its place as a
name; this list says what there is, of what kind, and what is offered when a place is asked for.
Owns `shelf_places`.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from datetime import datetime

from catalogue import filing, placed_rows, stocktake, undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store

KINDS = ("shelf", "store room", "studio", "van", "other")

_LONGEST = 60
"""Characters of a place's name: what fits on a label, as in `filing`."""

_LIKE = 0.6
"""How like a known name a typed one must be to be asked about (`difflib` says it is close)."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the list, and how many discs are there. `in_use` is whether it is offered; `id`
    is None for a place that discs are at and that nobody put on the list."""

    id: int | None
    name: str
    kind: str
    in_use: bool
    discs: int


def all_places(store: Store) -> list[Place]:
    """The list in the order of kinds and names; then what is not on it though discs are there."""
    counts = {name.casefold(): (name, n) for name, n in placed_rows.counts(store)}
    listed = []
    for row in store.rows("SELECT * FROM shelf_places ORDER BY name COLLATE NOCASE"):
        _, discs = counts.pop(row["name"].casefold(), ("", 0))
        listed.append(Place(row["id"], row["name"], row["kind"], bool(row["in_use"]), discs))
    listed.sort(key=lambda place: (not place.in_use, KINDS.index(place.kind)))
    return [*listed, *(Place(None, name, "other", True, n) for name, n in counts.values())]


def offered(store: Store) -> list[str]:
    """The names to offer where a place is asked for: those in use, and where discs are."""
    return [place.name for place in all_places(store) if place.in_use]


def known(store: Store, name: str) -> str:
    """A place as it is written on the list, however it was typed; empty stays empty.

    Raises BadInput for a place that nobody has named yet, with the one that may be meant, and for
    one that is no longer in use.
    """
    bare = _tidy(name)
    if not bare:
        return ""
    places = {place.name.casefold(): place for place in all_places(store)}
    found = places.get(bare.casefold())
    if found is not None and not found.in_use:
        raise BadInput(f"“{found.name}” is no longer in use. Choose another place.")
    if found is not None:
        return found.name
    near = difflib.get_close_matches(bare.casefold(), places, 1, _LIKE)
    if near:
        raise BadInput(
            f"“{bare}” is not on the list of places. Is it {places[near[0]].name}? If it is a new "
            "place, tick that it is."
        )
    raise BadInput(f"“{bare}” is not on the list of places. If it is a new place, tick that it is.")


def add(store: Store, name: str, kind: str, who: str, now: datetime) -> int:
    """Put a place on the list; returns its id. Raises BadInput for no name, one that is there
    already, or a kind that is none."""
    bare = _checked(name, kind)
    with undo.action(store, who, f"put the place “{bare}” on the list", now):
        if _rows(store, bare):
            raise BadInput(f"“{bare}” is on the list already.")
        cursor = store.db.execute(
            "INSERT INTO shelf_places (name, kind) VALUES (?, ?)", (bare, kind)
        )
        placed_rows.move(store, bare, bare)  # one spelling, that of the list
        return int(cursor.lastrowid or 0)


def get(store: Store, place_id: int) -> Place:
    """One place of the list. Raises NotFound."""
    found = [place for place in all_places(store) if place.id == place_id]
    if not found:
        raise NotFound(f"There is no place number {place_id} on the list.")
    return found[0]


def change(store: Store, place_id: int, name: str, kind: str, who: str, now: datetime) -> int:
    """Give a place another name or kind; its discs and its filing follow. Returns how many discs
    follow. Raises NotFound, or BadInput for a name that another place has: they can be joined."""
    bare = _checked(name, kind)
    before = get(store, place_id)
    what = f"named the place “{before.name}” “{bare}”"
    if before.name == bare:
        what = f"changed the place “{bare}”"
    with undo.action(store, who, what, now):
        if any(row["id"] != place_id for row in _rows(store, bare)):
            raise BadInput(f"“{bare}” is on the list already. Join the two if they are one place.")
        store.db.execute(
            "UPDATE shelf_places SET name = ?, kind = ? WHERE id = ?", (bare, kind, place_id)
        )
        if before.name == bare:
            return 0
        return _follow(store, before.name, bare)


def join(store: Store, name: str, other_id: int, who: str, now: datetime) -> int:
    """One place, on the list or not, is another: its discs go there and it leaves the list.
    Returns how many discs. Raises NotFound, or BadInput for one place twice."""
    there = {place.name.casefold(): place for place in all_places(store)}
    gone, kept = there.get(_tidy(name).casefold()), get(store, other_id)
    if gone is None:
        raise NotFound(f"There is no place “{_tidy(name)}” on the list.")
    if gone.id == kept.id:
        raise BadInput("That is one place, not two.")
    with undo.action(store, who, f"joined the place “{gone.name}” to “{kept.name}”", now):
        moved = _follow(store, gone.name, kept.name)
        if gone.id is not None:
            store.db.execute("DELETE FROM shelf_places WHERE id = ?", (gone.id,))
        return moved


def use(store: Store, place_id: int, in_use: bool, who: str, now: datetime) -> None:
    """Offer a place, or no longer: a van that was sold. Raises NotFound."""
    name = get(store, place_id).name
    what = f"offers the place “{name}” again" if in_use else f"no longer offers “{name}”"
    with undo.action(store, who, what, now):
        store.db.execute("UPDATE shelf_places SET in_use = ? WHERE id = ?", (int(in_use), place_id))


def _follow(store: Store, old: str, new: str) -> int:
    """What carries the old name carries the new one."""
    filing.rename_room(store, old, new)
    stocktake.rename_room(store, old, new)
    return placed_rows.move(store, old, new)


def _rows(store: Store, name: str) -> list[Row]:
    return [
        row
        for row in store.rows("SELECT id, name FROM shelf_places")
        if row["name"].casefold() == name.casefold()
    ]


def _checked(name: str, kind: str) -> str:
    bare = _tidy(name)
    if not bare:
        raise BadInput("A place needs a name.")
    if len(bare) > _LONGEST:
        raise BadInput(f"A place’s name has {_LONGEST} letters at most. Nothing was changed.")
    if kind not in KINDS:
        raise BadInput("Choose the kind of place from the list.")
    return bare


def _tidy(name: str) -> str:
    return " ".join(name.split())
