"""Why a match is offered, and how a reason is said."""

from __future__ import annotations

import doctest
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import reasons as reasons_module
from catalogue import undo
from catalogue.candidates import asked_for
from catalogue.heard import Heard, understand
from catalogue.match_reasons import reasons_for
from catalogue.matcher import weigh
from catalogue.reasons import Reason, ReasonKind, sentence
from catalogue.records import NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store


@pytest.fixture
def index(store: Store, tmp_path: Path, now: datetime) -> Iterator[SoundIndex]:
    with undo.action(store, "Dilys", "a few", now):
        lantern = rows.add_recording(
            store, NewRecording("The Lantern on the Quay", "Marsha Herron")
        )
        rows.add_recording(store, NewRecording("Mudlark", "Dilys Ouse"))
        rows.add_recording(
            store,
            NewRecording("Fen Sketches, Op. 22: No. 2, The Skaters", "Saltmarsh Players",
                         composer="Ada Sluice"),
        )  # fmt: skip
        artist = rows.recording(store, lantern).artist_id
        rows.add_other_name(store, "also known as", "The Ferry Girl", artist=artist)
        rows.add_other_name(store, "refrain", "shine over the water", recording=lantern)
        rows.add_other_name(store, "hearing", "atlantic monkey", recording=lantern)
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()


def _reasons(index: SoundIndex, text: str) -> dict[ReasonKind, Reason]:
    wanted = understand(Heard(text))
    first = weigh(index, wanted)[0]
    told = reasons_for(asked_for(wanted), first, rows.recording(index.store, first.recording_id))
    return {reason.kind: reason for reason in told}


def test_what_was_typed_as_held_is_the_same(index: SoundIndex) -> None:
    """Title and artist each; a leading article does not count."""
    told = _reasons(index, "lantern on the quay by marsha herron")

    assert set(told) == {ReasonKind.SAME_TITLE, ReasonKind.SAME_ARTIST}
    assert told[ReasonKind.SAME_TITLE].held == "The Lantern on the Quay"


def test_what_sounds_alike_says_which_words(index: SoundIndex) -> None:
    """The words that were heard, beside what is held; a reason never loses its two values."""
    told = _reasons(index, "land turn on the key by marsha herron")
    title = told[ReasonKind.TITLE_SOUNDS_ALIKE]

    assert title.held == "The Lantern on the Quay"
    assert "turn" in title.heard and "herron" not in title.heard


def test_a_slip_of_the_hand_is_spelt_alike(index: SoundIndex) -> None:
    """Nearly the same letters."""
    told = _reasons(index, "the lantren on the quay by marsha heron")

    assert {ReasonKind.TITLE_SPELT_ALIKE, ReasonKind.ARTIST_SPELT_ALIKE} == set(told)


def test_what_was_not_heard_is_said(index: SoundIndex) -> None:
    """A title without its artist, an artist without the title."""
    assert ReasonKind.ARTIST_NOT_HEARD in _reasons(index, "the lantern on the quay")
    told = _reasons(index, "zzz by marsha herron")
    assert {ReasonKind.TITLE_NOT_HEARD, ReasonKind.SAME_ARTIST} == set(told)


def test_other_names_say_what_they_stand_for(index: SoundIndex) -> None:
    """The artist's other name, the refrain, and what it was heard as before."""
    told = _reasons(index, "the lantern on the quay by the ferry girl")
    assert told[ReasonKind.KNOWN_AS].held == "Marsha Herron"
    told = _reasons(index, "shine over the water by marsha herron")
    assert told[ReasonKind.KNOWN_AS].held == "The Lantern on the Quay"
    told = _reasons(index, "atlantic monkey")
    assert told[ReasonKind.HEARD_BEFORE] == Reason(
        ReasonKind.HEARD_BEFORE, "atlantic monkey", "The Lantern on the Quay"
    )


def test_concert_music_names_the_one_that_was_said(index: SoundIndex) -> None:
    """The composer, where the artist is an orchestra."""
    told = _reasons(index, "the skaters by ada sluice")

    assert told[ReasonKind.SAME_ARTIST].held == "Ada Sluice"


@pytest.mark.parametrize("kind", list(ReasonKind))
def test_every_kind_of_reason_has_a_sentence(kind: ReasonKind) -> None:
    """To be said aloud in the middle of another: no capital, no full stop, nothing left open."""
    said = sentence(Reason(kind, "my lanton", "My Lantern"))

    assert said and said[0] == said[0].lower() and said[-1] != "."
    assert "{" not in said


def test_a_name_with_braces_is_said_as_it_is() -> None:
    """Names are values, never patterns."""
    assert "{0} {x}" in sentence(Reason(ReasonKind.SAME_TITLE, "x", "{0} {x}"))


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    assert doctest.testmod(reasons_module) == (0, 1)
