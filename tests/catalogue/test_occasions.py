"""Words of warning in titles: whole words, however spelt."""

import pytest

from catalogue import occasions, settings


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("Till I Die", ["die"]),
        ("DIE, Seagull", ["die"]),
        ("My Last   Breath (Live)", ["last breath"]),
        ("Goodbye, Little Boat", ["goodbye"]),
        ("The Shell Collector", []),
        ("Diet of Worms", []),
        ("", []),
        ("???", []),
    ],
)
def test_warnings(title, found):
    words = settings.DEFAULTS["warning_words"].value.splitlines()
    assert occasions.warnings_in(title, words) == found


def test_blank_words_warn_of_nothing():
    assert occasions.warnings_in("Tide", ["", "  "]) == []


def test_every_occasion_to_begin_with_has_its_own_words():
    names = settings.DEFAULTS["occasions"].value.splitlines()
    said = {occasions.words_about(name) for name in names}
    assert len(said) == len(names)
    assert occasions.words_about("regatta day") not in said


def test_tender_occasions():
    assert occasions.is_tender("In memory") and not occasions.is_tender("birthday")
