"""A slip's life: every step, every wrong step, and two people at once."""

import tempfile
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import callers, play_log, programmes, undo
from catalogue import request_slips as slips
from catalogue.catalogue_rows import add_recording, holdings_of
from catalogue.errors import BadInput, CatalogueError, ChangedMeanwhile, NotFound
from catalogue.records import NewRecording
from catalogue.request_slips import SlipState
from catalogue.store import Store


@pytest.fixture
def slip(store, now):
    return slips.start(store, "request", "Kit", now)


def test_a_whole_life(store, now, add, slip):
    tide = add("Tide", "Ann Oke")
    copy = holdings_of(store, [tide])[tide][0].id
    slips.set_occasion(store, slip, "birthday", "Kit", now)
    slips.choose(store, slip, tide, copy, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now + timedelta(minutes=2))
    assert slips.open_slips(store) == [] and slips.queue(store, "Studio 2") == []
    assert [s.id for s in slips.queue(store, "Studio 1")] == [slip]
    play = slips.played(store, slip, "Ada", now + timedelta(minutes=5))
    done = slips.get(store, slip)
    assert (done.state, done.handed_at, done.done_at) == (
        SlipState.PLAYED, "2026-11-25T19:32:00", "2026-11-25T19:35:00",
    )  # fmt: skip
    logged = play_log.get(store, play)
    assert (logged.recording_id, logged.holding_id, logged.slip_id, logged.studio) == (
        tide, copy, slip, "Studio 1",
    )  # fmt: skip
    assert [s.id for s in slips.done_today(store, "Studio 1", now)] == [slip]
    assert slips.done_today(store, "Studio 1", now + timedelta(days=1)) == []


def test_the_evening_is_still_listed_just_after_midnight(store, now, slip):
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.not_used(store, slip, "no time", "Ada", now.replace(hour=23, minute=50))
    after_midnight = (now + timedelta(days=1)).replace(hour=0, minute=10)
    assert [s.id for s in slips.done_today(store, "Studio 1", after_midnight)] == [slip]


def test_the_queue_is_in_the_order_handed_over(store, now):
    one, two = (slips.start(store, "request", "Kit", now) for _ in range(2))
    slips.hand_over(store, two, "Studio 1", "Kit", now)
    slips.hand_over(store, one, "Studio 1", "Kit", now + timedelta(seconds=9))
    assert [s.id for s in slips.queue(store, "Studio 1")] == [two, one]
    slips.call_back(store, two, "Kit", now)
    assert [s.id for s in slips.open_slips(store)] == [two]
    assert slips.get(store, two).studio == "" and slips.get(store, two).handed_at is None


def test_a_slip_that_names_no_record(store, now, add, slip):
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    with pytest.raises(BadInput, match="names no record"):
        slips.played(store, slip, "Ada", now)
    slips.choose(store, slip, add("Tide", "Ann Oke"), None, "Ada", now)
    assert slips.played(store, slip, "Ada", now)
    talk = slips.start(store, "conversation", "Kit", now)
    slips.hand_over(store, talk, "Studio 1", "Kit", now)
    assert slips.played(store, talk, "Ada", now) is None
    assert slips.get(store, talk).state is SlipState.PLAYED


def test_a_slip_without_a_purpose_is_not_handed_over(store, now):
    slip = slips.start(store, "", "Kit", now)
    with pytest.raises(BadInput, match="what the call is for"):
        slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.set_purpose(store, slip, "dedication", "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)


def test_bad_input_is_refused_and_the_slip_stays(store, now, add, slip):
    tide, lamp = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay")
    other = holdings_of(store, [lamp])[lamp][0].id
    before = slips.get(store, slip)
    for step in (
        lambda: slips.start(store, "gossip", "Kit", now),
        lambda: slips.set_purpose(store, slip, "", "Kit", now),
        lambda: slips.set_occasion(store, slip, "MARKER", "Kit", now),
        lambda: slips.choose(store, slip, tide, other, "Kit", now),
        lambda: slips.hand_over(store, slip, "The shed", "Kit", now),
        lambda: slips.not_used(store, slip, "did not like it", "Kit", now),
    ):
        with pytest.raises(BadInput):
            step()
    for step in (
        lambda: slips.choose(store, slip, 999, None, "Kit", now),
        lambda: slips.choose(store, slip, tide, None, "Kit", now, stand_in_for=999),
        lambda: slips.get(store, 999),
        lambda: slips.withdraw(store, 999, "Kit", now),
    ):
        with pytest.raises(NotFound):
            step()
    assert slips.get(store, slip) == before


def test_playing_twice_logs_once(store, now, add, slip):
    tide = add("Tide", "Ann Oke")
    slips.choose(store, slip, tide, None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now)
    with pytest.raises(ChangedMeanwhile, match="played already"):
        slips.played(store, slip, "Ada", now)
    assert play_log.times_played(store, [tide]) == {tide: 1}


def test_a_stale_desk_overwrites_nothing(store, now, add, slip):
    tide, lamp = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay")
    seen = slips.get(store, slip).version
    slips.choose(store, slip, tide, None, "Kit", now, version=seen)
    with pytest.raises(ChangedMeanwhile, match="Nothing was overwritten"):
        slips.choose(store, slip, lamp, None, "Ned", now, version=seen)
    assert slips.get(store, slip).recording_id == tide


def test_a_version_seen_before_never_comes_back(store, now, add, slip):
    """After a taking back the slip is as it was, but a desk that saw it before must look again."""
    tide, lamp = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay")
    slips.choose(store, slip, tide, None, "Kit", now)
    seen = slips.get(store, slip)
    undo.take_back(store, undo.recent(store)[0].id, "Kit", now)
    slips.choose(store, slip, lamp, None, "Kit", now)
    with pytest.raises(ChangedMeanwhile):
        slips.hand_over(store, slip, "Studio 1", "Ned", now, version=seen.version)
    assert slips.get(store, slip).recording_id == lamp


def test_what_was_played_is_taken_back_in_one(store, now, add, slip):
    tide = add("Tide", "Ann Oke")
    slips.choose(store, slip, tide, None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now)
    undo.take_back(store, undo.recent(store)[0].id, "Ada", now)
    assert slips.get(store, slip).state is SlipState.HANDED_OVER
    assert play_log.times_played(store, [tide]) == {}


def test_a_slip_belongs_to_the_programme_that_is_on(store, now, add):
    on = programmes.add(store, "Late", "", now, now + timedelta(hours=6), "Kit", now)
    slip = slips.start(store, "request", "Kit", now)
    assert slips.get(store, slip).programme_id == on
    # It ends on the 26th, so seven days count from there.
    assert callers.of(store, slip).erase_on == "2026-12-03"
    slips.choose(store, slip, add("Tide", "Ann Oke"), None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    play = slips.played(store, slip, "Ada", now)
    assert play_log.get(store, play).programme_id == on


def test_what_others_took(store, now, add):
    tide, lamp = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay")
    for done in (True, True, False):
        slip = slips.start(store, "request", "Kit", now)
        slips.set_occasion(store, slip, "get well", "Kit", now)
        slips.choose(store, slip, lamp, None, "Kit", now, stand_in_for=tide)
        slips.hand_over(store, slip, "Studio 1", "Kit", now)
        if done:
            slips.played(store, slip, "Ada", now)
    assert slips.taken_instead(store, tide, 10) == {lamp: 2}
    assert slips.taken_instead(store, lamp, 10) == {}
    assert slips.chosen_for(store, "get well", 10) == {lamp: 2}
    assert slips.chosen_for(store, "birthday", 10) == {}


def test_a_recording_does_not_stand_in_for_itself(store, now, add, slip):
    tide = add("Tide", "Ann Oke")
    slips.choose(store, slip, tide, None, "Kit", now, stand_in_for=tide)
    assert slips.get(store, slip).stand_in_for is None
    slips.unchoose(store, slip, "Kit", now)
    assert slips.get(store, slip).recording_id is None


def _choose(store: Store, slip: int, who: str, now: datetime) -> None:
    slips.choose(store, slip, 1, None, who, now)


def _hand_over(store: Store, slip: int, who: str, now: datetime) -> None:
    slips.hand_over(store, slip, "Studio 1", who, now)


def _not_used(store: Store, slip: int, who: str, now: datetime) -> None:
    slips.not_used(store, slip, "no time", who, now)


WRITING, HANDED = SlipState.BEING_WRITTEN, SlipState.HANDED_OVER
STEPS = {
    # step: the states it may be taken in, and the state it leads to (None: the same)
    _choose: ({WRITING, HANDED}, None),
    slips.unchoose: ({WRITING, HANDED}, None),
    _hand_over: ({WRITING}, HANDED),
    slips.call_back: ({HANDED}, WRITING),
    slips.played: ({HANDED}, SlipState.PLAYED),
    _not_used: ({WRITING, HANDED}, SlipState.NOT_USED),
    slips.withdraw: ({WRITING, HANDED}, SlipState.WITHDRAWN),
}


def _listed(store: Store, slip: int, now: datetime) -> list[str]:
    """The lists a slip is on: of those waiting at the phone, in the studio, and done."""
    done = [*slips.done_today(store, "Studio 1", now), *slips.done_today(store, "", now)]
    lists = {"phone": slips.open_slips(store), "studio": slips.queue(store, "Studio 1")}
    lists["done"] = done
    return [name for name, held in lists.items() if slip in [s.id for s in held]]


@settings(max_examples=40, deadline=None)
@given(
    steps=st.lists(st.sampled_from(list(STEPS)), max_size=8),
    purpose=st.sampled_from(slips.PURPOSES),
    taken_back=st.lists(st.booleans(), min_size=8, max_size=8),
)
def test_a_slip_is_always_in_exactly_one_state(steps, purpose, taken_back):
    """Any steps in any order: allowed ones lead where they should, others change nothing;
    each can be taken back, and then the slip and the log are as they were."""
    now = datetime(2026, 11, 25, 19, 30)
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        with undo.action(store, "Kit", "one recording", now):
            add_recording(store, NewRecording("Tide", "Ann Oke"))
        slip = slips.start(store, purpose, "Kit", now)
        for step, back in zip(steps, taken_back, strict=False):
            before, plays = _facts(store, slip), play_log.times_played(store, [1])
            allowed, leads_to = STEPS[step]
            held = slips.get(store, slip)
            possible = held.state in allowed and not (
                step is slips.played and held.recording_id is None
                and purpose in slips.NEEDS_MUSIC
            )  # fmt: skip
            try:
                step(store, slip, "Kit", now)
            except CatalogueError:
                assert not possible
                assert _facts(store, slip) == before
            else:
                assert possible
                assert slips.get(store, slip).state is (leads_to or held.state)
                assert slips.get(store, slip).version > held.version
                if back:
                    undo.take_back(store, undo.recent(store)[0].id, "Kit", now)
                    assert _facts(store, slip) == before
                    assert play_log.times_played(store, [1]) == plays
            assert len(_listed(store, slip, now)) == 1
        store.close()


def _facts(store: Store, slip: int) -> tuple[object, ...]:
    """The row, but for its version, which only ever rises."""
    (row,) = store.rows("SELECT * FROM slips WHERE id = ?", (slip,))
    return tuple(value for name, value in row.items() if name != "version")
