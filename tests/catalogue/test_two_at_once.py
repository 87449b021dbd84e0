"""Two people on the same slip, the same caller's details, the same recording.

In any order of looking and writing: who writes over what they have not seen is told, and nothing
is overwritten. A model beside the store says what must be there.
"""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import callers, request_slips, undo
from catalogue.catalogue_rows import add_recording, change_recording, recording
from catalogue.errors import BadInput, CatalogueError, ChangedMeanwhile
from catalogue.records import NewRecording
from catalogue.store import Store

NOW = datetime(2026, 11, 25, 19, 30)
PEOPLE = ("Kit", "Ned")
who = st.sampled_from(PEOPLE)


@contextmanager
def _station() -> Iterator[tuple[Store, int, int]]:
    """A store with one slip and one recording."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        store.db.execute("PRAGMA synchronous = OFF")  # no power fails in this test
        try:
            with undo.action(store, "Liv", "added", NOW):
                song = add_recording(store, NewRecording("My Lantern", "Ann Oke"))
            yield store, request_slips.start(store, "request", "Kit", NOW), song
        finally:
            store.close()


def _everything(store: Store) -> list[object]:
    tables = ("slips", "caller_details", "recordings", "plays", "changes", "actions")
    return [store.rows(f"SELECT * FROM {table}") for table in tables]


Step = Callable[[Store, int, int, str, int], object]
STEPS: dict[str, Step] = {
    "choose": lambda s, n, r, p, v: request_slips.choose(s, n, r, None, p, NOW, version=v),
    "unchoose": lambda s, n, r, p, v: request_slips.unchoose(s, n, p, NOW, v),
    "occasion": lambda s, n, r, p, v: request_slips.set_occasion(s, n, "birthday", p, NOW, v),
    "purpose": lambda s, n, r, p, v: request_slips.set_purpose(s, n, "dedication", p, NOW, v),
    "hand over": lambda s, n, r, p, v: request_slips.hand_over(s, n, "Studio 1", p, NOW, v),
    "call back": lambda s, n, r, p, v: request_slips.call_back(s, n, p, NOW, v),
    "played": lambda s, n, r, p, v: request_slips.played(s, n, p, NOW, v),
    "not used": lambda s, n, r, p, v: request_slips.not_used(s, n, "no time", p, NOW, v),
    "withdraw": lambda s, n, r, p, v: request_slips.withdraw(s, n, p, NOW, v),
}


@given(st.lists(st.tuples(who, st.sampled_from(["look", *STEPS])), max_size=14))
@settings(max_examples=40, deadline=None)
def test_a_slip(moves: list[tuple[str, str]]) -> None:
    """A step goes through only from the slip as it is; otherwise not a row has changed."""
    with _station() as (store, slip, song):
        seen = dict.fromkeys(PEOPLE, request_slips.get(store, slip).version)
        for person, move in moves:
            now_there = request_slips.get(store, slip).version
            if move == "look":
                seen[person] = now_there
                continue
            before = _everything(store)
            try:
                STEPS[move](store, slip, song, person, seen[person])
            except (ChangedMeanwhile, BadInput):
                assert _everything(store) == before
            else:
                assert seen[person] == now_there
                seen[person] = request_slips.get(store, slip).version
        assert len(store.rows("SELECT 1 FROM plays")) <= 1


FIELDS = ("caller_name", "why", "line")
written = st.dictionaries(st.sampled_from(FIELDS), st.sampled_from(["", "a", "b", "c"]), min_size=1)


@given(st.lists(st.tuples(who, st.one_of(st.none(), written)), max_size=20))
@settings(max_examples=50, deadline=None)
def test_a_callers_details(moves: list[tuple[str, dict[str, str] | None]]) -> None:
    """A field changed by the other since it was looked at is not overwritten, nor any beside it;
    other fields of the same slip are no hindrance."""
    with _station() as (store, slip, _):
        there = dict.fromkeys(FIELDS, "")
        seen = {person: dict(there) for person in PEOPLE}
        for person, changes in moves:
            if changes is None:
                seen[person] = dict(there)
                continue
            clash = any(there[f] not in (seen[person][f], v) for f, v in changes.items())
            shown = {field: seen[person][field] for field in changes}
            try:
                callers.write(store, slip, dict(changes), person, NOW, seen=dict(shown))
            except ChangedMeanwhile:
                assert clash
            else:
                assert not clash
                there.update(changes)
                seen[person].update(changes)
            held = callers.of(store, slip)
            assert {field: getattr(held, field) for field in FIELDS} == there


corrected = st.dictionaries(
    st.sampled_from(["title", "year", "genre", "artist"]),
    st.sampled_from(["1961", "1962", "1963"]),
    min_size=1,
)


@given(st.lists(st.tuples(who, st.one_of(st.none(), st.just("take back"), corrected)), max_size=16))
@settings(max_examples=40, deadline=None)
def test_a_recording(moves: list[tuple[str, str | dict[str, str] | None]]) -> None:
    """Two librarians correct it, take the last action back, and correct it again."""
    with _station() as (store, _, song):
        seen = dict.fromkeys(PEOPLE, undo.row_number(store, "recordings", song))
        for person, move in moves:
            number = undo.row_number(store, "recordings", song)
            if move is None:
                seen[person] = number
                continue
            before = recording(store, song)
            try:
                if isinstance(move, str):
                    undo.take_back(store, undo.recent(store, 1)[0].id, person, NOW)
                    continue
                with undo.action(store, person, "corrected it", NOW):
                    undo.refuse_if_changed(store, "recordings", song, seen[person])
                    change_recording(store, song, **move)
            except ChangedMeanwhile as told:
                assert seen[person] != number
                assert "Nothing was overwritten" in told.message
                assert recording(store, song) == before
            except CatalogueError:
                assert isinstance(move, str)
            else:
                assert seen[person] == number
                seen[person] = undo.row_number(store, "recordings", song)
            if not store.rows("SELECT 1 FROM recordings"):
                return  # the taking back went back to the beginning


@pytest.mark.parametrize("step", ["choose", "occasion", "hand over", "withdraw"])
def test_at_the_very_same_moment_one_wins(step: str) -> None:
    """On two threads, eight times: one is done and the other is told."""
    for _ in range(8):
        with _station() as (store, slip, song):
            start, told = threading.Barrier(2), list[str]()
            version = request_slips.get(store, slip).version

            def work(
                person: str, store: Store = store, slip: int = slip, song: int = song,
                version: int = version, start: threading.Barrier = start,
                told: list[str] = told,
            ) -> None:  # fmt: skip
                start.wait()
                try:
                    STEPS[step](store, slip, song, person, version)
                    told.append("done")
                except ChangedMeanwhile:
                    told.append("told")

            threads = [threading.Thread(target=work, args=(person,)) for person in PEOPLE]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            assert sorted(told) == ["done", "told"]
