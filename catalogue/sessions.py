"""Who is signed in where, until when. Owns `sessions`.

A session is a token in a cookie; kept here is its hash, so that signing out ends it here and not
only in the browser. It ends by itself:

- after `IDLE` without anything done (`IDLE_BY_PIN` at a shared desk, where others come by). What a
  page asks for by itself is not something done;
- `LONGEST` after signing in, at the first pause of `PAUSE`: a presenter in the middle of a
  programme is not put out between two records; `LONGEST_OF_ALL` after signing in in any case;
- at once with another passphrase or role, when its person is let in no longer, and by signing out.

NIST SP 800-63B-4 (2.1.3) asks for an end after 30 days at most for a sign-in by one factor, and
proposes a day, and an hour without anything done, where more is asked.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue import browsers
from catalogue.staff import Person
from catalogue.store import Store

IDLE = timedelta(hours=3)
IDLE_BY_PIN = timedelta(hours=1)
LONGEST = timedelta(hours=14)
PAUSE = timedelta(minutes=15)
LONGEST_OF_ALL = timedelta(hours=20)
_NOTED_EVERY = timedelta(minutes=1)
"""How exactly it is noted when something was last done: not a write for every page."""


@dataclass(frozen=True, slots=True)
class Session:
    """One sign-in of one person at one browser."""

    id: int
    person_id: int
    person_key: str
    browser_id: int | None
    by_pin: bool
    started_at: datetime
    seen_at: datetime

    def is_over(self, now: datetime) -> bool:
        """Whether its time is over."""
        quiet, age = now - self.seen_at, now - self.started_at
        idle = IDLE_BY_PIN if self.by_pin else IDLE
        return quiet > idle or (age > LONGEST and quiet > PAUSE) or age > LONGEST_OF_ALL


_COLUMNS = "id, person_id, person_key, browser_id, by_pin, started_at, seen_at"


def start(store: Store, person: Person, browser_id: int | None, by_pin: bool, now: datetime) -> str:
    """Begin a session; returns its token. Those whose time is over are cleared away."""
    token, at = browsers.new_token(), now.isoformat(timespec="seconds")
    with store.transaction() as db:
        db.execute(
            "DELETE FROM sessions WHERE seen_at < ?1 OR started_at < ?2",
            (
                (now - IDLE).isoformat(timespec="seconds"),
                (now - LONGEST_OF_ALL).isoformat(timespec="seconds"),
            ),
        )
        db.execute(
            "INSERT INTO sessions (token_hash, person_id, person_key, browser_id, by_pin, "
            "started_at, seen_at) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (browsers.hash_of(token), person.id, person.session_key, browser_id, by_pin, at, at),
        )
    return token


def find(store: Store, token: str, now: datetime) -> Session | None:
    """The session with this token, None if there is none or its time is over."""
    if not token:
        return None
    rows = store.rows(
        f"SELECT {_COLUMNS} FROM sessions WHERE token_hash = ?", (browsers.hash_of(token),)
    )
    found = _session(rows[0]) if rows else None
    return None if found is None or found.is_over(now) else found


def of(store: Store, person: Person, now: datetime) -> list[Session]:
    """The open sessions of somebody, the newest first."""
    rows = store.rows(
        f"SELECT {_COLUMNS} FROM sessions WHERE person_id = ? AND person_key = ? ORDER BY id DESC",
        (person.id, person.session_key),
    )
    return [session for row in rows if not (session := _session(row)).is_over(now)]


def note(store: Store, session: Session, now: datetime) -> None:
    """Note that something was done, to the minute."""
    if now - session.seen_at >= _NOTED_EVERY:
        with store.transaction() as db:
            db.execute(
                "UPDATE sessions SET seen_at = ? WHERE id = ?",
                (now.isoformat(timespec="seconds"), session.id),
            )


def end(store: Store, session_id: int) -> None:
    """End a session."""
    with store.transaction() as db:
        db.execute("DELETE FROM sessions WHERE id = ?", (session_id,))


def end_of_browser(store: Store, browser_id: int) -> None:
    """End every session at a browser."""
    with store.transaction() as db:
        db.execute("DELETE FROM sessions WHERE browser_id = ?", (browser_id,))


def end_all_in(db: sqlite3.Connection) -> None:
    """End all of them in a database file: one that is put back must not let anybody in anew."""
    if db.execute("SELECT 1 FROM sqlite_master WHERE name = 'sessions'").fetchone():
        db.execute("DELETE FROM sessions")


def _session(row: dict[str, object]) -> Session:
    return Session(
        id=int(str(row["id"])),
        person_id=int(str(row["person_id"])),
        person_key=str(row["person_key"]),
        browser_id=None if row["browser_id"] is None else int(str(row["browser_id"])),
        by_pin=bool(row["by_pin"]),
        started_at=datetime.fromisoformat(str(row["started_at"])),
        seen_at=datetime.fromisoformat(str(row["seen_at"])),
    )
