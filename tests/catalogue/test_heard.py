"""What was heard, to what may be wanted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.heard import Heard, understand
from catalogue.search_keys import LONGEST_HEARD, LONGEST_LETTERS


def _readings(text: str) -> list[tuple[str, str]]:
    return [(r.title, r.artist) for r in understand(Heard(text)).readings]


@given(text=st.text(), title=st.text(max_size=20), artist=st.text(max_size=20))
def test_any_text_is_understood_somehow(text: str, title: str, artist: str) -> None:
    """Nothing raises; there is always a reading, and no reading stands twice."""
    wanted = understand(Heard(text, title, artist))
    readings = [(r.title, r.artist) for r in wanted.readings]

    assert readings
    assert len(wanted.heard.split()) <= LONGEST_HEARD
    assert wanted.heard == " ".join(wanted.heard.split())
    assert (wanted.year_from is None) == (wanted.year_to is None)


@given(st.text(max_size=60))
def test_case_is_never_heard(text: str) -> None:
    """For texts that have only one lower case of their upper case."""
    kept = "".join(c for c in text if c.upper().lower() == c and len(c.upper()) == 1)

    assert understand(Heard(kept.upper())) == understand(Heard(kept))


@pytest.mark.parametrize(
    ("text", "title", "artist"),
    [
        ("My Lantern by Ann Oke", "my lantern", "ann oke"),
        ("MY LANTERN BY ANN OKE", "my lantern", "ann oke"),
        ("Ann Oke - My Lantern", "my lantern", "ann oke"),
        ("My Lantern, Ann Oke", "my lantern", "ann oke"),
        ("My Lantern / Ann Oke", "my lantern", "ann oke"),
        ("By the Quay by Ann Oke", "by the quay", "ann oke"),
        ("Stand by the Quay by Ann Oke", "stand by the quay", "ann oke"),
        ("My Lantern from Quays", "my lantern", "quays"),
        ("? by The Bargemen", "question mark", "the bargemen"),
        ("!!! by !!!", "exclamation mark", "exclamation mark"),
        ("could you play us My Lantern by Ann Oke please", "my lantern", "ann oke"),
        ("hello, can I hear My Lantern by Ann Oke thank you very much", "my lantern", "ann oke"),
    ],
)
def test_title_and_artist_are_among_the_readings(text: str, title: str, artist: str) -> None:
    """However they were put."""
    assert (title, artist) in _readings(text)


@pytest.mark.parametrize(
    "title",
    ["Play That Funky Lantern", "Play Me", "Can I Have This Waltz", "Could You Be Mine",
     "I Want You", "I Love Saltmarsh", "I'd Like to Teach the Tide", "Hello", "Please Please Me",
     "Have You Got a Lantern", "Can You Hear Me", "So Long", "Well Well"],
)  # fmt: skip
def test_a_title_that_begins_like_a_request_is_still_read_whole(title: str) -> None:
    """Half of all love songs begin with "I want" or "I love"."""
    wanted = understand(Heard(f"{title} by Ann Oke"))

    assert (title.lower(), "ann oke") in [(r.title, r.artist) for r in wanted.readings]
    assert wanted.typed == f"{title.lower()} by ann oke"


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("could you play My Lantern please", "my lantern"),
        ("we'd like My Lantern", "my lantern"),
        ("she would love to hear My Lantern", "my lantern"),
        ("have you got My Lantern ta", "my lantern"),
        ("it's called My Lantern if you have it", "my lantern"),
        ("er um the one that goes la la lantern", "la la lantern"),
        ("please", "please"),
        ("play", "play"),
    ],
)
def test_politeness_is_set_aside(text: str, left: str) -> None:
    """Unless nothing else was said."""
    assert understand(Heard(text)).heard == left


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("my lantern from 1962", (1962, 1962)),
        ("something from the 1960s", (1960, 1969)),
        ("something from the 1960's", (1960, 1969)),
        ("something from the sixties", (1960, 1969)),
        ("that 60s one", (1960, 1969)),
        ("a waltz of the 20s", (1920, 1929)),
        ("a waltz of the twenties", (1920, 1929)),
        ("one from the 00s", (2000, 2009)),
        ("1800s march", (1800, 1809)),
        ("99 herons", (None, None)),
        ("ub40", (None, None)),
        ("12345", (None, None)),
    ],
)
def test_a_year_or_decade_said_in_passing_is_noted(
    text: str, years: tuple[int | None, int | None]
) -> None:
    """A bare number is neither."""
    wanted = understand(Heard(text))

    assert (wanted.year_from, wanted.year_to) == years


@pytest.mark.parametrize(
    "text",
    ["you choose", "You Choose!", "anything", "anything you like", "something cheerful",
     "surprise me", "any hymn", "some music", "something from the sixties", "please play anything"],
)  # fmt: skip
def test_a_request_that_names_no_record_is_marked(text: str) -> None:
    """And goes to the stand-ins."""
    assert understand(Heard(text)).names_no_record


@pytest.mark.parametrize(
    ("heard", "artist"),
    [
        (Heard("anything by Ann Oke"), "ann oke"),
        (Heard("could you play something by Ann Oke please"), "ann oke"),
        (Heard("any song of The Bargemen"), "the bargemen"),
        (Heard(title="anything", artist="Ann Oke"), "ann oke"),
    ],
)
def test_anything_by_somebody_names_the_artist(heard: Heard, artist: str) -> None:
    """In one field or two; the artist is the first reading."""
    wanted = understand(heard)

    assert wanted.names_no_record
    assert (wanted.readings[0].title, wanted.readings[0].artist) == ("", artist)


@pytest.mark.parametrize("text", ["Choose Me", "The Anything Waltz", "Hymn", "Moon Tune"])
def test_a_title_is_not_taken_for_no_record(text: str) -> None:
    """Only the whole of what was said counts."""
    assert not understand(Heard(text)).names_no_record


def test_a_version_is_noted() -> None:
    """As it is in the readings too: it may be a word of the title."""
    assert understand(Heard("my lantern live by ann oke")).version == "live"
    assert understand(Heard("my lantern by ann oke")).version == ""


def test_two_fields_are_one_reading_and_the_whole_another() -> None:
    """A searcher who heard title and artist apart is believed first."""
    wanted = understand(Heard(title="My Lantern", artist="Ann Oke"))

    assert [(r.title, r.artist) for r in wanted.readings] == [
        ("my lantern", "ann oke"),
        ("my lantern ann oke", ""),
    ]


def test_only_the_beginning_of_a_story_is_read() -> None:
    """A pasted page is cut in characters, and in words."""
    assert understand(Heard("la " * 10_000)).heard == " ".join(["la"] * LONGEST_HEARD)
    assert len(understand(Heard("x" * 10_000)).heard) == LONGEST_LETTERS


@pytest.mark.parametrize("heard", [Heard(), Heard("  \n"), Heard(title=" ", artist="\t")])
def test_nothing_said_is_nothing_heard(heard: Heard) -> None:
    """Blank in any field."""
    assert understand(heard).heard == ""


@pytest.mark.parametrize(
    ("text", "undated"),
    [
        ("red lantern from the seventies", "red lantern"),
        ("red lantern from 1983 by ann oke", "red lantern by ann oke"),
        ("Red Lantern, 1983", "red lantern"),
        ("red lantern in the late 60s", "red lantern"),
        ("summer of nothing", None),
        ("1999", None),
    ],
)
def test_a_year_said_in_passing_may_be_left_out(text: str, undated: str | None) -> None:
    """Both are kept: the year may be part of the name."""
    wanted = understand(Heard(text))

    assert (wanted.undated.heard if wanted.undated else None) == undated
