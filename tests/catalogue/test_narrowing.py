"""The question that narrows fastest: expected entropy, checked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.basis import Basis, Pace
from catalogue.narrowing import Question, best_questions, entropy, expected_after
from catalogue.records import Recording, Voice

weights = st.lists(st.floats(0.01, 10), min_size=1, max_size=8)


def _record(number, **known):
    return Recording(number, f"Song {number}", "Ann Oke", 1, number, **known)


def test_entropy_of_a_fair_and_of_a_bent_coin():
    """Shannon 1948: one bit; and 0.811278 bits for one in four."""
    assert entropy([1, 1]) == pytest.approx(1)
    assert entropy([3, 1]) == pytest.approx(0.811278, abs=1e-6)


def test_an_answer_known_of_half_saves_half_of_the_halving():
    """Four records, of which two are known: either answer leaves one and the two unknown, at half
    their weight: chances 1, ½, ½, so 1.5 bits."""
    assert expected_after([1, 1, 1, 1], ["a", "b", "", ""]) == pytest.approx(1.5)


@given(weights, st.data())
def test_an_answer_never_adds_doubt_on_average_and_saves_no_more_than_there_is(chances, data):
    answers = data.draw(
        st.lists(st.sampled_from("ab"), min_size=len(chances), max_size=len(chances))
    )
    after = expected_after(chances, answers)
    assert -1e-9 <= after <= entropy(chances) + 1e-9


def test_the_question_that_parts_the_list_comes_first_and_known_ones_are_not_asked():
    """Four times, two paces, one sort of music."""
    ready = [
        (_record(n, year=1950 + 10 * n, tempo=(70.0, 140.0)[n % 2], genre="pop"), 1.0)
        for n in range(4)
    ]
    asked = [n.question for n in best_questions(ready, Basis())]
    assert asked[:2] == [Question.WHEN, Question.PACE]
    assert asked[-1] is Question.OCCASION
    first = best_questions(ready, Basis())[0]
    assert (first.bits_now, first.bits_after) == (pytest.approx(2), pytest.approx(0))
    asked = [n.question for n in best_questions(ready, Basis(year=1960, occasion="birthday"))]
    assert asked[0] is Question.PACE
    assert set(asked) == set(Question) - {Question.WHEN, Question.OCCASION}
    assert best_questions(ready[:1], Basis()) == ()


def test_what_nobody_wrote_down_saves_nothing_and_is_asked_late():
    ready = [(_record(n, voice=Voice.UNKNOWN, language="abc"[n]), 1.0) for n in range(3)]
    found = best_questions(ready, Basis(pace=Pace.SLOW, year=1960))
    assert [n.question for n in found][:2] == [Question.LANGUAGE, Question.VOICE]
    assert found[0].gained == pytest.approx(found[0].bits_now)
    assert found[1].gained == pytest.approx(0)
