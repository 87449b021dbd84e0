"""The round's sheet: rows sent as they are left, doubt, and one hand-over."""

from __future__ import annotations

import re
from datetime import timedelta

from catalogue import callers, programmes, request_slips, rounds, slip_days
from catalogue.request_slips import SlipState
from catalogue.slip_days import Standing
from catalogue.store import Store

from .conftest import EVENING, Desk, Held


def _send(phone: Desk, n: int, heard: str, **fields: str) -> str:
    form = {"key": f"{n:024x}", "heard": heard, "came_by": "round", "asked_by": "", **fields}
    answer = phone.send("/round/rows", **form)
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return " ".join(answer.get_data(as_text=True).split())


def _round_of(answer: str) -> str:
    found = re.search(r'data-round="(\d+)"', answer)
    assert found
    return found[1]


def test_a_sure_row_is_filled_in_and_a_doubtful_one_is_left(
    store: Store, held: Held, phone: Desk
) -> None:
    sure = _send(phone, 1, "quay street waltz by marsha herron", caller_name="Elsie")
    assert 'data-state="found"' in sure and "Quay Street Waltz" in sure and "ready" in sure
    number = _round_of(sure)
    doubtful = _send(phone, 2, "something about a lamp", round=number)
    assert 'data-state="doubtful"' in doubtful and "Look again:" in doubtful
    handed = phone.send("/round/hand-over", page=True, round=number, studio="Studio 1")
    assert handed.status_code == 303
    page = phone.get(f"/round?round={number}").get_data(as_text=True)
    assert "One slip is with the studio." in page and "It is still here." in page
    (slip,) = request_slips.queue(store, "Studio 1")
    assert slip.recording_id == held.recordings["waltz"]
    assert [s.came_by for s in request_slips.queue(store, "Studio 1")] == ["round"]


def test_on_loan_is_not_put_on_the_row_by_itself(store: Store, held: Held, phone: Desk) -> None:
    answer = _send(phone, 1, "the long jetty by hector pike")
    assert 'data-state="doubtful"' in answer and "The Long Jetty" in answer


def test_a_choice_is_put_on_taken_off_and_not_put_on_again(
    store: Store, held: Held, phone: Desk
) -> None:
    answer = _send(phone, 1, "quay street waltz by marsha herron")
    slip = rounds.slips_of(store, int(_round_of(answer)))[0]
    off = phone.send("/round/unchoose", slip=slip.id).get_data(as_text=True)
    assert 'data-state="doubtful"' in off
    assert request_slips.get(store, slip.id).recording_id is None
    phone.send("/round/choose", slip=slip.id, recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"])  # fmt: skip
    assert request_slips.get(store, slip.id).recording_id == held.recordings["lantern"]


def test_other_words_in_a_row_are_looked_up_anew(store: Store, held: Held, phone: Desk) -> None:
    number = _round_of(_send(phone, 1, "quay street waltz by marsha herron"))
    again = _send(phone, 1, "grey heron standing by ada sluice", round=number)
    assert "Grey Heron Standing" in again
    (slip,) = rounds.slips_of(store, int(number))
    assert slip.recording_id == held.recordings["heron"]
    same = _send(phone, 1, "grey heron standing by ada sluice", round=number, caller_name="Olwen")
    assert "Grey Heron Standing" in same
    assert callers.of(store, slip.id).caller_name == "Olwen"  # type: ignore[union-attr]


def test_what_stays_from_row_to_row_is_on_the_slip(store: Store, phone: Desk) -> None:
    show = programmes.add(
        store, "Sunday", "", EVENING + timedelta(days=2), EVENING + timedelta(days=2, hours=1),
        "Dora", EVENING,
    )  # fmt: skip
    answer = _send(
        phone, 1, "grey heron standing", place_id="2", collector="Walter", programme=str(show),
        consent="yes", asked_by="relative", under_sixteen="yes", same_as="",
    )  # fmt: skip
    number = _round_of(answer)
    _send(phone, 2, "quay street waltz", round=number, same_as="000000000000000000000001")
    first, second = rounds.slips_of(store, int(number))
    details = callers.of(store, first.id)
    assert details is not None
    assert (details.place_id, details.consent_noted_by, details.under_sixteen) == (
        2, "Walter", True,
    )  # fmt: skip
    assert (first.programme_id, first.asked_by) == (show, "relative")
    assert second.call == first.id
    assert slip_days.standing(store, first, EVENING) is Standing.LATER


def test_bad_rows_say_so_and_leave_nothing(store: Store, phone: Desk) -> None:
    for fields in (
        {"key": "x"}, {"day": "tomorrow"}, {"place_id": "99"}, {"came_by": "pigeon"},
        {"programme": "99"}, {"consent": "perhaps"}, {"occasion": "tea"}, {"day": "2001-01-01"},
    ):  # fmt: skip
        form = {"key": "000000000000000000000001", "heard": "tide", "came_by": "round", **fields}
        answer = phone.send("/round/rows", **form)
        assert answer.status_code in (400, 404), fields
        assert "Traceback" not in answer.get_data(as_text=True)
    assert store.rows("SELECT 1 FROM slips") == store.rows("SELECT 1 FROM rounds") == []


def test_a_row_typed_by_mistake_is_taken_away(store: Store, phone: Desk) -> None:
    number = _round_of(_send(phone, 1, "grey heron standing"))
    (slip,) = rounds.slips_of(store, int(number))
    assert "is taken away" in phone.send("/round/remove", slip=slip.id).get_data(as_text=True)
    assert request_slips.get(store, slip.id).state is SlipState.WITHDRAWN
    assert rounds.slips_of(store, int(number)) == []


def test_the_sheet_comes_back_as_it_was_left(store: Store, phone: Desk) -> None:
    _send(phone, 1, "something about a lamp", caller_name="Percy", place_id="1")
    page = phone.get("/round").get_data(as_text=True)
    assert 'value="something about a lamp"' in page and 'value="Percy"' in page
    assert 'data-key="000000000000000000000001"' in page
    assert 'value="something' not in phone.get("/round/fresh").get_data(as_text=True)


def test_blank_slips_are_four_to_a_sheet(phone: Desk) -> None:
    assert phone.get("/round/blank").get_data(as_text=True).count("small-slip") == 4


def test_a_call_may_be_for_another_day_too(store: Store, phone: Desk) -> None:
    phone.send("/phone/details", sheet="a sheet", caller_name="Maureen")
    (slip,) = request_slips.open_slips(store)
    tomorrow = (EVENING + timedelta(days=1)).date().isoformat()
    said = phone.send("/phone/when", slip=slip.id, day=tomorrow).get_data(as_text=True)
    assert "For 8 May" in said
    assert slip_days.standing(store, request_slips.get(store, slip.id), EVENING) is Standing.LATER
    said = phone.send("/phone/when", slip=slip.id, day="").get_data(as_text=True)
    assert "For today" in said
    assert request_slips.get(store, slip.id).wanted_on is None
    assert phone.send("/phone/when", slip=slip.id, day="soon").status_code == 400


def test_two_at_one_row_the_second_is_told(store: Store, held: Held, phone: Desk) -> None:
    answer = _send(phone, 1, "something about a lamp")
    slip = rounds.slips_of(store, int(_round_of(answer)))[0]
    first = {"slip": slip.id, "version": slip.version, "recording_id": held.recordings["lantern"]}
    assert phone.send("/round/choose", **first).status_code == 200
    second = {**first, "recording_id": held.recordings["waltz"]}
    told = phone.send("/round/choose", **second)
    assert told.status_code == 409
    assert "Somebody else changed slip" in told.get_data(as_text=True)
    assert request_slips.get(store, slip.id).recording_id == held.recordings["lantern"]
