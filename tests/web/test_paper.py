"""The paper way: the lists from A to Z, made every night, and a blank slip."""

from __future__ import annotations

import os
from datetime import datetime, timedelta

import pytest

from catalogue import catalogue_rows, printed_list, undo
from catalogue.errors import BadInput
from catalogue.records import NewHolding, NewRecording
from catalogue.store import Store
from web import paper

from .conftest import EVENING, Desk, Held


def test_both_lists_have_everything_that_is_held_in_order(store: Store, held: Held) -> None:
    titles = [line.title for line in printed_list.lines(store, "title")]
    assert titles == [
        "Grey Heron Standing", "Lantern on the Quay", "Lantern on the Quay", "Quay Street Waltz",
    ]  # fmt: skip
    artists = [(line.letter, line.artist) for line in printed_list.lines(store, "artist")]
    # "The Bargemen" is filed under B (ALA Filing Rules 1980: an initial article is passed over).
    assert artists == [
        ("A", "Ada Sluice"), ("B", "The Bargemen"), ("M", "Marsha Herron"), ("M", "Marsha Herron"),
    ]  # fmt: skip
    with pytest.raises(BadInput):
        list(printed_list.lines(store, "colour"))


def test_what_is_missing_is_left_out_and_digits_come_first(store: Store, held: Held) -> None:
    with undo.action(store, "Charlie", "took in one, lost a disc", EVENING):
        herons = catalogue_rows.add_recording(store, NewRecording("99 Herons", "Sugarbeet & <Co>"))
        catalogue_rows.add_holding(store, NewHolding(herons, path="music/99.flac"))
        catalogue_rows.change_disc(store, held.discs["45"], missing=True)
    lines = list(printed_list.lines(store, "title"))
    assert (lines[0].letter, lines[0].title) == ("0–9", "99 Herons")
    assert [line.artist for line in lines if line.title == "Lantern on the Quay"] == [
        "Marsha Herron"
    ]
    paper.refresh(store, EVENING)
    page = paper.file_of(store, "title").read_text(encoding="utf-8")
    assert "LP C 114, side 2, track 3" in page
    assert "Sugarbeet &amp; &lt;Co&gt;" in page
    assert "<link" not in page and "<script" not in page


def test_they_are_made_anew_after_three_in_the_morning(store: Store) -> None:
    noon = datetime.now().replace(hour=12, minute=0, second=0, microsecond=0)
    assert paper.refresh_if_due(store, noon)
    for order in printed_list.ORDERS:
        os.utime(paper.file_of(store, order), (noon.timestamp(), noon.timestamp()))
    assert not paper.refresh_if_due(store, noon + timedelta(hours=14))
    assert paper.refresh_if_due(store, noon + timedelta(hours=16))


def test_a_list_is_downloaded_once_it_is_there(shelves: Desk, phone: Desk) -> None:
    assert shelves.get("/paper/a-z-by-title.html").status_code == 404
    assert "not made yet" in shelves.get("/paper").get_data(as_text=True)
    shelves.send("/paper/refresh", page=True)
    answer = phone.get("/paper/a-z-by-artist.html")
    assert answer.status_code == 200
    assert "attachment" in answer.headers["Content-Disposition"]
    assert "Lantern on the Quay" in answer.get_data(as_text=True)
    assert shelves.get("/paper/a-z-by-colour.html").status_code == 404


def test_a_blank_slip_has_the_stations_own_choices(phone: Desk) -> None:
    page = phone.get("/paper/slip").get_data(as_text=True)
    for words in (
        "Caller, as they wish to be called",
        "What was heard",
        "Conversation",
        "Saltings House",
        "shred it",
    ):
        assert words in page


def test_lessons_are_shown_and_unlearnt(shelves: Desk, store: Store, held: Held) -> None:
    from catalogue import lessons

    number = lessons.learn(store, "lantern on the key", held.recordings["lantern"], "Bob", EVENING)
    assert number is not None
    page = shelves.get("/shelves/lessons").get_data(as_text=True)
    assert "lantern on the key" in page
    of_it = shelves.get(f"/shelves/recordings/{held.recordings['lantern']}")
    assert "lantern on the key" in of_it.get_data(as_text=True)
    shelves.send(f"/shelves/lessons/{number}/unlearn", page=True)
    assert lessons.latest(store) == []
    assert shelves.send(f"/shelves/lessons/{number}/unlearn", page=True).status_code == 404
