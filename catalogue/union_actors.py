"""The shards of a union as Ray actors: one for each shard and replica, on any Ray cluster.

A question is put to one replica of each shard. Where that fails, or is slower than nearly all
answers were lately, it is put to the next replica as well, and the first answer counts (Dean and
Barroso 2013, "The Tail at Scale"). An actor whose node is lost is started again by Ray on another
node, from the shard's files, which must be under the same path on every node.
"""

from __future__ import annotations

import os
import pickle
import threading
import time
import zlib
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

import ray
from ray.exceptions import RayActorError, RayError
from ray.util.placement_group import placement_group, remove_placement_group
from ray.util.scheduling_strategies import PlacementGroupSchedulingStrategy

from catalogue.errors import UnionProblem
from catalogue.union_layout import ShardFiles, UnionLayout
from catalogue.union_ray import first_line
from catalogue.union_shard import Shard
from catalogue.union_watch import UnionWatch

WAITING = 32
"""Questions that may wait at one replica; more are put to another, or count as not answered."""

_THREADS = 4
"""Questions that one replica works on at once: tantivy searches outside Python's lock."""

_CPU = 0.01
"""Of a processor, for Ray's reckoning: replicas wait more than they work, and any number of them
must fit on a laptop."""

_FIRST_HEDGE_S = 0.25
_LEAST_HEDGE_S = 0.05
"""After how long the next replica is asked too: at first, and at least. Between, it goes by the
answers lately."""

_LATELY = 200
_HEDGED_FROM = 0.95
"""Of so many answers lately the slowest twentieth: then asking twice costs a twentieth more."""

_LOOK_UP_S = 5.0
"""The longest that is waited in one go."""

_TEND_EVERY_S = 0.1
"""How often doubtful replicas are looked after: so long a shard that is back is still missed."""

_UNASKED_S = 5.0
"""How often every replica is pinged: one that nobody asked may be lost as well."""

_PING_S = 2.0
"""A replica that does not answer a ping so long is lost."""

_LOST_S = 0.5
"""A replica is lost that had at least so long for an answer which nobody else had either."""

_START_S = 120.0
"""Within this all replicas must have opened their shards."""


class _ShardActor:
    """A shard in a process of its own."""

    def __init__(self, files: ShardFiles) -> None:
        self._shard = Shard(files)

    def ask(self, what: str, arguments: tuple[Any, ...]) -> bytes:
        """Call a method of the shard; its answer is packed.

        Ray sends what has more than 100 KB by way of its object store: that takes five times as
        long, and what lies in the store of a machine that is lost holds up what others send.
        """
        answer = pickle.dumps(getattr(self._shard, what)(*arguments), pickle.HIGHEST_PROTOCOL)
        return zlib.compress(answer, 1)

    def process(self) -> tuple[str, int]:
        """The node it runs on, and its process: also a sign of life."""
        return ray.get_runtime_context().get_node_id(), os.getpid()


@dataclass(eq=False, slots=True)
class _Replica:
    """One actor, and what is known of it here.

    A doubtful one was slower than another, or failed, and has to show that it lives; it is asked
    if there is no better. A lost one is not asked until it has shown it: nobody waits for it.
    """

    shard: int
    actor: Any
    waiting: int = 0
    doubtful: bool = False
    lost: bool = False
    ping: Any = None
    pinged_at: float = 0.0


@dataclass(slots=True)
class _Round:
    """One question to several shards while it is under way."""

    what: str
    questions: dict[int, tuple[Any, ...]]
    answers: dict[int, Any] = field(default_factory=dict)
    asked: dict[Any, tuple[_Replica, float]] = field(default_factory=dict)
    tried: dict[int, list[_Replica]] = field(default_factory=dict)

    def open_shards(self) -> list[int]:
        """Those that have not answered, and of which an answer may still come."""
        due = {replica.shard for replica, _ in self.asked.values()}
        return [n for n in self.questions if n not in self.answers and n in due]


class RayShards:
    """The `Asker` of a union whose shards are Ray actors. Safe to share between threads."""

    def __init__(
        self, layout: UnionLayout, replicas: int, tell: Callable[[str], None] = lambda _: None
    ) -> None:
        """Start the actors and wait until all have opened their shards.

        `tell` is given a sentence when a shard loses replicas, and when it is whole again.
        Replicas of one shard go to different nodes while there are enough. Ray must be connected,
        see `connected`. Raises UnionProblem if a shard cannot be opened.
        """
        nodes = sum(node["Alive"] for node in ray.nodes())
        # Strictly apart only where that still can be after a node is lost: else Ray would wait.
        strategy = "STRICT_SPREAD" if nodes > replicas else "SPREAD"
        self._spread = {
            files.number: placement_group([{"CPU": _CPU}] * replicas, strategy=strategy)
            for files in layout.shards
        }
        self._replicas = {
            files.number: [
                _Replica(files.number, _actor(files, self._spread[files.number], n))
                for n in range(replicas)
            ]
            for files in layout.shards
        }
        self._lock = threading.Lock()
        self._late: dict[Any, _Replica] = {}
        self._took: deque[float] = deque(maxlen=_LATELY)
        self._watch = UnionWatch(layout, replicas, tell)
        self._stop = threading.Event()
        self._tending = threading.Thread(target=self._tend, daemon=True)
        try:
            ray.get([one.actor.process.remote() for one in self._every()], timeout=_START_S)
        except (RayError, TimeoutError) as problem:
            self.close()
            raise UnionProblem(
                "Not every shard of the union could be opened. The folder of the union must be "
                f"under the same path on every machine of the cluster. ({first_line(problem)})"
            ) from problem
        self._tending.start()

    @property
    def shards(self) -> int:
        """How many shards there are."""
        return len(self._replicas)

    def ask(self, questions: dict[int, tuple[Any, ...]], what: str, until: float) -> dict[int, Any]:
        """See `Asker`. A shard whose replicas all fail, are lost, or have too much waiting, is left
        out."""
        going = _Round(what, questions)
        for number in questions:
            self._put(going, number)
        hedge_at = time.monotonic() + self._hedge_s()
        while going.open_shards():
            now = time.monotonic()
            if now >= until:
                break
            patience = max(0.0, min(until - now, hedge_at - now, _LOOK_UP_S))
            done, _ = ray.wait(list(going.asked), num_returns=1, timeout=patience)
            for ref in done:
                self._take(going, ref)
            if time.monotonic() >= hedge_at:
                hedge_at = float("inf")
                for number in going.open_shards():
                    self._put(going, number)
        with self._lock:
            for ref, (replica, since) in going.asked.items():
                self._late[ref] = replica
                # Another replica was quicker, or nobody: this one has to show that it lives.
                replica.doubtful = True
                nobody = replica.shard not in going.answers
                replica.lost |= nobody and time.monotonic() - since >= _LOST_S
        return going.answers

    def answering(self) -> dict[int, int]:
        """For each shard how many of its replicas answer, as far as is known."""
        with self._lock:
            return {
                number: sum(not one.doubtful and not one.lost for one in replicas)
                for number, replicas in self._replicas.items()
            }

    def processes(self, within_s: float = _PING_S) -> list[tuple[int, str, int]]:
        """(shard, node, process) of every replica that answers within a moment."""
        asked = {one.actor.process.remote(): one.shard for one in self._every()}
        done, _ = ray.wait(list(asked), num_returns=len(asked), timeout=within_s)
        found = []
        for ref in done:
            with suppress(RayError):
                found.append((asked[ref], *ray.get(ref)))
        return sorted(found)

    def close(self) -> None:
        """End the actors."""
        self._stop.set()
        if self._tending.is_alive():
            self._tending.join(timeout=2 * _PING_S)
        for one in self._every():
            with suppress(RayError):
                ray.kill(one.actor)
        for group in self._spread.values():
            with suppress(RayError):
                remove_placement_group(group)

    def _every(self) -> Iterator[_Replica]:
        return (one for replicas in self._replicas.values() for one in replicas)

    def _put(self, going: _Round, number: int) -> None:
        """Ask the next replica of a shard: one that lives before one in doubt, the idlest first."""
        tried = going.tried.setdefault(number, [])
        with self._lock:
            free = [
                one for one in self._replicas[number]
                if one not in tried and not one.lost and one.waiting < WAITING
            ]  # fmt: skip
            if not free:
                return
            replica = min(free, key=lambda one: (one.doubtful, one.waiting))
            replica.waiting += 1
        tried.append(replica)
        try:
            ref = replica.actor.ask.remote(going.what, going.questions[number])
        except RayError as problem:
            self._failed(replica, problem)
            self._put(going, number)
        else:
            going.asked[ref] = replica, time.monotonic()

    def _take(self, going: _Round, ref: Any) -> None:
        """Take the answer of one replica; if it failed, ask the next one."""
        replica, since = going.asked.pop(ref)
        try:
            answer = pickle.loads(zlib.decompress(ray.get(ref)))
        except RayError as problem:
            self._failed(replica, problem)
            if replica.shard not in going.answers:
                self._put(going, replica.shard)
            return
        with self._lock:
            replica.waiting -= 1
            replica.doubtful = replica.lost = False
            self._took.append(time.monotonic() - since)
        going.answers.setdefault(replica.shard, answer)

    def _failed(self, replica: _Replica, problem: RayError) -> None:
        with self._lock:
            replica.waiting -= 1
            replica.doubtful = True
            # One that fails over a question has answered, in its way.
            replica.lost |= isinstance(problem, RayActorError)

    def _hedge_s(self) -> float:
        with self._lock:
            took = sorted(self._took)
        if len(took) < _LATELY // 2:
            return _FIRST_HEDGE_S
        return max(_LEAST_HEDGE_S, took[int(len(took) * _HEDGED_FROM)])

    # Below: looking after the replicas, in a thread of its own.

    def _tend(self) -> None:
        while not self._stop.wait(_TEND_EVERY_S):
            self._reap()
            for one in self._every():
                quiet = time.monotonic() - one.pinged_at > _UNASKED_S
                if one.doubtful or one.ping is not None or quiet:
                    self._look_after(one)
            living = {n: sum(not one.lost for one in some) for n, some in self._replicas.items()}
            self._watch.saw(living, time.monotonic())

    def _reap(self) -> None:
        """Count out the questions whose answers nobody waits for any more."""
        with self._lock:
            late = list(self._late)
        if not late:
            return
        done, _ = ray.wait(late, num_returns=len(late), timeout=0)
        with self._lock:
            for ref in done:
                self._late.pop(ref).waiting -= 1

    def _look_after(self, one: _Replica) -> None:
        """Ping a replica, one ping at a time; it is lost unless it answers, until it does."""
        if one.ping is None:
            one.pinged_at = time.monotonic()
            with suppress(RayError):
                one.ping = one.actor.process.remote()
            return
        done, _ = ray.wait([one.ping], timeout=0)
        if not done and time.monotonic() - one.pinged_at <= _PING_S:
            return
        lives = False
        with suppress(RayError):
            lives = bool(done and ray.get(one.ping))
        one.ping = None
        with self._lock:
            one.doubtful = one.lost = not lives


def _actor(files: ShardFiles, spread: Any, number: int) -> Any:
    """A replica, on another node than its fellows while there is one; when it is lost Ray starts
    it again elsewhere."""
    kind = ray.remote(
        num_cpus=_CPU,
        max_restarts=-1,
        max_task_retries=0,  # asking the next replica is quicker
        max_concurrency=_THREADS,
        max_pending_calls=2 * WAITING,
        scheduling_strategy=PlacementGroupSchedulingStrategy(spread, number),
    )(_ShardActor)
    return kind.remote(files)
