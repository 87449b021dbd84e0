"""The sentences about stand-ins: what is offered, what the list goes by, what to ask."""

import pytest

from catalogue import sayings
from catalogue.basis import Basis, Pace
from catalogue.narrowing import Narrowing, Question
from catalogue.reasons import Reason, ReasonKind, sentence
from catalogue.records import (
    Answer,
    Available,
    Band,
    Match,
    Outcome,
    Readiness,
    Recording,
    StandIn,
    Voice,
    Wanted,
)

READY = Available(None, Readiness.READY)


def _answer(**known):
    asked = Recording(1, "My Lantern", "Ann Oke", 1, 1, **known)
    match = Match(asked, Band.CERTAIN, 0.9, ())
    return Answer(Outcome.KNOWN_NOT_HELD, "", Wanted("my lantern", ()), (match,))


def _line(answer, kind, *reasons, artist=("Ann Oke", 1), title="Mudlark", **known):
    offered = Recording(2, title, *artist, 2, **known)
    return sayings.stand_in_line(answer, StandIn(offered, kind, READY, reasons))


def test_another_slow_one_from_the_same_year():
    slow = {"tempo": 70.0, "year": 1961}
    assert _line(_answer(**slow), "same artist", **slow) == (
        "We have another slow one by Ann Oke from the same year: “Mudlark”."
    )
    assert _line(_answer(**slow), "same artist", tempo=130.0, year=1962) == (
        "We have another one by Ann Oke: “Mudlark”."
    )


def test_only_a_song_that_is_sure_is_called_the_same():
    cover = {"artist": ("Bo Quay", 2), "title": "My Lantern"}
    sure = Reason(ReasonKind.SAME_SONG, held="My Lantern")
    unsure = Reason(ReasonKind.SAME_SONG_TITLE, held="My Lantern")
    assert _line(_answer(), "same song", sure, **cover) == "We have the same song by Bo Quay."
    assert _line(_answer(), "same song", unsure, **cover) == (
        "We have a song of that name by Bo Quay. Would it be that one?"
    )
    assert _line(_answer(), "same title", unsure, **cover) == (
        "We have another song of that name, by Bo Quay."
    )
    ties = {
        ReasonKind.SINGS_WITH: "who sings with some of the same people.",
        ReasonKind.SHARED_ALBUM: "who is on a record with them.",
        ReasonKind.ARTIST_SWAPPED_HERE: "whom others here took in their place.",
    }
    for tie, said in ties.items():
        line = _line(_answer(), "related artist", Reason(tie, held="Bo Quay"), **cover)
        assert line == f"We have “My Lantern” by Bo Quay, {said}"


def test_their_own_other_recording_is_named_by_its_version():
    live = {"version": "live", "title": "My Lantern"}
    assert _line(_answer(), "same song", **live) == (
        "We have the live version by Ann Oke: “My Lantern”."
    )


def test_what_is_alike_is_said_and_no_more():
    other = {"artist": ("Bo Quay", 2)}
    slow = {"tempo": 70.0, "year": 1961}
    assert _line(_answer(**slow), "same years", **other, **slow) == (
        "We have “Mudlark” by Bo Quay, another slow one from about the same time."
    )
    assert _line(_answer(), "same years", **other, **slow) == (
        "We have “Mudlark” by Bo Quay, from about the same time."
    )
    hymn = Reason(ReasonKind.SAME_GENRE, held="hymn")
    assert _line(_answer(), "same feel", hymn, **other).endswith("Bo Quay, of the same kind.")
    chosen = Reason(ReasonKind.SUITS_OCCASION, held="birthday")
    assert _line(_answer(), "asked for here", chosen, **other).endswith(
        "which others here chose for birthday."
    )


def test_the_list_says_what_it_goes_by():
    basis = Basis(
        year=1961, pace=Pace.QUICK, genre="skiffle", voice=Voice.WOMAN, language="Welsh",
        occasion="birthday", mood="lively",
    )  # fmt: skip
    assert sayings.based_on(basis, "Ann Oke") == (
        "This list goes by: the artist, Ann Oke; about 1961; quick; sung by a woman; skiffle; "
        "lively; in Welsh; for birthday."
    )
    assert sayings.based_on(Basis()).startswith("Nothing is known of it yet")


def test_measured_questions_are_asked_in_their_order():
    anything = Wanted("you choose", (), names_no_record=True)
    measured = tuple(Narrowing(q, 3, 1) for q in (Question.VOICE, Question.WHEN))
    assert sayings.ask_next(Outcome.NOT_FOUND, anything, (), measured) == (
        "Is it a man, a woman, a group, or no singing?",
        sayings.ASK_WHEN,
    )
    assert set(sayings.QUESTIONS) == set(Question)


@pytest.mark.parametrize("kind", list(ReasonKind))
def test_every_reason_has_a_sentence(kind):
    said = sentence(Reason(kind, "heard", "held"))
    assert said
    assert "{" not in said
