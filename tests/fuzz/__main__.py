"""Damaged input for every reader of what comes from outside, every form field, every command.

    python -m tests.fuzz [--quick] [--each 5000] [--only WORD] [--seed 21] [--blind]
                         [--keep FOLDER] [--json]

Each reader gets inputs made from valid ones, half of them damaged behind their header, in a
process of its own with bounded memory. Asked of each input: read, or refused with a sentence; no
other error, no answer 500, none slower than five seconds. Seconds are of processor time, since a
PC that has much else to do is no fault; what waits for nothing is ended after three minutes.
Either ends the process; the input is tried once more alone, and the reading goes on behind it.
What is found is written into a folder, and the exit code is 1.

Inputs are led by coverage where atheris is installed (`pip install -e '.[fuzzing]'`, Linux),
else damaged blindly; what was done is said. --quick tries 60 of each, blindly, within a minute.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from tests.fuzz.engines import SLOWEST_S, Board, Counts

EACH, EACH_QUICK = 5_000, 60
SEED = 21
_LOOKS_EVERY_S = 0.25
_MOST_RESTARTS = 40
_MOST_ALONE_S = 180.0
"""Seconds of the clock for one input, on a machine however loaded: beyond, it waits for ever."""


@dataclass(slots=True)
class Done:
    """What came of one reader."""

    name: str
    engine: str
    counts: Counts
    seconds: float
    ended: int = 0
    faults: list[dict[str, str]] = field(default_factory=list)


def main() -> None:
    """Try them all, and print what came of it."""
    options = _options()
    led = importlib.util.find_spec("atheris") is not None and not options.blind
    engine = "coverage" if led and not options.quick else "blind"
    each = options.each or (EACH_QUICK if options.quick else EACH)
    names = [name for name in _names() if options.only in name]
    how = "led by coverage (atheris)" if engine == "coverage" else "damaged blindly"
    print(f"{len(names)} readers, {each:,} inputs each, {how}")
    print(f"{'':20} {'inputs':>7} {'behind':>7} {'read':>7} {'refused':>7} {'slowest':>8} "
          f"{'MB':>5} {'a second':>8}  faults")  # fmt: skip
    done = []
    with tempfile.TemporaryDirectory() as folder:
        kept = options.keep or Path(folder)
        for name in names:
            done.append(
                one := _one(name, engine, kept / name.replace(" ", "-"), each, options.seed)
            )
            _print(one)
    _sum_up(done, engine, options)
    sys.exit(1 if any(one.faults for one in done) else 0)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--quick", action="store_true", help="60 of each, within a minute")
    parser.add_argument("--each", type=int, default=0, help="inputs for each reader")
    parser.add_argument("--only", default="", help="only readers with this word in their name")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--blind", action="store_true", help="without atheris")
    parser.add_argument("--keep", type=Path, help="keep what is found in this folder")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    return parser.parse_args()


def _names() -> list[str]:
    from tests.fuzz.table import READERS

    return list(READERS)


def _one(name: str, engine: str, folder: Path, count: int, seed: int) -> Done:
    """Try one reader, in as many processes as it takes."""
    folder.mkdir(parents=True, exist_ok=True)
    board = Board(folder / "board")
    started = time.perf_counter()
    done = Done(name, engine, Counts(), 0)
    for _ in range(_MOST_RESTARTS):
        before = board.get().tried
        process = _started(engine, name, folder, count, seed)
        slow = _watched(process, board)
        counts = board.get()
        if counts.tried >= count and not slow:
            break
        done.ended += 1
        _judge(process, board, folder, slow, before, done)
        counts.tried += 1
        counts.began = 0.0
        board.put(counts)
    done.counts, done.seconds = board.get(), time.perf_counter() - started
    for told in sorted((folder / "findings").glob("*.json")):
        done.faults.append(
            {"input": told.with_suffix(".input").name, **json.loads(told.read_text())}
        )
    return done


def _started(
    engine: str, name: str, folder: Path, count: int, seed: int
) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "tests.fuzz.worker", engine, name, str(folder), str(count),
               str(seed)]  # fmt: skip
    with (folder / "worker.log").open("ab") as log:
        return subprocess.Popen(command, stdout=log, stderr=log)


def _watched(process: subprocess.Popen[bytes], board: Board) -> bool:
    """Wait for the process; True if an input took too long, and it was ended."""
    seen = spent = at = 0.0
    while process.poll() is None:
        time.sleep(_LOOKS_EVERY_S)
        began, now = board.get().began, time.monotonic()
        if began != seen:
            seen, spent, at = began, _processor_s(process.pid), now
        if began and (_processor_s(process.pid) - spent > SLOWEST_S or now - at > _MOST_ALONE_S):
            process.kill()
            process.wait()
            return True
    return False


def _processor_s(pid: int) -> float:
    """Seconds that a process has had of a processor; 0 where the system does not tell, or where
    it has ended (proc(5), fields 14 and 15 of stat)."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _judge(process: subprocess.Popen[bytes], board: Board, folder: Path, slow: bool, before: int,
           done: Done) -> None:  # fmt: skip
    """The input at which a process ended, tried once more alone if it was only slow."""
    data, findings = board.data(), folder / "findings"
    findings.mkdir(exist_ok=True)
    number = board.get().tried
    if slow and not _slow_alone(done.name, folder, data):
        return
    what = f"longer than {SLOWEST_S:g} s" if slow else f"the process ended ({process.returncode})"
    if not slow and number == before:
        log = (folder / "worker.log").read_text(errors="replace")[-3000:]
        raise SystemExit(f"{done.name} could not be tried:\n{log}")
    (findings / f"ended-{number}.input").write_bytes(data)
    told = {"what": f"{what} at input {number}", "ours": [], "told": what}
    (findings / f"ended-{number}.json").write_text(json.dumps(told))


def _slow_alone(name: str, folder: Path, data: bytes) -> bool:
    """Whether an input takes too much of a processor a second time, with nothing before it."""
    (folder / "slow.input").write_bytes(data)
    try:
        told = subprocess.run(
            [sys.executable, "-m", "tests.fuzz.again", name, str(folder / "slow.input")],
            capture_output=True, text=True, check=False, timeout=_MOST_ALONE_S,
        ).stdout  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    spent = told.rsplit("\n", 2)[-2].split()[0] if told.count("\n") else "inf"
    return float(spent) > SLOWEST_S


def _print(one: Done) -> None:
    counts = one.counts
    rate = counts.tried / one.seconds if one.seconds else 0
    print(f"{one.name:20} {counts.tried:7,} {counts.deep:7,} {counts.read:7,} {counts.refused:7,} "
          f"{counts.slowest_s:6.2f} s {counts.peak_kb / 1024:5.0f} {rate:8,.0f}  "
          f"{len(one.faults) or 'none'}", flush=True)  # fmt: skip
    for fault in one.faults:
        print(f"    {fault['what']}  {' '.join(fault['ours'])}  ({fault['input']})", flush=True)


def _sum_up(done: list[Done], engine: str, options: argparse.Namespace) -> None:
    tried, deep = sum(d.counts.tried for d in done), sum(d.counts.deep for d in done)
    faults = sum(len(d.faults) for d in done)
    slowest = max((d.counts.slowest_s for d in done), default=0)
    print(f"{tried:,} inputs, {deep:,} of them damaged behind the header; {faults} faults, "
          f"the slowest in {slowest:.2f} s.")  # fmt: skip
    if faults and not options.keep:
        print("Give --keep FOLDER to keep the inputs.")
    if options.json:
        readers = {
            d.name: {
                "inputs": d.counts.tried, "behind_header": d.counts.deep, "read": d.counts.read,
                "refused": d.counts.refused, "slowest_s": round(d.counts.slowest_s, 3),
                "peak_mb": round(d.counts.peak_kb / 1024), "ended": d.ended,
                "faults": [fault["what"] for fault in d.faults],
            }
            for d in done
        }  # fmt: skip
        print(json.dumps({"engine": engine, "seed": options.seed, "inputs": tried,
                          "behind_header": deep, "faults": faults, "slowest_s": round(slowest, 3),
                          "readers": readers}))  # fmt: skip


if __name__ == "__main__":
    main()
