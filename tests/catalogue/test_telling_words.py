"""One sure word of a title is enough to be shown the records that have it."""

from __future__ import annotations

import doctest
import math
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import catalogue_rows, telling_words, undo
from catalogue.enquiry import enquire
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import Band, NewRecording, Outcome
from catalogue.search_keys import form_of
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from catalogue.telling_words import FEW, MOST_WORDS, having

NOW = datetime(2026, 1, 1, 20, 0)
COUNTS = {"samphire": 3, "walnuts": 1, "boat": 30, "love": 900, "mes": 2}
NAMES = 1000
FORMS = [
    form_of("The Last Boat to Samphire", "Marsha Heron"),
    form_of("Love Boat", "Ann Oke"),
    form_of("She Would Insist on Walnuts", "Percival Thorne-Dobbs"),
    form_of("Mes Amis", "Les Lampadaires"),
]
HELD = [
    ("The Last Boat to Samphire", "Marsha Heron"),
    ("The Last Boat to Samphire", "Perry Lisle"),
    ("She Would Insist on Walnuts", "Percival Thorne-Dobbs"),
    ("Empire", "Bo"),
    ("Fire", "Ann Oke"),
    ("Wall", "Ann Oke"),
    ("Thunder Mudflat", "Iron Cormorant"),
]


def _rarities(words: Sequence[str]) -> list[float]:
    return [math.log((NAMES + 1) / (COUNTS.get(word, 0) + 1)) for word in words]


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, SoundIndex]]:
    """Some names, and two hundred short ones that sound like nothing in particular."""
    folder: Path = tmp_path_factory.mktemp("station")
    store = Store(folder / "asheard.db")
    others = [(f"{first}{second}", "Various") for first in "bdfglmnprst" for second in
              ("am", "ire", "oat", "all", "ut", "et", "ine", "ome", "ack", "uff")]  # fmt: skip
    with undo.action(store, "a test", "names", NOW):
        for title, artist in (*HELD, *others):
            catalogue_rows.add_recording(store, NewRecording(title, artist))
    index = SoundIndex(folder / "index", store)
    yield store, index
    index.close()
    store.close()


def test_the_examples_in_the_docstrings_are_true() -> None:
    """They are the first thing a reader believes."""
    result = doctest.testmod(telling_words)

    assert result.attempted >= 2
    assert result.failed == 0


@pytest.mark.parametrize(
    ("heard", "every", "some"),
    [
        ("samphire", [0], []),
        ("boat samphire", [0], [1]),
        ("goat samphire", [], [0]),
        ("walnut", [2], []),
        ("that song about the walnuts", [2], []),
        ("love", [], []),  # nine hundred names have it
        ("love boat", [1], [0]),
        ("mi me", [], []),  # "mes" is another word
        ("zzz", [], []),  # no name has it
        ("the", [], []),
        ("", [], []),
        ("samphire boat heron marsha", [], []),  # enough to be compared as a whole
    ],
)
def test_which_names_have_the_words(heard: str, every: list[int], some: list[int]) -> None:
    """All of them, one of them telling; or a telling one of them."""
    assert having(heard, FORMS, _rarities) == (every, some)


def test_a_word_is_telling_while_few_names_have_it() -> None:
    """As many as can be looked through, and no more."""
    form = [form_of("Tide", "Bo")]
    for count, found in ((FEW, [0]), (FEW + 1, [])):

        def rarities(words: Sequence[str], count: int = count) -> list[float]:
            held = {"tide": count}
            return [math.log((NAMES + 1) / (held.get(word, 0) + 1)) for word in words]

        assert having("tide", form, rarities).every == found


@given(st.text(max_size=30))
def test_any_text_has_an_answer(text: str) -> None:
    """And never a place that is none, or the same in both."""
    every, some = having(text, FORMS, _rarities)

    assert set(every) | set(some) <= set(range(len(FORMS)))
    assert not set(every) & set(some)
    assert MOST_WORDS >= 1


@pytest.mark.parametrize(
    ("heard", "title"),
    [
        ("samphire", "The Last Boat to Samphire"),
        ("walnuts", "She Would Insist on Walnuts"),
        ("walnut", "She Would Insist on Walnuts"),
        ("that one about the mudflat", "Thunder Mudflat"),
        ("ghost samphire", "The Last Boat to Samphire"),
    ],
)
def test_one_sure_word_brings_up_the_title(
    station: tuple[Store, SoundIndex], heard: str, title: str
) -> None:
    """Before short names that sound a bit like it, and never as more than possible."""
    answer = enquire(*station, Heard(heard), NOW)

    assert answer.outcome is not Outcome.NOT_FOUND
    assert answer.matches[0].recording.title == title
    assert answer.matches[0].band is Band.POSSIBLE


def test_a_title_of_that_very_word_stays_first(station: tuple[Store, SoundIndex]) -> None:
    """What was typed is the name itself."""
    store, index = station
    with undo.action(store, "a test", "a name", NOW):
        made = catalogue_rows.add_recording(store, NewRecording("Samphire", "Hector Pike"))

    found = weigh(index, understand(Heard("samphire")))

    assert found[0].recording_id == made


def test_what_is_likely_is_not_passed(station: tuple[Store, SoundIndex]) -> None:
    """A name heard whole is not put behind one that has a rare word of it."""
    found = weigh(station[1], understand(Heard("thunder mudflat samphire")))

    assert found[0].form.title == "thunder mudflat"
