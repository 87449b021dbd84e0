"""What was taken and refused: counted without a trace of a caller, seen, and forgotten."""

import pytest

from catalogue import merging, undo
from catalogue import request_slips as slips
from catalogue import stand_in_lessons as lessons
from catalogue.errors import NotFound


@pytest.fixture
def two(add):
    return add("One", "Ann Oke"), add("Two", "Bo Quay")


def play(store, now, asked, taken):
    slip = slips.start(store, "request", "Kit", now)
    slips.choose(store, slip, taken, None, "Kit", now, stand_in_for=asked)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now)


def test_what_went_to_air_is_counted_and_discounted(store, now, two):
    asked, taken = two
    play(store, now, asked, taken)
    play(store, now, asked, taken)
    assert lessons.tallies(store, asked) == {taken: lessons.Tally(2, 0)}
    last = undo.recent(store)[0]
    undo.take_back(store, last.id, "Kit", now)
    assert lessons.tallies(store, asked) == {taken: lessons.Tally(1, 0)}


def test_a_slip_that_is_not_played_teaches_nothing(store, now, two):
    asked, taken = two
    slip = slips.start(store, "request", "Kit", now)
    slips.choose(store, slip, taken, None, "Kit", now, stand_in_for=asked)
    assert lessons.tallies(store, asked) == {}


def test_refusals_are_counted_seen_and_forgotten(store, two):
    asked, offered = two
    lessons.refuse(store, asked, offered)
    lessons.refuse(store, asked, offered)
    lessons.refuse(store, None, offered)
    assert lessons.tallies(store, asked)[offered].refused == 2
    assert lessons.tallies(store, None)[offered].refused == 1
    lessons.unrefuse(store, asked, offered)
    first, second = lessons.lessons(store)
    assert {first.asked, second.asked} == {"“One” by Ann Oke", ""}
    assert first.offered == "“Two” by Bo Quay"
    lessons.forget(store, first.id)
    assert lessons.forget_all(store) == 1
    assert lessons.lessons(store) == []
    with pytest.raises(NotFound, match="gone already"):
        lessons.forget(store, first.id)


def test_an_unknown_recording_teaches_nothing(store, two):
    with pytest.raises(NotFound):
        lessons.refuse(store, two[0], 999)
    assert lessons.lessons(store) == []


def test_nothing_in_the_table_leads_back_to_a_call(store, now, two):
    """Counts alone: no time, no slip, no person, and no entry in the history of actions."""
    lessons.refuse(store, *two)
    columns = {row["name"] for row in store.rows("PRAGMA table_info(stand_in_lessons)")}
    assert columns == {"id", "asked_id", "offered_id", "taken", "refused"}
    assert undo.recent(store)[0].what == "added Two"


def test_lessons_follow_a_recording_that_is_merged_and_come_back_when_it_is_not(
    store, now, add, two
):
    asked, offered = two
    kept = add("One again", "Ann Oke")
    lessons.refuse(store, asked, offered)
    lessons.refuse(store, kept, offered)
    play(store, now, asked, offered)
    action = merging.merge(store, kept, asked, "Liv", now)
    assert lessons.tallies(store, kept) == {offered: lessons.Tally(1, 2)}
    artists = {row["name"]: row["id"] for row in store.rows("SELECT * FROM artists")}
    assert lessons.artists_swapped(store, artists["Ann Oke"]) == {artists["Bo Quay"]: 1}
    assert {one.asked for one in lessons.lessons(store)} == {"“One again” by Ann Oke"}
    undo.take_back(store, action, "Liv", now)
    assert lessons.tallies(store, kept) == {offered: lessons.Tally(0, 1)}
    assert lessons.tallies(store, asked) == {offered: lessons.Tally(1, 1)}
    merging.merge(store, kept, offered, "Liv", now)
    assert lessons.tallies(store, kept) == {}


def test_what_was_played_before_a_merge_is_discounted_after_it(store, now, add, two):
    asked, offered = two
    kept = add("One again", "Ann Oke")
    play(store, now, asked, offered)
    played = undo.recent(store)[0].id
    merging.merge(store, kept, asked, "Liv", now)
    undo.take_back(store, played, "Kit", now)
    assert lessons.tallies(store, kept) == {offered: lessons.Tally(0, 0)}
