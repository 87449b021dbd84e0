"""Connecting to Ray: to a cluster that runs already, or to one of this program's own."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

os.environ.setdefault("RAY_USAGE_STATS_ENABLED", "0")  # before Ray is imported: nothing is told
os.environ.setdefault("RAY_ACCEL_ENV_VAR_OVERRIDE_ON_ZERO", "0")

import ray
from ray._private import worker as _ray_worker
from ray.exceptions import RayError

from catalogue.addresses import is_private
from catalogue.errors import UnionProblem

_KNOCK_S = 5.0
"""A cluster whose address does not take a connection so long is not there."""

_OBJECT_STORE_BYTES = 100 * 1024 * 1024
"""Of a cluster of this program's own: answers are small, and tables lie in files."""


@contextmanager
def connected(address: str | None = None) -> Iterator[None]:
    """Connected to a Ray cluster, or to one of this program's own on this machine alone.

    Raises UnionProblem if there is none at the address, or if one of its machines can be reached
    from outside a private network.
    """
    try:
        begin(address)
    except (RayError, OSError, ValueError, RuntimeError) as problem:
        if not address:
            raise UnionProblem(
                f"Ray did not start on this machine ({first_line(problem)}). A machine that is "
                "very busy, or short of memory, can be the reason: try again when it is not."
            ) from problem
        raise UnionProblem(
            f"No Ray cluster can be reached at {address} ({first_line(problem)}). Start one with "
            "“ray start --head”, or leave --address out."
        ) from problem
    try:
        open_ones = [address for address in _addresses() if not is_private(address)]
        if open_ones:
            raise UnionProblem(
                f"The cluster has a machine at {open_ones[0]}, which is no private address. Ray "
                "lets anybody who reaches it run programs: use it on a private network only."
            )
        yield
    finally:
        ray.shutdown()


def begin(address: str | None, **of_ours: int) -> None:
    """Connect to the cluster at the address; without one begin a cluster of this program's own, on
    loopback, whatever else runs on this computer, with these further settings of Ray's.

    Raises what Ray raises, and OSError if nobody listens there.
    """
    quiet = {"log_to_driver": False, "logging_level": "CRITICAL"}
    # Of a lost machine Ray prints a paragraph of its own on the terminal; what it means for the
    # union is told by `union_watch.py`.
    _ray_worker._worker_logs_enabled = False
    if address:
        _knock(address)
        ray.init(address=address, **quiet)
        return
    ray.init(
        address="local",
        _node_ip_address="127.0.0.1",
        include_dashboard=False,
        object_store_memory=_OBJECT_STORE_BYTES,
        **of_ours,
        **quiet,
    )


def _knock(address: str) -> None:
    """Raises OSError if nobody listens at host:port: Ray itself would try for minutes."""
    host, colon, port = address.rpartition(":")
    if colon and port.isdigit() and "/" not in host:
        socket.create_connection((host.strip("[]"), int(port)), timeout=_KNOCK_S).close()


def _addresses() -> Sequence[str]:
    return [str(node["NodeManagerAddress"]) for node in ray.nodes() if node["Alive"]]


def first_line(problem: BaseException) -> str:
    """The line of a problem of Ray's that says what it is: the last one, under a trace."""
    lines = [line.strip() for line in str(problem).splitlines() if line.strip()]
    return lines[-1] if lines else type(problem).__name__
