"""Names to keys: one road for filing and for asking."""

from __future__ import annotations

import doctest

from hypothesis import given
from hypothesis import strategies as st

from catalogue import search_keys
from catalogue.search_keys import (
    CLASS_RUN,
    LETTER_RUN,
    PHONE_RUN,
    form_of,
    keys_of_form,
    keys_of_heard,
    letters_of,
    runs,
)
from catalogue.sound import sound_of
from catalogue.spelling import plain

names = st.text(max_size=40)


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    result = doctest.testmod(search_keys)

    assert result.attempted >= 3
    assert result.failed == 0


@given(title=names, artist=names)
def test_what_is_asked_for_as_it_is_filed_has_the_same_keys(title: str, artist: str) -> None:
    """Else sounds filed under one spelling would be sought under another."""
    form = form_of(title, artist)
    words = f"{form.title} {form.artist}".strip()

    assert keys_of_heard(words, sound_of(words)) == keys_of_form(form)


@given(st.text(alphabet="abcde", max_size=30), st.integers(1, 5))
def test_runs_are_all_the_runs(text: str, length: int) -> None:
    """Each once, of one length, in the order they come; a short text is one run of its own."""
    found = runs(text, length)
    every = {text[i : i + length] for i in range(max(1, len(text) - length + 1))} - {""}

    assert set(found) == every
    assert len(found) == len(set(found))
    assert sorted(found, key=text.index) == found


def test_keys_run_across_word_gaps() -> None:
    """ "see the moon" and "seethe moon" have the same letters' keys."""
    one, other = (keys_of_heard(w, sound_of(w)) for w in ("see the moon", "seethe moon"))

    assert one.letters == other.letters
    assert {len(k) for k in one.phones} == {PHONE_RUN}
    assert {len(k) for k in one.classes} == {CLASS_RUN}
    assert {len(k) for k in one.letters} == {LETTER_RUN}


def test_version_and_guests_are_left_out_of_a_form_and_kept_in_the_whole() -> None:
    """A caller says neither, or says both."""
    short = form_of("My Lantern (Part 2)", "Ann Oke feat. The Bargemen")
    whole = form_of("My Lantern (Part 2)", "Ann Oke feat. The Bargemen", whole=True)

    assert (short.title, short.artist) == ("my lantern", "ann oke")
    assert (whole.title, whole.artist) == ("my lantern part 2", "ann oke")


def test_letters_say_numerals() -> None:
    """And have neither gaps nor apostrophes."""
    assert letters_of(plain("99 Herons")) == letters_of("ninety nine herons")
    assert letters_of("rock 'n don't") == "rockndont"
