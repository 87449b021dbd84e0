"""Work that lets everybody else have the processors first."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import TypeVar

_T = TypeVar("_T")

_NICER = 10
"""Steps of Unix niceness: it gets what a desk leaves, about a tenth where both want all."""


def done(work: Callable[[], _T]) -> _T:
    """Do some work and wait for it; what it raises is raised here.

    On Linux in a thread of lower priority, which threads have there each for itself. It must spend
    its time in SQLite or with files: one that held Python's own lock would keep the desks waiting.
    """
    with ThreadPoolExecutor(1, "standing back", this_thread) as threads:
        return threads.submit(work).result()


def this_process(steps: int) -> None:
    """From now on let others go first by so many steps, where the system knows of that."""
    with suppress(AttributeError, OSError):
        os.nice(steps)


def this_thread() -> None:
    """From now on let everybody else go first, where that can be said of one thread alone."""
    if sys.platform == "linux":
        thread = os.PRIO_PROCESS, threading.get_native_id()
        with suppress(OSError):
            if os.getpriority(*thread) < _NICER:
                os.setpriority(*thread, _NICER)
