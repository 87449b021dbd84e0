"""One shard of a union, opened for reading: its names by their sound, its entries, their holders.

A shard is asked with weights from outside and says how far down it has looked, so that whoever
puts the answers of several shards together knows whether a name it was not told of could still
belong among the best.
"""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from catalogue import index_files, index_view
from catalogue.errors import UnionProblem
from catalogue.found_names import Forms, line_of
from catalogue.index_view import View
from catalogue.records import Recording
from catalogue.search_keys import Keys
from catalogue.union_entries import UnionCopy, UnionEntries
from catalogue.union_layout import ShardFiles
from catalogue.union_scores import Asking, Scored, in_order, scored

_ROUNDING = 1.0001
"""tantivy's scores are in single precision: a sum of ninety keys is right to one in 10,000 and
better."""

_ONLY_READ = "Lockfile"
"""What tantivy says where it may not write the file by which it holds its lock."""

_NOT_OURS = (KeyboardInterrupt, SystemExit, MemoryError)
"""What is not the index's fault. tantivy's panics on damage are no `Exception` either."""


class Part(NamedTuple):
    """What one shard found: scores, entries' numbers and packed names, and how far it looked.

    No name that is not among them has more than `bound`; None where there is none at all.
    """

    scores: list[float]
    numbers: list[int]
    lines: list[str]
    bound: float | None

    def scored(self) -> list[Scored]:
        """The names with their scores."""
        forms = Forms.of_lines(self.lines)
        return list(map(Scored, self.scores, self.numbers, forms))


class Entry(NamedTuple):
    """A recording of the union and who has copies of it."""

    recording: Recording
    copies: list[UnionCopy]


class Shard:
    """An open shard. Safe to share between threads."""

    def __init__(self, files: ShardFiles) -> None:
        """Open the files. Raises UnionProblem if they cannot be read."""
        self.files = files
        self._links: tempfile.TemporaryDirectory[str] | None = None
        try:
            index_files.check(files.index_folder)
            self._view = self._opened(files.index_folder)
            self._means = index_view.mean_terms(self._view)
        except BaseException as problem:
            if isinstance(problem, _NOT_OURS):
                raise
            raise UnionProblem(
                f"The index in {files.index_folder} cannot be read ({problem}). Build the union "
                "anew."
            ) from problem
        self._entries = UnionEntries(files.entries_file)
        self._lock = threading.Lock()

    def find(self, asked: Asking, limit: int) -> Part:
        """The `limit` names that are best by this shard's own lengths, scored by the union's."""
        hits = index_view.best_by(self._view, asked.terms, limit)
        found = sorted(scored(asked, [(number, form) for _, number, form in hits]), key=in_order)
        return Part(
            [one.score for one in found],
            [one.number for one in found],
            [line_of(one.form) for one in found],
            self._bound(asked, hits[-1][0]) if len(hits) == limit else None,
        )

    def entries(self, ids: Sequence[int]) -> dict[int, Entry]:
        """The entries of this shard among these, by their ids."""
        with self._lock:
            recordings = self._entries.recordings(ids)
            copies = self._entries.copies(list(recordings))
        return {number: Entry(one, copies[number]) for number, one in recordings.items()}

    def close(self) -> None:
        """Let go of the files."""
        self._entries.close()
        self._view.forms.close()
        if self._links is not None:
            self._links.cleanup()

    def _bound(self, asked: Asking, last: float) -> float:
        """The most that a name can score which tantivy put behind one of score `last`.

        A name's length counts for less where names are longer on average: by their ratio at most.
        """
        most = 1.0
        for field, mean in zip(Keys._fields, asked.means, strict=True):
            if any(term.field == field for term in asked.terms):
                own = self._means.get(field, 0.0)
                most = max(most, mean / own) if own else float("inf")
        return last * most * _ROUNDING

    def _opened(self, folder: Path) -> View:
        """The index in a folder; by links to its files where the folder is only to be read, since
        tantivy writes the file of its lock even to read."""
        try:
            return index_view.opened(folder)
        except ValueError as problem:
            if _ONLY_READ not in str(problem):
                raise
        self._links = tempfile.TemporaryDirectory(prefix="asheard-shard-")
        linked = Path(self._links.name)
        for file in folder.resolve().iterdir():
            if not file.name.endswith(".lock"):
                (linked / file.name).symlink_to(file)
        return index_view.opened(linked)
