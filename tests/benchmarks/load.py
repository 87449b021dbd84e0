"""The whole station under load: python -m tests.benchmarks.load [--quick] [--json]

The real server, `asheard serve` in a process of its own, on loopback with 100,000 recordings.
Twenty desks are open and ask for changes as their pages do; six of the phone desks type, five
keys a second with the unevenness of a hand, and ask when their page would: 250 ms after the last
key (`hx-trigger` in `templates/phone/heard.html`), one question under way and one that waits. All
that is typed is different. Meanwhile a folder of audio files is taken in again and again, every
file read, and the station is copied, one copy after another. Ten minutes of that; then questions
come at a rate that is raised until the 95th percentile of an answer passes one second.

Beside it, in the same run, the plain alternatives: one desk alone, with nothing else going on,
and the same questions answered by a token-set-ratio scan of all names.

Times are from the first byte sent to the last byte of the answer, on the desk's side. Traffic
goes to 127.0.0.1 alone, and every loop ends with its time. Desks and server share the PC's
processors, so that the figures are what a station's PC with all of its desks on it would show.
Linux: memory is read from /proc.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

import numpy as np
import soundfile
from rapidfuzz import fuzz, process

from catalogue import roots, staff
from catalogue.store import Store
from tests.benchmarks import enquire, hearing_data
from tests.benchmarks.load_desks import Desks, percentile
from tests.benchmarks.load_rate import raised

PASSPHRASE = "four plain words"
PEOPLE = (("Nell", "searcher"), ("Walter", "presenter"), ("Dilys", "librarian"))

LIMIT_P95_MS = 150.0
"""What is promised of an answer while all of that goes on."""

MEMORY_FLAT_MB = 60.0
"""How much more of its own the server may hold at the end than a minute after the desks sat down:
caches of SQLite and the allocator's, which do not grow with time."""

LOOKS = 9
"""Times that memory is looked at while the desks are open: once a minute in the full run."""

BETWEEN_COPIES_S = 2.0
"""From the end of one copy to the beginning of the next: they are made nearly without pause."""

SCANNED = 15


@dataclass(frozen=True, slots=True)
class Size:
    """How large a run is."""

    recordings: int
    files: int
    seconds: float
    alone_s: float
    first_rate: float
    factor: float
    step_s: float


FULL = Size(100_000, 6_000, 600.0, 20.0, 8.0, 1.4, 12.0)
QUICK = Size(5_000, 300, 12.0, 5.0, 12.0, 2.0, 2.5)


def main() -> None:
    """Build the station, serve it, and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--quick", action="store_true", help="5,000 recordings, within a minute")
    parser.add_argument("--seconds", type=float, help="how long the twenty desks are open")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    given = parser.parse_args()
    size = QUICK if given.quick else FULL
    with tempfile.TemporaryDirectory() as work:
        folder, music = Path(work) / "station", Path(work) / "music"
        _build(folder, music, size)
        figures = _measured(folder, music, size, given.seconds or size.seconds)
    _print(figures)
    if given.json:
        print(json.dumps(figures))
    if figures["errors"] or figures["raised"]["errors"]:
        sys.exit(1)


def _build(folder: Path, music: Path, size: Size) -> None:
    folder.mkdir()
    enquire.build(folder, size.recordings)
    store = Store(folder / "asheard.db")
    now = datetime(2026, 1, 1, 20, 0)
    for name, role in PEOPLE:
        staff.add(store, name, role, PASSPHRASE, "benchmark", now)
    roots.add(store, str(music), "benchmark", now)
    store.close()
    sound = 0.1 * np.random.default_rng(5).standard_normal(8_000)
    for number in range(size.files):
        path = music / f"{number % 97:02}" / f"{number:05} tide.flac"
        path.parent.mkdir(parents=True, exist_ok=True)
        soundfile.write(path, sound + number * 1e-6, 8_000)


def _measured(folder: Path, music: Path, size: Size, seconds: float) -> dict:
    with _served(folder) as (port, pid):
        desks = Desks("127.0.0.1", port, PASSPHRASE, size.recordings)
        alone = desks.alone(size.alone_s)
        with _copying(folder, seconds + 30) as copies, desks.taking_in(music) as taken:
            settle = min(60.0, seconds / 5)
            rest = desks.evening(settle).errors
            with _memory(pid, (seconds - settle) / LOOKS) as memory:
                seen = desks.evening(seconds - settle)
        steps = raised(
            [browser for browser, _ in desks.open()],
            size.recordings, size.first_rate, size.factor, size.step_s,
        )  # fmt: skip
    names = [f"{n.title} {n.artist}".lower() for n in enquire.names_of(size.recordings)]
    return {
        "recordings": size.recordings, "seconds": round(seconds), "desks": 20, "typing": 6,
        "errors": len(seen.errors) + len(rest) + len(alone.errors),
        "error_kinds": sorted({*seen.errors, *rest, *alone.errors})[:10],
        "answers": len(seen.answers), "p50_ms": percentile(seen.answers, 50),
        "p95_ms": percentile(seen.answers, 95), "worst_ms": percentile(seen.answers, 100),
        "changes_asked": len(seen.asked), "asking_p50_ms": percentile(seen.asked, 50),
        "asking_p95_ms": percentile(seen.asked, 95),
        "asked_a_second": round((len(seen.answers) + len(seen.asked)) / seen.seconds, 1),
        "answers_a_second": round(len(seen.answers) / seen.seconds, 1),
        "memory_start_mb": memory[0].own, "memory_end_mb": memory[-1].own,
        "memory_mb": [one.own for one in memory], "mapped_mb": [one.mapped for one in memory],
        "copies_made": copies[0], "files_taken_in": taken[0],
        "alone_p50_ms": percentile(alone.answers, 50),
        "alone_p95_ms": percentile(alone.answers, 95), "scan_p95_ms": _scan(names),
        "raised": asdict(steps), "cores": os.cpu_count(),
        "load_average": round(os.getloadavg()[0], 1),
    }  # fmt: skip


@contextlib.contextmanager
def _served(folder: Path) -> Iterator[tuple[int, int]]:
    """`asheard serve` in a process of its own; yields its port and the number of its process."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    code = "from web.command_line import main; main()"
    server = subprocess.Popen(
        [sys.executable, "-c", code, "serve", "--station", str(folder), "--port", str(port)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        for _ in range(600):
            with contextlib.suppress(OSError):
                socket.create_connection(("127.0.0.1", port), timeout=1).close()
                break
            time.sleep(0.1)
        else:
            raise SystemExit("The server did not start within a minute.")
        yield port, server.pid
    finally:
        server.terminate()
        server.wait(30)


@contextlib.contextmanager
def _copying(folder: Path, at_most_s: float) -> Iterator[list[int]]:
    """One copy of the station after another, by `asheard copy`; yields how many were made."""
    code = (
        "import sys, time\nfrom pathlib import Path\nfrom web.command_line import main\n"
        "end = time.monotonic() + float(sys.argv[2])\nmade = 0\n"
        "while time.monotonic() < end:\n"
        "    try:\n        main(['copy', '--station', sys.argv[1]])\n"
        "    except SystemExit as done:\n        made += not done.code\n"
        "    Path(sys.argv[3]).write_text(str(made))\n"
        f"    time.sleep({BETWEEN_COPIES_S})\n"
    )
    told = folder.parent / "copies"
    told.write_text("0")
    copying = subprocess.Popen(
        [sys.executable, "-c", code, str(folder), str(at_most_s), str(told)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    made = [0]
    try:
        yield made
    finally:
        copying.terminate()
        copying.wait(30)
        made[0] = int(told.read_text() or 0)


@dataclass(frozen=True, slots=True)
class Memory:
    """What a process holds, in MB: its own, and pages of files that the system lends it.

    Lent pages are counted once for every thread's connection that has them mapped, and are given
    back when the file grows or somebody else wants the memory: they say nothing of a leak.
    """

    own: float
    mapped: float


@contextlib.contextmanager
def _memory(pid: int, every_s: float) -> Iterator[list[Memory]]:
    """Look now, every so many seconds, and at the end."""
    seen, over = [_memory_now(pid)], threading.Event()

    def look() -> None:
        while not over.wait(every_s):
            seen.append(_memory_now(pid))

    looking = threading.Thread(target=look)
    looking.start()
    try:
        yield seen
    finally:
        over.set()
        looking.join()
        seen.append(_memory_now(pid))


def _memory_now(pid: int) -> Memory:
    """From proc(5), /proc/pid/status."""
    told = dict(line.split(":", 1) for line in Path(f"/proc/{pid}/status").read_text().splitlines())
    own, mapped = (int(told[name].split()[0]) / 1024 for name in ("RssAnon", "RssFile"))
    return Memory(round(own, 1), round(mapped, 1))


def _scan(names: list[str]) -> float:
    """p95 of the plain alternative, in milliseconds."""
    chance, spent = random.Random(enquire.SEED), []
    pool = hearing_data.read_rows(hearing_data.REQUESTS)
    for row in chance.sample(pool, SCANNED):
        started = time.perf_counter()
        process.extract(row["heard"], names, scorer=fuzz.token_set_ratio, limit=8)
        spent.append(time.perf_counter() - started)
    return percentile(spent, 95)


def _print(figures: dict) -> None:
    grown = figures["memory_end_mb"] - figures["memory_start_mb"]
    print(
        f"{figures['recordings']:,} recordings, {figures['desks']} desks open, "
        f"{figures['typing']} of them typing, {figures['seconds']} s; meanwhile "
        f"{figures['files_taken_in']:,} files taken in and {figures['copies_made']} copies made"
    )
    print(f"errors {figures['errors']} {' '.join(figures['error_kinds'])}")
    print(f"{'':26} {'p50 ms':>8} {'p95 ms':>8} {'worst':>8} {'a second':>9}")
    print(
        f"{'an answer':26} {figures['p50_ms']:8.0f} {figures['p95_ms']:8.0f} "
        f"{figures['worst_ms']:8.0f} {figures['answers_a_second']:9.1f}   promised p95 "
        f"{LIMIT_P95_MS:.0f}: {'met' if figures['p95_ms'] <= LIMIT_P95_MS else 'NOT MET'}"
    )
    print(
        f"{'asking for changes':26} {figures['asking_p50_ms']:8.0f} {figures['asking_p95_ms']:8.0f}"
    )
    print(f"{'all that is asked':26} {'':26} {figures['asked_a_second']:9.1f}")
    print(f"{'one desk alone':26} {figures['alone_p50_ms']:8.0f} {figures['alone_p95_ms']:8.0f}")
    print(f"{'token-set scan of all':26} {'':8} {figures['scan_p95_ms']:8.0f}")
    print(
        f"memory of the server {figures['memory_start_mb']:.0f} MB, at the end "
        f"{figures['memory_end_mb']:.0f} MB: "
        f"{'flat' if grown <= MEMORY_FLAT_MB else 'GROWING'}"
    )
    print("  on the way", *(f"{held:.0f}" for held in figures["memory_mb"][1:-1]))
    print("  pages of files beside", *(f"{held:.0f}" for held in figures["mapped_mb"]))
    print("questions a second raised until p95 passes 1 s:")
    for step in figures["raised"]["steps"]:
        print(
            f"  asked {step['rate']:6.1f}  answered {step['answered']:6.1f}  "
            f"p50 {step['p50_ms']:6.0f} ms  p95 {step['p95_ms']:6.0f} ms"
        )
    print(f"highest rate with p95 within a second: {figures['raised']['reached']:.1f} a second")


if __name__ == "__main__":
    main()
