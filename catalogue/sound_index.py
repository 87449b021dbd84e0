"""The sound index: a tantivy index beside the database, made from it and disposable.

SQLite keeps a numbered list of changed recordings (`index_changes`). The index remembers the
last number it has taken in, and catches up before it answers. It is made anew when it is
missing, damaged, of an older make, or belongs to another database; the log says so.

One process writes the index (tantivy's own lock holds that). Another process that finds it
behind answers from what is there; the writer catches up within seconds. When another process has
gone on with the index, or made it anew, this one follows it before it writes.

A server sets `kept_up` and calls `catch_up` every other second. Then a question takes in only the
few changes that people make; what a taking-in brings by the thousand is found after the next round,
and no caller waits for it.
"""

from __future__ import annotations

import logging
import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, TypeVar

import tantivy

from catalogue import index_files, index_state, index_view
from catalogue.errors import StoreBusy, StoreProblem
from catalogue.filed_forms import filed_forms
from catalogue.found_names import Found, fetched_among
from catalogue.index_state import IndexState
from catalogue.index_view import View
from catalogue.search_keys import Form, Keys
from catalogue.store import Store

_log = logging.getLogger(__name__)
_T = TypeVar("_T")

MAKE = 11
"""Raised when filed forms or keys change, so that older indexes are made anew."""

_ONE_BY_ONE = 20_000
"""More changed recordings than this at once: making the whole index anew is quicker."""

_PRUNE_ABOVE = 5_000
"""Numbers already taken in that may lie about in `index_changes` before they are cleared."""

_AT_ONCE = 60
"""Changes that a question takes in itself where the index is kept up: a person's work at a desk."""

_WAITS_S = 0.05
"""How long a question waits there for another thread that takes changes in."""

_PIECE = 40
"""Recordings that are taken in without a pause where the index is kept up: some 10 ms of work."""

_PAUSE_S = 0.01
"""Between two pieces, for those who ask meanwhile: threads of one process share a processor."""

_NOT_OURS = (KeyboardInterrupt, SystemExit, MemoryError)
"""What is not the index's fault. tantivy's panics on damage are no `Exception` either."""


class SoundIndex:
    """Where names are found by their sound. Safe to share between threads."""

    def __init__(self, folder: Path, store: Store) -> None:
        """Open the index in `folder`, making it if need be. The folder is made too."""
        self.folder = Path(folder)
        self.store = store
        self._lock = threading.Lock()
        self._writer: Any = None
        self._view: View
        self._closed = False
        self.kept_up = False
        self._many_came = False
        self._state = IndexState()
        self._compared: frozenset[str] = frozenset()
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise StoreProblem(
                f"The folder {self.folder} for the index cannot be made. Give this user the "
                "right to write there, or give another folder."
            ) from problem
        self._open()
        self.catch_up()

    def search(self, keys: Keys, limit: int, rarest: int) -> Found:
        """The `limit` best names that share keys, by BM25.

        Only the `rarest` keys that occur at all are asked for: frequent ones cost much and
        tell little. Raises StoreProblem if the index is damaged and cannot be made anew.
        """
        self._catch_up_to_answer()
        return self._read(lambda view: index_view.search(view, keys, limit, rarest))

    def rarities(self, words: Sequence[str]) -> list[float]:
        """For each plain word the natural log of how many names there are for each that has it.

        Raises StoreProblem as `search` does.
        """
        return self._read(lambda view: index_view.rarities(view, words))

    @property
    def fetched(self) -> int:
        """How many names are taken for one request: more among very many."""
        return fetched_among(len(self))

    def __len__(self) -> int:
        """How many names are filed."""
        return int(self._view.searcher.num_docs)

    def forms(self) -> Iterator[tuple[int, Form]]:
        """Every filed name; for benchmarks that compare with everything."""
        view, everything = self._view, tantivy.Query.all_query()
        hits = view.searcher.search(everything, max(1, len(self)), count=False).hits
        yield from index_view.forms_at(view, [address for _, address in hits])

    def recording_ids(self) -> set[int]:
        """The recordings that are filed, to compare with the catalogue."""
        view, everything = self._view, tantivy.Query.all_query()
        hits = view.searcher.search(everything, max(1, len(self)), count=False).hits
        addresses = [address for _, address in hits]
        return set(view.searcher.fast_field_values("recording", addresses)) if hits else set()

    def _read(self, ask: Callable[[View], _T]) -> _T:
        """What is asked of the index; where that fails over damage, of one made anew."""
        view = self._view
        try:
            return ask(view)
        except BaseException as problem:
            if isinstance(problem, _NOT_OURS):
                raise
            if self._closed:
                raise StoreProblem("The station is being stopped. Start it again.") from problem
            _log.warning("The sound index is damaged (%s).", problem)
        with self._lock:
            if self._view.index is view.index:  # else another thread has made it anew already
                self._rebuild("it was damaged")
        return ask(self._view)

    def catch_up(self) -> None:
        """Take in every change up to the last number, if this process may write.

        Not inside a transaction: what is not committed may yet be undone.
        """
        if self._last_number() == self._state.last or self.store.db.conn.in_transaction:
            self._many_came = False
            return
        with self._lock:
            self._catch_up()

    def close(self) -> None:
        """Let go of the writer's lock."""
        with self._lock:
            self._closed = True
            self._writer = None
            self._view.forms.close()

    def _catch_up_to_answer(self) -> None:
        """Catch up; where somebody else does that as well, only with what takes no time."""
        if not self.kept_up:
            self.catch_up()
            return
        behind = self._last_number() - self._state.last
        if self._many_came or not 0 < behind <= _AT_ONCE or self.store.db.conn.in_transaction:
            return
        if self._lock.acquire(timeout=_WAITS_S):
            try:
                self._catch_up()
            finally:
                self._lock.release()

    # Below: how it is kept. All of it runs under the lock.

    def _catch_up(self) -> None:
        self._follow()
        last = self._last_number()
        if last == self._state.last:
            return
        try:
            self._go_on(last)
        except BaseException as problem:
            if isinstance(problem, (*_NOT_OURS, StoreProblem)):
                raise
            _log.warning("The sound index could not be written (%s).", problem)
            self._rebuild("it could not be written")

    def _go_on(self, last: int) -> None:
        if not self._may_write():
            return
        rows = self.store.rows(
            "SELECT DISTINCT recording_id FROM index_changes WHERE number > ? LIMIT ?",
            (self._state.last, _ONE_BY_ONE + 1),
        )
        if last < self._state.last:
            self._rebuild("it is ahead of the catalogue")
        elif self._misses_changes():
            self._rebuild("it was too far behind the catalogue")
        elif len(rows) > _ONE_BY_ONE:
            self._rebuild("many recordings came in")
        else:
            self._take_in([int(row["recording_id"]) for row in rows], last)

    def _misses_changes(self) -> bool:
        """Whether the next change was cleared away already, after another index took it in."""
        first = self.store.rows("SELECT min(number) AS n FROM index_changes")[0]["n"]
        return first is None or first > self._state.last + 1

    def _open(self) -> None:
        tried = None
        while True:
            wrong, state = self._tried_to_open()
            if not wrong:
                return
            if state is None or state == tried:
                break
            tried = state  # else another program may have made it anew meanwhile
        with self._lock:
            self._rebuild(wrong)

    def _tried_to_open(self) -> tuple[str, IndexState | None]:
        """What speaks against the index that is there, or nothing; and its state."""
        state = None
        try:
            state = index_state.read(self.folder)
            wrong = self._wrong_with(state)
        except FileNotFoundError:
            wrong = "there was none"
        except (OSError, ValueError):
            wrong = "its state could not be read"
        if wrong or state is None:
            return wrong, state
        try:
            self._use(state)
        except BaseException as problem:
            if isinstance(problem, _NOT_OURS):
                raise
            return "it could not be opened", state
        return "", state

    def _wrong_with(self, state: IndexState) -> str:
        """What speaks against an index of this state, or nothing."""
        if state.make != MAKE:
            return "it was of an older make"
        if state.identity != self.store.identity:
            return "it belonged to another catalogue"
        return ""

    def _use(self, state: IndexState) -> None:
        path = self.folder / state.folder
        same = state.folder == self._state.folder != ""
        # Of an index that is in use already only what is new is compared: a caller may wait.
        compared = index_files.check(path, self._compared if same else frozenset())
        view = index_view.opened(path)
        if same:
            view = view._replace(forms=self._view.forms)
        if view.forms.checksum(state.forms)[1] != state.checksum:
            raise ValueError("the file of forms is damaged")
        self._view, self._state, self._compared = view, state, compared

    def _follow(self) -> None:
        """Use what another process has made of the index since, if it did."""
        try:
            state = index_state.read(self.folder)
            if state == self._state or self._wrong_with(state):
                return
            if state.folder != self._state.folder:
                self._writer = None
            self._use(state)
        except BaseException as problem:
            if isinstance(problem, _NOT_OURS):
                raise
            _log.warning("What another program made of the sound index cannot be read.")

    def _may_write(self) -> bool:
        if self._writer is None:
            try:
                self._writer = self._view.index.writer(index_view.WRITER_BYTES, 1)
            except ValueError as problem:
                if "LockBusy" not in str(problem):
                    raise
                return False  # another process holds tantivy's lock
        return True

    def _take_in(self, recording_ids: list[int], last: int) -> None:
        for recording_id in recording_ids:
            self._writer.delete_documents_by_term("recording", recording_id)
        view, self._many_came = self._view, self.kept_up and len(recording_ids) > _AT_ONCE
        size = _PIECE if self.kept_up else len(recording_ids)
        for start in range(0, len(recording_ids), size):
            piece = recording_ids[start : start + size]
            index_view.add(self._writer, view.forms, filed_forms(self.store, piece))
            if len(piece) < len(recording_ids):
                time.sleep(_PAUSE_S)
        self._writer.commit()
        view.index.reload()
        self._view = view._replace(searcher=view.index.searcher())
        self._write_state(last, self._state.folder, view)
        self._prune(last)

    def _rebuild(self, why: str) -> None:
        """Make the index anew in a folder of its own, then point to it."""
        self._writer = None
        last = self._last_number()
        name = f"make-{MAKE}-{os.getpid()}-{last}-{os.urandom(3).hex()}"
        path = self.folder / name
        try:
            path.mkdir(parents=True)
            view = index_view.made(path, filed_forms(self.store, None))
            old = self._state.folder
            self._write_state(last, name, view)
        except BaseException as problem:
            shutil.rmtree(path, ignore_errors=True)
            if isinstance(problem, (*_NOT_OURS, StoreProblem)):
                raise
            raise StoreProblem(
                f"The index in {self.folder} cannot be made ({problem}). Nothing in the catalogue "
                "was changed. Make room there, or give this user the right to write there."
            ) from problem
        self._view = view
        index_state.clear_away(self.folder, keep=name, old=old)
        self._prune(last)
        if old or why != "there was none":
            _log.warning("The sound index was made anew, because %s.", why)
        else:
            _log.info("The sound index was made.")

    def _write_state(self, last: int, folder: str, view: View) -> None:
        state = IndexState(MAKE, self.store.identity, last, folder, *view.forms.checksum())
        index_state.write(self.folder, state)
        self._state = state

    def _last_number(self) -> int:
        rows = self.store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")
        return int(rows[0]["seq"]) if rows else 0

    def _prune(self, last: int) -> None:
        counted = "SELECT count(*) AS n FROM index_changes WHERE number <= ?"
        if self.store.rows(counted, (last,))[0]["n"] > _PRUNE_ABOVE:
            try:
                with self.store.transaction() as db:
                    db.execute("DELETE FROM index_changes WHERE number <= ?", (last,))
            except StoreBusy:
                _log.info("Changes taken in are cleared another time; the catalogue is busy.")
