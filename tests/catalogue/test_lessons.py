"""Lessons: a confirmed hearing comes first the second time, and can be unlearnt."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import callers, catalogue_rows, lessons, request_slips
from catalogue.enquiry import enquire
from catalogue.errors import NotFound
from catalogue.heard import Heard
from catalogue.reasons import ReasonKind
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

Add = Callable[..., int]


def test_only_words_of_title_and_artist_are_kept(store: Store, now: datetime, add: Add) -> None:
    """Whatever else was typed, such as a caller's words, is not learnt."""
    recording = catalogue_rows.recording(store, add("The Last Boat to Samphire", "Marsha Herron"))

    words = lessons.words_to_learn(
        "the lost goat to sam fire by martian heron for doris in bed seven", recording
    )

    assert "lost goat" in words
    for private in ("doris", "bed", "seven"):
        assert private not in words


def test_the_name_itself_and_rubbish_are_not_lessons(store: Store, now: datetime, add: Add) -> None:
    """Nothing is learnt from the exact name, nor from what is nothing like it."""
    recording = catalogue_rows.recording(store, add("Harbour Lights at Four", "Ann Oke"))

    assert lessons.words_to_learn("harbour lights at four ann oke", recording) == ""
    assert lessons.words_to_learn("zxqv blorf", recording) == ""


def test_the_same_hearing_comes_first_the_second_time(
    store: Store, now: datetime, add: Add, tmp_path: Path
) -> None:
    """Until it is unlearnt."""
    meant = add("Herring Gull Rag", "The Bargemen")
    add("Hearing Girl Rack", "Another Band", disc="C 2")
    index = SoundIndex(tmp_path / "index", store)
    heard = Heard("hearing girl rag")
    before = enquire(store, index, heard, now).matches[0].recording.id

    lesson = lessons.learn(store, heard.text, meant, "Alice", now)
    after = enquire(store, index, heard, now).matches[0]

    assert before != meant
    assert lesson is not None
    assert after.recording.id == meant
    assert after.reasons[0].kind is ReasonKind.HEARD_BEFORE

    lessons.unlearn(store, lesson, "Dilys", now)
    assert enquire(store, index, heard, now).matches[0].recording.id == before
    with pytest.raises(NotFound):
        lessons.unlearn(store, lesson, "Dilys", now)
    index.close()


def test_a_slip_that_went_out_is_learnt_from_once(store: Store, now: datetime, add: Add) -> None:
    """For a stand-in the hearing meant the record that it stands in for."""
    asked = add("Herring Gull Rag", "The Bargemen", file=False)
    played = add("Lantern Rag", "Ann Oke", disc="C 2")
    for _ in range(2):
        slip = request_slips.start(store, "request", "Alice", now)
        callers.write(store, slip, {"heard": "hearing gull rack"}, "Alice", now)
        request_slips.choose(store, slip, played, None, "Alice", now, stand_in_for=asked)
        request_slips.hand_over(store, slip, "Studio 1", "Alice", now)
        request_slips.played(store, slip, "Walter", now)
        lessons.learn_from_slip(store, slip, "Walter", now)

    assert [lesson.heard for lesson in lessons.of(store, asked)] == ["hearing gull rack"]
    assert lessons.of(store, played) == []
    assert [lesson.title for lesson in lessons.latest(store)] == ["Herring Gull Rag"]
