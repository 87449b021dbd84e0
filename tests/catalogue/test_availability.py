"""Whether it can go to air now, and the words for why not."""

from datetime import UTC, timedelta

import pytest

from catalogue import availability, loans, play_log, programmes, pull_list, settings, undo
from catalogue import request_slips as slips
from catalogue.catalogue_rows import change_disc, change_holding, holdings_of
from catalogue.records import Condition, Readiness


def said(store, recording, now, **more):
    lines = availability.of(store, [recording], now, **more)[recording]
    return [(line.readiness, line.why) for line in lines]


def disc_of(store, recording):
    return holdings_of(store, [recording])[recording][-1].disc_id


def test_ready_files_come_before_discs(store, now, add):
    tide = add("Tide", "Ann Oke", disc="C 114", condition=Condition.GOOD)
    lines = availability.of(store, [tide], now)[tide]
    assert [line.readiness for line in lines] == [Readiness.READY] * 2
    assert [line.holding.path != "" for line in lines] == [True, False]
    assert [line.why for line in lines] == ["", ""]


@pytest.mark.parametrize(
    ("condition", "readiness", "why"),
    [
        (Condition.UNKNOWN, Readiness.READY, ""),
        (Condition.WORN, Readiness.READY, "worn, but plays"),
        (Condition.SCRATCHED, Readiness.READY, "scratched: listen to it first"),
        (Condition.DAMAGED, Readiness.DAMAGED, "damaged"),
    ],
)
def test_condition(store, now, add, condition, readiness, why):
    tide = add("Tide", "Ann Oke", file=False, disc="C 114", condition=condition)
    assert said(store, tide, now) == [(readiness, why)]


def test_known_but_not_held(store, now, add):
    tide = add("Tide", "Ann Oke", file=False)
    assert said(store, tide, now) == [(Readiness.NOT_HELD, "known, but not held")]
    assert availability.of(store, [], now) == {}


def test_what_a_programme_has_is_ready_and_said_to_be_there(store, now, add):
    tide = add("Tide", "Ann Oke", file=False, disc="C 114")
    tea = programmes.add(store, "Tea Time", "", now, now + timedelta(hours=1), "Liv", now)
    pull_list.pull(store, tea, [disc_of(store, tide)], "Liv", now)
    (line,) = availability.of(store, [tide], now)[tide]
    assert (line.readiness, line.fetched) == (Readiness.READY, "fetched for Tea Time since today")
    pull_list.put_away(store, [disc_of(store, tide)], "Liv", now)
    (line,) = availability.of(store, [tide], now)[tide]
    assert line.fetched == ""


@pytest.mark.parametrize(
    ("days", "since"),
    [(0, "today"), (1, "yesterday"), (2, "Monday"), (6, "Thursday"), (7, "18 November"),
     (330, "30 December 2025")],
)  # fmt: skip
def test_on_loan_is_by_disc(store, now, add, days, since):
    tide, lamp = (add(t, "Ann Oke", file=False, disc="C 114") for t in ("Tide", "Lamp"))
    out = now - timedelta(days=days)
    loans.lend(store, disc_of(store, tide), "the north studio", None, "Liv", out)
    for recording in (tide, lamp):
        assert said(store, recording, now) == [
            (Readiness.ON_LOAN, f"on loan to the north studio since {since}")
        ]
    loans.bring_back(store, disc_of(store, tide), "Liv", now)
    assert said(store, lamp, now) == [(Readiness.READY, "")]


def test_missing_and_the_copy_that_is_there(store, now, add):
    tide = add("Tide", "Ann Oke", disc="C 114")
    with undo.action(store, "Liv", "looked", now):
        change_holding(store, holdings_of(store, [tide])[tide][0].id, missing=1)
    assert said(store, tide, now) == [
        (Readiness.READY, ""), (Readiness.MISSING, "missing since the last look"),
    ]  # fmt: skip
    with undo.action(store, "Liv", "looked", now):
        change_disc(store, disc_of(store, tide), missing=1)
    assert [r for r, _ in said(store, tide, now)] == [Readiness.MISSING] * 2


@pytest.mark.parametrize(
    ("hours", "why"),
    [
        (0, "played at 19:30 today"),
        (1, "played at 18:30 today"),
        (20, "played yesterday at 23:30"),
        (23, "played yesterday at 20:30"),
        (24, None),
        (48, None),
    ],
)
def test_played_lately(store, now, add, hours, why):
    tide = add("Tide", "Ann Oke")
    play_log.record(store, tide, None, "", None, "Ada", now - timedelta(hours=hours))
    expected = (Readiness.PLAYED_LATELY, why) if why else (Readiness.READY, "")
    assert said(store, tide, now) == [expected]


def test_the_hours_are_the_stations_own(store, now, add):
    tide = add("Tide", "Ann Oke")
    play_log.record(store, tide, None, "", None, "Ada", now - timedelta(days=3))
    settings.put(store, "repeat_hours", "96", "Kit", now)
    assert said(store, tide, now) == [(Readiness.PLAYED_LATELY, "played on Sunday at 19:30")]
    settings.put(store, "repeat_hours", "0", "Kit", now)
    assert said(store, tide, now) == [(Readiness.READY, "")]


def test_taken_by_another_slip_until_it_is_done(store, now, add):
    tide = add("Tide", "Ann Oke")
    mine, theirs = (slips.start(store, "request", "Kit", now) for _ in range(2))
    slips.choose(store, theirs, tide, None, "Ned", now)
    writing = [(Readiness.TAKEN, "on another slip, still being written")]
    assert said(store, tide, now, slip_id=mine) == writing
    assert said(store, tide, now, slip_id=theirs) == [(Readiness.READY, "")]
    # Forgotten at the phone: the next day it stands in nobody's way.
    assert said(store, tide, now + timedelta(days=1)) == [(Readiness.READY, "")]
    slips.hand_over(store, theirs, "Studio 2", "Ned", now)
    assert said(store, tide, now) == [(Readiness.TAKEN, "on another slip for Studio 2")]
    assert said(store, tide, now + timedelta(days=1))[0][0] is Readiness.TAKEN
    slips.not_used(store, theirs, "no time", "Ada", now)
    assert said(store, tide, now) == [(Readiness.READY, "")]


def test_what_cannot_be_helped_is_said_first_of_one_copy(store, now, add):
    tide = add("Tide", "Ann Oke", disc="C 114")
    loans.lend(store, disc_of(store, tide), "Ned", None, "Liv", now)
    play_log.record(store, tide, None, "", None, "Ada", now)
    assert [r for r, _ in said(store, tide, now)] == [
        Readiness.PLAYED_LATELY, Readiness.ON_LOAN,
    ]  # fmt: skip


def test_times_with_and_without_a_zone_are_compared(store, now, add):
    tide = add("Tide", "Ann Oke")
    play_log.record(store, tide, None, "", None, "Ada", now)
    assert said(store, tide, now.replace(tzinfo=UTC))[0][0] is Readiness.PLAYED_LATELY


def test_the_states_are_those_of_the_slips():
    """availability.py asks for them in SQL, and may not import from its own floor."""
    assert {"handed over", "being written"} <= set(slips.SlipState)


def test_as_many_queries_for_many_as_for_one(store, now, add):
    ids = [add(f"Tide {n}", "Ann Oke", disc=f"C {n}") for n in range(60)]
    count = 0

    def seen(_statement: str) -> None:
        nonlocal count
        count += 1

    store.db.conn.set_trace_callback(seen)
    availability.of(store, ids, now)
    store.db.conn.set_trace_callback(None)
    # Copies, loans, what is fetched, plays, slips, what would not play; and the station's rule.
    assert count == 7
