"""Trying one reader in a process of its own: blindly by a seed, or led by coverage.

The process writes what it does into a shared page (`Board`): the number of the input, when it
began, and the input itself. The process that watches ends it when one input takes too long, and
knows which one that was. Memory is bounded by the system.

Led by coverage: atheris (Google, Apache-2.0, from PyPI) instruments the bytecode of our own and
the readers' packages and keeps inputs that reach new code; what it changes is changed by our own
`damage`, so that every input comes from a valid one and half of the damage lies behind the
header. Blindly: the same damage on valid files alone. That is no coverage-guided fuzzer, and is
what the ordinary tests and machines without atheris use.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import logging
import mmap
import random
import resource
import shutil
import struct
import sys
import time
import traceback
import warnings
from dataclasses import dataclass
from pathlib import Path

SLOWEST_S = 5.0
"""What no input may take."""

MOST_BYTES = 3 << 30
"""Address space of a process that reads: more would be a bomb that was let in."""

INSTRUMENTED = ("importers", "catalogue", "web", "mutagen", "pymarc", "zipfile", "csv")

_PAGE = struct.Struct("<QQQQddQQ")
_INPUT = 4 << 20


@dataclass(slots=True)
class Counts:
    """What was done so far; `began` is 0 between two inputs, times are monotonic seconds."""

    tried: int = 0
    read: int = 0
    refused: int = 0
    deep: int = 0
    began: float = 0.0
    slowest_s: float = 0.0
    peak_kb: int = 0
    size: int = 0


class Board:
    """The shared page: counts, and the input that is being read."""

    def __init__(self, path: Path) -> None:
        if not path.exists():
            path.write_bytes(bytes(_PAGE.size + _INPUT))
        self._file = path.open("r+b")
        self._map = mmap.mmap(self._file.fileno(), _PAGE.size + _INPUT)

    def get(self) -> Counts:
        """The counts as they are now."""
        return Counts(*_PAGE.unpack_from(self._map))

    def put(self, counts: Counts, data: bytes | None = None) -> None:
        """Write the counts, and the input if it is another."""
        if data is not None:
            counts.size = min(len(data), _INPUT)
            self._map[_PAGE.size : _PAGE.size + counts.size] = data[: counts.size]
        _PAGE.pack_into(self._map, 0, counts.tried, counts.read, counts.refused, counts.deep,
                        counts.began, counts.slowest_s, counts.peak_kb, counts.size)  # fmt: skip

    def data(self) -> bytes:
        """The input that is, or was last, being read."""
        return bytes(self._map[_PAGE.size : _PAGE.size + self.get().size])


class Trial:
    """One reader with its board and its findings."""

    def __init__(self, name: str, folder: Path, seed: int) -> None:
        from tests.fuzz.table import READERS

        logging.disable(logging.CRITICAL)
        warnings.simplefilter("ignore")
        shutil.rmtree(folder / "work", ignore_errors=True)
        (folder / "work").mkdir()
        self.open = READERS[name](folder / "work")
        self.board = Board(folder / "board")
        self.counts = self.board.get()
        self.findings = folder / "findings"
        self.findings.mkdir(exist_ok=True)
        self._seed = f"{seed} {name} {self.counts.tried}"
        self._deep = False

    def damaged(self, data: bytes, number: int) -> bytes:
        """A valid or found input, damaged; every second time behind its header."""
        self._deep = number % 2 == 1
        return self.open.change(data, random.Random(f"{self._seed} {number}"), self._deep)

    def once(self, data: bytes) -> None:
        """Read one input; a fault is kept, and the next one tried."""
        counts = self.counts
        counts.began = time.monotonic()
        self.board.put(counts, data)
        before = time.process_time()
        try:
            if self.open.read(data):
                counts.read += 1
            else:
                counts.refused += 1
        except (Exception, RecursionError, MemoryError) as problem:
            keep(self.findings, data, problem)
        spent = time.process_time() - before
        counts.tried += 1
        counts.deep += self._deep
        counts.slowest_s = max(counts.slowest_s, spent)
        counts.peak_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        counts.began = 0.0
        self.board.put(counts)


def keep(findings: Path, data: bytes, problem: BaseException) -> None:
    """Keep an input that brought a fault to light, once for each place it comes from."""
    frames = traceback.extract_tb(problem.__traceback__)
    where = [f"{Path(f.filename).parent.name}/{Path(f.filename).name}:{f.lineno}" for f in frames]
    what = f"{type(problem).__name__} at {where[-1] if where else '?'}"
    ours = [w for w in where if w.startswith(("importers/", "catalogue/", "web/"))]
    sign = hashlib.sha1(f"{what} {ours[-1:]}".encode()).hexdigest()[:12]
    if (findings / f"{sign}.json").exists():
        return
    (findings / f"{sign}.input").write_bytes(data)
    told = "".join(traceback.format_exception(problem))[-6000:]
    text = json.dumps({"what": what, "ours": ours[-1:], "told": told}, ensure_ascii=True)
    (findings / f"{sign}.json").write_text(text)


def blindly(name: str, folder: Path, count: int, seed: int) -> None:
    """So many inputs by chance alone, counted on from what the board says."""
    trial = Trial(name, folder, seed)
    chance = random.Random(f"{seed} {name}")
    start = trial.counts.tried
    for number in range(start, count):
        valid = trial.open.valid[number // 2 % len(trial.open.valid)]
        if chance.random() < 0.2:
            valid = chance.choice(trial.open.valid)
        trial.once(trial.damaged(valid, number))


def led_by_coverage(name: str, folder: Path, count: int, seed: int) -> None:
    """So many inputs by atheris. Does not return: the library ends the process."""
    import atheris

    # What was imported before is not instrumented; the readers are imported by the trial.
    with atheris.instrument_imports(include=list(INSTRUMENTED)), _quiet():
        trial = Trial(name, folder, seed)
    corpus, valid = folder / "corpus", folder / "valid"
    for there in (corpus, valid):
        there.mkdir(exist_ok=True)
    for number, data in enumerate(trial.open.valid):
        (valid / f"{number:05}").write_bytes(data)
    number = 0

    def mutate(data: bytes, longest: int, _chance: int) -> bytes:
        nonlocal number
        number += 1
        try:
            return trial.damaged(bytes(data), number)[:longest]
        except (ValueError, KeyError, TypeError, AttributeError):  # no request any more
            return trial.damaged(trial.open.valid[number % len(trial.open.valid)], number)[:longest]

    left = count - trial.counts.tried
    atheris.Setup(
        [sys.argv[0], f"-runs={left}", f"-seed={seed + 1}", "-mutate_depth=1", "-max_len=2097152",
         "-len_control=0", "-timeout=600", "-rss_limit_mb=0", "-malloc_limit_mb=0",
         "-reload=0", "-verbosity=0", "-print_final_stats=0", "-detect_leaks=0",
         str(corpus), str(valid)],
        trial.once,
        custom_mutator=mutate,
    )  # fmt: skip
    atheris.Fuzz()


@contextlib.contextmanager
def _quiet():  # noqa: ANN202
    """Instrumenting says a line for each module."""
    with (Path("/dev/null")).open("w") as nothing, contextlib.redirect_stderr(nothing):
        yield


def bounded() -> None:
    """Let this process have so much memory and no more."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
