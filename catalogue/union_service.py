"""A union that is served: so many questions at once, each with its time, and no more.

A question that would have to wait for others is refused at once, since a searcher with a caller
on the line is better told so than kept waiting; the station goes on with what it holds itself.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from catalogue.errors import UnionProblem
from catalogue.heard import Heard
from catalogue.union_answer import UnionAnswer, answer
from catalogue.union_layout import UnionLayout
from catalogue.union_search import Asker, Searching
from catalogue.union_terms import UnionTerms

AT_ONCE = 16
"""Questions at once: as many as the server has threads."""

SECONDS = 2.0
"""For one question. An answer takes a tenth of it; a caller does not wait for more."""


class UnionBusy(UnionProblem):
    """As many questions as can be answered are being answered."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Questions at once, and seconds for each."""

    at_once: int = AT_ONCE
    seconds: float = SECONDS


class UnionService:
    """An open union. Safe to share between threads."""

    def __init__(self, layout: UnionLayout, asker: Asker, limits: Limits | None = None) -> None:
        """`asker` reaches the shards of the union, wherever they run."""
        self.layout = layout
        self.asker = asker
        self.limits = limits or Limits()
        self._local = threading.local()
        self._opened: list[UnionTerms] = []
        self._free = threading.BoundedSemaphore(self.limits.at_once)
        self._terms()  # a file that cannot be read is told before anything is served

    def ask(self, heard: Heard) -> UnionAnswer:
        """The answer to one request. Raises UnionBusy if too many are being answered."""
        with self._turn():
            until = time.monotonic() + self.limits.seconds
            return answer(Searching(self._terms(), self.asker, until), heard)

    def close(self) -> None:
        """Let go of the files."""
        for terms in self._opened:
            terms.close()

    @contextmanager
    def _turn(self) -> Iterator[None]:
        if not self._free.acquire(blocking=False):
            raise UnionBusy("The union is busy. Ask again in a moment.")
        try:
            yield
        finally:
            self._free.release()

    def _terms(self) -> UnionTerms:
        """The counts of the union, opened once for each thread."""
        terms: UnionTerms | None = getattr(self._local, "terms", None)
        if terms is None:
            terms = self._local.terms = UnionTerms(self.layout.terms)
            self._opened.append(terms)
        return terms
