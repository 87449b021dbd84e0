"""The people of the station: who they are, their passphrase, and what each role may do."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Protocol, TypeVar

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store

_Item = TypeVar("_Item")

_SHORTEST = 12
"""Characters in a passphrase: fewer is guessed too soon."""

_hasher = PasswordHasher()
"""argon2id with the library's own parameters (RFC 9106, low-memory profile)."""

_NOBODY = _hasher.hash("nobody has this passphrase")
"""Checked for an unknown name, so that the time taken does not tell who is on the list."""


class Role(StrEnum):
    """What somebody does at the station."""

    SEARCHER = "searcher"
    PRESENTER = "presenter"
    LIBRARIAN = "librarian"
    KEEPER = "keeper"


ACTS = (
    "phone", "studio", "shelves", "edit catalogue", "programme", "settings", "see callers",
)  # fmt: skip
_MAY: dict[Role, frozenset[str]] = {
    Role.SEARCHER: frozenset({"phone", "shelves", "see callers"}),
    # A presenter alone in the evening answers the phone as well.
    Role.PRESENTER: frozenset({"studio", "phone", "shelves", "programme", "see callers"}),
    Role.LIBRARIAN: frozenset({"shelves", "edit catalogue", "programme"}),
    Role.KEEPER: frozenset(ACTS),
}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who signs in. `session_key` changes with the passphrase: older sessions end."""

    id: int
    name: str
    role: Role
    session_key: str
    active: bool = True


class Chooser(Protocol):
    """Something that picks one of several: `secrets`, or a `random.Random` in a test."""

    def choice(self, seq: Sequence[_Item], /) -> _Item:
        """One of them."""
        ...


def add(store: Store, name: str, role: Role | str, passphrase: str, who: str, now: datetime) -> int:
    """Put somebody on the list; returns their id.

    Raises BadInput for no name or one in use, an unknown role, or too short a passphrase.
    """
    bare = " ".join(name.split())
    if not bare:
        raise BadInput("Write the person's name.")
    if role not in list(Role):
        raise BadInput("A role is one of: " + ", ".join(Role) + ".")
    hashed = _hash(passphrase)
    with store.transaction() as db:
        if store.rows("SELECT 1 FROM people WHERE lower(name) = lower(?)", (bare,)):
            raise BadInput(f"“{bare}” is on the list already. Add something to tell them apart.")
        cursor = db.execute(
            "INSERT INTO people (name, role, passphrase_hash, session_key) VALUES (?, ?, ?, ?)",
            (bare, str(role), hashed, secrets.token_hex(16)),
        )
        return int(cursor.lastrowid or 0)


def check(store: Store, name: str, passphrase: str) -> Person | None:
    """The person with this name and passphrase; None if there is none, or they have left."""
    rows = store.rows(
        "SELECT * FROM people WHERE lower(name) = lower(?) AND active = 1",
        (" ".join(name.split()),),
    )
    hashed = rows[0]["passphrase_hash"] if rows else _NOBODY
    try:
        _hasher.verify(hashed, _tidy(passphrase))
    except (VerificationError, InvalidHashError):
        return None
    return _person(rows[0]) if rows else None


def get(store: Store, person_id: int) -> Person | None:
    """Somebody by their number, or None."""
    rows = store.rows("SELECT * FROM people WHERE id = ?", (person_id,))
    return _person(rows[0]) if rows else None


def all_people(store: Store) -> list[Person]:
    """Everybody on the list, in order of name."""
    rows = store.rows("SELECT * FROM people ORDER BY name COLLATE NOCASE, id")
    return [_person(row) for row in rows]


def new_words_for(store: Store, person_id: int, passphrase: str) -> None:
    """Give somebody another passphrase; their open sessions end. Raises NotFound or BadInput."""
    hashed = _hash(passphrase)
    _set(store, person_id, "passphrase_hash = ?, session_key = ?", hashed, secrets.token_hex(16))


def set_active(store: Store, person_id: int, active: bool, now: datetime) -> None:
    """Let somebody in no longer, or again; their open sessions end.

    From the day on which they are let in no longer the time counts until their name is erased
    (`who_left.py`). Raises NotFound, or BadInput for the last keeper.
    """
    with store.transaction():
        if not active:
            _refuse_the_last_keeper(store, person_id)
        left_on = None if active else now.date().isoformat()
        _set(store, person_id, "active = ?, left_on = ?, session_key = ?", int(active), left_on,
             secrets.token_hex(16))  # fmt: skip


def set_role(store: Store, person_id: int, role: Role | str) -> None:
    """Give somebody another role, from their next page on.

    Raises NotFound, or BadInput for an unknown role or when the last keeper would be none.
    """
    if role not in list(Role):
        raise BadInput("A role is one of: " + ", ".join(Role) + ".")
    with store.transaction():
        if role != Role.KEEPER:
            _refuse_the_last_keeper(store, person_id)
        _set(store, person_id, "role = ?", str(role))


def may(role: Role | str, act: str) -> bool:
    """Whether this role may do that. Raises BadInput for an act that is not in ACTS."""
    if act not in ACTS:
        raise BadInput(f"There is no act “{act}”. There are: {', '.join(ACTS)}.")
    return role in list(Role) and act in _MAY[Role(role)]


def new_passphrase(rng: Chooser = secrets) -> str:
    """Four plain words and a number, such as "ferry-lemon-quilt-brass-47".

    256 words and 90 numbers: 38 bits, against guessing at the door one at a time.
    """
    words = [rng.choice(_WORDS) for _ in range(4)]
    return "-".join([*words, str(rng.choice(range(10, 100)))])


def _hash(passphrase: str) -> str:
    tidy = _tidy(passphrase)
    if len(tidy) < _SHORTEST:
        raise BadInput(f"A passphrase needs {_SHORTEST} characters or more: some plain words do.")
    return _hasher.hash(tidy)


def _tidy(passphrase: str) -> str:
    """Typed by elderly hands: capitals, and spaces for dashes, make no difference."""
    return " ".join(passphrase.lower().replace("-", " ").split())


def _refuse_the_last_keeper(store: Store, person_id: int) -> None:
    keepers = [p.id for p in all_people(store) if p.active and p.role is Role.KEEPER]
    if keepers == [person_id]:
        raise BadInput("This is the last keeper. Put another keeper on the list first.")


def _set(store: Store, person_id: int, sets: str, *values: object) -> None:
    with store.transaction() as db:
        cursor = db.execute(f"UPDATE people SET {sets} WHERE id = ?", [*values, person_id])
        if cursor.rowcount == 0:
            raise NotFound(f"There is nobody with the number {person_id}.")


def _person(row: Row) -> Person:
    return Person(
        row["id"], row["name"], Role(row["role"]), row["session_key"], bool(row["active"])
    )


_WORDS: tuple[str, ...] = tuple(
    """
    acorn anchor apple apron arrow autumn bacon badge baker banjo barge barley basket beach bell
    berry birch biscuit blanket blossom boat bonnet book boot bottle bowl brass bread breeze
    brick bridge bright broom brush bucket butter button cabin cake candle canvas cap carpet
    carrot castle cedar chalk chapel cheese cherry chestnut chimney circle clay clock cloud
    clover coat cobble coffee comb copper coral corner cotton cousin cream cricket crown cup
    curtain daisy dance deer dinner dish donkey door dove drawer drum duck dune eagle early
    easter eel elbow elm engine evening falcon farm feather fence fern ferry fiddle field finger
    fire flag flour flower flute fog forest fork fox frost garden garlic gate ginger glass glove
    goat gold goose grain grape grass gravel green guitar hammer harbour harvest hat hazel
    heather hedge heron hill honey hook horse island ivory ivy jacket jam jar jelly jug kettle
    kitchen kite kitten ladder lake lamb lamp lantern larch lark laurel leaf lemon letter lilac
    lily linen lobster maple marble marsh meadow melon milk mint mirror mitten moon morning moss
    moth mustard napkin needle nest nettle oak oat ocean olive onion orange orchard otter oven
    owl paddle paint paper parcel parsley pasture path peach pear pebble pencil penny pepper
    piano picnic pigeon pillow pine pink plate plum pocket pond pony poppy porridge potato
    pudding quarry quill quilt rabbit radish raft rain raisin ribbon river robin rocket rope
    rose saddle saddlebag sail salmon sand saucer scarf seagull seal sheep silver spoon stable
    swan tulip turnip violet walnut willow window winter wren
    """.split()  # noqa: SIM905 - a list of 256 strings would not be read
)
