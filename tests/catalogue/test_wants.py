"""What to look for."""

from datetime import timedelta

import pytest

from catalogue import undo, wants
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound


def test_the_same_want_is_counted_up(store, now, add):
    known = add("Far Lamp", "Bo Quay", file=False)
    first = wants.add(store, "The Tide", "Ann Oke", None, "Kit", now)
    assert wants.add(store, "the  TIDE!", "ann oke", None, "Kit", now + timedelta(1)) == first
    other = wants.add(store, "The Tide", "", None, "Kit", now)
    held = wants.add(store, "Far Lamp", "Bo Quay", known, "Kit", now)
    assert wants.add(store, "", "", known, "Kit", now) == held
    assert len({first, other, held}) == 3
    listed = {want.id: want.times for want in wants.all_wants(store)}
    assert listed == {first: 2, held: 2, other: 1}
    assert wants.all_wants(store)[0].last_asked == "2026-11-26T19:30:00"


def test_closed_and_asked_for_again_is_a_new_want(store, now):
    first = wants.add(store, "Tide", "", None, "Kit", now)
    wants.close(store, first, "Liv", now)
    with pytest.raises(ChangedMeanwhile):
        wants.close(store, first, "Liv", now)
    assert wants.all_wants(store) == []
    assert [w.id for w in wants.all_wants(store, closed=True)] == [first]
    assert wants.add(store, "Tide", "", None, "Kit", now) != first


def test_nothing_and_too_much_are_refused(store, now):
    for title in (" ", "x" * 201):
        with pytest.raises(BadInput):
            wants.add(store, title, "", None, "Kit", now)
    with pytest.raises(NotFound):
        wants.add(store, "Tide", "", 77, "Kit", now)
    with pytest.raises(NotFound):
        wants.close(store, 77, "Liv", now)


def test_the_action_does_not_repeat_what_was_typed(store, now):
    wants.add(store, "Marker Title", "Marker Artist", None, "Kit", now)
    assert "Marker" not in undo.recent(store)[0].what


def test_a_want_is_taken_back(store, now):
    wants.add(store, "Tide", "", None, "Kit", now)
    wants.add(store, "Tide", "", None, "Kit", now)
    undo.take_back(store, undo.recent(store)[0].id, "Kit", now)
    assert [w.times for w in wants.all_wants(store)] == [1]
