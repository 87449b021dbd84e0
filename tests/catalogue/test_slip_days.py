"""For which day a request is: later, now or left over, and never out of sight."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import callers, programmes, slip_days
from catalogue import request_slips as slips
from catalogue.errors import BadInput, CatalogueError, NotFound
from catalogue.request_slips import SlipState
from catalogue.slip_days import Standing
from catalogue.store import Store

WEEK = timedelta(days=7)


def _programme(store: Store, starts: datetime, hours: float = 2) -> int:
    ends = starts + timedelta(hours=hours)
    return programmes.add(store, "Evening Requests", "Ada", starts, ends, "Dora", starts)


@pytest.fixture
def slip(store, now):
    return slips.start(store, "request", "Kit", now)


def _standing(store, slip, now):
    return slip_days.standing(store, slips.get(store, slip), now)


def test_a_request_for_tomorrow_comes_up_tomorrow(store, now, slip):
    tomorrow = now + timedelta(days=1)
    on = _programme(store, tomorrow)
    slip_days.ask_for(store, slip, "Kit", now, programme_id=on)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    assert _standing(store, slip, now) is Standing.LATER
    morning = tomorrow.replace(hour=8)
    assert _standing(store, slip, morning) is Standing.NOW
    assert _standing(store, slip, tomorrow + timedelta(hours=1)) is Standing.NOW
    assert _standing(store, slip, tomorrow + timedelta(hours=3)) is Standing.LEFT_OVER


def test_a_late_show_is_now_after_midnight(store, now, slip):
    on = _programme(store, now.replace(hour=23), hours=3)
    slip_days.ask_for(store, slip, "Kit", now, programme_id=on)
    after = (now + timedelta(days=1)).replace(hour=0, minute=30)
    assert _standing(store, slip, after) is Standing.NOW
    assert _standing(store, slip, after.replace(hour=2)) is Standing.LEFT_OVER


def test_a_day_without_a_programme(store, now, slip):
    slip_days.ask_for(store, slip, "Kit", now, on=date(2026, 11, 27))
    assert _standing(store, slip, now) is Standing.LATER
    assert _standing(store, slip, datetime(2026, 11, 27, 23, 59)) is Standing.NOW
    assert _standing(store, slip, datetime(2026, 11, 28, 0, 1)) is Standing.LEFT_OVER


def test_neither_day_nor_programme_is_of_its_own_evening(store, now, slip):
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    assert _standing(store, slip, now + timedelta(hours=11)) is Standing.NOW
    assert _standing(store, slip, now + timedelta(hours=13)) is Standing.LEFT_OVER


def test_details_are_kept_until_after_the_day_it_is_for(store, now, slip):
    on = _programme(store, now + timedelta(days=20))
    slip_days.ask_for(store, slip, "Kit", now, programme_id=on)
    assert callers.of(store, slip).erase_on == "2026-12-22"
    slip_days.ask_for(store, slip, "Kit", now)
    assert callers.of(store, slip).erase_on == "2026-12-02"
    assert callers.erase_due(store, now + WEEK) == 1


def test_carried_over_remembers_its_first_day(store, now, slip):
    tonight = _programme(store, now)
    slip_days.ask_for(store, slip, "Kit", now, programme_id=tonight)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    tomorrow = now + timedelta(days=1)
    next_one = _programme(store, tomorrow)
    slip_days.carry_over(store, slip, "Ada", tomorrow, programme_id=next_one)
    slip_days.carry_over(store, slip, "Ada", tomorrow, on=date(2026, 11, 28))
    kept = slips.get(store, slip)
    assert (kept.carried_from, kept.wanted_on, kept.programme_id, kept.state) == (
        "2026-11-25", "2026-11-28", None, SlipState.HANDED_OVER,
    )  # fmt: skip


@pytest.mark.parametrize("why", ["too late", "gone home", "moved"])
def test_what_is_left_over_is_said_to_be_so(store, now, slip, why):
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.not_used(store, slip, why, "Ada", now + WEEK)
    assert slips.get(store, slip).why_not == why


def test_what_is_over_or_unknown_is_refused(store, now, slip):
    gone = _programme(store, now - timedelta(days=1))
    with pytest.raises(BadInput, match="is over"):
        slip_days.ask_for(store, slip, "Kit", now, programme_id=gone)
    with pytest.raises(BadInput, match="2026-11-24 is over"):
        slip_days.ask_for(store, slip, "Kit", now, on=date(2026, 11, 24))
    with pytest.raises(NotFound):
        slip_days.ask_for(store, slip, "Kit", now, programme_id=999)
    with pytest.raises(BadInput, match="Choose the programme"):
        slip_days.carry_over(store, slip, "Kit", now)
    with pytest.raises(BadInput, match="from the lists"):
        slip_days.came(store, slip, "pigeon", "", "Kit", now)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["for day", "for show", "hand", "back", "carry", "not used", "play"]),
        st.integers(0, 2),
        st.integers(0, 9),
    ),
    max_size=14,
)


@given(steps=STEPS)
@settings(max_examples=40)
def test_no_request_is_ever_in_no_state_or_in_two(steps, tmp_path_factory):
    store = Store(tmp_path_factory.mktemp("days") / "asheard.db")
    now = datetime(2026, 11, 25, 19, 30)
    shows = [_programme(store, now + timedelta(days=n)) for n in range(0, 10, 3)]
    made = [slips.start(store, "conversation", "Kit", now) for _ in range(3)]
    for step, which, days in steps:
        slip, day = made[which], now.date() + timedelta(days=days)
        now += timedelta(hours=5)
        try:
            match step:
                case "for day":
                    slip_days.ask_for(store, slip, "Kit", now, on=day)
                case "for show":
                    show = shows[days % len(shows)]
                    slip_days.ask_for(store, slip, "Kit", now, programme_id=show)
                case "hand":
                    slips.hand_over(store, slip, "Studio 1", "Kit", now)
                case "back":
                    slips.call_back(store, slip, "Kit", now)
                case "carry":
                    slip_days.carry_over(store, slip, "Kit", now, on=day)
                case "not used":
                    slips.not_used(store, slip, "too late", "Ada", now)
                case "play":
                    slips.played(store, slip, "Ada", now)
        except CatalogueError:
            pass
        with_studio = slip_days.waiting(store, now)
        places = [
            *([s.id for s in found] for found in with_studio.values()),
            [s.id for s in slips.open_slips(store)],
            [s.id for s in slips.done_today(store, "Studio 1", now - 2 * WEEK)]
            + [s.id for s in slips.done_today(store, "", now - 2 * WEEK)],
        ]
        assert sorted(n for place in places for n in place) == made
    store.close()
