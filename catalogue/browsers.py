"""Browsers that somebody signed in at: which are shared desks, and whom each knows.

A browser is known by a token of 256 bits in a cookie of its own; kept here is the token's hash.
Whoever signed in there before is not held up by wrong tries made elsewhere (OWASP, "Slow down
online guessing attacks with device cookies"). Owns `browsers` and `known_browsers`.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue.errors import BadInput, NotFound
from catalogue.store import Store

_LONGEST_NAME = 60
_FORGOTTEN_AFTER = timedelta(days=400)
"""As long as a browser keeps a cookie at most (RFC 6265bis, 5.5)."""


@dataclass(frozen=True, slots=True)
class Browser:
    """A browser with a token; `shared_as` is the desk's name if several people use it."""

    id: int
    shared_as: str = ""
    since: str = ""


def hash_of(token: str) -> str:
    """What is kept of a token: it has 256 bits, so that a fast hash will do."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_token() -> str:
    """A token for a browser or a session: 256 bits."""
    return secrets.token_urlsafe(32)


def of(store: Store, token: str) -> Browser | None:
    """The browser with this token, None if there is none."""
    if not token:
        return None
    rows = store.rows(
        "SELECT id, shared_as, since FROM browsers WHERE token_hash = ?", (hash_of(token),)
    )
    return Browser(**rows[0]) if rows else None


def remember(store: Store, token: str, person_id: int, now: datetime) -> Browser:
    """Note that somebody signed in at the browser with this token; the browser with its id.

    Browsers at which nobody signed in for 400 days are forgotten, shared desks too.
    """
    at = now.isoformat(timespec="seconds")
    with store.transaction() as db:
        db.execute(
            "INSERT INTO browsers (token_hash, since) VALUES (?, ?) ON CONFLICT DO NOTHING",
            (hash_of(token), at),
        )
        found = of(store, token)
        if found is None:
            raise NotFound("This browser could not be remembered. Sign in again.")
        db.execute(
            "INSERT INTO known_browsers (browser_id, person_id, last_used) VALUES (?, ?, ?) "
            "ON CONFLICT DO UPDATE SET last_used = excluded.last_used",
            (found.id, person_id, at),
        )
        db.execute(
            "DELETE FROM browsers WHERE since < ?1 AND id NOT IN "
            "(SELECT browser_id FROM known_browsers WHERE last_used >= ?1)",
            ((now - _FORGOTTEN_AFTER).isoformat(timespec="seconds"),),
        )
    return found


def knows(store: Store, browser: Browser | None, person_id: int) -> bool:
    """Whether somebody signed in at this browser before."""
    return browser is not None and bool(
        store.rows(
            "SELECT 1 FROM known_browsers WHERE browser_id = ? AND person_id = ?",
            (browser.id, person_id),
        )
    )


def share(store: Store, browser: Browser, name: str) -> None:
    """Make a browser a shared desk with this name. Raises BadInput."""
    bare = " ".join(name.split())
    if not bare:
        raise BadInput("Give the desk a name, such as “Studio 1”.")
    if len(bare) > _LONGEST_NAME:
        raise BadInput(
            f"That is too long for a desk's name. Keep it under {_LONGEST_NAME} letters."
        )
    with store.transaction() as db:
        db.execute("UPDATE browsers SET shared_as = ? WHERE id = ?", (bare, browser.id))


def unshare(store: Store, browser: Browser) -> None:
    """Make a shared desk an ordinary browser again."""
    with store.transaction() as db:
        db.execute("UPDATE browsers SET shared_as = '' WHERE id = ?", (browser.id,))


def revoke(store: Store, browser_id: int) -> None:
    """Forget a browser: its PINs work no longer, and it knows nobody. Raises NotFound."""
    with store.transaction() as db:
        # The tables below go by themselves where foreign keys are watched, and here for certain.
        db.execute("DELETE FROM known_browsers WHERE browser_id = ?", (browser_id,))
        if db.execute("DELETE FROM browsers WHERE id = ?", (browser_id,)).rowcount == 0:
            raise NotFound("There is no such desk any more.")


def shared(store: Store) -> list[tuple[Browser, str]]:
    """The shared desks by name, each with when somebody last signed in there."""
    rows = store.rows(
        """SELECT b.id, b.shared_as, b.since,
        coalesce((SELECT max(last_used) FROM known_browsers k WHERE k.browser_id = b.id), b.since)
            AS last_used
        FROM browsers b WHERE b.shared_as != '' ORDER BY b.shared_as COLLATE NOCASE, b.id"""
    )
    return [(Browser(r["id"], r["shared_as"], r["since"]), r["last_used"]) for r in rows]
