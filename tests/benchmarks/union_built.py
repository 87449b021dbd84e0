"""Generated unions for the benchmark of the union: made once, cut into shards in several ways.

Names and their sounds are made once, in as many parts as the most shards there are; part n of
four is also in shard n % 2 of two. What is timed is what a build does for every recording: its
forms, the index, and the files of entries.
"""

from __future__ import annotations

import json
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from catalogue import index_view, union_entries, union_layout, union_terms
from catalogue.form_file import FormFile
from catalogue.found_names import Forms, line_of
from catalogue.records import NewRecording
from catalogue.search_keys import Form
from catalogue.sound_index import MAKE
from catalogue.union_layout import ShardFiles, UnionLayout
from catalogue.union_terms import TermTally
from tests import made_unions
from tests.benchmarks import hearing_data
from tests.benchmarks.enquire import garbled
from tests.benchmarks.hearing_data import Name

SEED = 12
STATION = "bench"
AT_ONCE = 2
"""Processes that make shards at once."""

_READ_AT_ONCE = 1_000
"""Forms read at once."""

_SPENT = "spent.json"

_REAL_SHARE = 2
"""Every second request is one that recognisers wrote down for real."""

_SPREAD = "spread.json"
_SPREAD_COUNT = 1_000
"""Names kept of a union, evenly spread over it, of which requests are made: to make ten million
names again only to ask for a few takes minutes."""


@dataclass(frozen=True, slots=True)
class Request:
    """What was heard, and the entry that was meant."""

    heard: str
    meant: int


def names(size: int) -> Iterator[Name]:
    """The songs that real requests are about, then real and made-up names, `size` in all."""
    songs = hearing_data.songs()
    yield from islice(hearing_data.with_decoys(songs, max(0, size - len(songs)), SEED), size)


def requests(folder: Path, size: int, count: int) -> list[Request]:
    """Half made from names of the union in `folder`, spread evenly over it, half written down for
    real."""
    chance = random.Random(SEED)
    songs = {name.song_id: n for n, name in enumerate(hearing_data.songs()[:size])}
    rows = [row for row in hearing_data.read_rows(hearing_data.REQUESTS)
            if row["song_id"] in songs and row["heard"].strip()]  # fmt: skip
    real = [Request(row["heard"], _id(songs[row["song_id"]]))
            for row in chance.sample(rows, min(len(rows), count // _REAL_SHARE))]  # fmt: skip
    spread = json.loads((folder / _SPREAD).read_text())
    wanted = min(count - len(real), len(spread))
    places = [(2 * n + 1) * len(spread) // (2 * wanted) for n in range(wanted)]
    made = [
        Request(garbled(Name(artist, title, None), chance), _id(number))
        for number, title, artist in (spread[place] for place in places)
    ]
    mixed = [*real, *made]
    chance.shuffle(mixed)
    return mixed


def built(folder: Path, size: int, shards: int, parts: int) -> UnionLayout:
    """The union of this size in so many shards, made if it is not in the folder yet."""
    parts_folder, made = folder / "parts", folder / f"in-{shards}"
    if "forms" not in spent(folder):
        started, before = time.perf_counter(), time.process_time()
        if not (folder / _SPREAD).exists():
            shutil.rmtree(parts_folder, ignore_errors=True)
            parts_folder.mkdir(parents=True)
            _name(folder, parts_folder, size, parts)
            _note(folder, "names", started, time.process_time() - before)
        started = time.perf_counter()
        _in_processes([
            ["forms", str(parts_folder), str(part)] for part in range(parts)
            if not (parts_folder / f"forms-{part}").exists()
        ])  # fmt: skip
        worked = sum(float((parts_folder / f"cpu-{part}").read_text()) for part in range(parts))
        _note(folder, "forms", started, worked)
    if made.name not in spent(folder):
        started = time.perf_counter()
        worked = _cut(parts_folder, made, parts, shards)
        _note(folder, made.name, started, worked)
    return union_layout.read(made)


def spent(folder: Path) -> dict[str, tuple[float, float]]:
    """What each step of making the folder took, in two processes: seconds by the clock, which
    count what else the machine did, and seconds of a processor, which do not. Of a step that was
    ended and gone on with, the clock's are those of the last run."""
    path = folder / _SPENT
    told: dict[str, tuple[float, float]] = json.loads(path.read_text()) if path.is_file() else {}
    return told


def _note(folder: Path, what: str, started: float, worked: float) -> None:
    told = round(time.perf_counter() - started, 1), round(worked, 1)
    (folder / _SPENT).write_text(json.dumps(spent(folder) | {what: told}))


def _name(folder: Path, parts_folder: Path, size: int, parts: int) -> None:
    """Write the recordings of each part, and of some the names to ask for."""
    files = [(parts_folder / f"names-{part}").open("w", encoding="utf-8") for part in range(parts)]
    spread, step = [], max(1, size // _SPREAD_COUNT)
    for number, name in enumerate(names(size)):
        entry = _id(number)
        line = [entry, number, name.title, name.artist, name.year]
        files[union_layout.shard_of(entry, parts)].write(json.dumps(line) + "\n")
        if number % step == step // 2:
            spread.append((number, name.title, name.artist))
    for file in files:
        file.close()
    (folder / _SPREAD).write_text(json.dumps(spread))


def _cut(parts_folder: Path, folder: Path, parts: int, shards: int) -> float:
    """Make a union of so many shards of the parts; shards that are whole already stay. Returns
    the seconds of a processor that all of them took."""
    folder.mkdir(exist_ok=True)
    _in_processes([
        ["shard", str(parts_folder), str(folder), str(parts), str(shards), str(number)]
        for number in range(shards) if not (folder / f"shard-{number:03}" / "told").exists()
    ])  # fmt: skip
    tallied, files, worked = [], [], 0.0
    for number in range(shards):
        path = folder / f"shard-{number:03}"
        told = json.loads((path / "told").read_text())
        files.append(ShardFiles(number, path, told["entries"], told["names"], str(number)))
        tallied.append(path / "terms.db")
        worked += told["cpu_s"]
    union_terms.put_together(folder / "terms.db", tallied)
    for path in tallied:
        path.unlink()
    layout = UnionLayout(folder, "2026-11-25T19:30", MAKE, tuple(files), folder / "terms.db",
                         made_unions.STATIONS)  # fmt: skip
    union_layout.write(layout)
    return worked


def bytes_of(layout: UnionLayout) -> dict[str, int]:
    """Bytes on the disk: of the index, of the forms, of the entries, and of the counts."""
    told = {"index": 0, "forms": 0, "entries": 0, "terms": layout.terms.stat().st_size}
    for shard in layout.shards:
        told["entries"] += shard.entries_file.stat().st_size
        for file in shard.index_folder.iterdir():
            told["forms" if file.name == FormFile.NAME else "index"] += file.stat().st_size
    return told


def _id(number: int) -> int:
    return union_layout.union_id(STATION, number)


def _in_processes(steps: Sequence[Sequence[str]]) -> None:
    """Each step in a process of its own, so many at once."""
    waiting, running = list(steps), []
    while waiting or running:
        while waiting and len(running) < AT_ONCE:
            command = [sys.executable, "-m", "tests.benchmarks.union_built", *waiting.pop(0)]
            running.append(subprocess.Popen(command))
        if running.pop(0).wait():
            raise SystemExit("A part of the union could not be made.")


def _recordings(path: Path) -> Iterator[tuple[int, int, NewRecording]]:
    with path.open(encoding="utf-8") as file:
        for line in file:
            entry, number, title, artist, year = json.loads(line)
            yield entry, number, NewRecording(title, artist, year=year)


def _forms(folder: Path, part: str) -> None:
    recordings = ((entry, one) for entry, _, one in _recordings(folder / f"names-{part}"))
    draft = folder / f"draft-{part}"
    with draft.open("w", encoding="utf-8") as file:
        for entry, form in made_unions.forms_of_recordings(recordings):
            file.write(f"{entry}\t{line_of(form)}\n")
    (folder / f"cpu-{part}").write_text(str(time.process_time()))
    draft.rename(folder / f"forms-{part}")


def _filed(parts_folder: Path, parts: Sequence[int]) -> Iterator[tuple[int, Form]]:
    for part in parts:
        with (parts_folder / f"forms-{part}").open(encoding="utf-8", newline="\n") as file:
            while lines := list(islice(file, _READ_AT_ONCE)):
                told = [line.rstrip("\n").partition("\t") for line in lines]
                forms = Forms.of_lines([filed for _, _, filed in told])
                yield from zip((int(entry) for entry, _, _ in told), forms, strict=True)


def _shard(parts_folder: Path, folder: Path, parts: int, shards: int, number: int) -> None:
    own = [part for part in range(parts) if part % shards == number]
    path = folder / f"shard-{number:03}"
    shutil.rmtree(path, ignore_errors=True)
    (path / "index").mkdir(parents=True)
    tally = TermTally()
    index_view.made(path / "index", _filed(parts_folder, own), tally.see).forms.close()
    union_terms.write(path / "terms.db", tally)
    entries, writer = 0, union_entries.Writer(path / "entries.db")
    for part in own:
        for entry, n, recording in _recordings(parts_folder / f"names-{part}"):
            writer.add(entry, recording, made_unions.holders(entry, n))
            entries += 1
    writer.close()
    told = {"names": tally.names, "entries": entries, "cpu_s": time.process_time()}
    (path / "told").write_text(json.dumps(told))


if __name__ == "__main__":
    what, first, *rest = sys.argv[1:]
    if what == "forms":
        _forms(Path(first), rest[0])
    else:
        _shard(Path(first), Path(rest[0]), *(int(one) for one in rest[1:]))
