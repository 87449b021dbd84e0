"""Measured values: kept with their origin, renewed, and never lost with a taking-in."""

from __future__ import annotations

from datetime import datetime

from catalogue import catalogue_rows, measures, undo
from catalogue.measures import Measure
from catalogue.records import NewHolding, NewRecording
from catalogue.store import Store


def test_files_wait_until_they_were_measured(store: Store, now: datetime) -> None:
    """A file that cannot be measured does not wait again; one whose sound changed does."""
    with undo.action(store, "Ann", "took in", now):
        number = catalogue_rows.add_recording(store, NewRecording("Tide", "Ada Sluice"))
        for name in ("1", "2", "3"):
            new = NewHolding(number, path=f"/m/{name}.mp3", audio=name)
            catalogue_rows.add_holding(store, new)
        catalogue_rows.change_holding(store, 3, missing=1)
    one, two = measures.waiting(store)

    tempo = Measure("tempo", "96.0", 192.0, 0.75, "a method")
    measures.keep(store, one, [tempo], "", now)
    measures.keep(store, two, [], "2.mp3 cannot be read.", now)

    assert measures.of(store, [1, 2]) == {1: {"tempo": tempo}, 2: {}}
    assert tempo.number == 96.0
    assert (measures.waiting(store), measures.how_many_wait(store)) == ([], 0)
    with undo.action(store, "Ann", "a better copy", now):
        catalogue_rows.change_holding(store, 1, audio="other")
    assert [file.path for file in measures.waiting(store)] == ["/m/1.mp3"]
    measures.keep(store, measures.waiting(store)[0], [Measure("tempo", "97")], "", now)
    assert measures.of(store, [1])[1]["tempo"].number == 97.0
    measures.forget_outcomes(store)
    assert measures.how_many_wait(store) == 2


def test_a_word_is_no_number() -> None:
    """A fingerprint has no number."""
    assert Measure("fingerprint", "AQAD").number is None
