"""A node of the cluster killed while a union is asked: what is lost, and until when."""

from __future__ import annotations

# isort: off
from tests.benchmarks import union_loopback  # noqa: F401  before Ray is imported
# isort: on

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field

from catalogue.errors import UnionProblem
from catalogue.heard import Heard
from catalogue.union_actors import RayShards
from catalogue.union_layout import UnionLayout
from catalogue.union_ray import connected
from catalogue.union_service import Limits, UnionService
from tests.benchmarks import union_cluster
from tests.benchmarks.union_built import Request

_BEFORE_S = 5.0
_AT_MOST_S = 60.0
_AFTER_S = 3.0
CLIENTS = 4
_PATIENT = Limits(at_once=2 * CLIENTS, seconds=10.0)
"""So that what is missing is missing because of the node, and not because of a busy machine."""


@dataclass(slots=True)
class _Seen:
    """What those who ask see, in seconds from the start."""

    whole: int = 0
    partial: int = 0
    refused: int = 0
    slowest_s: float = 0.0
    last_partial: float = 0.0
    lock: threading.Lock = field(default_factory=threading.Lock)


def measure(layout: UnionLayout, replicas: int, asked: Sequence[Request]) -> dict[str, float]:
    """Ask with several at once, kill a node, and go on until every replica answers again."""
    with union_cluster.cluster_of(3) as cluster:
        with connected(cluster.address):
            shards = RayShards(layout, replicas)
            service = UnionService(layout, shards, _PATIENT)
            union_cluster.warm(service)
            head = cluster.head_node.node_id
            victim = next(node for _, node, _ in shards.processes() if node != head)
            seen, stop, started = _Seen(), threading.Event(), time.monotonic()
            threads = [
                threading.Thread(target=_client, args=(service, asked[n::CLIENTS], seen, stop))
                for n in range(CLIENTS)
            ]
            for thread in threads:
                thread.start()
            time.sleep(_BEFORE_S)
            killed = time.monotonic()
            on_it = union_cluster.kill_node(cluster, shards, victim)
            whole_again = _whole_again(shards, len(layout.shards) * replicas, killed)
            time.sleep(_AFTER_S)
            stop.set()
            for thread in threads:
                thread.join()
            told = {
                "answers": seen.whole + seen.partial + seen.refused,
                "answers_a_part_missing": seen.partial,
                "answers_lost": seen.refused,
                "slowest_s": round(seen.slowest_s, 2),
                "a_part_missing_for_s": round(max(0.0, seen.last_partial - killed), 1),
                "replicas_lost": on_it,
                "whole_again_s": round(whole_again, 1),
                "asked_for_s": round(time.monotonic() - started, 1),
            }
            service.close()
            shards.close()
    return told


def _client(
    service: UnionService, asked: Sequence[Request], seen: _Seen, stop: threading.Event
) -> None:
    place = 0
    while not stop.is_set():
        started = time.monotonic()
        try:
            answer = service.ask(Heard(asked[place % len(asked)].heard))
            missing = bool(answer.missing)
        except UnionProblem:
            missing = None
        now = time.monotonic()
        with seen.lock:
            seen.whole += missing is False
            seen.partial += missing is True
            seen.refused += missing is None
            seen.slowest_s = max(seen.slowest_s, now - started)
            if missing:
                seen.last_partial = now
        place += 1


def _whole_again(shards: RayShards, replicas: int, since: float) -> float:
    """Seconds until every replica answers, and is asked again."""
    while time.monotonic() - since < _AT_MOST_S:
        running = len(shards.processes()) == replicas
        if running and sum(shards.answering().values()) == replicas:
            return time.monotonic() - since
        time.sleep(0.1)
    raise SystemExit(f"The union was not whole again after {_AT_MOST_S:.0f} s.")
