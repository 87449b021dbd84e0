"""What the searcher can say: one sentence for every outcome."""

from __future__ import annotations

import pytest

from catalogue import sayings, stand_ins
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import (
    Answer,
    Available,
    Band,
    Match,
    Outcome,
    Readiness,
    Recording,
    StandIn,
    Wanted,
)

READY = Available(None, Readiness.READY)


def _recording(title: str = "My Lantern", artist: str = "Ann Oke", number: int = 1) -> Recording:
    return Recording(number, title, artist, number, number)


def _match(
    recording: Recording | None = None,
    band: Band = Band.CERTAIN,
    chance: float = 0.99,
    reasons: tuple[Reason, ...] = (),
    why: Available = READY,
) -> Match:
    return Match(recording or _recording(), band, chance, reasons, (why,))


def _stand_in(kind: str = "same artist", title: str = "Mudlark") -> StandIn:
    return StandIn(_recording(title, "Dilys Ouse", 2), kind, READY, ())


def _wanted(heard: str = "my lantern") -> Wanted:
    return Wanted(heard, ())


@pytest.mark.parametrize(
    ("band", "said"),
    [
        (Band.CERTAIN, "Yes, we have “My Lantern” by Ann Oke."),
        (Band.LIKELY, "We have “My Lantern” by Ann Oke. Is that the one?"),
        (Band.POSSIBLE, "Could it be “My Lantern” by Ann Oke?"),
    ],
)
def test_how_sure_it_is_can_be_heard(band: Band, said: str) -> None:
    """No percentages: three ways to say it."""
    assert sayings.first_line(Outcome.FOUND, (_match(band=band),), ()) == said


def test_every_outcome_has_a_sentence_with_and_without_something_instead() -> None:
    """A question or a full stop at the end; the offer only where something is missing."""
    for outcome in Outcome:
        for offered in ((), (_stand_in(),)):
            said = sayings.first_line(outcome, (_match(),), offered)
            assert said[0].isupper() and said[-1] in ".?"
            missing = outcome in (Outcome.NOT_READY, Outcome.KNOWN_NOT_HELD, Outcome.NOT_FOUND)
            assert ("Mudlark" in said) is (missing and bool(offered))


def test_why_it_cannot_go_out_is_said() -> None:
    """In the words of the availability, or else by its name."""
    lent = _match(why=Available(None, Readiness.ON_LOAN, "on loan to the north studio"))
    assert "on loan to the north studio" in sayings.first_line(Outcome.NOT_READY, (lent,), ())
    gone = _match(why=Available(None, Readiness.MISSING))
    assert "it cannot go out now: missing" in sayings.first_line(Outcome.NOT_READY, (gone,), ())


def test_several_of_one_name_are_told_by_their_artists() -> None:
    """Three of them, each artist once, whatever the version; one alone is no question."""
    near = (Reason(ReasonKind.OTHERS_AS_NEAR),)
    names = [("My Lantern", "Ann Oke"), ("My Lantern (Live)", "Dilys Ouse"),
             ("MY LANTERN", "Hector Pike"), ("Mudlark", "Wilf Tranter")]  # fmt: skip
    several = tuple(
        _match(_recording(title, artist, n), Band.LIKELY, 0.4, near)
        for n, (title, artist) in enumerate(names)
    )

    assert sayings.first_line(Outcome.FOUND, several, ()) == (
        "There are several of that name: by Ann Oke, Dilys Ouse or Hector Pike. Whose is it?"
    )
    assert sayings.first_line(Outcome.FOUND, several[:1], ()) == (
        "We have “My Lantern” by Ann Oke. Is that the one?"
    )


def test_nothing_is_asked_where_all_is_clear() -> None:
    """And what narrows fastest comes first where it is not."""
    assert sayings.ask_next(Outcome.FOUND, _wanted(), (_match(),)) == ()
    short = sayings.ask_next(Outcome.NOT_FOUND, _wanted("lantern"), ())
    long = sayings.ask_next(Outcome.NOT_FOUND, _wanted("a very long thing that was heard"), ())
    assert short[0] == sayings.ASK_TITLE
    assert long[0] == sayings.ASK_SPELL
    assert sayings.ask_next(Outcome.CANNOT_TELL, _wanted(), (_match(),))
    assert sayings.ask_next(Outcome.NOTHING_ASKED, _wanted(""), ()) == (sayings.ASK_WHAT,)


@pytest.mark.parametrize("kind", stand_ins.KINDS)
def test_every_kind_of_stand_in_has_its_sentence(kind: str) -> None:
    """None of them the same as another's; the title or the artist is in it."""
    answer = Answer(Outcome.KNOWN_NOT_HELD, "", _wanted(), (_match(),))
    said = sayings.stand_in_line(answer, _stand_in(kind))

    assert said.startswith("We have") and said.endswith(".")
    assert "Mudlark" in said or "Dilys Ouse" in said


def test_the_same_song_under_another_title_is_named() -> None:
    """Else the caller hears of a title nobody asked for."""
    answer = Answer(Outcome.KNOWN_NOT_HELD, "", _wanted(), (_match(),))

    assert sayings.stand_in_line(answer, _stand_in("same song", "My Lantern")) == (
        "We have the same song by Dilys Ouse."
    )
    assert sayings.stand_in_line(answer, _stand_in("same song", "Meine Laterne")) == (
        "We have the same song, “Meine Laterne” by Dilys Ouse."
    )


def test_a_request_that_names_no_record_gets_an_offer_or_a_plain_word() -> None:
    """Never an empty line."""
    assert sayings.for_any((_stand_in(),)) == "How about “Mudlark” by Dilys Ouse?"
    assert sayings.for_any(()) == "Nothing on our shelves is ready at this moment."
