"""The studio: what arrives, what is said of it, and what is done with it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from catalogue import callers, play_log, request_slips
from catalogue.request_slips import SlipState
from catalogue.store import Store

from .conftest import Desk, Held


@pytest.fixture
def handed(phone: Desk, held: Held) -> Callable[..., int]:
    """Write a slip and hand it over; returns its number."""

    def hand(
        record: str = "lantern", purpose: str = "request", studio: str = "Studio 1", **details: str
    ) -> int:
        sheet = f"sheet {record} {sorted(details.items())} {purpose} {studio}"
        page = phone.send("/phone/details", sheet=sheet, purpose=purpose, **details)
        found = re.search(r'name="slip" value="(\d+)"', page.get_data(as_text=True))
        assert found
        number = int(found[1])
        if record:
            phone.send("/phone/choose", slip=number, recording_id=held.recordings[record],
                       holding_id=held.copies[record])  # fmt: skip
        over = phone.send("/phone/hand-over", slip=number, studio=studio, all_the_same="no record")
        assert over.headers["HX-Redirect"] == "/phone/fresh"
        return number

    return hand


def _queue(studio: Desk, name: str = "Studio+1") -> str:
    return studio.get(f"/studio/queue?studio={name}").get_data(as_text=True)


def test_a_slip_handed_over_is_in_its_queue_and_no_other(
    studio: Desk, handed: Callable[..., int]
) -> None:
    before = re.search(r'data-number="(\d+)"', _queue(studio))
    assert before
    assert studio.get(f"/studio/queue?studio=Studio+1&since={before[1]}").status_code == 204

    handed(caller_name="Maureen Tolley", say_name="MOR-een Tolley", consent="yes", place_id="2",
           place_detail="the day room", for_whom="her sister", talk_about="the ferry")  # fmt: skip

    fresh = studio.get(f"/studio/queue?studio=Studio+1&since={before[1]}")
    page = fresh.get_data(as_text=True)
    assert fresh.status_code == 200
    for words in ("C 114", "side 2, track 3", "2:52 long", "96 beats a minute", "Maureen Tolley",
                  "say “MOR-een Tolley”", "her sister", "the ferry", "the day room",
                  "1 slip is waiting."):  # fmt: skip
        assert words in page
    assert "Maureen" not in _queue(studio, "Studio+2")


def test_a_files_place_can_be_copied(studio: Desk, handed: Callable[..., int]) -> None:
    handed("waltz")
    page = _queue(studio).replace("<wbr>", "")
    assert ">music/quay_street_waltz.flac</code>" in page
    assert 'data-copies="path-1"' in page


@pytest.mark.parametrize(
    ("details", "said", "not_said"),
    [
        ({}, "Not asked. Do not say who it is.", "say “Maureen"),
        ({"consent": "no"}, "No. Do not say who it is.", "say “Maureen"),
        ({"consent": "first name only"}, "say “Maureen”", "say “Maureen Tolley”"),
        ({"consent": "yes"}, "say “Maureen Tolley”", "Do not say who"),
        ({"consent": "yes", "under_sixteen": "yes"}, "under sixteen, and no grown-up", "say “M"),
        (
            {"consent": "yes", "under_sixteen": "yes", "adult_consent": "her mother"},
            "agreed by her mother",
            "no grown-up",
        ),
        (
            {"place_consent": "yes", "place_id": "1"},
            "You may say “Saltings House”.",
            "Do not say the",
        ),
        ({"place_consent": "yes", "place_id": "2"}, "Do not say the place on the air", "You may"),
        ({"place_consent": "no", "place_id": "1"}, "Do not say the place: the", "You may say"),
        ({"consent": "yes", "place_id": "1"}, "Not asked. Do not say the place.", "You may say"),
        (
            {"place_consent": "yes", "place_id": "1", "under_sixteen": "yes"},
            "Do not say the place",
            "You may say",
        ),
        ({"consent": "first name only"}, "say “Maureen”", "Tolley”."),
        (
            {"place_consent": "yes", "place_id": "1", "place_detail": "room 4"},
            "“Saltings House”, and no more than that",
            "You may say “room",
        ),
        ({"place_consent": "yes", "place_detail": "room 4"}, "Do not say the place", "You may say"),
    ],
)
def test_what_may_be_said_is_in_plain_words(
    studio: Desk, handed: Callable[..., int], details: dict[str, str], said: str, not_said: str
) -> None:
    handed(caller_name="Maureen Tolley", **details)
    page = _queue(studio)
    assert said in page
    assert not_said not in page


def test_played_is_logged_and_can_be_taken_back(
    studio: Desk, store: Store, held: Held, handed: Callable[..., int], clock
) -> None:
    number = handed()
    clock.on(minutes=7)
    done = studio.send("/studio/played", page=True, slip=number, studio="Studio 1")
    assert done.status_code == 303
    assert request_slips.get(store, number).state is SlipState.PLAYED
    assert [p["title"] for p in play_log.since(store, clock.at.replace(hour=0))] == [
        "Lantern on the Quay"
    ]
    page = studio.get("/studio?studio=Studio+1").get_data(as_text=True)
    assert "Slip 1: played at 19:47." in page
    assert "No slip is waiting" in page

    studio.send("/studio/take-back", page=True, slip=number, studio="Studio 1")
    assert request_slips.get(store, number).state is SlipState.HANDED_OVER
    assert play_log.since(store, clock.at.replace(hour=0)) == []
    assert "waiting again" in studio.get("/studio").get_data(as_text=True)


def test_played_twice_is_refused_in_a_sentence(studio: Desk, handed: Callable[..., int]) -> None:
    number = handed()
    studio.send("/studio/played", page=True, slip=number, studio="Studio 1")
    again = studio.send("/studio/played", page=True, slip=number, studio="Studio 1")
    assert again.status_code == 409
    assert "was played already" in again.get_data(as_text=True)


def test_a_slip_changed_since_the_studio_saw_it_is_not_marked(
    studio: Desk, store: Store, handed: Callable[..., int]
) -> None:
    number = handed()
    answer = studio.send("/studio/played", page=True, slip=number, version="1", studio="Studio 1")
    assert answer.status_code == 409
    assert request_slips.get(store, number).state is SlipState.HANDED_OVER


def test_not_used_keeps_why_from_the_list_only(
    studio: Desk, store: Store, handed: Callable[..., int]
) -> None:
    number = handed()
    odd = studio.send("/studio/not-used", page=True, slip=number, why="did not like Maureen")
    assert odd.status_code == 400
    assert request_slips.get(store, number).state is SlipState.HANDED_OVER

    studio.send("/studio/not-used", page=True, slip=number, why="no time", studio="Studio 1")
    assert request_slips.get(store, number).why_not == "no time"
    assert "not used: no time" in studio.get("/studio").get_data(as_text=True)


def test_a_conversation_needs_no_record_and_a_request_does(
    studio: Desk, handed: Callable[..., int]
) -> None:
    handed("", purpose="conversation", caller_name="Stan")
    page = _queue(studio)
    assert "It went out" in page
    handed("", purpose="request", studio="Studio 2", caller_name="Joan")
    page = _queue(studio, "Studio+2")
    assert "Call it back at the phone desk" in page
    assert "Ctrl Enter" not in page


def test_erased_details_say_so(
    studio: Desk, store: Store, handed: Callable[..., int], clock
) -> None:
    number = handed(caller_name="Maureen Tolley")
    callers.erase_now(store, number, clock())
    page = _queue(studio)
    assert "erased in time" in page
    assert "Maureen" not in page


@pytest.mark.parametrize("slip", ["", "one", "-1", "9" * 30, "999"])
def test_odd_numbers_are_refused(studio: Desk, slip: str) -> None:
    answer = studio.send("/studio/played", page=True, slip=slip)
    assert answer.status_code in (400, 404)
    assert "<h1>That did not work</h1>" in answer.get_data(as_text=True)


def test_taking_back_what_was_not_done_is_refused(studio: Desk, handed: Callable[..., int]) -> None:
    answer = studio.send("/studio/take-back", page=True, slip=handed())
    assert answer.status_code == 409
