"""One request put to all shards of a union, and their answers put together.

The order is that of one index over everything, to the last place. Every shard weighs keys by the
union's counts and scores its names the same to the last bit (`union_scores.py`). Of its names it
sends the best few, and the most that any other of its names can score; the best of all shards
together are cut only when no shard can hold a better one unseen (the threshold algorithm of
Fagin, Lotem and Naor 2003). What comes after, comparing and weighing, knows nothing of shards.
"""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from itertools import chain
from typing import Any, Protocol

from catalogue import union_scores
from catalogue.found_names import FETCHED, Found
from catalogue.search_keys import Keys
from catalogue.union_layout import shard_of
from catalogue.union_scores import Counts, Scored, asking, in_order
from catalogue.union_shard import Entry, Shard

_SPARE = 3.0
"""Standard deviations beyond its even share of the best that each shard is asked for at first:
names lie in shards by chance, so that one holds more than this once in a thousand times."""

_SHARE = 0.5
"""Of the time that is left, for one question to the shards: a shard that hangs takes half of it,
and what the others found can still be looked up."""

_DEEPER = 4
"""How many times as many names a shard is asked for that could hold more of the best."""


class Asker(Protocol):
    """Puts a question to shards, wherever they are."""

    @property
    def shards(self) -> int:
        """How many shards there are, whether they answer or not."""
        ...

    def ask(self, questions: dict[int, tuple[Any, ...]], what: str, until: float) -> dict[int, Any]:
        """The answers of the shards that are asked, by their numbers; none of those that did not
        answer `until` then, in seconds of `time.monotonic`.

        `questions` are the arguments for each shard, `what` is a method of `Shard`.
        """
        ...

    def answering(self) -> dict[int, int]:
        """For each shard how many of its replicas answer, as far as is known."""
        ...


class NearShards:
    """Shards in this very process, asked one after another."""

    def __init__(self, shards: Sequence[Shard]) -> None:
        """Shards in the order of their numbers."""
        self._shards = shards

    @property
    def shards(self) -> int:
        """How many there are."""
        return len(self._shards)

    def ask(self, questions: dict[int, tuple[Any, ...]], what: str, until: float) -> dict[int, Any]:
        """All answers; `until` does not count, since nothing is waited for."""
        return {
            number: getattr(self._shards[number], what)(*arguments)
            for number, arguments in questions.items()
        }

    def answering(self) -> dict[int, int]:
        """One of each."""
        return dict.fromkeys(range(self.shards), 1)


class Searching:
    """All that is asked for one request: the union as the matcher sees it, for one thread.

    `missing` are the shards that did not answer in time, so that the answer may lack what they
    hold.
    """

    def __init__(self, counts: Counts, asker: Asker, until: float = math.inf) -> None:
        """`until`, in seconds of `time.monotonic`, is when the answer has to be there."""
        self.counts = counts
        self.missing: set[int] = set()
        self._asker = asker
        self._until = until

    def search(self, keys: Keys, limit: int, rarest: int) -> Found:
        """The `limit` best names of the whole union, as `SoundIndex.search`."""
        asked = asking(keys, self.counts, rarest)
        if not asked.terms:
            return Found.nothing()
        shards = self._asker.shards
        depth = min(limit, math.ceil(limit / shards + _SPARE * math.sqrt(limit / shards)))
        found: dict[int, list[Scored]] = {}
        bounds: dict[int, float] = {}
        deeper = list(range(shards))
        best: list[Scored] = []
        while deeper:
            for number, part in self._ask(dict.fromkeys(deeper, (asked, depth)), "find").items():
                found[number] = part.scored()
                bounds[number] = -math.inf if part.bound is None else part.bound
            best = sorted(chain.from_iterable(found.values()), key=in_order)[:limit]
            least = best[-1].score if len(best) == limit else 0.0
            deeper = [n for n, bound in bounds.items() if bound >= least and n not in self.missing]
            depth *= _DEEPER
        return Found.of([(one.number, one.form) for one in best])

    @property
    def fetched(self) -> int:
        """How many names are taken for one request: each of them comes over the network."""
        return FETCHED

    def rarities(self, words: Sequence[str]) -> list[float]:
        """How rare words are in the whole union, as `SoundIndex.rarities`."""
        return union_scores.rarities(words, self.counts)

    def entries(self, ids: Sequence[int]) -> dict[int, Entry]:
        """The entries with these ids, by id; those of a missing shard are left out."""
        wanted: dict[int, list[int]] = {}
        for one in ids:
            wanted.setdefault(shard_of(one, self._asker.shards), []).append(one)
        found: dict[int, Entry] = {}
        for entries in self._ask({n: (some,) for n, some in wanted.items()}, "entries").values():
            found |= entries
        return {one: found[one] for one in ids if one in found}

    def _ask(self, questions: dict[int, tuple[Any, ...]], what: str) -> dict[int, Any]:
        asked = {n: question for n, question in questions.items() if n not in self.missing}
        now = time.monotonic()
        answers = self._asker.ask(asked, what, now + (self._until - now) * _SHARE)
        self.missing |= asked.keys() - answers.keys()
        return answers
