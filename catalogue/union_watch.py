"""What is told while a union runs: which shards are lost, and when they are back."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from catalogue.union_layout import UnionLayout

_STEADY_S = 1.0
"""A state that lasts less is not told: a busy moment of a machine is no loss."""


class UnionWatch:
    """Tells each change in how many replicas of a shard live, once, in a sentence."""

    def __init__(self, layout: UnionLayout, replicas: int, tell: Callable[[str], None]) -> None:
        """At first every shard has all its replicas."""
        self._entries = {shard.number: shard.entries for shard in layout.shards}
        self._replicas = replicas
        self._tell = tell
        self._told = dict.fromkeys(self._entries, replicas)
        self._seen = dict.fromkeys(self._entries, (replicas, 0.0))

    def saw(self, living: Mapping[int, int], now: float) -> None:
        """So many replicas of each shard live `now`, in seconds of `time.monotonic`."""
        for shard, count in living.items():
            if count != self._seen[shard][0]:
                self._seen[shard] = (count, now)
            elif count != self._told[shard] and now - self._seen[shard][1] >= _STEADY_S:
                self._told[shard] = count
                self._tell(self._sentence(shard, count))

    def _sentence(self, shard: int, living: int) -> str:
        if living == self._replicas:
            return f"Shard {shard} is whole again."
        if living:
            return (
                f"Of shard {shard} only {living} of {self._replicas} replicas answer. Nothing is "
                "missing from answers; Ray starts the others again while it has a machine for them."
            )
        return (
            f"Shard {shard} does not answer. Its {self._entries[shard]:,} recordings are missing "
            "from answers until it is back; Ray starts it again while it has a machine for it."
        )
