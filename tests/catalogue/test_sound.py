"""Words to sounds: two strings that run across word gaps."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import sound
from catalogue.pronunciations import PHONEMES
from catalogue.sound import CLASS_OF, CODE_OF, VOWELS, Sound, as_phonemes, sound_of, sound_of_word
from catalogue.spelling import plain


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    assert doctest.testmod(sound) == (0, 2)


@pytest.mark.parametrize(
    ("word", "phonemes"),
    [
        ("queen", "K W IY N"),
        ("beatles", "B IY T AH L Z"),
        ("sinatra", "S AH N AA T R AH"),
        ("beethoven", "B EY T OW V AH N"),
    ],
)
def test_words_sound_as_in_cmudict(word: str, phonemes: str) -> None:
    """Source: CMUdict (github.com/cmusphinx/cmudict), first variant, stress left out."""
    assert as_phonemes(sound_of(word).phones) == phonemes


def test_each_phoneme_has_one_letter_and_one_class() -> None:
    """39 phonemes of CMUdict; letters of the ASCII table, so that numpy can index by them."""
    assert len(PHONEMES) == len(set(PHONEMES)) == 39
    assert set(CLASS_OF) == set(CODE_OF) == set(PHONEMES)
    assert len(set(CODE_OF.values())) == 39
    assert all(code.isascii() and len(code) == 1 for code in CODE_OF.values())
    assert set(PHONEMES) >= VOWELS


@pytest.mark.parametrize(
    ("one", "other"),
    [("fin", "thin"), ("sin", "thin"), ("bale", "dale"), ("mine", "nine"), ("pin", "tin"),
     ("van", "than"), ("far", "fa")],
)  # fmt: skip
def test_sounds_that_fall_together_on_a_telephone_share_their_class(one: str, other: str) -> None:
    """f/s/th, b/d, m/n, p/t, v/th; r at the end (common practice, no source)."""
    assert sound_of(one).classes == sound_of(other).classes
    assert sound_of(one).phones != sound_of(other).phones


def test_sounds_that_stay_apart_do_not() -> None:
    """A voiced and an unvoiced stop, a nasal, a liquid."""
    assert len({sound_of(word).classes for word in ("pin", "bin", "min", "lin", "fin")}) == 5


def test_an_r_before_a_vowel_is_kept() -> None:
    """Dropped in "far", sounded in "rarity"."""
    assert "r" not in sound_of("far").classes
    assert sound_of("rarity").classes.count("r") == 2


def test_sounds_run_across_word_gaps() -> None:
    """Mishearing moves the gaps, so there are none."""
    words = ("see", "the", "moon")

    assert sound_of(" ".join(words)) == Sound(
        "".join(sound_of_word(w).phones for w in words),
        "".join(sound_of_word(w).classes for w in words),
    )


def test_numerals_sound_as_they_are_said() -> None:
    """ "UB40" and "ub forty", "99" and "ninety nine"."""
    assert sound_of("ub40") == sound_of("ub forty")
    assert sound_of("summer of 1969") == sound_of("summer of nineteen sixty nine")


@given(st.text(max_size=60))
def test_any_plain_words_have_a_sound(text: str) -> None:
    """Whatever was typed; only blank text is silent."""
    words = plain(text)
    heard = sound_of(words)

    assert set(heard.phones) <= set(CODE_OF.values())
    assert bool(heard.phones) == bool(words)


def test_a_very_long_word_has_a_sound() -> None:
    """A cat may walk over the keys."""
    assert len(sound_of("x" * 2_000).phones) > 1_000
