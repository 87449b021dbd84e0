"""Every cleaning step does what its example says, twice over changes nothing, and never fails."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from importers.cleaning import STEPS, clean, recording_of
from importers.cleaning_names import turned_round
from importers.cleaning_steps import Step
from importers.cleaning_text import mend_mojibake
from importers.entries import Draft
from importers.identifiers import isrc_of

FIELDS = ("title", "artist", "album_artist", "album", "composer", "track", "year", "tempo",
          "length", "work", "movement", "version", "isrc", "genre", "performer")  # fmt: skip


def names(steps: Iterable[Step]) -> list[str]:
    return [step.name for step in steps]


@pytest.mark.parametrize("step", STEPS, ids=names(STEPS))
def test_a_step_does_what_its_example_says(step: Step) -> None:
    """The example beside each step is true."""
    assert step.after == step.apply(Draft(step.before)).fields


@pytest.mark.parametrize("step", STEPS, ids=names(STEPS))
def test_a_step_says_what_it_does(step: Step) -> None:
    """Each step has one sentence for the documents."""
    assert step.does.endswith(".")
    assert len(step.does) > 20


@pytest.mark.parametrize("step", STEPS, ids=names(STEPS))
def test_a_step_leaves_its_own_result_alone(step: Step) -> None:
    """Running a step on what it made changes nothing more."""
    assert step.after == step.apply(step.apply(Draft(step.before))).fields


def test_steps_have_names_of_their_own() -> None:
    """No two steps share a name, and none stands in the list twice."""
    assert len(set(names(STEPS))) == len(STEPS)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=60)))
def test_any_text_comes_through_cleaning(fields: dict[str, str]) -> None:
    """Whatever stands in a tag, a recording comes of it, and no text is None."""
    recording, draft = recording_of(clean(Draft(fields)), 2026)

    assert isinstance(recording.title, str)
    assert "\0" not in recording.title + recording.artist
    assert set(draft.guessed) <= {*FIELDS, "artist", "soloist", "conductor"}


@settings(max_examples=200, deadline=None)
@given(
    st.text(
        st.characters(min_codepoint=0xA1, max_codepoint=0x17F) | st.sampled_from("abc DEF'’“”–"),
        min_size=1, max_size=30,
    )
)  # fmt: skip
def test_text_read_in_the_wrong_encoding_comes_back(text: str) -> None:
    """Any western text, its UTF-8 read as Latin-1, is mended to what was written."""
    if text != mend_mojibake(text):
        return  # It looks broken to begin with, such as "Ã©" written on purpose.
    broken = text.encode("utf-8").decode("latin-1")

    assert text == mend_mojibake(broken)


@pytest.mark.parametrize(
    "text", ["Déjà Brume", "«CAFÉ»", "ÀÉÎ", "Größe 38", "ESPAÑA»", "É", "Maren Østervang", "naïve"]
)
def test_sound_text_is_left_alone(text: str) -> None:
    """Letters with accents are not taken for broken ones."""
    assert text == mend_mojibake(text)


@pytest.mark.parametrize(
    ("broken", "mended"),
    [
        ("DÃ©jÃ\xa0 Brume", "Déjà Brume"),
        ("The Boatmanâ€™s Reel", "The Boatman’s Reel"),
        ("BrzeziÅ„ska", "Brzezińska"),
        ("ÐžÐºÑ\x81Ð°Ð½Ð°", "Оксана"),
        ("æ½®è¦‹", "潮見"),
        ("DÃƒÂ©jÃƒÂ\xa0", "Déjà"),
    ],
)
def test_broken_text_of_several_alphabets_is_mended(broken: str, mended: str) -> None:
    """UTF-8 read as cp1252, once or twice, in Latin, Greek, Cyrillic and Japanese."""
    assert mended == mend_mojibake(broken)


@pytest.mark.parametrize(
    "name",
    ["Mud, Silt & Clay", "Reed, Rush, Sedge", "Sluice, Ada and Ann", "Marsh, Band", "Ada Sluice",
     "Fen & Co, Ltd", "Tide, II", "Sluice, Jr."],
)  # fmt: skip
def test_groups_are_not_turned_round(name: str) -> None:
    """A comma between members is not one between a family name and a first name."""
    assert name == turned_round(name)


@pytest.mark.parametrize(
    ("name", "turned"),
    [
        ("Sluice, Ada", "Ada Sluice"),
        ("Heron-Ward, Marsha", "Marsha Heron-Ward"),
        ("van Reed, Jan", "Jan van Reed"),
        ("Sluices, The", "The Sluices"),
        ("Lampadaires, Les", "Les Lampadaires"),
        ("Sluice, J. S.", "J. S. Sluice"),
        ("Østervang, Maren", "Maren Østervang"),
    ],
)
def test_family_names_first_are_turned_round(name: str, turned: str) -> None:
    """Names as they stand in a card index become names as they are said."""
    assert turned == turned_round(name)


@pytest.mark.parametrize(
    "title",
    ["I'd Live for You (To Live Again)", "Tide (I Want to Live)", "Livestock", "The Remixer",
     "Take Me Home", "(Live and Let Ebb) Tide", "Radio Days", "1999", "Alive - A Song"],
)  # fmt: skip
def test_words_of_a_song_are_not_taken_for_a_version(title: str) -> None:
    """A bracket or a word in a title is only a version if it says so."""
    draft = clean(Draft({"title": title, "artist": "Ada Sluice"}))

    assert (title, "") == (draft.get("title"), draft.get("version"))


@pytest.mark.parametrize(
    ("title", "artist"), [("SOS", "MUD"), ("TNT", "MC/DJ"), ("潮見", "潮"), ("1999", "!!!")]
)
def test_short_names_in_capitals_are_left_alone(title: str, artist: str) -> None:
    """They may be spelt out; and scripts without capitals have none to lose."""
    draft = clean(Draft({"title": title, "artist": artist}))

    assert (draft.get("title"), draft.get("artist")) == (title, artist)


def test_impossible_numbers_are_left_out_with_a_note() -> None:
    """A wrong year, tempo or length is not taken for one; the note says what stood there."""
    draft = Draft({"title": "Tide", "artist": "A", "year": "2999", "tempo": "9000",
                   "length": "long"})  # fmt: skip

    recording, draft = recording_of(draft, 2026)

    assert (recording.year, recording.tempo, recording.length_s) == (None, None, None)
    assert [note.split("”")[0][1:] for note in draft.notes] == ["2999", "9000", "long"]


def test_the_year_of_first_release_goes_before_the_pressings() -> None:
    """Only the pressing's year is marked as guessed."""
    first, said = recording_of(Draft({"title": "T", "year": "1995", "first_year": "1962"}), 2026)
    pressing, guessed = recording_of(Draft({"title": "T", "year": "1995"}), 2026)

    assert (first.year, pressing.year) == (1962, 1995)
    assert ("year" in said.guessed, "year" in guessed.guessed) == (False, True)


def test_an_isrc_is_read_in_every_form() -> None:
    """The example of ISO 3901:2019 (isrc.ifpi.org), made up and never to be used."""
    assert [
        isrc_of(text)[0] for text in ("AA6Q72000047", "ISRC AA-6Q7-20-00047", "aa-6q7-20-00047")
    ] == ["AA6Q72000047"] * 3


@pytest.mark.parametrize("text", ["AA6Q7200004", "A16Q72000047", "AA6Q7200004X", "", "ISRC"])
def test_what_is_no_isrc_is_not_kept(text: str) -> None:
    """Twelve signs: two letters, three letters or digits, seven digits (ISO 3901:2019)."""
    assert isrc_of(text)[0] == ""
