"""The sound index: a tantivy index beside the database, made from it and disposable.

SQLite keeps a numbered list of changed recordings (`index_changes`). The index remembers the
last number it has taken in, and catches up before it answers. It is made anew when it is
missing, damaged, of an older make, or belongs to another database; the log says so.

One process writes the index (tantivy's own lock holds that). Another process that finds it
behind answers from what is there; the writer catches up within seconds.
"""

from __future__ import annotations

import json
import logging
import os
import shutil
import threading
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from itertools import islice
from pathlib import Path
from typing import Any

import tantivy

from catalogue.errors import StoreProblem
from catalogue.filed_names import Filed, forms_of
from catalogue.form_file import FormFile
from catalogue.search_keys import Form, Keys, form_of, keys_of_form
from catalogue.store import Store

_log = logging.getLogger(__name__)

_MAKE = 3
"""Raised when filed forms or keys change, so that older indexes are made anew."""

_WRITER_BYTES = 128_000_000
_ONE_BY_ONE = 20_000
"""More changed recordings than this at once: making the whole index anew is quicker."""

_BATCH = 5_000
"""Forms written at once."""

_PRUNE_ABOVE = 5_000
"""Numbers already taken in that may lie about in `index_changes` before they are cleared."""

_FIELDS = ("phones", "classes", "letters")
_STATE = "state.json"


@dataclass(frozen=True, slots=True)
class _State:
    """What the index says of itself: its make, whose it is, how far it has come, where it is."""

    make: int = 0
    identity: int = 0
    last: int = -1
    folder: str = ""


class SoundIndex:
    """Where names are found by their sound. Safe to share between threads."""

    def __init__(self, folder: Path, store: Store) -> None:
        """Open the index in `folder`, making it if need be. The folder is made too."""
        self.folder = Path(folder)
        self.store = store
        self._lock = threading.Lock()
        self._writer: Any = None
        self._state = _State()
        self._index: Any = None
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise StoreProblem(
                f"The folder {self.folder} for the index cannot be made. Give this user the "
                "right to write there, or give another folder."
            ) from problem
        self._open()
        self.catch_up()

    def search(self, keys: Keys, limit: int, rarest: int) -> list[tuple[int, Form]]:
        """The `limit` best (recording id, form) that share keys, by BM25.

        Only the `rarest` keys that occur at all are asked for: frequent ones cost much and
        tell little.
        """
        self.catch_up()
        try:
            return self._search(keys, limit, rarest)
        except BaseException as problem:  # tantivy panics on damage; that is no Exception
            if isinstance(problem, (KeyboardInterrupt, SystemExit, MemoryError)):
                raise
            _log.warning("The sound index is damaged (%s).", problem)
            with self._lock:
                self._rebuild("it was damaged")
            return self._search(keys, limit, rarest)

    def _search(self, keys: Keys, limit: int, rarest: int) -> list[tuple[int, Form]]:
        searcher, schema = self._searcher, self._schema
        counted = [
            (searcher.doc_freq(field, key), field, key)
            for field, run in zip(_FIELDS, keys, strict=True)
            for key in run
        ]
        terms = sorted(term for term in counted if term[0])[:rarest]
        if not terms:
            return []
        query = tantivy.Query.boolean_query(
            [
                (tantivy.Occur.Should, tantivy.Query.term_query(schema, field, key, "basic"))
                for _, field, key in terms
            ]
        )
        hits = searcher.search(query, limit, count=False).hits
        addresses = [address for _, address in hits]
        if not addresses:
            return []
        return self._forms_at(searcher, addresses)

    def _forms_at(self, searcher: Any, addresses: list[Any]) -> list[tuple[int, Form]]:
        ids, places, sizes = (
            searcher.fast_field_values(field, addresses) for field in ("recording", "place", "size")
        )
        return list(zip(ids, self._forms.read(places, sizes), strict=True))

    def __len__(self) -> int:
        """How many names are filed."""
        return int(self._searcher.num_docs)

    def forms(self) -> Iterator[tuple[int, Form]]:
        """Every filed name; for benchmarks that compare with everything."""
        hits = self._searcher.search(tantivy.Query.all_query(), max(1, len(self)), count=False).hits
        yield from self._forms_at(self._searcher, [address for _, address in hits])

    def catch_up(self) -> None:
        """Take in every change up to the last number, if this process may write."""
        if self._last_number() == self._state.last:
            return
        with self._lock:
            last = self._last_number()
            if last == self._state.last or not self._may_write():
                return
            changed = [
                int(row["recording_id"])
                for row in self.store.rows(
                    "SELECT DISTINCT recording_id FROM index_changes WHERE number > ? LIMIT ?",
                    (self._state.last, _ONE_BY_ONE + 1),
                )
            ]
            if last < self._state.last:
                self._rebuild("it is ahead of the catalogue")
            elif len(changed) > _ONE_BY_ONE:
                self._rebuild("many recordings came in")
            else:
                self._take_in(changed, last)

    def close(self) -> None:
        """Let go of the writer's lock."""
        with self._lock:
            self._writer = None
            self._forms.close()

    # Below: how it is kept. All of it runs under the lock.

    def _open(self) -> None:
        wrong = self._read_state()
        if not wrong:
            try:
                path = self.folder / self._state.folder
                self._index = tantivy.Index.open(str(path))
                self._forms = FormFile(path)
                self._schema = self._index.schema
                self._searcher = self._index.searcher()
                return
            except BaseException as problem:
                if isinstance(problem, (KeyboardInterrupt, SystemExit)):
                    raise
                wrong = "it could not be opened"
        with self._lock:
            self._rebuild(wrong)

    def _read_state(self) -> str:
        """Read the state file; returns what is wrong with the index, or nothing."""
        try:
            state = json.loads((self.folder / _STATE).read_text(encoding="utf-8"))
            self._state = _State(**state)
        except FileNotFoundError:
            return "there was none"
        except (OSError, ValueError, KeyError, TypeError):
            return "its state could not be read"
        if self._state.make != _MAKE:
            return "it was of an older make"
        if self._state.identity != self.store.identity:
            return "it belonged to another catalogue"
        return ""

    def _may_write(self) -> bool:
        if self._writer is None:
            try:
                self._writer = self._index.writer(_WRITER_BYTES, 1)
            except ValueError:  # another process holds tantivy's lock
                return False
        return True

    def _take_in(self, recording_ids: list[int], last: int) -> None:
        for recording_id in recording_ids:
            self._writer.delete_documents_by_term("recording", recording_id)
        self._add(self._writer, self._forms, _filed_names(self.store, recording_ids))
        self._writer.commit()
        self._index.reload()
        self._searcher = self._index.searcher()
        self._write_state(last, self._state.folder)
        self._prune(last)

    def _rebuild(self, why: str) -> None:
        """Make the index anew in a folder of its own, then point to it."""
        self._writer = None
        last = self._last_number()
        name = f"make-{_MAKE}-{os.getpid()}-{last}-{os.urandom(3).hex()}"
        path = self.folder / name
        path.mkdir(parents=True)
        index = tantivy.Index(_schema(), str(path))
        writer = index.writer(_WRITER_BYTES, 1)
        forms = FormFile(path)
        self._add(writer, forms, _filed_names(self.store, None))
        writer.commit()
        writer.wait_merging_threads()
        del writer
        index.reload()
        old = self._state.folder
        self._index, self._schema, self._searcher = index, index.schema, index.searcher()
        self._forms = forms
        self._write_state(last, name)
        for other in self.folder.iterdir():
            if other.is_dir() and other.name != name:
                shutil.rmtree(other, ignore_errors=True)
        self._prune(last)
        if old or why != "there was none":
            _log.warning("The sound index was made anew, because %s.", why)
        else:
            _log.info("The sound index was made.")

    def _add(self, writer: Any, forms: FormFile, names: Iterable[tuple[int, Form]]) -> None:
        rest = iter(names)
        while batch := list(islice(rest, _BATCH)):
            places = forms.append([form for _, form in batch])
            for (recording_id, form), (place, size) in zip(batch, places, strict=True):
                keys = keys_of_form(form)
                writer.add_document(
                    tantivy.Document(
                        recording=recording_id,
                        place=place,
                        size=size,
                        phones=" ".join(keys.phones),
                        classes=" ".join(keys.classes),
                        letters=" ".join(keys.letters),
                    )
                )
        forms.flush()

    def _write_state(self, last: int, folder: str) -> None:
        self._state = _State(_MAKE, self.store.identity, last, folder)
        draft = self.folder / f"{_STATE}.{os.getpid()}"
        draft.write_text(json.dumps(asdict(self._state)), encoding="utf-8")
        draft.replace(self.folder / _STATE)

    def _last_number(self) -> int:
        rows = self.store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")
        return int(rows[0]["seq"]) if rows else 0

    def _prune(self, last: int) -> None:
        counted = "SELECT count(*) AS n FROM index_changes WHERE number <= ?"
        if self.store.rows(counted, (last,))[0]["n"] > _PRUNE_ABOVE:
            with self.store.transaction() as db:
                db.execute("DELETE FROM index_changes WHERE number <= ?", (last,))


def _schema() -> Any:
    builder = tantivy.SchemaBuilder()
    builder.add_integer_field("recording", indexed=True, fast=True)
    for field in _FIELDS:
        builder.add_text_field(field, tokenizer_name="whitespace", index_option="basic")
    for field in ("place", "size"):
        builder.add_integer_field(field, fast=True)
    return builder.build()


_BASE = """SELECT r.id, r.title, a.name, r.composer, r.work, r.movement, r.soloist, r.conductor
    FROM recordings r JOIN artists a ON a.id = r.artist_id"""
_OTHERS = """SELECT r.id, o.kind, r.title, o.name FROM other_names o
    JOIN recordings r ON r.artist_id = o.artist_id {where}
    UNION ALL SELECT r.id, o.kind, o.name, CASE WHEN o.kind = 'hearing' THEN '' ELSE a.name END
    FROM other_names o JOIN recordings r ON r.id = o.recording_id
    JOIN artists a ON a.id = r.artist_id {where}"""


def _filed_names(store: Store, ids: list[int] | None) -> Iterator[tuple[int, Form]]:
    """Every name of these recordings, or of all: its own, its parts, and its other names."""
    where, chosen = "", []
    if ids is not None:
        where, chosen = "WHERE r.id IN (SELECT value FROM json_each(?))", [json.dumps(ids)]
    for recording_id, *filed in store.db.execute(f"{_BASE} {where}", chosen):
        for form in forms_of(Filed(*filed)):
            yield recording_id, form
    for recording_id, kind, title, artist in store.db.execute(
        _OTHERS.format(where=where), chosen * 2
    ):
        yield recording_id, form_of(title, artist, kind)
