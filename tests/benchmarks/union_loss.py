"""A node of the cluster killed while a union is asked: what is lost, and until when.

What the answers should be is asked before, while everything is there. Every answer under load is
held against it: one that says it is whole must be the same, and one that says a part is missing
must name a shard that was on the killed node. The clock of the outage is that of those who ask.
"""

from __future__ import annotations

# isort: off
from tests.benchmarks import union_loopback  # noqa: F401  before Ray is imported
# isort: on

import threading
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.errors import UnionProblem
from catalogue.heard import Heard
from catalogue.union_actors import RayShards
from catalogue.union_answer import UnionAnswer
from catalogue.union_layout import UnionLayout
from catalogue.union_service import Limits, UnionService
from tests.benchmarks import union_cluster
from tests.benchmarks.union_built import Request

_AT_MOST_S = 60.0
_POLL_S = 0.2
CLIENTS = 4
_PATIENT = Limits(at_once=2 * CLIENTS, seconds=10.0)
"""So that what is missing is missing because of the node, and not because of a busy machine."""

WHOLE, NAMED, WRONG, LOST = "whole", "a_part_missing_and_named", "wrong", "lost"
Expected = Mapping[str, tuple[object, ...]]


@dataclass(frozen=True, slots=True)
class _Answer:
    """One answer as whoever asked saw it, in seconds of `time.monotonic`."""

    kind: str
    asked: float
    came: float


@dataclass(slots=True)
class _Load:
    """Several who ask, one question after another each, until they are stopped."""

    service: UnionService
    expected: Expected
    lost_shards: frozenset[int] = frozenset()
    stop: threading.Event = field(default_factory=threading.Event)
    answers: list[_Answer] = field(default_factory=list)

    def client(self, own: Sequence[str]) -> None:
        """Ask these again and again."""
        place = 0
        while not self.stop.is_set():
            heard = own[place % len(own)]
            asked = time.monotonic()
            try:
                kind = self._kind(heard, self.service.ask(Heard(heard)))
            except UnionProblem:
                kind = LOST
            self.answers.append(_Answer(kind, asked, time.monotonic()))
            place += 1

    def _kind(self, heard: str, answer: UnionAnswer) -> str:
        if answer.missing:
            return NAMED if answer.missing <= self.lost_shards else WRONG
        return WHOLE if _told(answer) == self.expected[heard] else WRONG


def measure(
    cluster: Any, layout: UnionLayout, replicas: int, asked: Sequence[Request], before_s: float
) -> dict[str, object]:
    """Ask with several at once, kill a node, and go on until every replica answers again and was
    asked for as long as before. The cluster must be connected, and has a node less afterwards."""
    shards = RayShards(layout, replicas)
    service = UnionService(layout, shards, _PATIENT)
    try:
        union_cluster.warm(service)
        heard = list(dict.fromkeys(request.heard for request in asked))
        load = _Load(service, {one: _told(service.ask(Heard(one))) for one in heard})
        head = cluster.head_node.node_id
        placed = shards.processes()
        victim = next(node for _, node, _ in placed if node != head)
        on_it = [shard for shard, node, _ in placed if node == victim]
        left = {shard for shard, node, _ in placed if node != victim}
        load.lost_shards = frozenset(on_it) - left
        threads = [
            threading.Thread(target=load.client, args=(heard[n::CLIENTS],)) for n in range(CLIENTS)
        ]
        for thread in threads:
            thread.start()
        time.sleep(before_s)
        killed = time.monotonic()
        union_cluster.kill_node(cluster, shards, victim)
        whole_again = _whole_again(shards, len(layout.shards) * replicas, victim, killed)
        time.sleep(before_s)
        load.stop.set()
        for thread in threads:
            thread.join()
    finally:
        service.close()
        shards.close()
    told = _counted(load.answers, killed, killed + whole_again)
    return told | {"replicas_lost": len(on_it), "shards_lost": len(load.lost_shards),
                   "whole_again_s": round(whole_again, 1)}  # fmt: skip


def _counted(answers: Sequence[_Answer], killed: float, again: float) -> dict[str, object]:
    """Answers by kind, for those that were under way or asked between the kill and the time when
    all was whole again; the outage as it was seen; and how many came in a second."""
    during = [one for one in answers if one.came >= killed and one.asked <= again]
    kinds = Counter(one.kind for one in during)
    amiss = [one.came for one in answers if one.kind != WHOLE]
    first = min(one.asked for one in answers)
    ahead = [one for one in answers if one.came < killed]
    return {
        "answers": len(during),
        **{kind: kinds[kind] for kind in (WHOLE, NAMED, WRONG, LOST)},
        "amiss_before_or_after": sum(one.kind != WHOLE for one in answers)
        - len(during)
        + kinds[WHOLE],
        "seen_for_s": round(max(amiss, default=killed) - killed, 1),
        "slowest_before_s": round(max(one.came - one.asked for one in ahead), 2),
        "slowest_s": round(max(one.came - one.asked for one in during), 2),
        "a_second_before": round(len(ahead) / (killed - first), 1),
        "a_second": round(len(during) / (again - killed), 1),
    }


def _told(answer: UnionAnswer) -> tuple[object, ...]:
    """What of an answer must not change while nothing is missing."""
    return (
        answer.sureness,
        tuple((one.recording.id, one.held_at) for one in answer.matches),
        tuple((one.recording.id, one.held_at) for one in answer.stand_ins),
    )


def _whole_again(shards: RayShards, replicas: int, victim: str, since: float) -> float:
    """Seconds until every replica answers, none from the killed node, and is asked again."""
    while time.monotonic() - since < _AT_MOST_S:
        running = [node for _, node, _ in shards.processes(within_s=_POLL_S)]
        whole = len(running) == replicas and victim not in running
        if whole and sum(shards.answering().values()) == replicas:
            return time.monotonic() - since
        time.sleep(_POLL_S)
    raise SystemExit(f"The union was not whole again after {_AT_MOST_S:.0f} s.")
