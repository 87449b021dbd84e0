"""Plain words: nothing is lost, case never counts, and numerals are said."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import spelling
from catalogue.spelling import (
    plain,
    spoken,
    without_article,
    without_featured,
    without_guests,
    without_version,
)


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    result = doctest.testmod(spelling)

    assert result.attempted > 5
    assert result.failed == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Déjà Brume", "deja brume"),
        ("Søren & The Ærø Band", "soren and the aero band"),
        ("Ægir — Łódź, đ, ß", "aegir lodz d ss"),
        ("ROCK ’N’ ROLL", "rock n roll"),
        ("don’t", "don't"),
        ("U.B.40", "ub 40"),
        ("R.E.M. song", "rem song"),
        ("50% Off + You", "50 per cent off and you"),
        ("Ча́йка", "chayka"),
        ("?", "question mark"),
        ("!!!", "exclamation mark"),
        ("( )", "bracket"),
        ("\u200b\x00 \t", ""),
        ("\ue000", "sign"),
        ("", ""),
    ],
)
def test_text_becomes_plain_words(text: str, words: str) -> None:
    """Accents, other scripts, apostrophes, initials and names of signs alone."""
    assert plain(text) == words


@given(st.text(max_size=80))
def test_plain_words_are_only_letters_digits_and_apostrophes(text: str) -> None:
    """Single spaces between words, none at the ends, and no word of apostrophes alone."""
    words = plain(text)

    assert set(words) <= set("abcdefghijklmnopqrstuvwxyz0123456789' ")
    assert words == " ".join(words.split())
    assert all(word.strip("'") for word in words.split())


@given(st.text(max_size=80))
def test_plain_words_stay_as_they_are(text: str) -> None:
    """What is filed as plain words is found under the same."""
    assert plain(plain(text)) == plain(text)


@given(st.text(alphabet=st.characters(min_codepoint=33, max_codepoint=0x2FF), min_size=1))
def test_no_visible_name_vanishes(text: str) -> None:
    """Common cleaning loses titles like "?"; here something is always left."""
    printable = [c for c in text if c.isprintable() and not c.isspace()]

    assert plain(text) or not printable


@given(st.text(alphabet=st.characters(max_codepoint=0x24F), max_size=40))
def test_case_never_counts(text: str) -> None:
    """For the Latin letters whose upper case is one letter and comes back."""
    kept = "".join(c for c in text if c.upper().lower() == c and len(c.upper()) == 1)

    assert plain(kept.upper()) == plain(kept)


@pytest.mark.parametrize(
    ("title", "bare"),
    [
        ("My Lantern (Live at the Quay)", "My Lantern"),
        ("My Lantern [Remix]", "My Lantern"),
        ("My Lantern - 2011 Remaster", "My Lantern"),
        ("My Lantern - Live at the Quay", "My Lantern"),
        ("Quay - Bridge", "Quay - Bridge"),
        ("(Live)", "(Live)"),
        ("(I Can't Get No) Harvest", "(I Can't Get No) Harvest"),
        ("Tide feat. Ann Oke", "Tide"),
        ("Tide (ft Ann Oke)", "Tide"),
        ("Tide ft Ann Oke", "Tide"),
        ("A Feat of Arms", "A Feat of Arms"),
        ("Six Ft Under", "Six Ft Under"),
        ("40 Ft Tide", "40 Ft Tide"),
        ("Ft. Saltings Blues", "Ft. Saltings Blues"),
        ("", ""),
    ],
)
def test_a_version_and_guests_are_set_aside(title: str, bare: str) -> None:
    """But nothing that may be the title itself."""
    assert without_version(title) == bare


def test_the_whole_title_keeps_its_brackets_but_no_remastering() -> None:
    """A part is a name; the year of a pressing is not."""
    assert without_guests("Lantern Waltz (Part 2)") == "Lantern Waltz (Part 2)"
    assert without_guests("Lantern Waltz (2011 Remaster)") == "Lantern Waltz"
    assert without_guests("Lantern Waltz - 2011 Remastered Version") == "Lantern Waltz"


@given(st.text(max_size=60))
def test_something_of_a_title_is_always_left(title: str) -> None:
    """Whatever stands in brackets, a title that is not blank stays one that is not blank."""
    for shorter in (without_version, without_guests, without_featured):
        assert bool(shorter(title)) == bool(title.strip())


def test_guests_are_set_aside_from_an_artist() -> None:
    """In all the ways tags write them."""
    for guest in ("feat. The Bargemen", "ft The Bargemen", "(featuring The Bargemen)"):
        assert without_featured(f"Ada Sluice {guest}") == "Ada Sluice"


def test_only_a_leading_article_is_set_aside() -> None:
    """And never the whole name."""
    assert without_article("the long jetty") == "long jetty"
    assert without_article("into the tide") == "into the tide"
    assert without_article("a") == "a"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("99 herons", "ninety nine herons"),
        ("ub40", "ub forty"),
        ("summer of 1969", "summer of nineteen sixty nine"),
        ("2000 miles", "two thousand miles"),
        ("007", "zero zero seven"),
        ("5th dimension", "fifth dimension"),
        ("22nd street", "twenty second street"),
        ("40's", "forty 's"),
        ("12345678901", "one two three four five six seven eight nine zero one"),
    ],
)
def test_numerals_are_said_in_words(words: str, said: str) -> None:
    """As an English speaker says them (British "and" where num2words puts it)."""
    assert spoken(words) == said


@given(st.text(max_size=60))
def test_spoken_words_have_no_digits(text: str) -> None:
    """Any plain words can be pronounced."""
    said = spoken(plain(text))

    assert not any(c.isdigit() for c in said)
    assert bool(said) == bool(plain(text))
