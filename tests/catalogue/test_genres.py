"""Sorts of music, their families, and the mood that some of them tell."""

from hypothesis import given
from hypothesis import strategies as st

from catalogue import genres


def test_a_family_holds_together_and_others_stay_apart():
    assert genres.genres_alike("Rock & Roll", "rock and roll") == 1
    assert genres.genres_alike("Swing", "Big Band") == genres.SAME_FAMILY
    assert genres.genres_alike("Swing", "Techno") == 0
    assert genres.genres_alike("Zydeco", "zydeco") == 1
    assert genres.genres_alike("", "") == genres.genres_alike("", "Pop") == 0


def test_no_word_is_in_two_families():
    """A word in two rows of the table would belong to whichever comes last."""
    words = [w.strip() for row in genres._FAMILIES.values() for w in row.split(",")]
    assert sorted({w for w in words if words.count(w) > 1}) == []
    assert set(genres._MOODS) == {genres.GENTLE, genres.LIVELY}


@given(st.text(max_size=40), st.text(max_size=40))
def test_any_text_is_some_sort_or_none(a, b):
    assert genres.genres_alike(a, b) == genres.genres_alike(b, a)
    assert genres.mood(a) in ("", genres.GENTLE, genres.LIVELY)
    assert genres.words_of(genres.family(a))
