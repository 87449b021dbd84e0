"""For the tests of the sound index: many recordings, and whether they are found."""

from __future__ import annotations

from datetime import datetime

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.records import NewRecording
from catalogue.search_keys import form_of, keys_of_form
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

WORDS = "moon lantern tide harbour herring saltmarsh ferry waltz river candle winter jetty".split()


def add_many(store: Store, now: datetime) -> dict[int, tuple[str, str]]:
    """Two hundred recordings with names of their own: id to (title, artist)."""
    named = {}
    with undo.action(store, "Dilys", "many", now):
        for n in range(200):
            title, artist = f"{WORDS[n % 12]} {WORDS[n // 12 % 12]} {n}", f"Ann {WORDS[n * 7 % 12]}"
            named[rows.add_recording(store, NewRecording(title, artist))] = (title, artist)
    return named


def first(index: SoundIndex, title: str, artist: str = "Ann Oke") -> int | None:
    """The recording found first for this name, if it is filed under just that name."""
    form = form_of(title, artist)
    found = index.search(keys_of_form(form), 20, 90)
    return next((number for number, held in found if held[1:] == form[1:]), None)


def assert_right(index: SoundIndex, many: dict[int, tuple[str, str]]) -> None:
    """Every tenth is found under its name, and nothing is there twice."""
    for number in list(many)[::10]:
        assert first(index, *many[number]) == number
    assert len(index) == len(many)
