"""Each kind of request that must be understood, on real records among 483 others.

The records and what is said of them are from memory; the other names are the songs of
`tests/reference/mishearings`. A volunteer may add rows to `tests/cases/kinds_of_request.csv`.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import undo
from catalogue.catalogue_rows import add_holding, add_recording
from catalogue.enquiry import enquire
from catalogue.heard import Heard
from catalogue.records import NewHolding, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

TESTS = Path(__file__).resolve().parents[1]
CASES = TESTS / "cases" / "kinds_of_request.csv"
SONGS = TESTS / "reference" / "mishearings" / "songs.csv"
NOW = datetime(2026, 3, 7, 19, 30)


def rows(path: Path) -> list[dict[str, str]]:
    """The rows of a table."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, SoundIndex]]:
    """A station with the records of the cases and the other songs."""
    folder = tmp_path_factory.mktemp("kinds")
    store = Store(folder / "asheard.db")
    named = {(r["title"], r["artist"]): r["composer"] for r in rows(CASES)}
    with undo.action(store, "test", "records", NOW):
        for (title, artist), composer in named.items():
            add_recording(store, NewRecording(title, artist, composer=composer))
        for song in rows(SONGS):
            add_recording(store, NewRecording(song["title"], song["artist"]))
    index = SoundIndex(folder / "sound_index", store)
    yield store, index
    index.close()
    store.close()


@pytest.mark.parametrize("case", rows(CASES), ids=lambda c: f"{c['kind']}: {c['heard']}")
def test_a_request_is_understood(records: tuple[Store, SoundIndex], case: dict[str, str]) -> None:
    """The record meant is first, or among the first five."""
    store, index = records
    answer = enquire(store, index, Heard(case["heard"]), NOW)

    found = [(m.recording.title, m.recording.artist) for m in answer.matches]

    assert (case["title"], case["artist"]) in found[: int(case["within"])], found[:5]


@pytest.mark.parametrize(
    ("heard", "artist"),
    [
        ("anything by ten c c", "10cc"),
        ("a song by abba from the seventies", "ABBA"),
        ("that one by u b forty", "UB40"),
        ("sinead o connor", "Sinéad O'Connor"),
    ],
)
def test_an_artist_alone_is_a_request_for_any_of_theirs(
    tmp_path: Path, heard: str, artist: str
) -> None:
    """The stand-ins are that artist's."""
    store = Store(tmp_path / "asheard.db")
    with undo.action(store, "test", "records", NOW):
        for title, name in sorted({(r["title"], r["artist"]) for r in rows(CASES)}):
            recording = add_recording(store, NewRecording(title, name))
            add_holding(store, NewHolding(recording, path=f"/music/{recording}.ogg"))
    index = SoundIndex(tmp_path / "sound_index", store)
    answer = enquire(store, index, Heard(heard), NOW)
    index.close()

    assert answer.stand_ins[0].recording.artist == artist
    assert artist in answer.say
