"""The desks: which browser is which, and whether headphones are at it.

A desk is known by a token that its browser keeps. Its name says under which paths it sees the
library folders (`roots.seen_by`). Nothing of a caller is here.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.errors import BadInput
from catalogue.store import Store

_LONGEST = 60
"""Letters in a desk's name: it is shown in one line."""


@dataclass(frozen=True, slots=True)
class Desk:
    """A browser's desk; a browser nobody has named yet is `Desk()`."""

    name: str = ""
    headphones: bool = False


def new_token() -> str:
    """A token for a browser that has none; 128 bits, since it is not guessed but kept."""
    return secrets.token_urlsafe(16)


def of(store: Store, token: str) -> Desk:
    """The desk with this token, or one without a name."""
    rows = store.rows("SELECT name, headphones FROM desks WHERE token = ?", (token,))
    return Desk(rows[0]["name"], bool(rows[0]["headphones"])) if rows else Desk()


def set_up(store: Store, token: str, name: str, headphones: bool, who: str, now: datetime) -> None:
    """Name a desk and say whether its sound goes to headphones. Raises BadInput."""
    bare = " ".join(name.split())
    if not token or len(token) > 64:
        raise BadInput("This browser keeps no cookie, so the desk cannot be remembered.")
    if len(bare) > _LONGEST:
        raise BadInput(f"That is too long for a desk's name. Keep it under {_LONGEST} letters.")
    with undo.action(store, who, f"set up the desk “{bare}”", now):
        store.db.execute(
            "INSERT INTO desks (token, name, headphones) VALUES (?, ?, ?) ON CONFLICT (token) "
            "DO UPDATE SET name = excluded.name, headphones = excluded.headphones",
            (token, bare, int(headphones)),
        )
