"""Requests that name a kind and no record."""

import pytest

from catalogue.asked_in_words import kind_asked, kind_said
from catalogue.basis import Basis, Pace
from catalogue.heard import Heard, understand
from catalogue.records import Voice


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("a hymn", Basis(genre="hymn")),
        ("an old waltz please", Basis(genre="waltz")),
        ("a bit of jazz", Basis(genre="jazz")),
        ("some country and western", Basis(genre="country and western")),
        ("something lively", Basis(mood="lively")),
        ("something gentle for dancing", Basis(mood="gentle")),
        ("a slow one from the sixties", Basis(pace=Pace.SLOW)),
        ("something in welsh", Basis(language="Welsh")),
        ("something by a woman", Basis(voice=Voice.WOMAN)),
        ("a male voice choir", Basis(voice=Voice.GROUP)),
        ("something quick without words", Basis(pace=Pace.QUICK, voice=Voice.NONE)),
        ("something for my mum's birthday", Basis(occasion="birthday")),
        ("a gentle song for a funeral", Basis(mood="gentle", occasion="in memory")),
        ("a march", Basis(genre="march")),
        ("something nice", Basis()),
        ("a film theme", Basis(genre="film")),
    ],
)
def test_a_kind_in_plain_words(words, asked):
    assert kind_asked(words) == asked
    assert understand(Heard(words)).names_no_record


@pytest.mark.parametrize(
    "words",
    ["a hymn to the sea", "a little bit of soap", "the march", "anything goes", "slow", "hymn",
     "some enchanted evening", "a slow boat to anywhere", "one love", "", "something stupid"],
)  # fmt: skip
def test_one_word_beyond_and_it_may_be_a_title(words):
    assert kind_asked(words) is None


def test_a_kind_by_an_artist():
    assert kind_said("a slow one by ann oke") == Basis(pace=Pace.SLOW)
    assert kind_said("my lantern by ann oke") == kind_said("my lantern") == Basis()
    heard = understand(Heard("a slow one by ann oke"))
    assert heard.names_no_record
    assert heard.readings[0].artist == "ann oke"
    assert not understand(Heard("a march to the gate by ann oke")).names_no_record
