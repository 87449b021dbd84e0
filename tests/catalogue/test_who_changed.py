"""Every change can be read: who, when, and each value before and after."""

from __future__ import annotations

from catalogue import callers, request_slips, undo, who_changed
from catalogue.catalogue_rows import add_other_name as also_called
from catalogue.catalogue_rows import add_recording, change_recording, remove_other_name
from catalogue.records import NewRecording


def test_a_change_is_told_with_what_was_there_before(store, now):
    with undo.action(store, "Liv", "put in a record", now):
        song = add_recording(store, NewRecording("Gray Heron", "Ann Oke", year=1961))
    with undo.action(store, "Kit", "corrected a title", now):
        change_recording(store, song, title="Grey Heron", year=None)
    latest, first = who_changed.page(store, None, 10)
    told = who_changed.changes_of(store, [latest.id, first.id], 10)

    assert (latest.who, latest.what, first.who) == ("Kit", "corrected a title", "Liv")
    change = next(c for c in told[latest.id] if c.table == "recordings")
    assert (change.kind, change.called) == ("update", "Grey Heron")
    assert {("title", "Gray Heron", "Grey Heron"), ("year", "1961", "")} <= set(change.values)
    put_in = next(c for c in told[first.id] if c.table == "recordings")
    assert (put_in.kind, put_in.called, put_in.values) == ("insert", "Grey Heron", ())


def test_what_was_taken_out_is_still_called_by_its_name(store, now):
    with undo.action(store, "Liv", "put in a record", now):
        song = add_recording(store, NewRecording("Tide", "Bo"))
        name = also_called(store, "refrain", "The Lantern Song", recording=song)
    with undo.action(store, "Liv", "took a name out", now):
        remove_other_name(store, name)
    (latest,) = who_changed.page(store, None, 1)
    (change,) = who_changed.changes_of(store, [latest.id], 10)[latest.id]
    assert (change.table, change.kind, change.called) == (
        "other_names",
        "delete",
        "The Lantern Song",
    )


def test_pages_follow_each_other_and_long_actions_are_counted(store, now):
    for number in range(5):
        with undo.action(store, "Liv", f"action {number}", now):
            for part in range(number + 1):
                add_recording(store, NewRecording(f"Tide {number} {part}", "Bo"))
    first = who_changed.page(store, None, 2)
    then = who_changed.page(store, first[-1].id, 2)
    assert [a.what for a in (*first, *then)] == ["action 4", "action 3", "action 2", "action 1"]
    many = first[0].id
    assert len(who_changed.changes_of(store, [many], 3)[many]) == 3
    assert who_changed.counts(store, [many])[many] >= 10


def test_nothing_of_a_caller_is_told(store, now):
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"caller_name": "Wilhelmina", "why": "her sister"}, "Kit", now)
    request_slips.hand_over(store, slip, "Studio 1", "Kit", now)
    ids = [action.id for action in who_changed.page(store, None, 10)]
    told = str(who_changed.changes_of(store, ids, 100))
    assert "slips" in told and "Wilhelmina" not in told and "sister" not in told
