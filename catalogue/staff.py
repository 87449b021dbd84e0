"""The people of the station: who they are, their passphrase, and what each role may do.

A passphrase that the program or the keeper made is for one sign-in: whoever comes in with it
chooses their own before anything else, and after `ONE_TIME_DAYS` it lets nobody in.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from catalogue import passphrases, settings
from catalogue.errors import BadInput, NotFound
from catalogue.store import Row, Store

ONE_TIME_DAYS = 14
"""How long a passphrase waits for its first sign-in: some come in every second week."""


class Role(StrEnum):
    """What somebody does at the station."""

    SEARCHER = "searcher"
    PRESENTER = "presenter"
    LIBRARIAN = "librarian"
    KEEPER = "keeper"


ACTS = (
    "phone", "studio", "shelves", "edit catalogue", "programme", "settings", "see callers",
    "past callers",
)  # fmt: skip
NEEDS_PASSPHRASE = frozenset({"settings", "past callers"})
"""Acts for which a PIN is not enough: six digits on a PC that others use are for the live work."""

_MAY: dict[Role, frozenset[str]] = {
    Role.SEARCHER: frozenset({"phone", "shelves", "see callers"}),
    # A presenter alone in the evening answers the phone as well.
    Role.PRESENTER: frozenset({"studio", "phone", "shelves", "programme", "see callers"}),
    Role.LIBRARIAN: frozenset({"shelves", "edit catalogue", "programme"}),
    Role.KEEPER: frozenset(ACTS),
}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who signs in. `session_key` changes with passphrase and role: older sessions end.
    `phrase_until` is when a one-time passphrase is over, None for one of their own."""

    id: int
    name: str
    role: Role
    session_key: str
    active: bool = True
    phrase_until: str | None = None

    def is_over(self, now: datetime) -> bool:
        """Whether their one-time passphrase has waited too long to let them in."""
        return self.phrase_until is not None and self.phrase_until < now.isoformat()


def add(
    store: Store,
    name: str,
    role: Role | str,
    passphrase: str,
    who: str,
    now: datetime,
    *,
    one_time: bool = False,
) -> int:
    """Put somebody on the list; returns their id. A `one_time` passphrase is for one sign-in.

    Raises BadInput for no name or one in use, an unknown role, or a passphrase that is refused.
    """
    bare = " ".join(name.split())
    if not bare:
        raise BadInput("Write the person's name.")
    if role not in list(Role):
        raise BadInput("A role is one of: " + ", ".join(Role) + ".")
    hashed = _hash(store, bare, passphrase)
    until = _one_time_until(now) if one_time else None
    with store.transaction() as db:
        if store.rows("SELECT 1 FROM people WHERE lower(name) = lower(?)", (bare,)):
            raise BadInput(f"“{bare}” is on the list already. Add something to tell them apart.")
        cursor = db.execute(
            "INSERT INTO people (name, role, passphrase_hash, session_key, phrase_until) "
            "VALUES (?, ?, ?, ?, ?)",
            (bare, str(role), hashed, secrets.token_hex(16), until),
        )
        return int(cursor.lastrowid or 0)


def check(store: Store, name: str, passphrase: str) -> Person | None:
    """The person with this name and passphrase; None if there is none, or they have left.

    Whether a one-time passphrase is over is for whoever asks (`Person.is_over`).
    """
    found = named(store, name)
    hashed = _hash_kept(store, found.id) if found else ""
    if not passphrases.fits(hashed, passphrases.tidy(passphrase)) or found is None:
        return None
    if passphrases.is_outdated(hashed):
        anew = passphrases.hash_of(passphrases.tidy(passphrase))
        _set(store, found.id, "passphrase_hash = ?", anew)
    return found


def is_theirs(store: Store, person_id: int, passphrase: str) -> bool:
    """Whether a passphrase is this person's: asked again before what must not be done for them."""
    return passphrases.fits(_hash_kept(store, person_id), passphrases.tidy(passphrase))


def named(store: Store, name: str) -> Person | None:
    """Somebody who is let in, by their name; None if there is none."""
    rows = store.rows(
        "SELECT * FROM people WHERE lower(name) = lower(?) AND active = 1",
        (" ".join(name.split()),),
    )
    return _person(rows[0]) if rows else None


def get(store: Store, person_id: int) -> Person | None:
    """Somebody by their number, or None."""
    rows = store.rows("SELECT * FROM people WHERE id = ?", (person_id,))
    return _person(rows[0]) if rows else None


def all_people(store: Store) -> list[Person]:
    """Everybody on the list, in order of name."""
    rows = store.rows("SELECT * FROM people ORDER BY name COLLATE NOCASE, id")
    return [_person(row) for row in rows]


def new_words_for(
    store: Store, person_id: int, passphrase: str, *, one_time_from: datetime | None = None
) -> None:
    """Give somebody another passphrase; their open sessions end. Raises NotFound or BadInput.

    With `one_time_from` it is for one sign-in, counted from then; without, it is their own.
    """
    person = get(store, person_id)
    hashed = _hash(store, person.name if person else "", passphrase)
    until = _one_time_until(one_time_from) if one_time_from else None
    sets = "passphrase_hash = ?, session_key = ?, phrase_until = ?"
    _set(store, person_id, sets, hashed, secrets.token_hex(16), until)


def end_sessions(store: Store, person_id: int) -> None:
    """Sign somebody out everywhere. Raises NotFound."""
    _set(store, person_id, "session_key = ?", secrets.token_hex(16))


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
    """Give somebody another role; their open sessions end, so that no page of the old one stays.

    Raises NotFound, or BadInput for an unknown role or when the last keeper would be none.
    """
    if role not in list(Role):
        raise BadInput("A role is one of: " + ", ".join(Role) + ".")
    with store.transaction():
        if role != Role.KEEPER:
            _refuse_the_last_keeper(store, person_id)
        _set(store, person_id, "role = ?, session_key = ?", str(role), secrets.token_hex(16))


def may(role: Role | str, act: str) -> bool:
    """Whether this role may do that. Raises BadInput for an act that is not in ACTS."""
    if act not in ACTS:
        raise BadInput(f"There is no act “{act}”. There are: {', '.join(ACTS)}.")
    return role in list(Role) and act in _MAY[Role(role)]


def _hash(store: Store, name: str, passphrase: str) -> str:
    names = (name, settings.get(store, "station_name"))
    return passphrases.hash_of(passphrases.checked(passphrase, names))


def _hash_kept(store: Store, person_id: int) -> str:
    rows = store.rows("SELECT passphrase_hash FROM people WHERE id = ?", (person_id,))
    return str(rows[0]["passphrase_hash"]) if rows else ""


def _one_time_until(now: datetime) -> str:
    return (now + timedelta(days=ONE_TIME_DAYS)).isoformat(timespec="seconds")


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
        row["id"], row["name"], Role(row["role"]), row["session_key"], bool(row["active"]),
        row["phrase_until"],
    )  # fmt: skip
