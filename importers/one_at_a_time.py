"""A lock on a station's folder: one job at a time, whichever program does it.

The system frees it when the program ends, however it ends, so that after a power cut nothing has
to be cleared away.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from catalogue.errors import StoreBusy

_NAME = "taking_in.lock"
_TRIES = 10
_BETWEEN_S = 0.05
"""A page that looks whether a job runs holds the lock for a moment: so it is tried again."""

if sys.platform == "win32":
    import msvcrt

    def _hold(file: BinaryIO) -> None:
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _hold(file: BinaryIO) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


def _taken(folder: Path) -> BinaryIO | None:
    """The open file of the lock, held; None if another program holds it."""
    descriptor = os.open(folder / _NAME, os.O_RDWR | os.O_CREAT, 0o600)
    file = os.fdopen(descriptor, "r+b", 0)
    try:
        _hold(file)
    except OSError:
        file.close()
        return None
    return file


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Do something that only one program may do at a time. Raises StoreBusy."""
    for _ in range(_TRIES):
        if file := _taken(folder):
            break
        time.sleep(_BETWEEN_S)
    else:
        raise StoreBusy(
            "Files or lists are being taken in or measured just now. Wait until that is done, or "
            "stop it on the page “Taking in”."
        )
    with file:
        yield


def is_held(folder: Path) -> bool:
    """Whether a program does something of the kind just now."""
    file = _taken(folder)
    if file is None:
        return True
    file.close()
    return False
