"""A process of this program's own that answers through its pipes: `python -m importers.NAME`.

It sees the same packages as this one, says nothing in the terminal, and ends with its input.
"""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import suppress
from typing import Any


def start(module: str, encoding: str | None = None) -> subprocess.Popen[Any]:
    """Start it; its pipes carry bytes, or text in this encoding. Raises OSError."""
    return subprocess.Popen(
        [sys.executable, "-m", module],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        encoding=encoding,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )


def close(process: subprocess.Popen[Any]) -> None:
    """Wait for one that was killed, and close its pipes."""
    process.wait()
    for pipe in (process.stdin, process.stdout):
        with suppress(OSError):  # what was under way to a process that is gone
            if pipe is not None:
                pipe.close()
