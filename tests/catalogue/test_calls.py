"""A call with several slips, a caller on hold, and what a studio does with a slip."""

import threading
from datetime import timedelta

import pytest

from catalogue import (
    callers,
    calls,
    merging,
    request_slips,
    said_of_it,
    settings,
    stand_in_lessons,
    turned_down,
)
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.request_slips import SlipState

LATER = timedelta(minutes=3)


@pytest.fixture
def slip(store, now):
    number = request_slips.start(store, "request", "Kit", now)
    callers.write(store, number, {"caller_name": "Dot", "consent": "yes", "why": "a dance"}, "Kit",
                  now)  # fmt: skip
    return number


def test_another_slip_has_the_caller_and_nothing_of_the_record(store, now, slip):
    second = calls.another(store, slip, "Kit", now)
    third = calls.another(store, second, "Kit", now)

    details = callers.of(store, second)
    assert (details.caller_name, details.consent, details.consent_noted_by) == ("Dot", "yes", "Kit")
    assert details.why == ""
    of_call = calls.slips_of(store, request_slips.get(store, third))
    assert [s.id for s in of_call] == [slip, second, third]


def test_what_is_the_callers_is_written_on_every_slip_of_the_call(store, now, slip):
    second = calls.another(store, slip, "Kit", now)
    calls.write_details(store, second, {"consent": "no", "why": "a birthday"}, "Ada", now)

    first = callers.of(store, slip)
    assert (first.consent, first.consent_noted_by, first.why) == ("no", "Ada", "a dance")


def test_a_refused_detail_is_written_on_no_slip(store, now, slip):
    second = calls.another(store, slip, "Kit", now)
    with pytest.raises(ChangedMeanwhile):
        calls.write_details(store, second, {"caller_name": "Doris"}, "Kit", now,
                            seen={"caller_name": "Dora"})  # fmt: skip
    assert callers.of(store, slip).caller_name == "Dot"


def test_a_call_goes_to_the_studio_and_comes_back_together(store, now, slip, add):
    second = calls.another(store, slip, "Kit", now)
    request_slips.choose(store, second, add("Tide", "Ann Oke"), None, "Kit", now)

    assert calls.hand_over(store, slip, "Studio 1", "Kit", now) == [slip, second]
    assert [s.id for s in request_slips.queue(store, "Studio 1")] == [slip, second]
    calls.call_back(store, second, "Kit", now)
    assert request_slips.queue(store, "Studio 1") == []
    assert [s.id for s in request_slips.open_slips(store)] == [slip, second]


def test_a_further_slip_without_a_word_is_laid_aside(store, now, slip):
    second = calls.another(store, slip, "Kit", now)
    assert calls.hand_over(store, second, "Studio 1", "Kit", now) == [slip]
    assert request_slips.get(store, second).state is SlipState.WITHDRAWN


def test_a_call_has_an_end(store, now, slip):
    for _ in range(calls.MOST_SLIPS - 1):
        calls.another(store, slip, "Kit", now)
    with pytest.raises(BadInput, match="at most"):
        calls.another(store, slip, "Kit", now)


def test_on_hold_is_of_the_call_until_the_presenter_takes_it(store, now, slip):
    second = calls.another(store, slip, "Kit", now)
    calls.hold(store, second, True, "Kit", now)
    calls.hold(store, second, True, "Kit", now + LATER)
    assert {s.hold_since for s in calls.slips_of(store, request_slips.get(store, slip))} == {
        now.isoformat(timespec="seconds")
    }
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    calls.take(store, slip, "Ada", now + LATER)
    taken = request_slips.get(store, slip)
    assert (taken.in_studio, taken.hold_since) == (calls.TAKEN, None)
    assert request_slips.get(store, second).hold_since is None


def test_on_air_cannot_be_called_back_or_given_away(store, now, slip):
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    calls.on_air(store, slip, "Ada", now)
    with pytest.raises(BadInput, match="on air"):
        calls.call_back(store, slip, "Kit", now)
    with pytest.raises(BadInput, match="on air"):
        calls.move(store, slip, "Studio 2", "Ada", now)
    calls.wait_again(store, slip, "Ada", now)
    calls.move(store, slip, "Studio 2", "Ada", now)
    assert [s.id for s in request_slips.queue(store, "Studio 2")] == [slip]


def test_two_studios_that_move_a_slip_at_once_do_not_both_get_it(store, now, slip):
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    version = request_slips.get(store, slip).version
    settings.put(store, "studios", "Studio 1\nStudio 2\nVan", "Kit", now)
    refused = []

    def move(studio: str) -> None:
        try:
            calls.move(store, slip, studio, "Ada", now, version)
        except ChangedMeanwhile as problem:
            refused.append(problem)

    both = [threading.Thread(target=move, args=(name,)) for name in ("Studio 2", "Van")]
    for one in both:
        one.start()
    for one in both:
        one.join()
    holders = [n for n in ("Studio 1", "Studio 2", "Van") if request_slips.queue(store, n)]
    assert len(refused) == 1
    assert len(holders) == 1 and holders != ["Studio 1"]


def test_an_unknown_studio_is_refused(store, now, slip):
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    with pytest.raises(BadInput, match="list"):
        calls.move(store, slip, "The moon", "Ada", now)


def test_a_stations_own_kind_of_call_needs_no_record(store, now):
    with pytest.raises(BadInput):
        request_slips.start(store, "quiz", "Kit", now)
    settings.put(store, "own_kinds", "quiz\nrequest", "Kit", now)
    assert request_slips.purposes(store) == (*request_slips.PURPOSES, "quiz")
    number = request_slips.start(store, "quiz", "Kit", now)
    request_slips.hand_over(store, number, "Studio 1", "Kit", now)
    assert request_slips.played(store, number, "Ada", now) is None


def test_urgent_is_kept(store, now, slip):
    request_slips.set_urgent(store, slip, True, "Kit", now)
    assert request_slips.get(store, slip).urgent is True


def test_what_was_turned_down_is_of_the_call_and_goes_with_the_details(store, now, slip, add):
    tide = add("Tide", "Ann Oke")
    second = calls.another(store, slip, "Kit", now)
    turned_down.add(store, second, tide)
    turned_down.add(store, second, tide)
    first = request_slips.get(store, slip)
    assert turned_down.of_call(store, first) == {tide}
    with pytest.raises(NotFound):
        turned_down.add(store, slip, 99)

    live = add("Tide", "Ann Oke", version="live")
    assert turned_down.left_out(store, first) == {tide, live}
    turned_down.forget(store, first)
    assert turned_down.of_call(store, first) == frozenset()
    turned_down.add(store, slip, tide)
    callers.erase_now(store, slip, now)
    assert turned_down.of_call(store, first) == frozenset()


def test_what_was_turned_down_is_learnt_once_and_unlearnt_when_offered_again(store, now, slip, add):
    asked, tide = add("Ebb", "Ann Oke"), add("Tide", "Bo Quay")
    turned_down.add(store, slip, tide, asked)
    turned_down.add(store, slip, tide, asked)
    assert stand_in_lessons.tallies(store, asked)[tide].refused == 1
    turned_down.forget(store, request_slips.get(store, slip))
    assert stand_in_lessons.tallies(store, asked)[tide].refused == 0
    turned_down.add(store, slip, tide)
    assert stand_in_lessons.tallies(store, None)[tide].refused == 1
    callers.erase_now(store, slip, now)  # what is learnt has no caller, and stays
    assert stand_in_lessons.tallies(store, None)[tide].refused == 1


def test_what_was_turned_down_stays_so_when_it_is_merged(store, now, slip, add):
    tide, other = add("Tide", "Bo Quay"), add("The Tide", "Bo Quay")
    turned_down.add(store, slip, tide)
    merging.merge(store, other, tide, "Liv", now)
    found = request_slips.get(store, slip)
    assert turned_down.of_call(store, found) == turned_down.left_out(store, found) == {other}


def test_what_is_said_of_a_record_is_kept_and_goes_with_the_details(store, now, slip):
    said = said_of_it.Said.of_form({"about_when": " the  60s ", "voice": "woman", "name": "x"})
    said_of_it.keep(store, slip, said)
    assert said_of_it.of(store, slip) == said == said_of_it.Said("the 60s", voice="woman")
    assert (said.basis.year, said.basis.voice, said.basis.pace) == (1964, "woman", "unknown")
    assert said_of_it.Said("before the war", pace="brisk").basis == said_of_it.Said().basis
    assert said_of_it.Said("before the war").when_is_a_riddle
    said_of_it.keep(store, slip, said_of_it.Said())
    assert said_of_it.of(store, slip) == said_of_it.Said()
    said_of_it.keep(store, slip, said)
    callers.erase_now(store, slip, now)
    assert said_of_it.of(store, slip) == said_of_it.Said()
