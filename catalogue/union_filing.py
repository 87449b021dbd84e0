"""The third step of a build: entries handed out to shards, and each shard written.

A shard whose entries are as they were is not written again: its folder bears the digest of what is
in it. Entries are merged some ten thousands at a time, so that a shard may be as large as its
index allows.
"""

from __future__ import annotations

import hashlib
import os
import secrets
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from pathlib import Path

import numpy as np

from catalogue import index_view, union_chunks, union_entries, union_merging, union_terms
from catalogue.search_keys import Form
from catalogue.sound_index import MAKE
from catalogue.union_gathering import Work
from catalogue.union_layout import ShardFiles, shard_of
from catalogue.union_merging import Entry
from catalogue.union_parquet import Ints
from catalogue.union_terms import TermTally

TERMS = "terms.db"
"""In a shard's folder: the counts of its own terms, of which those of the union are made."""

_HANDFUL = 50_000
"""Recordings merged at once: some hundred megabytes."""

_DIGEST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class Plan:
    """How recordings are handed out: how many shards, and how many handfuls each is merged in."""

    shards: int
    handfuls: int
    chunks: int

    @classmethod
    def of(cls, recordings: int, shards: int, chunks: int) -> Plan:
        """The plan for so many recordings: for the same always the same."""
        return cls(shards, max(1, round(recordings / shards / _HANDFUL)), chunks)


def hand_out(work: Work, index: int, ids: Ints, station: int, plan: Plan) -> None:
    """Share a chunk's recordings out to shards and handfuls, by the `ids` of their entries."""
    table = union_chunks.with_columns(
        union_chunks.read(work.raw(index)),
        {"entry": ids, "station": np.full(len(ids), station, np.int64)},
    )
    parts = ids % plan.shards * plan.handfuls + ids // plan.shards % plan.handfuls
    union_chunks.share_out(
        work.handed(index), table, np.arange(len(ids)), parts, plan.shards * plan.handfuls
    )


def file_shard(work: Work, union: Path, number: int, plan: Plan, old: str) -> ShardFiles:
    """Write a shard beside the others, unless its digest is the `old` one or it lies there.

    Returns where it is. It is put in place whole; nothing points to it yet.
    """
    if old:
        digest, entries = _digest(work, number, plan)
        there = _folder(union, number, digest)
        if digest == old and there.is_dir():
            return ShardFiles(number, there, entries, _names_of(there), digest)
    draft = union / f"draft-{secrets.token_hex(6)}"
    files = ShardFiles(number, draft, 0, 0, "")
    files.index_folder.mkdir(parents=True)
    try:
        writing = _Writing(files)
        view = index_view.made(files.index_folder, writing.names(work, plan), writing.tally.see)
        view.forms.close()
        writing.close()
        union_terms.write(draft / TERMS, writing.tally)
        _sync(draft)
        digest = writing.digest.hexdigest()
        target = _folder(union, number, digest)
        if target.is_dir():  # left by a build that was ended before it told of it
            shutil.rmtree(target)
        draft.replace(target)
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return ShardFiles(number, target, writing.entries, writing.tally.names, digest)


class _Writing:
    """A shard being written: entries go to their file while their names go to the index."""

    def __init__(self, files: ShardFiles) -> None:
        self.number, self.entries, self.tally = files.number, 0, TermTally()
        self.digest = hashlib.blake2b(str(MAKE).encode())
        self._writer = union_entries.Writer(files.entries_file)

    def names(self, work: Work, plan: Plan) -> Iterator[tuple[int, Form]]:
        """(id, form) of every name of every entry; the entries are written on the way."""
        for entry in _entries(work, self.number, plan):
            self._writer.add(entry.id, entry.recording, entry.copies)
            self.digest.update(entry.told())
            self.entries += 1
            for form in entry.forms():
                yield entry.id, form

    def close(self) -> None:
        """Finish the file of entries."""
        self._writer.close()


def _entries(work: Work, shard: int, plan: Plan) -> Iterator[Entry]:
    """The entries of a shard, merged, handful after handful, each in the order of ids."""
    files = [work.handed(index) for index in range(plan.chunks)]
    for handful in range(plan.handfuls if files else 0):
        table = union_chunks.part(files, shard * plan.handfuls + handful)
        order = np.argsort(union_chunks.numbers(table, "entry"), kind="stable")
        rows = union_chunks.rows(union_chunks.taken(table, order), union_merging.COLUMNS)
        for entry, members in groupby(rows, key=itemgetter(0)):
            assert shard_of(entry, plan.shards) == shard
            yield union_merging.merged(list(members))


def _digest(work: Work, shard: int, plan: Plan) -> tuple[str, int]:
    digest, count = hashlib.blake2b(str(MAKE).encode()), 0
    for entry in _entries(work, shard, plan):
        digest.update(entry.told())
        count += 1
    return digest.hexdigest(), count


def _folder(union: Path, number: int, digest: str) -> Path:
    return union / f"shard-{number:03d}-{digest[:_DIGEST_SHOWN]}"


def _names_of(folder: Path) -> int:
    terms = union_terms.UnionTerms(folder / TERMS)
    try:
        return terms.names
    finally:
        terms.close()


def all_terms(union: Path, shards: Sequence[ShardFiles]) -> Path:
    """Write the counts of the whole union, of those of its shards; returns the file."""
    together = hashlib.blake2b("".join(shard.digest for shard in shards).encode()).hexdigest()
    target = union / f"terms-{together[:_DIGEST_SHOWN]}.db"
    if target.exists():
        return target
    draft = union / f"draft-{secrets.token_hex(6)}.db"
    try:
        union_terms.put_together(draft, [shard.folder / TERMS for shard in shards])
        _sync_file(draft)
        draft.replace(target)
    finally:
        draft.unlink(missing_ok=True)
    return target


def _sync(folder: Path) -> None:
    for path in folder.rglob("*"):
        if path.is_file():
            _sync_file(path)


def _sync_file(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())
