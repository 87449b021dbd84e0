"""What a station shares, written as a publication: what changed since the last one, signed.

The publication itself says what was shared last: each recording is compared with it, so that
nothing is forgotten whatever happened to the database meanwhile. New files are written beside the
old ones, then the signature and the manifest are put in place; a station ended between these two
publishes whole the next time.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import groupby
from operator import itemgetter
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from catalogue import union_parquet, union_shared
from catalogue.errors import BadInput, BadPublication, UnionProblem
from catalogue.store import Store
from catalogue.union_keys import StationKey, is_signed
from catalogue.union_parquet import Ints, Writer
from catalogue.union_publication import (
    KINDS,
    MANIFEST,
    SIGNATURE,
    Publication,
    PublishedFile,
    read,
)
from catalogue.union_shared import Row

Progress = Callable[[int, int | None], None]

STATE = "published.json"
"""In the station's folder: the number and digest of its last publication, wherever that is now."""

_MOST_PUBLICATIONS = 30
_MOST_OVER = 2.0
"""From so many publications in one folder on, or so many rows written for each that counts, all is
written anew: a reader goes through all of them."""


@dataclass(frozen=True, slots=True)
class Published:
    """What a publication came to: its number, recordings shared, and what it brought. `is_new` is
    not so where nothing had changed, and the last one stands."""

    sequence: int
    recordings: int
    written: int
    removed: int
    whole: bool
    is_new: bool = True


def publish(
    store: Store, key: StationKey, folder: Path, now: datetime,
    progress: Progress = lambda _d, _t: None, *, whole: bool = False,
) -> Published:  # fmt: skip
    """Write what is new into `folder`, which is made if need be. Raises UnionProblem, BadInput.

    With `whole`, or where the last publication cannot be gone on with, everything is written anew.
    """
    station_folder = store.path.parent
    last = None if whole else _last(folder, key)
    sequence, previous = _next(station_folder, folder)
    known = _Known() if last is None else _known(last)
    draft = _Draft(folder, sequence)
    try:
        there = draft.fill(store, known, progress)
        gone = known.numbers[~union_parquet.among(known.numbers, there)]
        draft.remove(gone)
        files = draft.finished()
        carried = () if last is None else last.files
        if last is not None and _outgrown([*carried, *files], len(there)):
            draft.discard()
            return publish(store, key, folder, now, progress, whole=True)
        made = Publication(
            folder,
            union_shared.says(store, key.station),
            sequence,
            previous,
            now.isoformat(timespec="seconds"),
            key.key,
            len(there),
            (*carried, *files),
        )
        if (
            last is not None
            and not files
            and made
            == replace(last, sequence=sequence, previous=previous, made_at=made.made_at, digest="")
        ):
            return Published(last.sequence, len(there), 0, 0, False, False)
        _put_in_place(made, key, station_folder)
    except OSError as problem:
        raise UnionProblem(
            f"{folder} cannot be written ({problem.strerror or problem}). What was published "
            "before is as it was. Make room there, or give another folder."
        ) from problem
    finally:
        draft.discard()
    _clear(made)
    return Published(sequence, len(there), draft.written, len(gone), last is None)


def withdraw(store: Store, key: StationKey, folder: Path, now: datetime) -> Published:
    """Publish that nothing is shared any more: the station is gone at the network's next build."""
    station_folder = store.path.parent
    sequence, previous = _next(station_folder, folder)
    bare = replace(
        union_shared.says(store, key.station), place="", latitude=None, longitude=None, loan=""
    )
    made = Publication(folder, bare, sequence, previous, now.isoformat(timespec="seconds"),
                       key.key, 0, ())  # fmt: skip
    try:
        _put_in_place(made, key, station_folder)
    except OSError as problem:
        raise UnionProblem(
            f"{folder} cannot be written ({problem.strerror or problem}), so nothing was "
            "withdrawn. Give this user the right to write there."
        ) from problem
    _clear(made)
    return Published(sequence, 0, 0, 0, True)


@dataclass(slots=True)
class _Known:
    """What was shared last: numbers, ascending, and a digest of each row with its holdings."""

    numbers: Ints = field(default_factory=lambda: np.zeros(0, np.int64))
    digests: NDArray[np.uint64] = field(default_factory=lambda: np.zeros(0, np.uint64))

    def digest_of(self, number: int) -> int | None:
        """The digest of one of them, None if it is none of them."""
        at = int(np.searchsorted(self.numbers, number))
        if at == len(self.numbers) or int(self.numbers[at]) != number:
            return None
        return int(self.digests[at])


def _digest(row: Row, holdings: list[Row]) -> int:
    content = json.dumps([row, holdings], ensure_ascii=False).encode()
    return int.from_bytes(hashlib.blake2b(content, digest_size=8).digest(), "big")


def _known(last: Publication) -> _Known:
    """The digests of what the last publication shares."""
    numbers: list[int] = []
    digests: list[int] = []
    for sequence, live in last.live():
        # Both files are in the order of numbers: only one recording's holdings are kept at once.
        copies = groupby(
            (row for batch in last.batches("holdings", sequence, live)
             for row in union_parquet.rows(batch)),
            key=itemgetter(0),
        )  # fmt: skip
        number, held = 0, []
        for batch in last.batches("recordings", sequence, live):
            for row in union_parquet.rows(batch):
                while number < row[0]:
                    number, some = next(copies, (row[0], ()))
                    held = [copy[1:] for copy in some]
                numbers.append(row[0])
                digests.append(_digest(row, held if number == row[0] else []))
    order = np.argsort(np.array(numbers, np.int64))
    return _Known(np.array(numbers, np.int64)[order], np.array(digests, np.uint64)[order])


def _last(folder: Path, key: StationKey) -> Publication | None:
    """The publication in the folder if it is this key's own, whole and signed; else None."""
    try:
        publication, content, signature = read(folder)
    except BadPublication:
        return None
    own = publication.key == key.key and publication.station.id == key.station
    if not own and publication.station.id != key.station:
        raise BadInput(
            f"{folder} holds what {publication.station.name} published. Give a folder of this "
            "station's own."
        )
    whole = all(
        (folder / file.name).is_file() and (folder / file.name).stat().st_size == file.bytes
        for file in publication.files
    )
    sound = own and whole and is_signed(content, signature, key.key)
    return publication if sound and not publication.is_withdrawn else None


def _next(station_folder: Path, folder: Path) -> tuple[int, str]:
    """The number of the next publication, above any before, and the digest of the last."""
    found: list[tuple[int, str]] = [(0, "")]
    with suppress(OSError, ValueError, KeyError, TypeError):
        state = json.loads((station_folder / STATE).read_text(encoding="utf-8"))
        found.append((int(state["sequence"]), str(state["manifest"])))
    with suppress(BadPublication):
        publication, _, _ = read(folder)
        found.append((publication.sequence, publication.digest))
    last = max(found)
    return last[0] + 1, last[1]


def _outgrown(files: list[PublishedFile], live: int) -> bool:
    brought = [file for file in files if file.kind == "recordings"]
    rows = sum(file.rows for file in brought)
    return len({f.sequence for f in files}) > _MOST_PUBLICATIONS or rows > _MOST_OVER * max(live, 1)


class _Draft:
    """The files of one publication, under their names, before the manifest tells of them."""

    def __init__(self, folder: Path, sequence: int) -> None:
        self.folder, self.sequence, self.written = folder, sequence, 0
        self._writers: dict[str, Writer] = {}
        self._kept = False

    def fill(self, store: Store, known: _Known, progress: Progress) -> Ints:
        """Write every recording that is not known as it is now; returns the numbers of all."""
        total, there = union_shared.held_at_most(store), list[int]()
        for some in union_shared.shared(store):
            there += [row[0] for row, _ in some]
            changed = [
                (row, held) for row, held in some if known.digest_of(row[0]) != _digest(row, held)
            ]
            self._write("recordings", [row for row, _ in changed])
            self._write("holdings", [(row[0], *copy) for row, held in changed for copy in held])
            self.written += len(changed)
            progress(len(there), max(total, len(there)))
        return np.array(there, np.int64)

    def remove(self, numbers: Ints) -> None:
        """Write that these are shared no longer."""
        self._write("removed", [(int(number),) for number in numbers])

    def finished(self) -> list[PublishedFile]:
        """Close the files; what they are, for the manifest."""
        found = []
        for kind in KINDS:
            if writer := self._writers.get(kind):
                writer.close()
                _sync(writer.path)
                content = hashlib.sha256(writer.path.read_bytes()).hexdigest()
                size = writer.path.stat().st_size
                found.append(PublishedFile(writer.path.name, kind, self.sequence, writer.rows,
                                           size, content))  # fmt: skip
        return found

    def discard(self) -> None:
        """Remove the files unless the manifest tells of them by now."""
        names = {file.name for file in _files_of(self.folder)}
        for writer in self._writers.values():
            with suppress(OSError):
                writer.close()
            if writer.path.name not in names:
                writer.path.unlink(missing_ok=True)

    def _write(self, kind: str, rows: list[Row]) -> None:
        if not rows:
            return
        if kind not in self._writers:
            self.folder.mkdir(parents=True, exist_ok=True)
            path = self.folder / f"{kind}-{self.sequence:06d}.parquet"
            self._writers[kind] = Writer(path, kind)
        self._writers[kind].write(rows)


def _put_in_place(made: Publication, key: StationKey, station_folder: Path) -> None:
    """Sign the manifest and put both in place; note the number first, so that it is never used
    twice."""
    content = made.manifest()
    digest = hashlib.sha256(content).hexdigest()
    made.folder.mkdir(parents=True, exist_ok=True)
    state = json.dumps({"sequence": made.sequence, "manifest": digest}).encode()
    _replace(station_folder / STATE, state)
    _replace(made.folder / SIGNATURE, key.sign(content))
    _replace(made.folder / MANIFEST, content)


def _replace(path: Path, content: bytes) -> None:
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        draft.write_bytes(content)
        _sync(draft)
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _files_of(folder: Path) -> tuple[PublishedFile, ...]:
    with suppress(BadPublication):
        return read(folder)[0].files
    return ()


def _clear(made: Publication) -> None:
    """Remove our own Parquet files that the manifest no longer names."""
    names = {file.name for file in made.files}
    for kind in KINDS:
        for path in made.folder.glob(f"{kind}-*.parquet"):
            if path.name not in names:
                with suppress(OSError):
                    path.unlink()
