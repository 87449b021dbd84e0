"""Which words of a name were heard: rarity, letters, sounds, split and joined words."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.confusion_weights import shipped
from catalogue.found_names import Forms
from catalogue.search_keys import form_of, words_and_phones
from catalogue.sound import sound_of
from catalogue.word_evidence import CLAIMS, words_heard

RARE = {"grimethorpe": 8.0, "love": 2.0, "my": 1.0, "colliery": 7.0}


def _rarities(words: Sequence[str]) -> list[float]:
    return [RARE.get(word, 5.0) for word in words]


def _told(heard: str, title: str, artist: str) -> dict[str, float]:
    form = form_of(title, artist)
    row = words_heard(heard, sound_of(heard).phones, [form], shipped(), _rarities)[0]
    return dict(zip(CLAIMS, row.tolist(), strict=True))


def test_the_letters_of_a_rare_word_tell_more_than_those_of_a_frequent_one() -> None:
    """Sums of rarity, in tens."""
    told = _told("grimethorpe something", "My Love", "Grimethorpe Colliery")

    assert told["artist_words_same"] == pytest.approx(0.8)
    assert told["artist_words_same_share"] == pytest.approx(8 / 16)
    assert told["artist_words_rarity"] == pytest.approx(1.5)
    assert told["title_words_same"] == 0


def test_a_word_counts_as_sounded_however_it_was_split() -> None:
    """ "Grime thorp" is no word of the name, but its sounds are."""
    told = _told("my dear grime thorp", "My Love", "Grimethorpe Colliery")

    assert told["artist_words_same"] == 0
    assert told["artist_words_sounded"] == pytest.approx(0.8, abs=0.05)
    assert told["artist_words_clear"] >= 0.75


@given(st.text(max_size=30), st.text(max_size=20), st.text(max_size=20))
@settings(max_examples=80, deadline=None)
def test_any_words_give_numbers(heard: str, title: str, artist: str) -> None:
    """Shares lie between 0 and 1, whatever was heard and is held."""
    form = form_of(title, artist)
    words = " ".join(heard.lower().split())
    table = words_heard(words, sound_of(words).phones, [form], shipped(), _rarities)

    assert table.shape == (1, len(CLAIMS))
    assert np.isfinite(table).all()
    assert (table >= 0).all()
    assert all(table[0, place] <= 1 for place, name in enumerate(CLAIMS) if "share" in name)


@given(st.text(max_size=40))
@settings(max_examples=80, deadline=None)
def test_the_words_of_a_form_are_all_of_its_phones(title: str) -> None:
    """Numerals too, which are said in several words."""
    form = form_of(f"{title} 99 in 1969", "")
    both = Forms.of([form, form_of("My Way", ""), form])
    cut = words_and_phones(*(both.column(f"title{kind}") for kind in ("", "_phones", "_sizes")))
    size = cut.counts[0]

    assert cut.counts == [size, 2, size]
    assert cut.words == [*cut.words[:size], "my", "way", *cut.words[:size]]
    assert cut.phones == [*cut.phones[:size], "VF", "dM", *cut.phones[:size]]
    assert " ".join(cut.words[:size]) == form.title
    assert "".join(cut.phones[:size]) == form.title_phones
