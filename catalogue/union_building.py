"""Building the union of many stations' publications: the table of contents of a build.

1. Each publication is verified; one that is refused is left out, and the others go on.
2. Recordings are read in chunks (`union_gathering`).
3. What nothing tells apart is put together, the rest is compared in blocks and grouped
   (`union_doubles`).
4. Entries are handed out to shards by their ids, and shards that changed are written
   (`union_filing`).
5. `union.json` is put in the place of the old one. Before that nothing points to what is new, so a
   build that is ended leaves the old union whole.

The union is the same whatever the number of processes, and whether it is built anew or on an old
one: it is made of the publications alone.
"""

from __future__ import annotations

import hashlib
import json
import secrets
import shutil
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from catalogue import union_doubles, union_filing, union_gathering, union_layout
from catalogue.errors import BadInput, BadPublication, UnionProblem
from catalogue.sound_index import MAKE
from catalogue.union_filing import Plan
from catalogue.union_gathering import Work
from catalogue.union_keys import Trusted
from catalogue.union_layout import ShardFiles, UnionLayout, UnionStation
from catalogue.union_publication import Publication, verified

Run = Callable[[Callable[..., Any], Sequence[tuple[Any, ...]]], Iterator[Any]]
Progress = Callable[[str, int, int | None], None]

_FORSAKEN_S = 3600.0
"""Age from which a draft was left by a build that was ended."""

MOST_SHARDS = 999

_SMALL = 30_000
"""Recordings published in all up to which one process is done before Ray's would have started."""


@dataclass(frozen=True, slots=True)
class Built:
    """What a build came to: the union, sentences about what was left out, how many recordings
    were published, and how many shards had to be written."""

    layout: UnionLayout
    refused: tuple[str, ...]
    recordings: int
    written: int


@dataclass(frozen=True, slots=True)
class Steps:
    """How a build is run: its jobs one after another or in processes, and who is told of it.

    With `only_alike` recordings are put together where nothing tells them apart, and not compared:
    several times faster.
    """

    run: Run
    progress: Progress = lambda _what, _done, _total: None
    only_alike: bool = False


def one_by_one(function: Callable[..., Any], jobs: Sequence[tuple[Any, ...]]) -> Iterator[Any]:
    """Run jobs in this process."""
    return (function(*job) for job in jobs)


def is_small(folders: Sequence[Path]) -> bool:
    """Whether so little was published that a build needs no processes beside its own. Goes by what
    the manifests say, before they are verified."""
    total = 0
    for folder in folders:
        with suppress(OSError, ValueError, TypeError, KeyError):
            told = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
            total += int(told["recordings"])
    return total <= _SMALL


def build(
    folders: Sequence[Path], trusted: Sequence[Trusted], union: Path, shards: int, now: datetime,
    steps: Steps,
) -> Built:  # fmt: skip
    """Build the union of the publications in `folders`. Raises BadInput, UnionProblem.

    What is refused is told in the result. The old union stays until the new one is whole.
    """
    if not 1 <= shards <= MOST_SHARDS:
        raise BadInput(f"A union has between 1 and {MOST_SHARDS} shards.")
    old, seen = _old(union), union_layout.seen_of(union)
    publications, refused = _verified(folders, trusted, seen, steps)
    if not publications:
        nothing = "Nothing was built, and the old union is as it was." if old else (
            "Nothing was built.")  # fmt: skip
        raise UnionProblem(" ".join([nothing, *refused]))
    work = Work(union / f"draft-{secrets.token_hex(6)}")
    try:
        work.folder.mkdir(parents=True)
        numbers = _station_numbers(publications)
        files, recordings = _shards(work, union, publications, numbers, shards, old, steps)
        steps.progress("Counting", 0, 1)
        layout = UnionLayout(
            union, now.isoformat(timespec="seconds"), MAKE, tuple(files),
            union_filing.all_terms(union, files),
            tuple(_station(p, numbers[p.station.id]) for p in publications if not p.is_withdrawn),
            seen | {p.station.id: (p.sequence, p.digest) for p in publications},
        )  # fmt: skip
        union_layout.write(layout)
    except OSError as problem:
        raise UnionProblem(
            f"The union in {union} cannot be written ({problem.strerror or problem}). The old one "
            "is as it was. Make room there, or give another folder."
        ) from problem
    finally:
        shutil.rmtree(work.folder, ignore_errors=True)
    _clear_away(union, [one for one in (layout, old) if one])
    kept = {shard.folder for shard in old.shards} if old else set()
    written = sum(shard.folder not in kept for shard in files)
    return Built(layout, tuple(refused), recordings, written)


def _verified(
    folders: Sequence[Path], trusted: Sequence[Trusted], seen: Mapping[str, tuple[int, str]],
    steps: Steps,
) -> tuple[list[Publication], list[str]]:  # fmt: skip
    """The publications that may be built, in the order of stations' ids, and why others may not:
    the newest of each station."""
    newest: dict[str, Publication] = {}
    refused: list[str] = []
    for done, folder in enumerate(folders):
        steps.progress("Verifying", done, len(folders))
        try:
            one = verified(folder, trusted, seen)
        except BadPublication as problem:
            refused.append(problem.message)
            continue
        other = newest.get(one.station.id)
        older = one if other is None or one.sequence <= other.sequence else other
        if other is not None and one.digest != other.digest:
            refused.append(
                f"{older.folder}: it is publication {older.sequence} of {older.station.name}, and "
                f"another of theirs was given too. It was left out."
            )
        if other is None or older is other:
            newest[one.station.id] = one
    return [newest[station] for station in sorted(newest)], refused


def _shards(
    work: Work, union: Path, publications: Sequence[Publication], numbers: Mapping[str, int],
    shards: int, old: UnionLayout | None, steps: Steps,
) -> tuple[list[ShardFiles], int]:  # fmt: skip
    """The shards of these publications, and how many recordings they have."""
    chunks = union_gathering.chunks(publications)
    sizes = _done(steps, "Reading", union_gathering.gather, [(work, one) for one in chunks])
    standing = union_doubles.fold(work, sizes)
    groups = [] if steps.only_alike else _groups(work, standing, len(chunks), steps)
    entries = union_doubles.entries(work, standing, groups, shards)
    plan = Plan.of(len(entries), shards, len(chunks))
    _done(steps, "Handing out", union_filing.hand_out, [
        (work, one.index, entries[standing.starts[one.index] : standing.starts[one.index + 1]],
         numbers[one.publication.station.id], plan)
        for one in chunks
    ])  # fmt: skip
    before = {s.number: s.digest for s in old.shards} if old and len(old.shards) == shards else {}
    files = _done(steps, "Filing", union_filing.file_shard, [
        (work, union, number, plan, before.get(number, "")) for number in range(shards)
    ])  # fmt: skip
    return files, len(entries)


def _groups(
    work: Work, standing: union_doubles.Standing, chunks: int, steps: Steps
) -> list[list[int]]:
    """The recordings that are one though they are described differently."""
    if not chunks:
        return []
    stands, starts = standing.stands(), standing.starts
    blocks = union_doubles.blocks_for(standing)
    _done(steps, "Sharing out", union_doubles.share, [
        (work, index, stands[starts[index] : starts[index + 1]], int(starts[index]), blocks)
        for index in range(chunks)
    ])  # fmt: skip
    union_doubles.count(work, standing)
    pairs = _done(steps, "Comparing", union_doubles.compare, [
        (work, chunks, block) for block in range(blocks)
    ])  # fmt: skip
    settled = _done(steps, "Grouping", union_doubles.settle, [
        (work, starts, some) for some in union_doubles.tangles(pairs)
    ])  # fmt: skip
    return [group for some in settled for group in some]


def _done(
    steps: Steps, what: str, function: Callable[..., Any], jobs: Sequence[tuple[Any, ...]]
) -> list[Any]:
    """All results of one step, with progress."""
    results = []
    for result in steps.run(function, jobs):
        results.append(result)
        steps.progress(what, len(results), len(jobs))
    return results


def _old(union: Path) -> UnionLayout | None:
    """The union that is there; None if there is none that this version can go on with."""
    try:
        return union_layout.read(union)
    except UnionProblem:
        return None


def _station_numbers(publications: Sequence[Publication]) -> dict[str, int]:
    """A number for each station that does not depend on which others there are, so that one more
    station changes no other's copies; where two fall together the later takes the next."""
    taken: dict[int, str] = {}
    for one in publications:
        digest = hashlib.blake2b(one.station.id.encode(), digest_size=4).digest()
        number = int.from_bytes(digest, "big") >> 1
        while number in taken:
            number += 1
        taken[number] = one.station.id
    return {station: number for number, station in taken.items()}


def _station(publication: Publication, number: int) -> UnionStation:
    says = publication.station
    return UnionStation(
        number, says.id, says.name, says.place, says.latitude, says.longitude, says.loan,
        publication.sequence, publication.digest, publication.made_at, publication.recordings,
    )  # fmt: skip


def _clear_away(union: Path, named: Sequence[UnionLayout]) -> None:
    """Remove shards and counts that neither this union nor the one before names, and drafts of
    builds that were ended. What the one before names may be in use until the next build."""
    keep = {union / union_layout.NAME}
    for layout in named:
        keep |= {layout.terms, *(shard.folder for shard in layout.shards)}
    for path in union.iterdir():
        ours = path.name.startswith(("shard-", "terms-"))
        with suppress(OSError):
            forsaken = time.time() - path.stat().st_mtime > _FORSAKEN_S
            if path in keep or not (ours or (path.name.startswith("draft-") and forsaken)):
                continue
            if path.is_dir():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink()
