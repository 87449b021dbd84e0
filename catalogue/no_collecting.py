"""Work among millions of short lists, in which there are no cycles to look for."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Without Python's search for cycles inside: looking took a quarter of the time of finding
    duplicates among 200,000, and a fifth of describing them (measured)."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
