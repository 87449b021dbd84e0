"""A Ray cluster of several nodes on this machine's loopback, for the benchmark and the tests.

Every node is a set of processes of its own, as on a machine of its own, so that killing one is
what a machine that stops is to the others.
"""

from __future__ import annotations

# isort: off
from tests.benchmarks import union_loopback  # noqa: F401  before Ray is imported
# isort: on

import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from ray._private.ray_constants import PROCESS_TYPE_RAYLET as _RAYLET
from ray.cluster_utils import Cluster

from catalogue.heard import Heard
from catalogue.union_actors import RayShards
from catalogue.union_service import UnionService

_Thing = TypeVar("_Thing")

_STORE_BYTES = 80 * 1024 * 1024
_LOOPBACK = {
    "node_ip_address": "127.0.0.1",
    "num_cpus": 1,
    "object_store_memory": _STORE_BYTES,
    "include_dashboard": False,
}


@contextmanager
def cluster_of(nodes: int, *, idle_head: bool = False) -> Iterator[Cluster]:
    """A cluster of so many nodes, the first of them the head; an idle one runs no shard, so that
    every shard lies on a node that can be killed."""
    head = {**_LOOPBACK, "num_cpus": 0} if idle_head else _LOOPBACK
    cluster = Cluster(initialize_head=True, head_node_args=head)
    try:
        for _ in range(nodes - 1):
            cluster.add_node(wait=False, **_LOOPBACK)
        cluster.wait_for_nodes()
        yield cluster
    finally:
        cluster.shutdown()


def add_node(cluster: Cluster) -> Any:
    """One more node."""
    return cluster.add_node(**_LOOPBACK)


def kill_node(cluster: Cluster, shards: RayShards, node_id: str) -> int:
    """End all processes of a node at once, as a power cut does; returns how many replicas.

    Unlike after a power cut the others' connections to it are closed, and not just silent.
    """
    victim = next(node for node in cluster.worker_nodes if node.node_id == node_id)
    actors = [process for _, node, process in shards.processes() if node == node_id]
    for told in victim.all_processes[_RAYLET]:
        os.kill(told.process.pid, signal.SIGSTOP)  # it must not live to tell of its actors' end
    for process in actors:  # they would live on for seconds after their node
        os.kill(process, signal.SIGKILL)
    cluster.remove_node(victim, allow_graceful=False)
    return len(actors)


def warm(service: UnionService) -> None:
    """Ask a few times, so that files are mapped and processes have met."""
    for heard in ("a first question", "the last boat by nobody", "moon river"):
        service.ask(Heard(heard))


def per_thread(make: Callable[[], _Thing]) -> Callable[[], _Thing]:
    """One thing for each thread that asks for it."""
    own = threading.local()

    def get() -> _Thing:
        if not hasattr(own, "thing"):
            own.thing = make()
        thing: _Thing = own.thing
        return thing

    return get


def memory(shards: RayShards) -> dict[str, float]:
    """MB of an actor, on average: its own, and of mapped files, which the system may let go."""
    own, mapped = [], []
    for _, _, process in shards.processes():
        lines = Path(f"/proc/{process}/status").read_text().splitlines()
        sizes = {line.split(":")[0]: int(line.split()[1]) for line in lines if " kB" in line}
        own.append(sizes["RssAnon"] / 1024)
        mapped.append(sizes["RssFile"] / 1024)
    return {
        "actor_mb": round(sum(own) / len(own), 1),
        "actor_mapped_mb": round(sum(mapped) / len(mapped), 1),
    }
