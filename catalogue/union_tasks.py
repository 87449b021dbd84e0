"""The steps of a build as Ray tasks. Only here, in `union_actors.py` and in `union_ray.py`
is Ray known.

A build is a list of jobs for one function, whose results are taken in the order of the jobs,
whichever is ready first: so the union is the same whatever the number of processes. What tasks
hand to each other lies in files, so all of them must see the same folders: one machine, or a
drive that the machines share.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

os.environ.setdefault("RAY_USAGE_STATS_ENABLED", "0")  # before Ray is imported: nothing is told

import ray

from catalogue import union_ray
from catalogue.errors import UnionProblem

Result = TypeVar("Result")
Run = Callable[[Callable[..., Any], Sequence[tuple[Any, ...]]], Iterator[Any]]
"""Runs a function on each tuple of arguments; results in the order of the jobs."""

_AHEAD = 2
"""Jobs handed to Ray for each process: the next one waits ready, and no more."""


@contextmanager
def tasks(workers: int, address: str = "") -> Iterator[Run]:
    """A way to run jobs in so many processes of a Ray of its own, on loopback alone, or on the
    cluster at `address`. Raises UnionProblem if there is none."""
    ours = not ray.is_initialized()
    if ours:
        try:
            union_ray.begin(address, num_cpus=workers)
        except (ConnectionError, OSError, ValueError, RuntimeError) as problem:
            raise UnionProblem(
                f"Ray cannot be started or reached ({problem}). With --workers 1 a union is built "
                "without it, in this process."
            ) from problem

    def run(function: Callable[..., Result], jobs: Sequence[tuple[Any, ...]]) -> Iterator[Result]:
        remote = ray.remote(function)
        waiting: deque[Any] = deque()
        try:
            for job in jobs:
                waiting.append(remote.remote(*job))
                if len(waiting) >= _AHEAD * workers:
                    yield _result(waiting.popleft())
            while waiting:
                yield _result(waiting.popleft())
        finally:
            for left in waiting:
                ray.cancel(left)

    try:
        yield run
    finally:
        if ours:
            ray.shutdown()


def _result(reference: Any) -> Any:
    """A job's result; what it raised in its process is raised here as it was."""
    try:
        return ray.get(reference)
    except ray.exceptions.RayTaskError as problem:
        raise problem.cause from problem
    except ray.exceptions.RayError as problem:
        raise UnionProblem(
            f"A process of the build was lost ({type(problem).__name__}): perhaps there was too "
            "little memory. The old union is as it was; build again with fewer workers."
        ) from problem
