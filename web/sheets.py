"""Fresh sheets: a page that is no slip yet, and the token that stands for it.

The first thing written on a sheet makes it a slip. Two fields may be sent at the same moment;
the token makes sure that both land on one slip.
"""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable

_REMEMBERED = 500
"""Tokens still known: a page needs its token only until it has been told its slip's number."""


class Sheets:
    """Which sheet became which slip. Lives in memory: a page reloaded knows its slip's number."""

    def __init__(self) -> None:
        self._slips: dict[str, int] = {}
        self._lock = threading.Lock()

    def token(self) -> str:
        """A token for a fresh sheet."""
        return secrets.token_urlsafe(12)

    def slip_of(self, token: str) -> int | None:
        """The slip a sheet became, None if nothing was written on it."""
        with self._lock:
            return self._slips.get(token)

    def slip_for(self, token: str, start: Callable[[], int]) -> int:
        """The slip a sheet became, started now if it was none."""
        with self._lock:
            if token not in self._slips:
                self._slips[token] = start()
                while len(self._slips) > _REMEMBERED:
                    self._slips.pop(next(iter(self._slips)))
            return self._slips[token]
