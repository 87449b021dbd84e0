"""A call with several slips, a caller on hold, and what a studio does with a slip."""

import threading
from datetime import timedelta

import pytest

from catalogue import (
    callers,
    calls,
    loans,
    merging,
    request_slips,
    said_of_it,
    settings,
    stand_in_lessons,
    turned_down,
    waiting,
    wants,
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


class TestWhatIsLacking:
    def test_a_slip_with_nothing_on_it_says_so(self, store, now):
        empty = request_slips.start(store, "request", "Kit", now)
        assert calls.lacks(store, empty) == calls.NOTHING
        callers.write(store, empty, {"caller_name": "Dot"}, "Kit", now)
        assert calls.lacks(store, empty) == calls.NO_RECORD
        callers.write(store, empty, {"heard": "you choose"}, "Kit", now)
        assert calls.lacks(store, empty) == ""

    def test_a_conversation_needs_no_record(self, store, now):
        talk = request_slips.start(store, "conversation", "Kit", now)
        callers.write(store, talk, {"caller_name": "Dot"}, "Kit", now)
        assert calls.lacks(store, talk) == ""

    def test_a_record_or_a_caller_on_hold_is_something(self, store, now, add):
        held, chosen = (request_slips.start(store, "request", "Kit", now) for _ in range(2))
        calls.hold(store, held, True, "Kit", now)
        request_slips.choose(store, chosen, add("Tide", "Ann Oke"), None, "Kit", now)
        assert calls.lacks(store, held) == calls.NO_RECORD
        assert calls.lacks(store, chosen) == ""


class TestTwoDesksOnOneSlip:
    def test_one_field_in_dispute_does_not_keep_the_others_back(self, store, now, slip):
        calls.write_details(store, slip, {"why": "a wedding"}, "Ada", now)
        left = calls.write_what_agrees(
            store, slip, {"why": "a birthday", "for_whom": "Ned"}, "Kit", now,
            seen={"why": "a dance", "for_whom": ""},
        )  # fmt: skip
        details = callers.of(store, slip)
        assert left == ["why"]
        assert (details.why, details.for_whom) == ("a wedding", "Ned")

    def test_what_was_seen_is_written_over(self, store, now, slip):
        left = calls.write_what_agrees(store, slip, {"why": "a birthday"}, "Kit", now,
                                       seen={"why": "a dance"})  # fmt: skip
        assert left == []
        assert callers.of(store, slip).why == "a birthday"


class TestWhatCouldNotBeMet:
    @pytest.fixture
    def asked(self, add):
        return add("Tide", "Ann Oke", file=False)

    def _agree(self, store, now, slip, asked, add):
        callers.write(store, slip, {"heard": "the tied by annie oak"}, "Kit", now)
        offered = add("Ebb", "Ann Oke", disc="C 1")
        request_slips.choose(store, slip, offered, None, "Kit", now, stand_in_for=asked)
        calls.hand_over(store, slip, "Studio 1", "Kit", now)

    def test_a_stand_in_puts_what_is_not_held_on_the_wants(self, store, now, slip, asked, add):
        self._agree(store, now, slip, asked, add)
        (want,) = wants.all_wants(store)
        assert (want.title, want.artist, want.recording_id) == ("Tide", "Ann Oke", asked)
        assert waiting.of(store, [want.id]) == [slip]

    def test_it_is_counted_once_though_the_slip_comes_back(self, store, now, slip, asked, add):
        self._agree(store, now, slip, asked, add)
        calls.call_back(store, slip, "Kit", now)
        calls.hand_over(store, slip, "Studio 1", "Kit", now)
        assert [want.times for want in wants.all_wants(store)] == [1]

    def test_what_is_only_out_tonight_is_not_wanted(self, store, now, slip, add):
        out = add("Tide", "Ann Oke", file=False, disc="C 9")
        loans.lend(store, 1, "the north studio", None, "Kit", now)
        self._agree(store, now, slip, out, add)
        assert wants.all_wants(store) == []
