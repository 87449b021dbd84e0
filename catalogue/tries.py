"""Tries to sign in, and how long to wait after wrong ones. Owns `sign_in_tries`.

Kept in the database, so that starting the station anew is no way round the wait. Whose tries they
are is kept as a hash with the station's key, since people type passphrases into the wrong box.
A try is counted before it is looked at: sixteen at the same moment are sixteen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalogue.store import Store

_FORGOTTEN_AFTER = timedelta(hours=12)
"""Yesterday's slips of the hand are not today's."""

_MOST_KEPT = 5_000
"""Rows kept; the oldest go first."""


@dataclass(frozen=True, slots=True)
class Rule:
    """How many tries are free, and how long the wait may grow to, doubling from 2 seconds."""

    free: int
    longest_s: int

    def pause_s(self, tries: int) -> int:
        """Seconds to wait after so many tries."""
        if tries < self.free:
            return 0
        return int(min(2 ** min(tries - self.free + 1, 30), self.longest_s))


STRANGER = Rule(free=3, longest_s=60)
"""A name tried at an address from where that person did not sign in before."""

KNOWN = Rule(free=5, longest_s=15)
"""Somebody at a browser where they signed in before: tries made elsewhere do not count."""

ADDRESS = Rule(free=30, longest_s=60)
"""All names tried at one address by browsers that do not know them."""

PIN = Rule(free=5, longest_s=60)
"""A PIN at its desk; whoever cannot wait uses the passphrase, which is counted apart."""


def begin(store: Store, who: str, rule: Rule, now: datetime) -> int:
    """Count a try, or the seconds still to wait before one, 0 if it may be made now."""
    with store.transaction() as db:
        rows = store.rows("SELECT tries, last FROM sign_in_tries WHERE who = ?", (who,))
        tries = 0
        if rows:
            last = datetime.fromisoformat(rows[0]["last"])
            tries = rows[0]["tries"] if now - last < _FORGOTTEN_AFTER else 0
            wait = last + timedelta(seconds=rule.pause_s(tries)) - now
            if wait > timedelta():
                return math.ceil(wait.total_seconds())
        db.execute(
            "INSERT INTO sign_in_tries (who, tries, last) VALUES (?, ?, ?) "
            "ON CONFLICT DO UPDATE SET tries = excluded.tries, last = excluded.last",
            (who, tries + 1, now.isoformat(timespec="microseconds")),
        )
        db.execute(
            "DELETE FROM sign_in_tries WHERE who IN "
            "(SELECT who FROM sign_in_tries ORDER BY last DESC LIMIT -1 OFFSET ?)",
            (_MOST_KEPT,),
        )
    return 0


def right(store: Store, *who: str) -> None:
    """Forget the tries of somebody who came in."""
    with store.transaction() as db:
        for one in who:
            db.execute("DELETE FROM sign_in_tries WHERE who = ?", (one,))
