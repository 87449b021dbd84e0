"""What comes first of an answer, beside the order of scores."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.enquiry import enquire, ranked
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import NewHolding, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

SIX = ("Ann Oke", "Dilys Ouse", "Hector Pike", "The Bargemen", "Liv Holm", "Marsha Heron")
OTHERS = (("Blue Reefer", "Ada Sluice"), ("Blow Rubber", "Nan Quay"))


@pytest.fixture
def station(store: Store, tmp_path: Path, now: datetime) -> Iterator[tuple[Store, SoundIndex]]:
    """Six people's records of one title, the last of 1973, one entered twice; and two others."""
    with undo.action(store, "Dilys", "a few", now):
        for artist in SIX:
            year = 1973 if artist == SIX[-1] else 1990
            _held(store, NewRecording("Blue River", artist, year=year))
        _held(store, NewRecording("Blue River", SIX[0], year=1990))
        for title, artist in OTHERS:
            _held(store, NewRecording(title, artist, year=1990))
    index = SoundIndex(tmp_path / "few", store)
    yield store, index
    index.close()


def _held(store: Store, recording: NewRecording) -> None:
    number = rows.add_recording(store, recording)
    rows.add_holding(store, NewHolding(number, path=f"/music/{number}.flac"))


def _titles(station: tuple[Store, SoundIndex], text: str) -> list[str]:
    ids, _ = ranked(*station, Heard(text))
    return [rows.recording(station[0], one).title for one in ids]


def test_a_title_that_is_a_guess_leaves_lines_to_others(
    station: tuple[Store, SoundIndex], now: datetime
) -> None:
    """All six come before "Blue Reefer" by their scores; two lines are theirs. Nobody is lost."""
    told = weigh(station[1], understand(Heard("blue ribber")), keep_hopeless=True)
    assert [w.form.title for w in told[:7]] == ["blue river"] * 7

    titles = _titles(station, "blue ribber")
    assert titles[0] == titles[1] == "Blue River"
    assert "Blue Reefer" in titles[2:4]  # the third is the first's other entry, if that leads
    assert sorted(titles) == sorted(["Blue River"] * 7 + [title for title, _ in OTHERS])
    lines = [m.recording.title for m in enquire(*station, Heard("blue ribber"), now).matches]
    assert lines[:4] == ["Blue River", "Blue River", "Blue Reefer", "Blue River"]


def test_a_title_typed_exactly_is_no_guess(
    station: tuple[Store, SoundIndex], now: datetime
) -> None:
    """All who play it stand together."""
    lines = [m.recording.title for m in enquire(*station, Heard("blue river"), now).matches]

    assert lines[:6] == ["Blue River"] * 6
    assert _titles(station, "blue river")[:7] == ["Blue River"] * 7


def test_a_year_said_in_passing_still_brings_its_record_up(
    station: tuple[Store, SoundIndex], now: datetime
) -> None:
    """What was put back is worth no less for it."""
    places = [
        [m.recording.artist for m in enquire(*station, Heard(text), now).matches].index(SIX[-1])
        for text in ("blue ribber", "blue ribber from 1973")
    ]

    assert places[0] > 2
    assert places[1] < 2
