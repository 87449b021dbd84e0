"""How long one enquiry takes, beside a plain scan of the same names.

    python -m tests.benchmarks.enquire [--sizes 10000,100000,1000000] [--quick] [--json]

For each size a station is generated in a temporary folder by one process (two of three
recordings held), then opened and asked by another, whose peak memory is told. Half of the
requests are names of the catalogue with words lost, joined and garbled, half are what real
recognisers wrote down; all are different and none is asked twice. The plain alternative scans
all names with rapidfuzz's token-set ratio in the same process and run, on fewer requests.

Prints p50 and p95 in milliseconds and memory in MB; with --json the last line is
{"sizes": {N: {"p50_ms", "p95_ms", "scan_p95_ms", "rss_mb"}}} and more.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import subprocess
import sys
import tempfile
import time
from datetime import datetime
from itertools import islice
from pathlib import Path

from rapidfuzz import fuzz, process

from catalogue.enquiry import enquire
from catalogue.heard import Heard
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.benchmarks import hearing_data
from tests.benchmarks.decoys import decoys
from tests.benchmarks.hearing_data import Name
from web.opening import settled

REQUESTS = 400
SCANNED = 20
SEED = 11
_NOW = datetime(2026, 1, 1, 20, 0)
_KEYS_BESIDE = {"a": "s", "e": "r", "i": "o", "o": "p", "t": "y", "n": "m", "d": "f", "s": "a"}


def garbled(name: Name, chance: random.Random) -> str:
    """A name as a hurried hand might type it: words lost or joined, letters slipped."""
    words = f"{name.title} {chance.choice(('by ', ''))}{name.artist}".lower().split()
    if len(words) > 3 and chance.random() < 0.4:
        del words[chance.randrange(len(words))]
    if len(words) > 2 and chance.random() < 0.3:
        place = chance.randrange(len(words) - 1)
        words[place : place + 2] = [words[place] + words[place + 1]]
    letters = [
        _KEYS_BESIDE.get(letter, letter) if chance.random() < 0.06 else letter
        for letter in " ".join(words)
    ]
    return "".join(letters)


def requests(names: list[Name], count: int) -> list[str]:
    """Different requests, half made from the catalogue's names, half written down for real."""
    chance = random.Random(SEED)
    made = {garbled(chance.choice(names), chance) for _ in range(count)}
    rows = hearing_data.read_rows(hearing_data.REQUESTS)
    real = sorted({row["heard"] for row in rows if row["heard"].strip()})
    chance.shuffle(real)
    mixed = [*islice(sorted(made), count // 2), *real[: count - count // 2]]
    chance.shuffle(mixed)
    return mixed


def build(folder: Path, size: int) -> None:
    """Generate the station; two of three recordings get a file."""
    store = Store(folder / "asheard.db")
    store.db.execute("PRAGMA synchronous = OFF")  # a benchmark's folder need not survive a cut
    hearing_data.fill(store, names_of(size), holdings=True, held_share=2 / 3)
    started = time.perf_counter()
    SoundIndex(folder / "sound_index", store).close()
    (folder / "index_s").write_text(f"{time.perf_counter() - started:.1f}")
    store.close()


def names_of(size: int) -> list[Name]:
    """The generated names."""
    return [Name(artist, title, year) for artist, title, year in decoys(size, SEED)]


def measure(folder: Path, size: int, count: int, scanned: int) -> dict[str, float]:
    """Open the station, ask, and scan."""
    asked = requests(names_of(min(size, 20_000)), count)
    started = time.perf_counter()
    store = Store(folder / "asheard.db")
    index = SoundIndex(folder / "sound_index", store)
    enquire(store, index, Heard("a first question"), _NOW)
    first = time.perf_counter() - started
    settled()  # as the station does before it serves
    spent: list[float] = []
    for text in asked:
        started = time.perf_counter()
        enquire(store, index, Heard(text), _NOW)
        spent.append((time.perf_counter() - started) * 1000)
    # Before the names are loaded for the scan, which would count as ours.
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    every = [f"{name.title} {name.artist}".lower() for name in names_of(size)]
    scan: list[float] = []
    for text in asked[:scanned]:
        started = time.perf_counter()
        process.extract(text, every, scorer=fuzz.token_set_ratio, limit=8)
        scan.append((time.perf_counter() - started) * 1000)
    added = added_and_found(store, index)
    return {
        "add_1000_s": round(added, 2),
        "p50_ms": _percentile(spent, 50),
        "p95_ms": _percentile(spent, 95),
        "scan_p95_ms": _percentile(scan, 95),
        "rss_mb": round(memory, 1),
        "first_answer_s": round(first, 2),
        "index_build_s": float((folder / "index_s").read_text()),
    }


def added_and_found(store: Store, index: SoundIndex) -> float:
    """Seconds to add a thousand recordings and to answer the next request with one of them."""
    names = [
        Name(artist, f"{title} Again", year) for artist, title, year in decoys(1_000, SEED + 1)
    ]
    started = time.perf_counter()
    hearing_data.fill(store, names, holdings=False)
    last = names[-1]
    found = enquire(store, index, Heard(title=last.title, artist=last.artist), _NOW).matches
    spent = time.perf_counter() - started
    if not found or (found[0].recording.title, found[0].recording.artist) != (
        last.title, last.artist,
    ):  # fmt: skip
        raise SystemExit("A recording just added was not found by the next request.")
    return spent


def main() -> None:
    """Build and measure each size in processes of their own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", default="10000,100000,1000000")
    parser.add_argument("--quick", action="store_true", help="10,000 and 50,000 only")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--step", nargs=3, metavar=("WHAT", "FOLDER", "SIZE"))
    options = parser.parse_args()
    count, scanned = (150, 10) if options.quick else (REQUESTS, SCANNED)
    if options.step:
        what, folder, size = options.step
        if what == "build":
            build(Path(folder), int(size))
        else:
            print(json.dumps(measure(Path(folder), int(size), count, scanned)))
        return
    sizes = [10_000, 50_000] if options.quick else [int(s) for s in options.sizes.split(",")]
    found: dict[str, dict[str, float]] = {}
    heads = ("p50 ms", "p95 ms", "scan p95", "MB", "first s", "index s", "add 1000")
    print(f"{'recordings':>11} " + " ".join(f"{head:>9}" for head in heads))
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder:
            _step("build", folder, size, options.quick)
            told = json.loads(_step("measure", folder, size, options.quick).splitlines()[-1])
        found[str(size)] = told
        columns = (
            "p50_ms",
            "p95_ms",
            "scan_p95_ms",
            "rss_mb",
            "first_answer_s",
            "index_build_s",
            "add_1000_s",
        )
        print(f"{size:>11,} " + " ".join(f"{told[name]:>9.1f}" for name in columns), flush=True)
    if options.json:
        print(json.dumps({"sizes": found}))


def _step(what: str, folder: str, size: int, quick: bool) -> str:
    command = [sys.executable, "-m", "tests.benchmarks.enquire", "--step", what, folder, str(size)]
    done = subprocess.run(
        [*command, *(["--quick"] if quick else [])], capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise SystemExit(f"The step {what} at {size} failed:\n{done.stderr}")
    return done.stdout


def _percentile(values: list[float], percent: int) -> float:
    ordered = sorted(values)
    return round(ordered[min(len(ordered) - 1, len(ordered) * percent // 100)], 2)


if __name__ == "__main__":
    main()
