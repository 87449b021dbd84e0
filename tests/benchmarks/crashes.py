"""Is anything lost that a person was told is saved? The server is killed again and again.

    python -m tests.benchmarks.crashes [--quick] [--json]

The real server runs in a process of its own, under the load of four desks in another; it is killed
(SIGKILL) at a random moment, half of the times inside a write: it is halted (SIGSTOP) when shared
memory says so, looked at, and killed if it is still inside. Then every acknowledgement the desks
wrote down is compared with the database, which is checked whole; the index must agree, and every
copy must open.

For a power cut the database's files are put back as they were at the last sync (`crash_server`),
and of what was written after it a piece of random length is left, as a drive might; the index is
left as it is, cut short, or without its state. Seeds are fixed; moments are not.

The plain alternative in the same run: the same power cuts with `synchronous = NORMAL`, SQLite's
usual setting with a write-ahead log, which may lose the last commits. It must be seen to lose
some, or the harness could not see a loss at all.

Prints the kills, how many were inside a write, and what was lost; exit code 1 if anything was.
"""

from __future__ import annotations

import argparse
import json
import mmap
import os
import random
import re
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path

from catalogue import catalogue_rows, staff, undo
from catalogue.records import NewHolding, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.benchmarks import crash_client
from tests.benchmarks.crash_checks import Acknowledged, wrong_with

ROOT = Path(__file__).parents[2]
DESKS = 4
SEED = 29
_LOAD_S = (0.05, 0.7)
"""How long the desks work before the kill."""

_WAIT_S = 60.0
"""How long is waited for acknowledgements or a write: generous, for a machine with other work."""

_FIRST_LOG = struct.pack(">IIII", 0x377F0682, 3007000, 4096, 0)
"""How a log begins that was never brought into its database (sqlite.org/fileformat2.html#walformat,
little-endian checksums, pages of 4,096 bytes): only such a one may follow on files without a log.
"""

_LOOK_EVERY_S = 0.0003
"""A write takes a few milliseconds, most of them waiting for the drive."""


@dataclass
class Result:
    """What came of the kills of one kind."""

    kills: int = 0
    inside_a_write: int = 0
    inside_a_commit: int = 0
    acknowledged: int = 0
    lost: int = 0
    wrong: list[str] = field(default_factory=list)
    odd: dict[str, int] = field(default_factory=dict)


def station(folder: Path) -> None:
    """A small station with one account and a few records."""
    store = Store(folder / "asheard.db")
    now = datetime(2026, 1, 1, 20, 0)
    staff.add(store, crash_client.NAME, "keeper", crash_client.PASSPHRASE, "test", now)
    with undo.action(store, "test", "took in a few", now):
        for number in range(1, crash_client.RECORDINGS + 1):
            recording = catalogue_rows.add_recording(store, NewRecording(f"Song {number}", "Bo"))
            catalogue_rows.add_holding(store, NewHolding(recording, path=f"/music/{number}.ogg"))
    SoundIndex(folder / "sound_index", store).close()
    store.close()


class Crashes:
    """A station, its desks, and one server after another."""

    def __init__(self, folder: Path, *, cut: bool = False, synchronous: str = "") -> None:
        self.folder = folder / "station"
        self.folder.mkdir()
        station(self.folder)
        self.cut = cut
        self.result = Result()
        self._synced = folder / "synced"
        self._synced.mkdir()
        self._environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
        if synchronous:
            self._environment["CRASH_SYNCHRONOUS"] = synchronous
        self._state_file = folder / "state"
        self._state_file.write_bytes(b"\0\0")
        with self._state_file.open("r+b") as file:
            self._state = mmap.mmap(file.fileno(), 2)
        self._log = folder / "acknowledged"
        self._log.touch()
        self._told = Acknowledged()
        self._chance = random.Random(SEED)
        self._client = subprocess.Popen(
            [sys.executable, "-m", "tests.benchmarks.crash_client", str(self._log), str(DESKS)],
            cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip

    def once(self, *, in_write: bool, told: int = 0) -> None:
        """Start, load until at least `told` things were acknowledged, kill, compare."""
        self._state[0] = self._state[1] = 0
        server = self._serve()
        try:
            address = self._address(server)
            self._client.stdin.write(f"{address}\n")  # type: ignore[union-attr]
            self._client.stdin.flush()  # type: ignore[union-attr]
            self._wait_until(lambda: self._told_since() >= told)
            time.sleep(self._chance.uniform(*_LOAD_S))
            if in_write:
                self._halt_in_write(server.pid)
        finally:
            server.kill()
            server.wait()
        stage = self._state[0]
        assert server.stdout is not None
        server.stdout.close()
        self._client.stdout.readline()  # type: ignore[union-attr]
        if self.cut:
            self._cut_power()
        self._compare(stage)

    def close(self) -> None:
        """End the desks."""
        self._client.communicate("", timeout=30)
        self.result.odd = dict(self._told.odd)
        self.result.acknowledged = self._told.count

    def _serve(self) -> subprocess.Popen[str]:
        command = [sys.executable, "-m", "tests.benchmarks.crash_server", str(self.folder),
                   str(self._state_file), *([str(self._synced)] if self.cut else [])]  # fmt: skip
        return subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
            env=self._environment,
        )  # fmt: skip

    def _address(self, server: subprocess.Popen[str]) -> str:
        assert server.stdout is not None
        for line in server.stdout:
            if found := re.search(r"http://\S+:\d+", line):
                return found.group()
        raise SystemExit("The server did not start.")

    def _told_since(self) -> int:
        """Acknowledgements written down since the last comparison."""
        return self._log.read_bytes().count(b"\n") - self._told.lines

    def _wait_until(self, there: Callable[[], bool], every_s: float = 0.02) -> None:
        until = time.monotonic() + _WAIT_S
        while not there():
            if time.monotonic() > until:
                raise SystemExit(f"Nothing came of {_WAIT_S:.0f} s of waiting.")
            time.sleep(every_s)

    def _halt_in_write(self, server: int) -> None:
        """Halt the server inside a transaction that writes: when it has halted, look again."""
        while True:
            self._wait_until(lambda: self._state[0] != 0, _LOOK_EVERY_S)
            if self._chance.random() < 0.5:  # some a moment later, nearer to the commit
                time.sleep(self._chance.uniform(0, 0.003))
            os.kill(server, signal.SIGSTOP)
            os.waitpid(server, os.WUNTRACED)
            if self._state[0] != 0:
                return
            os.kill(server, signal.SIGCONT)

    def _cut_power(self) -> None:
        """What was not synced is dropped, but for a piece of the log that may have arrived."""
        which = self._state[1]
        if which:
            wal = self.folder / "asheard.db-wal"
            after = wal.read_bytes() if wal.exists() else b""
            for name in ("asheard.db", "asheard.db-wal"):
                source = self._synced / str(which) / name
                (self.folder / name).unlink(missing_ok=True)
                if source.exists():
                    shutil.copyfile(source, self.folder / name)
            synced = wal.read_bytes() if wal.exists() else b""
            if len(after) > len(synced) and after.startswith(synced or _FIRST_LOG):
                rest = after[len(synced) :]
                piece = rest[: self._chance.randint(0, len(rest) - 1)]
                wal.write_bytes(synced + piece)
            (self.folder / "asheard.db-shm").unlink(missing_ok=True)
        self._damage_index()

    def _damage_index(self) -> None:
        files = sorted(p for p in (self.folder / "sound_index").rglob("*") if p.is_file())
        how = self._chance.choice(("as it is", "cut short", "without its state"))
        if how == "cut short" and files:
            path = self._chance.choice(files)
            os.truncate(path, self._chance.randint(0, path.stat().st_size))
        elif how == "without its state":
            (self.folder / "sound_index" / "state.json").unlink(missing_ok=True)

    def _compare(self, stage: int) -> None:
        self._told.take(self._log)
        wrong = wrong_with(self.folder, self._told)
        self.result.kills += 1
        self.result.inside_a_write += stage > 0
        self.result.inside_a_commit += stage == 2
        self.result.lost += len(wrong)
        self.result.wrong += wrong[: max(0, 10 - len(self.result.wrong))]


def run(
    kills: int, *, cut: bool, synchronous: str = "", until_lost: bool = False, told: int = 0
) -> Result:
    """So many kills of one kind, every second of them inside a write, each after `told` things."""
    # An index that is being made when its store is closed may still write for a moment.
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        crashes = Crashes(Path(folder), cut=cut, synchronous=synchronous)
        try:
            for number in range(kills):
                crashes.once(in_write=number % 2 == 0, told=told)
                if sys.stderr.isatty():
                    print(f"\r{number + 1} of {kills}", end="", file=sys.stderr)
                if until_lost and crashes.result.lost:
                    break
        finally:
            crashes.close()
        return crashes.result


def main() -> None:
    """Kill, cut, and cut with the plain setting; print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="10 kills and 4 cuts")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    kills, cuts = (10, 4) if options.quick else (200, 60)
    started = time.monotonic()
    found: dict[str, Result] = {}
    print(f"{'':30} {'kills':>6} {'in a write':>11} {'in a commit':>12} {'told':>7} {'lost':>6}")
    for name, one in (
        ("power cut", lambda: run(cuts, cut=True)),
        (
            "power cut, synchronous NORMAL",
            lambda: run(cuts, cut=True, synchronous="NORMAL", until_lost=True),
        ),
        ("kill -9", lambda: run(kills, cut=False)),
    ):
        result = found[name] = one()
        print(
            f"{name:30} {result.kills:>6} {result.inside_a_write:>11} "
            f"{result.inside_a_commit:>12} {result.acknowledged:>7,} {result.lost:>6,}",
            flush=True,
        )
        for line in (*result.wrong, *(f"{n} × {what}" for what, n in result.odd.items())):
            print(f"  {line}", flush=True)
    print(f"{time.monotonic() - started:,.0f} s")
    if options.json:
        print(json.dumps({name: asdict(result) for name, result in found.items()}))
    ours = [found["kill -9"], found["power cut"]]
    if any(r.lost or r.odd for r in ours) or not found["power cut, synchronous NORMAL"].lost:
        sys.exit(1)


if __name__ == "__main__":
    main()
