"""The round: a stack of paper slips typed in, doubtful ones left, one hand-over for all."""

import pytest

from catalogue import callers, places, programmes, rounds
from catalogue import request_slips as slips
from catalogue.errors import BadInput, NotFound
from catalogue.request_slips import SlipState
from catalogue.rounds import RoundRow


@pytest.fixture
def round_id(store, now):
    return rounds.start(store, "Kit", now)


def _row(**fields):
    details = {"caller_name": fields.pop("name", "Elsie"), "heard": fields.pop("heard", "tide")}
    return RoundRow(details=details, **fields)


def test_ten_slips_are_typed_and_handed_over_in_one_go(store, now, add, round_id):
    tide = add("Tide", "Ann Oke")
    ward = places.add(store, "Ward 2", "", False, "Dora", now)
    for n in range(10):
        row = RoundRow(
            collector="Walter",
            occasion="birthday",
            details={"caller_name": f"Elsie {n}", "place_id": ward, "consent": "yes"},
        )
        slip = rounds.keep_row(store, round_id, f"{n:024x}", row, "Kit", now)
        if n not in (3, 7):
            slips.choose(store, slip, tide, None, "Kit", now)
    done = rounds.hand_over(store, round_id, "Studio 1", "Kit", now)
    assert done.handed == 8 and [callers.of(store, s.id).caller_name for s in done.left] == [
        "Elsie 3", "Elsie 7",
    ]  # fmt: skip
    queue = slips.queue(store, "Studio 1")
    assert len(queue) == 8 and {s.came_by for s in queue} == {"round"}
    assert rounds.get(store, round_id).handed_at is None
    assert [r.id for r in rounds.not_done(store)] == [round_id]
    for slip in done.left:
        slips.choose(store, slip.id, tide, None, "Kit", now)
    assert rounds.hand_over(store, round_id, "Studio 1", "Kit", now).left == ()
    assert rounds.get(store, round_id).handed_at and rounds.not_done(store) == []


def test_who_collected_it_asked_for_the_consent(store, now, round_id):
    row = RoundRow(collector="Walter", details={"caller_name": "Elsie", "consent": "yes"})
    slip = rounds.keep_row(store, round_id, f"{1:024x}", row, "Kit", now)
    assert callers.of(store, slip).consent_noted_by == "Walter"


def test_a_row_sent_twice_is_one_slip_as_last_typed(store, now, round_id):
    first = rounds.keep_row(store, round_id, f"{1:024x}", _row(), "Kit", now)
    again = rounds.keep_row(store, round_id, f"{1:024x}", _row(name="Elspeth"), "Kit", now)
    assert first == again and callers.of(store, first).caller_name == "Elspeth"
    assert len(rounds.slips_of(store, round_id)) == 1


def test_a_bad_row_leaves_nothing_behind(store, now, round_id):
    with pytest.raises(BadInput):
        rounds.keep_row(store, round_id, f"{1:024x}", _row(occasion="no such"), "Kit", now)
    with pytest.raises(BadInput, match="no key"):
        rounds.keep_row(store, round_id, "x", _row(), "Kit", now)
    with pytest.raises(NotFound):
        rounds.keep_row(store, 99, f"{1:024x}", _row(), "Kit", now)
    assert rounds.slips_of(store, round_id) == []
    assert store.rows("SELECT 1 FROM caller_details") == []


def test_slips_of_a_round_do_not_crowd_the_phone_desk(store, now, round_id):
    slip = rounds.keep_row(store, round_id, f"{1:024x}", _row(), "Kit", now)
    assert slips.open_slips(store) == []
    assert slips.get(store, slip).state is SlipState.BEING_WRITTEN


def test_a_round_is_for_a_programme_and_several_requests_are_one_person_s(store, now, round_id):
    show = programmes.add(store, "Sunday", "", now, now.replace(hour=23), "Dora", now)
    first = rounds.keep_row(store, round_id, f"{1:024x}", _row(programme_id=show), "Kit", now)
    second = rounds.keep_row(
        store,
        round_id,
        f"{2:024x}",
        _row(programme_id=show, same_person_as=first),
        "Kit",
        now,
    )
    assert slips.get(store, first).programme_id == show
    assert slips.get(store, second).call == first


def test_a_round_has_an_end(store, now, round_id, monkeypatch):
    monkeypatch.setattr(rounds, "LARGEST", 2)
    for n in range(2):
        rounds.keep_row(store, round_id, f"{n:024x}", _row(), "Kit", now)
    with pytest.raises(BadInput, match="at most 2 slips"):
        rounds.keep_row(store, round_id, f"{2:024x}", _row(), "Kit", now)


def test_one_play_meets_every_request_for_it(store, now, add, round_id):
    tide, mud = add("Tide", "Ann Oke"), add("Mud", "Ann Oke")
    made = []
    for n, record in enumerate((tide, tide, mud)):
        slip = rounds.keep_row(store, round_id, f"{n:024x}", _row(), "Kit", now)
        slips.choose(store, slip, record, None, "Kit", now)
        made.append(slip)
    rounds.hand_over(store, round_id, "Studio 1", "Kit", now)
    with pytest.raises(BadInput, match="another record"):
        slips.played(store, made[0], "Ada", now, also=[made[2]])
    assert slips.get(store, made[0]).state is SlipState.HANDED_OVER
    play = slips.played(store, made[0], "Ada", now, also=[made[1]])
    assert {slips.get(store, n).play_id for n in made[:2]} == {play}
    assert len(store.rows("SELECT 1 FROM plays")) == 1
    assert [s.id for s in slips.queue(store, "Studio 1")] == [made[2]]
