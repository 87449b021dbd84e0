"""Misheard requests for the sample library are found: the cases in `tests/cases`.

The rows of `heard_requests.csv` were written by another hand than the matcher's, before it was
tuned, and the matcher is not fitted on them. A volunteer may add rows after a bad call.

The hundred of `heard_requests_blind.csv` were written later by a third hand, from the shelf list
and the names of the files alone, and set down before any was asked. As first run 91 came out
first and 95 within five, so the second bar is exactly what was measured and one miss more fails
here. Of the nine, five were not within five at all, two stood behind a record of the same name
that is known but not held, two behind other movements of the work. No row was altered afterwards.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

import sample_library
from catalogue.enquiry import enquire
from catalogue.heard import Heard
from catalogue.sound_index import SoundIndex
from catalogue.spelling import plain, without_featured, without_version
from catalogue.store import Store
from importers import taking_in

CASES = Path(__file__).resolve().parents[1] / "cases"
NOW = datetime(2026, 3, 7, 19, 30)
BARS = {
    "heard_requests.csv": (80, 0.875, 0.95),
    "heard_requests_blind.csv": (100, 0.88, 0.95),
}
"""Of each table: how many rows at least, and which shares of them first and within five."""


def cases(table: str) -> list[dict[str, str]]:
    """The rows of a table; a line that begins with # is a remark."""
    with (CASES / table).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, SoundIndex]]:
    """A station with the whole sample library."""
    folder = tmp_path_factory.mktemp("sample")
    store = Store(folder / "asheard.db")
    data = sample_library.folder()
    taking_in.add_files(store, data / "audio", "test", NOW)
    taking_in.add_list(store, data / "shelf_list.csv", "test", NOW)
    taking_in.add_known(store, data / "known_not_held.csv", "test", NOW)
    index = SoundIndex(folder / "sound_index", store)
    yield store, index
    index.close()
    store.close()


def rank(store: Store, index: SoundIndex, case: dict[str, str]) -> int:
    """At which place the right record is answered; 99 if it is not."""
    heard = Heard(case["heard"], case["heard_title"], case["heard_artist"])
    answer = enquire(store, index, heard, NOW)
    wanted = bare(case["title"], case["artist"])
    for place, match in enumerate(answer.matches, 1):
        if bare(match.recording.title, match.recording.artist) == wanted:
            return place
    return 99


def bare(title: str, artist: str) -> tuple[str, str]:
    """A name without guests, which stand in either field, and without a bracketed version."""
    return plain(without_version(title)), plain(without_featured(artist))


@pytest.mark.parametrize("table", BARS)
def test_there_are_enough_cases(table: str) -> None:
    """Enough, and all different."""
    rows = cases(table)
    assert len({(r["heard"], r["heard_title"], r["heard_artist"]) for r in rows}) == len(rows)
    assert len(rows) >= BARS[table][0]


def test_no_blind_request_asks_for_what_another_asks_for() -> None:
    """A hundred requests are a hundred records."""
    rows = cases("heard_requests_blind.csv")
    assert len({bare(r["title"], r["artist"]) for r in rows}) == len(rows)


@pytest.mark.parametrize("table", BARS)
def test_most_requests_are_found_first(sample: tuple[Store, SoundIndex], table: str) -> None:
    """The right record is first, or at least among five, as often as the bar says."""
    store, index = sample
    _, first_at_least, in_five_at_least = BARS[table]
    ranks = {r["heard"] or f"{r['heard_title']} / {r['heard_artist']}": rank(store, index, r)
             for r in cases(table)}  # fmt: skip
    late = {heard: place for heard, place in ranks.items() if place > 1}
    first = sum(place == 1 for place in ranks.values())
    in_five = sum(place <= 5 for place in ranks.values())
    assert first >= first_at_least * len(ranks), late
    assert in_five >= in_five_at_least * len(ranks), late
