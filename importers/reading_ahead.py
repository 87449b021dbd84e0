"""Files read by other processes while this one writes the catalogue; order is kept.

mutagen and the cleaning are plain Python, so that threads alone would gain nothing: each of a
few threads hands parts to a process of its own (`reading_worker`), and only waits for it. Only a
few parts are under way at a time, and memory does not grow with the library.
"""

from __future__ import annotations

import itertools
import os
import pickle
import subprocess
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from importers import own_process
from importers.reading_worker import Read, packed, read_one, read_part, unpacked

PART = 32
"""Files read by one process at a time: enough to hide what handing over costs."""

_AHEAD = 5
"""Parts that each reading process has before it, so that it goes on while this one writes: some
hundred files in memory."""

WORTH_IT = 200
"""Files below which other processes would take longer to start than to help."""

_READERS = max(1, min(3, os.cpu_count() or 1))
"""Reading processes: more than three only wait for the one that writes. It reads nothing itself
once they are there: what it waits for most is the disk."""


class ReaderGone(Exception):
    """A reading process ended, or could not be started: out of memory, or no right to."""


def read_all(paths: Sequence[str], root: Path) -> Iterator[Read]:
    """What each file says, in order; a file that cannot be used is refused with its reason."""
    done = 0
    if len(paths) >= WORTH_IT:
        readers = Readers()
        try:
            for part in _in_order(readers, paths, root):
                done += len(part)
                yield from part
        except ReaderGone:
            pass  # the rest is read here
        finally:
            readers.close()
    yield from (read_one(path, root) for path in paths[done:])


def _in_order(readers: Readers, paths: Sequence[str], root: Path) -> Iterator[list[Read]]:
    """Parts sent out and read, in order; until the processes have started, they are read here."""
    parts = (list(paths[start : start + PART]) for start in range(0, len(paths), PART))
    started = readers.send([], root)
    while not started.done() and (part := next(parts, None)):
        yield read_part(part, root)
    under_way: deque[Future[bytes]] = deque()
    while True:
        for part in itertools.islice(parts, _AHEAD * _READERS - len(under_way)):
            under_way.append(readers.send(part, root))
        if not under_way:
            return
        read: list[Read] = pickle.loads(under_way.popleft().result())
        yield read


class Readers:
    """A few processes that read, each with a thread that waits for its answers.

    The threads only carry bytes: what they say is unpacked where it is wanted, so that they do
    not take turns with the one that writes.
    """

    def __init__(self) -> None:
        self._processes: list[subprocess.Popen[bytes]] = []
        self._answers = [ThreadPoolExecutor(1, "reader") for _ in range(_READERS)]
        self._sent = 0

    def send(self, paths: list[str], root: Path) -> Future[bytes]:
        """Have a part read; the future has the pickled answer, or raises ReaderGone."""
        number = self._sent % _READERS
        self._sent += 1
        try:
            if number == len(self._processes):
                self._processes.append(own_process.start("importers.reading_worker"))
            process = self._processes[number]
            assert process.stdin is not None
            process.stdin.write(packed((paths, root)))
            process.stdin.flush()
        except OSError as problem:
            raise ReaderGone from problem
        return self._answers[number].submit(_answer, process)

    def close(self) -> None:
        """End the processes; parts under way are given up."""
        for process in self._processes:
            process.kill()
        for thread in self._answers:
            thread.shutdown(wait=True, cancel_futures=True)
        for process in self._processes:
            own_process.close(process)


def _answer(process: subprocess.Popen[bytes]) -> bytes:
    """The next answer of a process, still packed. Raises ReaderGone."""
    assert process.stdout is not None
    try:
        return unpacked(process.stdout)
    except (OSError, EOFError, ValueError) as problem:
        raise ReaderGone from problem
