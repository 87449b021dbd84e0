"""Taking-ins taken back whole, and broken off on the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from catalogue import catalogue_rows as rows
from catalogue import turns, undo
from catalogue.errors import CannotTakeBack, NotFound, StoreBusy
from catalogue.records import NewRecording
from catalogue.store import Store
from importers import accession
from importers.entries import Taken
from importers.report import Report
from tests.importers.made_entries import count, counts, everything, in_file, known, on_disc


@pytest.fixture
def take(store: Store, now: datetime) -> Any:
    def take(*entries: Taken) -> Report:
        return accession.take_in(store, entries, "Ann", "a test", now)

    return take


def test_taking_back_leaves_nothing(
    store: Store, take: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A taking-in of many batches is undone whole, and what was there before is as it was."""
    monkeypatch.setattr(accession, "BATCH", 7)
    take(in_file(genre=""), known("Ebb"))
    before = everything(store)
    report = take(
        *(on_disc(f"Song {n}", f"Artist {n % 5}", f"C {n // 6}", str(n)) for n in range(40)),
        on_disc(genre="folk", mark="C 99"),
    )
    assert len(report.action_ids) == 6

    assert accession.take_back_all(store, report.what, "Ben", now) == 6

    assert before == everything(store)
    assert [(report.what, True)] == [
        (one.what, one.taken_back) for one in accession.takings_in(store)
    ][:1]
    with pytest.raises(NotFound):
        accession.take_back_all(store, report.what, "Ben", now)


def test_taken_back_entries_can_be_taken_in_again(store: Store, take: Any, now: datetime) -> None:
    """Raw values of a taking-in that was undone do not count as said before."""
    accession.take_back_all(store, take(in_file("Tied", year=1985)).what, "Ben", now)

    report = take(in_file("Tide", year=1962))

    assert counts(report) == (1, 0, 0, 0, 0)
    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]


def test_what_was_taken_back_was_not_said(store: Store, take: Any, now: datetime) -> None:
    """A year that a person wrote is no guess, though a taking-in that was undone guessed it."""
    with undo.action(store, "Ben", "wrote it down", now):
        number = rows.add_recording(store, NewRecording("Tide", "Ada Sluice"))
    guess = replace(in_file(year=1985), guessed=frozenset({"year"}))
    accession.take_back_all(store, take(guess).what, "Ben", now)
    with undo.action(store, "Ben", "wrote the year", now):
        rows.change_recording(store, number, year=1985)

    take(on_disc(year=1984))

    assert rows.recording(store, number).year == 1985


def test_taking_back_is_all_or_nothing(
    store: Store, take: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Later work on one record of the first batch keeps all batches."""
    monkeypatch.setattr(accession, "BATCH", 2)
    report = take(*(on_disc(f"Song {n}", track=str(n)) for n in range(6)))
    with undo.action(store, "Ben", "wrote the year", now):
        rows.change_recording(store, 1, year=1962)
    before = everything(store)

    with pytest.raises(CannotTakeBack):
        accession.take_back_all(store, report.what, "Ben", now)

    assert before == everything(store)


def test_two_takings_in_have_different_names(store: Store, take: Any, now: datetime) -> None:
    """The same folder on the same evening: only the second is taken back."""
    first, second = take(on_disc()), take(on_disc("Ebb", track="2"))

    accession.take_back_all(store, second.what, "Ben", now)

    assert first.what != second.what
    assert [row["title"] for row in store.rows("SELECT title FROM recordings")] == ["Tide"]


def test_ctrl_c_loses_the_batch_at_hand_only(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was finished stays, and the report says so."""
    monkeypatch.setattr(accession, "BATCH", 3)

    def entries() -> Any:
        for n in range(8):
            if n == 7:
                raise KeyboardInterrupt
            yield on_disc(f"Song {n}", track=str(n))

    report = accession.take_in(store, entries(), "Ann", "a test", now)

    assert (report.added, count(store, "recordings")) == (6, 6)
    assert "run it again" in report.stopped


def test_a_store_that_fails_on_the_way(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Finished batches are kept and told; with none, the store's sentence is raised."""
    monkeypatch.setattr(accession, "BATCH", 3)
    calls = iter([0, 0, 0, 0, 1])
    real = rows.add_recording

    def fail_at_the_fifth(*arguments: Any) -> int:
        if next(calls):
            raise StoreBusy("Another program holds the catalogue.")
        return real(*arguments)

    monkeypatch.setattr(rows, "add_recording", fail_at_the_fifth)
    entries = [on_disc(f"Song {n}", track=str(n)) for n in range(6)]

    report = accession.take_in(store, entries, "Ann", "a test", now)

    assert (report.added, count(store, "recordings")) == (3, 3)
    assert report.stopped.startswith("Another program holds the catalogue.")
    monkeypatch.setattr(rows, "add_recording", lambda *_: (_ for _ in ()).throw(StoreBusy("Busy.")))
    with pytest.raises(StoreBusy):
        accession.take_in(store, entries[3:], "Ann", "a test", now)


def test_progress_is_told(store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    """After each batch: how many of how many."""
    monkeypatch.setattr(accession, "BATCH", 2)
    told: list[tuple[int, int | None]] = []
    entries = [on_disc(f"Song {n}", track=str(n)) for n in range(5)]

    accession.take_in(store, entries, "Ann", "x", now, lambda *at: told.append(at), 5)

    assert told == [(2, 5), (4, 5), (5, 5)]


def test_a_transaction_that_takes_long_ends_early(
    store: Store, take: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Desks that write wait for it: nothing is lost, left out, or taken twice by that."""
    monkeypatch.setattr(accession, "BATCH", 7)
    monkeypatch.setattr(turns, "_LONGEST_HELD_S", -1.0)
    report = take(*(on_disc(f"Song {n}", "Bo", "C 1", str(n)) for n in range(16)))

    assert counts(report) == (16, 0, 0, 0, 0)
    assert len(report.action_ids) == 16
    assert accession.take_back_all(store, report.what, "Ben", now) == 16
