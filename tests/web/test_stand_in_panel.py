"""The stand-ins' panel of the phone desk: what the caller can say, the picture, something else."""

from __future__ import annotations

import re

from catalogue import said_of_it, settings
from catalogue.store import Store

from .conftest import EVENING, Desk, Held


def _ask(phone: Desk, words: str, **more: str) -> str:
    return phone.send("/phone/heard", sheet="s", heard=words, **more).get_data(as_text=True)


def _fields(page: str) -> list[str]:
    return re.findall(r'<label for="said-(\w+)"', page)


def test_what_the_caller_can_say_is_asked_for_and_gone_by(phone: Desk, store: Store) -> None:
    page = _ask(phone, "you choose")
    assert sorted(_fields(page)) == sorted([*said_of_it.FIELDS, "occasion"])
    assert "Nothing is known of it yet" in page
    said = _ask(phone, "you choose", said_about_when="the sixties", said_pace="slow")
    assert "This list goes by: about 1964; slow." in said
    assert _fields(said)[:2] == ["about_when", "pace"]
    assert 'value="the sixties"' in said
    assert '<option value="slow" selected>' in said
    assert said_of_it.of(store, 1) == said_of_it.Said(about_when="the sixties", pace="slow")


def test_what_was_said_is_never_asked_twice(phone: Desk) -> None:
    _ask(phone, "you choose", said_voice="woman", said_sort="jazz")
    again = phone.get("/phone/slips/1").get_data(as_text=True)
    assert "sung by a woman; jazz" in again
    phone.send("/phone/another", slip="1")
    assert "sung by a woman" not in _ask(phone, "you choose", slip="2")


def test_what_is_no_year_is_told_and_the_list_is_still_sensible(phone: Desk) -> None:
    page = _ask(phone, "you choose", said_about_when="before <the> war", said_pace="brisk")
    assert "“before &lt;the&gt; war” is no year I know." in page
    assert 'class="row take"' in page


def test_something_is_said_though_nothing_was_heard(phone: Desk) -> None:
    page = _ask(phone, "", said_about_when="1964")
    assert "This list goes by: about 1964." in page
    assert "How about “Quay Street Waltz” by Marsha Herron?" in page


def test_a_picture_with_the_same_in_words(phone: Desk) -> None:
    page = _ask(phone, "the long jetty hector pike")
    points = re.findall(r'class="point( asked)?".*?<title>([^<]+)<', page, re.DOTALL)
    assert points[0] == (" asked", "Asked for: “The Long Jetty”, 1959, 96 beats a minute")
    rows = re.findall(r'class="row take" data-row="(\d)".*?class="title">([^<]+)<', page, re.DOTALL)
    for number, title in rows:
        assert any(label.startswith(f"{number}: “{title}”, 19") for _, label in points)
    words = re.findall(r'<li><span class="row-number">(.)</span>', page)
    assert words == ["?", *(number for number, _ in rows)]
    assert " style=" not in page


def test_no_picture_of_one_point(phone: Desk, store: Store) -> None:
    assert "plot-picture" not in _ask(phone, "quay street waltz")


def test_something_else_can_be_asked_for_though_the_record_is_there(
    phone: Desk, held: Held
) -> None:
    words = "grey heron standing"
    page = _ask(phone, words)
    assert "Or offer one of these" not in page
    assert 'name="instead" value="grey heron standing"' in page
    other = _ask(phone, words, instead=words)
    assert "Or offer one of these" in other
    assert f'name="stand_in_for" value="{held.recordings["heron"]}"' in other
    # For these words only: typing on asks anew.
    assert "Or offer one of these" not in _ask(phone, f"{words} ada sluice", instead=words)


def test_a_title_that_may_hurt_brings_others_and_says_why(phone: Desk, store: Store) -> None:
    settings.put(store, "warning_words", "grey", "Dora", EVENING)
    page = _ask(phone, "grey heron standing")
    assert "Take care: “grey” is in the title." in page
    assert "Or offer one of these" not in page
    phone.send("/phone/details", slip="1", occasion="in memory")
    tender = _ask(phone, "grey heron standing", slip="1")
    assert "Or offer one of these" in tender
    assert "Yes, we have “Grey Heron Standing”" in tender
