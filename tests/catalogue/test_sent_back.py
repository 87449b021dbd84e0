"""Slips that come back to the phone desk, and copies that are not in their place."""

from datetime import timedelta

import pytest

from catalogue import (
    availability,
    catalogue_rows,
    missing_copies,
    request_slips,
    sent_back,
    undo,
)
from catalogue.errors import BadInput, CannotTakeBack, ChangedMeanwhile
from catalogue.records import Carrier, NewDisc, NewHolding, Readiness
from catalogue.request_slips import NOT_FOUND, WHY_NOT, SlipState


@pytest.fixture
def record(store, now, add):
    """A recording on a disc, and its copy."""
    recording = add("Tide", "Ann Oke", file=False)
    with undo.action(store, "Ada", "shelved it", now):
        disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, "C 114"))
        copy = catalogue_rows.add_holding(store, NewHolding(recording, disc_id=disc))
    return recording, copy


@pytest.fixture
def slip(store, now, record):
    number = request_slips.start(store, "request", "Kit", now)
    request_slips.choose(store, number, *record, "Kit", now)
    request_slips.hand_over(store, number, "Studio 1", "Kit", now)
    return number


def _readiness(store, recording, now):
    return availability.of(store, [recording], now)[recording][0].readiness


def test_what_was_not_found_comes_back_without_the_record_and_is_marked_missing(
    store, now, record, slip
):
    sent_back.send_back(store, slip, NOT_FOUND, "Bob", now)

    back = request_slips.get(store, slip)
    assert (back.state, back.studio, back.recording_id) == (SlipState.BEING_WRITTEN, "", None)
    assert (back.sent_back, back.sent_back_from) == (NOT_FOUND, "Studio 1")
    assert (back.sent_back_record, back.sent_back_copy) == record
    assert [s.id for s in sent_back.waiting(store)] == [slip]
    assert request_slips.queue(store, "Studio 1") == []
    assert _readiness(store, record[0], now) is Readiness.MISSING


def test_what_would_not_play_is_not_offered_as_ready_today_and_is_tomorrow(
    store, now, record, slip
):
    sent_back.send_back(store, slip, "would not play", "Bob", now)
    line = availability.of(store, [record[0]], now)[record[0]][0]
    assert (line.readiness, line.why) == (Readiness.DAMAGED, "would not play in the studio today")
    assert _readiness(store, record[0], now + timedelta(days=1)) is Readiness.READY


def test_not_used_for_the_same_reasons_says_the_same_of_the_copy(store, now, record, slip):
    request_slips.not_used(store, slip, "would not play", "Bob", now)
    assert _readiness(store, record[0], now) is Readiness.DAMAGED
    last, _ = undo.history(store, "slips", slip)[-1]
    undo.take_back(store, last.id, "Bob", now)
    request_slips.not_used(store, slip, NOT_FOUND, "Bob", now)
    assert _readiness(store, record[0], now) is Readiness.MISSING


@pytest.mark.parametrize("why", WHY_NOT)
def test_only_a_reason_that_lies_in_the_record_takes_it_off(store, now, record, slip, why):
    sent_back.send_back(store, slip, why, "Bob", now)
    kept = request_slips.get(store, slip).recording_id
    assert kept == (None if why in sent_back.OF_THE_RECORD else record[0])


def test_a_reason_of_ones_own_is_refused(store, now, slip):
    with pytest.raises(BadInput):
        sent_back.send_back(store, slip, "Maureen did not like it", "Bob", now)
    assert request_slips.get(store, slip).state is SlipState.HANDED_OVER


def test_a_slip_as_it_was_is_not_sent_back(store, now, slip):
    with pytest.raises(ChangedMeanwhile):
        sent_back.send_back(store, slip, "no time", "Bob", now, version=1)


def test_taking_it_back_puts_the_slip_and_the_copy_where_they_were(store, now, record, slip):
    sent_back.send_back(store, slip, NOT_FOUND, "Bob", now)
    sent_back.take_back(store, slip, "Bob", now)

    again = request_slips.get(store, slip)
    assert (again.state, again.studio) == (SlipState.HANDED_OVER, "Studio 1")
    assert (again.recording_id, again.holding_id) == record
    assert not catalogue_rows.holding(store, record[1]).missing
    with pytest.raises(CannotTakeBack):
        sent_back.take_back(store, slip, "Bob", now)


def test_it_cannot_be_taken_back_once_the_phone_desk_works_on_it(store, now, slip, add):
    sent_back.send_back(store, slip, NOT_FOUND, "Bob", now)
    request_slips.choose(store, slip, add("Ebb", "Ann Oke"), None, "Kit", now)
    with pytest.raises(CannotTakeBack):
        sent_back.take_back(store, slip, "Bob", now)


def test_handed_over_again_it_is_no_longer_back(store, now, slip, add):
    sent_back.send_back(store, slip, NOT_FOUND, "Bob", now)
    assert [s.id for s in sent_back.by_studio(store, "Studio 1", now)] == [slip]
    request_slips.choose(store, slip, add("Ebb", "Ann Oke"), None, "Kit", now)
    request_slips.hand_over(store, slip, "Studio 2", "Kit", now)
    assert sent_back.waiting(store) == sent_back.by_studio(store, "Studio 1", now) == []
    request_slips.call_back(store, slip, "Kit", now)
    assert sent_back.waiting(store) == []


def test_the_phone_desk_takes_up_what_was_not_used(store, now, record, slip):
    request_slips.not_used(store, slip, "no time", "Bob", now)
    assert [s.id for s in sent_back.not_used_since(store, now - timedelta(minutes=1))] == [slip]
    sent_back.take_up_again(store, slip, "Kit", now)
    again = request_slips.get(store, slip)
    assert (again.state, again.why_not, again.done_at) == (SlipState.BEING_WRITTEN, "", None)
    assert again.recording_id == record[0]
    with pytest.raises(ChangedMeanwhile):
        sent_back.take_up_again(store, slip, "Kit", now)


def test_a_missing_disc_and_a_missing_file_are_found_again(store, now, record, add):
    file_of = add("Ebb", "Ann Oke", file=False)
    with undo.action(store, "Ada", "filed it", now):
        file = catalogue_rows.add_holding(store, NewHolding(file_of, path="/music/ebb.flac"))
    for copy in (record[1], file):
        missing_copies.mark(store, copy, "Ada", now)
        missing_copies.mark(store, copy, "Ada", now)
        assert catalogue_rows.holding(store, copy).missing
        missing_copies.found(store, copy, "Ada", now)
        assert not catalogue_rows.holding(store, copy).missing


def test_a_late_shows_slips_are_todays(store, now, slip):
    late = now.replace(hour=23, minute=50)
    sent_back.send_back(store, slip, "no time", "Bob", late)
    after = late + timedelta(minutes=20)
    assert after.date() != late.date()
    assert [s.id for s in sent_back.by_studio(store, "Studio 1", after)] == [slip]
