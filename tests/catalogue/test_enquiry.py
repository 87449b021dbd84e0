"""One enquiry, from what was heard to what can be said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import loans, sayings, undo
from catalogue.enquiry import STAND_INS, enquire
from catalogue.heard import Heard
from catalogue.reasons import ReasonKind
from catalogue.records import Answer, Band, Outcome, Readiness
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

AddRecording = Callable[..., int]
Ask = Callable[..., Answer]

OTHERS = [
    ("Lantern on the Quay", "Marsha Herron"), ("Quay Street Waltz", "Marsha Herron"),
    ("The Long Jetty", "Hector Pike"), ("Grey Heron Standing", "Ada Sluice"),
    ("Herring Gull Morning", "The Bargemen"), ("Salt in the Kettle", "The Bargemen"),
    ("Ferry Me Over", "Nell Saltings"), ("Candle for Winter", "Wilf Tranter"),
    ("Seven Tides", "Ada Sluice"), ("Harbour Lights Are Low", "Hector Pike"),
    ("Rushes and Reeds", "The Estuary Singers"), ("Mudlark", "Dilys Ouse"),
]  # fmt: skip


@pytest.fixture
def ask(store: Store, add: AddRecording, tmp_path: Path, now: datetime) -> Iterator[Ask]:
    """Enquire in a catalogue of a dozen recordings that are ready, and what a test adds."""
    for title, artist in OTHERS:
        add(title, artist, year=1960, tempo=96.0)
    index = SoundIndex(tmp_path / "sound_index", store)

    def enquire_here(text: str = "", **given: object) -> Answer:
        heard = Heard(text, str(given.pop("title", "")), str(given.pop("artist", "")))
        return enquire(store, index, heard, now, **given)

    yield enquire_here
    index.close()


def _first(answer: Answer) -> int | None:
    return answer.matches[0].recording.id if answer.matches else None


def _kinds(answer: Answer) -> set[ReasonKind]:
    return {reason.kind for reason in answer.matches[0].reasons}


# Outcomes


def test_a_record_that_is_ready_is_found(ask: Ask, add: AddRecording) -> None:
    """First, with its place, its reasons and a sentence to say, and nothing left to ask."""
    number = add("My Lantern", "Ann Oke", disc="C 114")
    answer = ask("my lantern by ann oke")

    assert answer.outcome is Outcome.FOUND
    assert _first(answer) == number
    assert answer.matches[0].band is not Band.POSSIBLE
    assert answer.matches[0].ready is not None
    assert len(answer.matches[0].availability) == 2
    assert {ReasonKind.SAME_TITLE, ReasonKind.SAME_ARTIST} <= _kinds(answer)
    assert "e have “My Lantern” by Ann Oke." in answer.say
    assert answer.ask_next == ()


def test_a_record_that_is_known_but_not_held_brings_stand_ins(ask: Ask, add: AddRecording) -> None:
    """Said as it is, with something that is ready."""
    number = add("Far Beacon", "Marsha Herron", file=False, year=1961)
    answer = ask("far beacon by marsha herron")

    assert answer.outcome is Outcome.KNOWN_NOT_HELD
    assert _first(answer) == number
    assert answer.matches[0].ready is None
    assert answer.say.startswith("We have not got “Far Beacon” by Marsha Herron, but we have ")
    assert 0 < len(answer.stand_ins) <= STAND_INS
    assert number not in {s.recording.id for s in answer.stand_ins}
    assert all(s.available.readiness is Readiness.READY for s in answer.stand_ins)


def test_a_record_on_loan_is_not_ready_and_says_why(
    ask: Ask, add: AddRecording, store: Store, now: datetime
) -> None:
    """With whom it is, and something instead."""
    number = add("Far Beacon", "Marsha Herron", file=False, disc="C 114")
    loans.lend(store, 1, "the north studio", None, "Dilys", now - timedelta(days=2))
    answer = ask("far beacon by marsha herron")

    assert answer.outcome is Outcome.NOT_READY
    assert _first(answer) == number
    assert "north studio" in answer.say
    assert answer.stand_ins


def test_what_is_not_there_is_not_found(ask: Ask) -> None:
    """No rubbish is offered as a match; there are questions to go on with."""
    answer = ask("zebra vacuum cleaner by kwik polka boys")

    assert answer.outcome is Outcome.NOT_FOUND
    assert answer.matches == ()
    assert answer.say.startswith("I cannot find that one.")
    assert sayings.ASK_WHEN in answer.ask_next


@pytest.mark.parametrize("text", ["", "   ", "\n\t", "\x00", "\u200b"])
def test_nothing_asked(ask: Ask, text: str) -> None:
    """Blank text, or what cannot be seen."""
    answer = ask(text)

    assert (answer.outcome, answer.matches, answer.stand_ins) == (Outcome.NOTHING_ASKED, (), ())
    assert answer.say == sayings.ASK_WHAT


def test_an_empty_catalogue_finds_nothing(store: Store, tmp_path: Path, now: datetime) -> None:
    """And says so, on the first evening of a station."""
    index = SoundIndex(tmp_path / "sound_index", store)
    for text in ("my lantern", "you choose", "anything by ann oke"):
        answer = enquire(store, index, Heard(text), now)
        assert (answer.outcome, answer.stand_ins) == (Outcome.NOT_FOUND, ())
        assert answer.say
    index.close()


# How it may be asked for


def test_numerals_are_found_said_and_written(ask: Ask, add: AddRecording) -> None:
    """ "99 Herons" as "ninety nine herons", and the other way about."""
    digits, words = add("99 Herons", "UB50"), add("Forty Oars", "The Two Tides")

    assert _first(ask("ninety nine herons by you bee fifty")) == digits
    assert _first(ask("ninety nine herons")) == digits
    assert _first(ask("40 oars by the 2 tides")) == words


def test_accents_and_other_scripts_are_found_without(ask: Ask, add: AddRecording) -> None:
    """And with them."""
    number, chayka = add("Ægirs Søng", "Bjørk Ærø"), add("Чайка", "Нелл")

    for text in ("aegirs song by bjork aero", "Ægirs Søng by Bjørk Ærø", "ÆGIRS SØNG - BJØRK ÆRØ"):
        assert _first(ask(text)) == number
    assert _first(ask("chayka by nell")) == _first(ask("Чайка by Нелл")) == chayka


@pytest.mark.parametrize(
    ("title", "artist"), [("?", "Nobody"), ("!!!", "The Bangs"), ("!!!", "!!!")]
)
def test_names_without_letters_are_found(
    ask: Ask, add: AddRecording, title: str, artist: str
) -> None:
    """In one field and in two."""
    number = add(title, artist)

    assert _first(ask(f"{title} by {artist}")) == number
    assert _first(ask(title=title, artist=artist)) == number


def test_other_names_lead_to_the_record(
    ask: Ask, add: AddRecording, store: Store, now: datetime
) -> None:
    """Another name of the artist, a refrain, a hearing once confirmed; the reason says which."""
    number = add("My Lantern", "Ann Oke")
    artist = rows.recording(store, number).artist_id
    with undo.action(store, "Dilys", "other names", now):
        rows.add_other_name(store, "also known as", "The Ferry Girl", artist=artist)
        rows.add_other_name(store, "refrain", "Shine Over the Water", recording=number)
        rows.add_other_name(store, "hearing", "mile and turn", recording=number)

    for text, kind in (
        ("my lantern by the ferry girl", ReasonKind.KNOWN_AS),
        ("shine over the water by ann oke", ReasonKind.KNOWN_AS),
        ("mile and turn", ReasonKind.HEARD_BEFORE),
    ):
        answer = ask(text)
        assert _first(answer) == number
        assert kind in _kinds(answer)


@pytest.mark.parametrize(
    ("heard", "title"),
    [
        ("lanton on the key by marsha heron", "Lantern on the Quay"),
        ("the wrong jetty by victor pike", "The Long Jetty"),
        ("gray hair on standing ada sluice", "Grey Heron Standing"),
        ("fairy me over nell salting", "Ferry Me Over"),
        ("sold in the kettle the barge men", "Salt in the Kettle"),
    ],
)
def test_what_is_misheard_is_found(ask: Ask, heard: str, title: str) -> None:
    """Invented mishearings of invented songs; the outside check is in tests/benchmarks."""
    assert ask(heard).matches[0].recording.title == title


def test_the_year_decides_between_two_of_a_name(ask: Ask, add: AddRecording) -> None:
    """Said in passing, as a year or as a decade; the reason says that it fits."""
    old = add("My Lantern", "Ann Oke", year=1962)
    new = add("My Lantern", "Ann Oke", year=1999)

    for text, number in (("1962", old), ("the sixties", old), ("1999", new), ("the 90s", new)):
        answer = ask(f"my lantern by ann oke from {text}")
        assert _first(answer) == number
        assert ReasonKind.YEAR_AGREES in _kinds(answer)


def test_the_version_decides_between_two_of_a_name(ask: Ask, add: AddRecording) -> None:
    """The plain one unless a version is asked for."""
    plain, live = add("My Lantern", "Ann Oke"), add("My Lantern (Live at the Quay)", "Ann Oke")

    assert _first(ask("my lantern by ann oke")) == plain
    assert _first(ask("my lantern live by ann oke")) == live


def test_several_of_one_name_are_asked_about(ask: Ask, add: AddRecording) -> None:
    """No guess among equals: both are shown, none as certain, and the caller is asked whose."""
    both = {add("My Lantern", "Ann Oke"), add("My Lantern", "Dilys Ouse")}
    answer = ask("my lantern")

    assert {m.recording.id for m in answer.matches[:2]} == both
    assert all(m.band is not Band.CERTAIN for m in answer.matches)
    assert ReasonKind.OTHERS_AS_NEAR in _kinds(answer)
    assert "Ann Oke" in answer.say and "Dilys Ouse" in answer.say


def test_one_record_held_twice_is_one_line_and_two_parts_are_two(
    ask: Ask, add: AddRecording
) -> None:
    """Its copies stand together; Part 2 is never handed out for Part 1."""
    one, two = add("My Lantern", "Ann Oke"), add("My Lantern", "Ann Oke", file=False, disc="C 114")
    parts = [add(f"Lantern Waltz (Part {n})", "Ann Oke") for n in (1, 2)]
    answer = ask("my lantern by ann oke")

    assert {one, two} - {m.recording.id for m in answer.matches} in ({one}, {two})
    assert {a.holding.recording_id for a in answer.matches[0].availability if a.holding} == {
        one,
        two,
    }
    for number, part in enumerate(parts, 1):
        answer = ask(f"lantern waltz part {number} by ann oke")
        assert _first(answer) == part
        held = {a.holding.recording_id for a in answer.matches[0].availability if a.holding}
        assert held == {part}


# No record named


def test_anything_by_somebody_offers_theirs(ask: Ask) -> None:
    """Misheard a little, too."""
    for text in ("anything by marsha herron", "could you play something by martha herron please"):
        answer = ask(text)
        assert answer.stand_ins[0].recording.artist == "Marsha Herron"
        assert "Marsha Herron" in answer.say


def test_a_title_that_says_anything_is_still_found(ask: Ask, add: AddRecording) -> None:
    """ "Something" is a song as well."""
    number = add("Something", "Ann Oke")

    assert _first(ask("something by ann oke")) == number


def test_you_choose_gets_an_offer(ask: Ask) -> None:
    """Something that is ready, said as an offer."""
    answer = ask("you choose")

    assert answer.stand_ins
    assert answer.say.startswith("How about “")


def test_what_was_refused_is_not_offered_again(ask: Ask) -> None:
    """Nor as a stand-in for something else."""
    refused = {s.recording.id for s in ask("you choose").stand_ins[:2]}
    again = ask("you choose", left_out=frozenset(refused))

    assert again.stand_ins
    assert not refused & {s.recording.id for s in again.stand_ins}


def test_an_answer_says_how_the_request_was_read(ask: Ask) -> None:
    """Plain words and readings, for "why nothing?"."""
    wanted = ask("Could you play My LANTERN by Ann Oke please").wanted

    assert wanted.heard == "my lantern by ann oke"
    assert (wanted.readings[0].title, wanted.readings[0].artist) == ("my lantern", "ann oke")
