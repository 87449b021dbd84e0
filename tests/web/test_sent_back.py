"""A slip that cannot go out comes back to the phone desk, visibly and with the reason."""

from __future__ import annotations

import pytest

from catalogue import catalogue_rows, request_slips, sent_back, undo
from catalogue.request_slips import SlipState
from catalogue.store import Store

from .conftest import Clock, Desk, Held


@pytest.fixture
def slip(phone: Desk, held: Held) -> int:
    phone.send("/phone/details", sheet="one", caller_name="Maureen Tolley", ring_back="960123")
    phone.send("/phone/choose", slip=1, recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"])  # fmt: skip
    phone.send("/phone/hand-over", slip=1, studio="Studio 1")
    return 1


def _text(desk: Desk, path: str) -> str:
    return desk.get(path).get_data(as_text=True)


def test_the_studio_sends_it_back_and_every_phone_desk_is_told(
    studio: Desk, phone: Desk, store: Store, held: Held, slip: int
) -> None:
    done = studio.send("/studio/send-back", page=True, slip=slip, why="not found in its place",
                       studio="Studio 1")  # fmt: skip
    assert done.status_code == 303
    page = _text(studio, "/studio")
    assert "No slip is waiting" in page
    assert "back at the phone desk: not found in its place" in page
    strip = _text(phone, "/phone/strip")
    assert (
        "Slip 1, Maureen Tolley, came back from Studio 1 at 19:40: “Lantern on the Quay” was not "
        "found in its place. Find something else" in strip
    )
    assert "Open slip 1" in strip
    assert catalogue_rows.holding(store, held.copies["lantern"]).missing
    opened = _text(phone, "/phone/slips/1")
    assert "was not found in its place" in opened and "No record on the slip yet" in opened
    assert "Maureen Tolley" in opened

    studio.send("/studio/take-back", page=True, slip=slip, studio="Studio 1")
    assert request_slips.get(store, slip).state is SlipState.HANDED_OVER
    assert "came back" not in _text(phone, "/phone/strip")


def test_a_reason_must_be_said(studio: Desk, store: Store, slip: int) -> None:
    answer = studio.send("/studio/send-back", page=True, slip=slip, why="", studio="Studio 1")
    assert answer.status_code == 400
    assert "Say why it comes back" in answer.get_data(as_text=True)
    assert request_slips.get(store, slip).state is SlipState.HANDED_OVER


def test_not_used_is_told_for_a_while_and_can_be_taken_up_again(
    studio: Desk, phone: Desk, store: Store, slip: int, clock: Clock
) -> None:
    studio.send("/studio/not-used", page=True, slip=slip, why="no time", studio="Studio 1")
    words = "Slip 1, Maureen Tolley, was not used in Studio 1, 19:40: no time."
    assert words in _text(phone, "/phone/strip")
    assert "Take it up again" in _text(phone, "/phone/slips/1")
    clock.on(minutes=16)
    assert words not in _text(phone, "/phone/strip")
    phone.send("/phone/take-up-again", slip=slip)
    assert request_slips.get(store, slip).state is SlipState.BEING_WRITTEN
    assert "960123" in _text(phone, "/phone/slips/1")


def test_what_is_to_be_fetched_has_places_and_no_caller(
    shelves: Desk, phone: Desk, held: Held, slip: int
) -> None:
    phone.send("/phone/choose", sheet="two", recording_id=held.recordings["waltz"],
               holding_id=held.copies["waltz"])  # fmt: skip
    page = _text(shelves, "/shelves/fetch")
    for words in ("C 114", "side 2, track 3", "Lantern on the Quay", "for Studio 1"):
        assert words in page
    # A file need not be fetched, and who asked is nobody's business there.
    assert "Quay Street Waltz" not in page and "Maureen" not in page and "960123" not in page


def test_the_shelves_send_a_slip_back(
    shelves: Desk, phone: Desk, store: Store, held: Held, slip: int
) -> None:
    answer = shelves.send(f"/shelves/fetch/{slip}/send-back", page=True,
                          why="not found in its place")  # fmt: skip
    assert answer.status_code == 303
    page = _text(shelves, "/shelves/fetch")
    assert "LP C 114, side 2, track 3 is marked missing." in page
    assert "Nothing is to be fetched" in page
    assert "came back from Studio 1" in _text(phone, "/phone/strip")
    again = shelves.send(f"/shelves/fetch/{slip}/send-back", page=True,
                         why="not found in its place")  # fmt: skip
    assert again.status_code == 409


def test_from_the_shelves_while_the_call_is_still_being_taken(
    shelves: Desk, phone: Desk, store: Store, held: Held
) -> None:
    phone.send("/phone/choose", sheet="one", recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"])  # fmt: skip
    assert "the call is still being taken" in _text(shelves, "/shelves/fetch")
    shelves.send("/shelves/fetch/1/send-back", page=True, why="would not play")
    assert "came back from the shelves at 19:40: “Lantern on the Quay” would not play." in _text(
        phone, "/phone/strip"
    )
    assert not catalogue_rows.holding(store, held.copies["lantern"]).missing


@pytest.mark.parametrize("why", ["", "no time", "Maureen"])
def test_the_shelves_say_only_what_they_can_see(shelves: Desk, slip: int, why: str) -> None:
    assert shelves.send(f"/shelves/fetch/{slip}/send-back", page=True, why=why).status_code == 400


def test_a_copy_is_marked_missing_and_found_again_on_its_page(
    shelves: Desk, store: Store, held: Held
) -> None:
    copy, record = held.copies["lantern"], held.recordings["lantern"]
    shelves.send(f"/shelves/copies/{copy}/missing", page=True, missing="yes")
    assert catalogue_rows.holding(store, copy).missing
    page = _text(shelves, f"/shelves/recordings/{record}")
    assert "is marked missing." in page and "It is there again" in page
    shelves.send(f"/shelves/copies/{copy}/missing", page=True, missing="no")
    assert not catalogue_rows.holding(store, copy).missing
    assert undo.history(store, "discs", held.discs["lp"])


def test_a_child_is_in_plain_sight_whatever_the_consent(
    studio: Desk, phone: Desk, held: Held
) -> None:
    for consent in ("", "yes", "first name only", "no"):
        for adult in ("", "her mother"):
            phone.send("/phone/details", sheet=f"s{consent}{adult}", caller_name="Tilly",
                       consent=consent, under_sixteen="yes", adult_consent=adult)  # fmt: skip
    for number in range(1, 9):
        phone.send("/phone/hand-over", slip=number, studio="Studio 1", all_the_same="no record")
        page = _text(studio, "/studio")
        card = page.split(f'id="slip-{number}"')[1].split("</article>")[0]
        assert '<strong class="young">Under sixteen</strong>' in card
        agreed = "agreed by her mother" in card
        assert agreed or "no grown-up has agreed" in card


def test_a_stand_in_is_said_to_be_one(studio: Desk, phone: Desk, held: Held) -> None:
    phone.send("/phone/details", sheet="one", caller_name="Maureen")
    phone.send("/phone/choose", slip=1, recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"],
               stand_in_for=held.recordings["jetty"])  # fmt: skip
    phone.send("/phone/hand-over", slip=1, studio="Studio 1")
    words = (
        "Asked for: “The Long Jetty” by Hector Pike. Agreed instead: “Lantern on the Quay” by "
        "Marsha Herron."
    )
    assert words in _text(studio, "/studio")
    assert words in _text(studio, "/studio/print")


def test_what_was_not_found_was_not_found_for_everybody_who_asked_for_it(
    studio: Desk, phone: Desk, store: Store, held: Held, slip: int
) -> None:
    before = _text(studio, "/studio").split('id="slip-1" data-version="')[1].split('"')[0]
    phone.send("/phone/details", sheet="two", caller_name="Stan")
    phone.send("/phone/choose", slip=2, recording_id=held.recordings["lantern"],
               holding_id=held.copies["lantern"])  # fmt: skip
    phone.send("/phone/hand-over", slip=2, studio="Studio 1")
    page = _text(studio, "/studio")
    # One card for both; that somebody joined it is told to the page that shows it already.
    assert page.count("<article") == 1 and "Stan" in page
    assert page.split('id="slip-1" data-version="')[1].split('"')[0] != before

    studio.send("/studio/send-back", page=True, slip=slip, also="2", studio="Studio 1",
                why="not found in its place")  # fmt: skip
    assert "No slip is waiting" in _text(studio, "/studio")
    assert [s.id for s in sent_back.waiting(store)] == [2, 1]
