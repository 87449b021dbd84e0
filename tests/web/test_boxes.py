"""A donated box at the desk: told at once, kept or declined, gone on with, printed."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape

import pytest

from catalogue import catalogue_rows, donated_boxes, donors, staff, undo, wants
from catalogue.donated_boxes import Decision
from catalogue.store import Store

from .conftest import EVENING, PASSPHRASE, Desk, Held

ROW = {"key": "a" * 24, "artist": "Bo Quay", "title": "Far Tide", "carrier": "LP",
       "condition": "good", "number": "", "tracks": "", "decision": "kept"}  # fmt: skip


def _words(answer: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer)))


@pytest.fixture
def box(shelves: Desk) -> str:
    answer = shelves.send("/shelves/boxes", number="12", donor="Perpetua")
    return answer.headers["HX-Redirect"]


def _send(desk: Desk, box: str, **more: object) -> str:
    answer = desk.send(f"{box}/rows", **{**ROW, **more})
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return _words(answer.get_data(as_text=True))


def _look(desk: Desk, **more: object) -> str:
    return _words(desk.send("/shelves/discs/look", **{**ROW, **more}).get_data(as_text=True))


def test_a_row_says_at_once_what_it_is_to_us(shelves: Desk, store: Store, box: str) -> None:
    for _ in range(4):
        wants.add(store, "Farr Tied", "Bo Quay", None, "Dora", EVENING)
    assert "Wanted, not held. Asked for 4 times." in _look(shelves)
    assert "Not held." in _look(shelves, title="Best of Bo Quay")
    assert "By this artist “Farr Tied” was asked for 4 times." in _look(
        shelves, title="Best of Bo Quay"
    )
    assert "“Far Tide” on it was asked for 4 times." in _look(
        shelves, title="Best of Bo Quay", tracks="Ebb\nFar Tide"
    )
    single = {"carrier": "45", "title": "Lantern on the Key", "artist": "Marsha Heron"}
    assert "Held already; one of the two was not looked at. LP C 114" in _look(shelves, **single)
    assert "Held already as a file." in _look(
        shelves, carrier="78", title="Quay Street Walz", artist="Marsha Herron"
    )


def test_kept_and_declined_are_on_the_list_and_what_was_wanted_has_come(
    shelves: Desk, store: Store, box: str
) -> None:
    for _ in range(4):
        wants.add(store, "Farr Tied", "Bo Quay", None, "Dora", EVENING)
    said = _send(shelves, box)
    assert "Number 1, “Far Tide”: Kept. It is LP Box 12-1. One disc: 1 kept, 0 declined." in said
    said = _send(shelves, box, key="b" * 24, title="Ebb", decision="declined")
    assert "Declined. Not held." in said
    (row, _) = (donated_boxes.rows_of(store, 1)[1], 0)
    disc = catalogue_rows.disc(store, row.disc_id or 0)
    assert (disc.shelf_mark, disc.place) == ("Box 12-1", "to be shelved")
    came = _words(shelves.get("/shelves/wants").get_data(as_text=True))
    assert "Box 12-1" in came and "Waited" in came or "waited" in came
    paper = _words(shelves.get(f"{box}/print").get_data(as_text=True))
    assert (
        paper.index("Kept") < paper.index("Far Tide") < paper.index("Declined") < paper.index("Ebb")
    )
    assert "given by Perpetua" in paper and "Shred this list" in paper


def test_sent_twice_is_one_row_and_a_second_copy_is_held(
    shelves: Desk, store: Store, box: str
) -> None:
    _send(shelves, box)
    assert "One disc" in _send(shelves, box)
    assert "Held already, in the same state. LP Box 12-1" in _look(shelves)


def test_broken_off_and_gone_on_with_by_somebody_else(
    shelves: Desk, sign_in: Callable[[str], Desk], store: Store, box: str
) -> None:
    staff.add(store, "Edith", "librarian", PASSPHRASE, "Dora", EVENING)
    _send(shelves, box, decision="later")
    edith = sign_in("Edith")
    page = _words(edith.get(box).get_data(as_text=True))
    assert "Far Tide" in page and "For later." in page
    since = re.search(r'data-since="(\d+)"', edith.get(box).get_data(as_text=True))
    assert since
    assert edith.get(f"{box}/rows?since={since.group(1)}").status_code == 204
    answer = edith.send(f"{box}/rows/1/decide", decision="declined")
    assert "Declined." in _words(answer.get_data(as_text=True))
    assert shelves.get(f"{box}/rows?since={since.group(1)}").status_code == 200
    refused = shelves.send(f"{box}/rows/1/decide", decision="kept")
    assert refused.status_code == 409
    assert "Edith has decided on “Far Tide” meanwhile" in _words(refused.get_data(as_text=True))
    assert undo.recent(store, 1)[0].who == "Edith"


def test_a_decision_is_taken_back_and_a_mark_given(shelves: Desk, store: Store, box: str) -> None:
    _send(shelves, box)
    answer = shelves.send(f"{box}/rows/1/take-back")
    assert "Taken back. 0 discs" in _words(answer.get_data(as_text=True))
    assert store.rows("SELECT 1 FROM discs WHERE shelf_mark LIKE 'Box%'") == []
    _send(shelves, box, key="c" * 24)
    assert shelves.send(f"{box}/rows/2/shelve", shelf_mark="C 114").status_code == 400
    assert "LP C 300" in _words(
        shelves.send(f"{box}/rows/2/shelve", shelf_mark=" C  300").get_data(as_text=True)
    )
    (row,) = donated_boxes.rows_of(store, 1)
    assert catalogue_rows.disc(store, row.disc_id or 0).place == ""


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"title": " "}, "Write the title of the disc"),
        ({"title": "x" * 300}, "too long"),
        ({"carrier": "file"}, ""),
        ({"decision": "burnt"}, "keep, decline, or later"),
        ({"key": "x"}, "was not sent as the page sends it"),
        ({"tracks": "\n".join(f"Song {n}" for n in range(250))}, "more than 200 tracks"),
    ],
    ids=str,
)
def test_what_is_wrong_is_said_and_nothing_is_kept(
    shelves: Desk, store: Store, box: str, wrong: dict[str, object], words: str
) -> None:
    answer = shelves.send(f"{box}/rows", **{**ROW, **wrong})
    assert answer.status_code == 400
    assert words in _words(answer.get_data(as_text=True))
    assert donated_boxes.rows_of(store, 1) == []


def test_a_box_that_is_done_takes_no_more_until_it_is_gone_on_with(
    shelves: Desk, store: Store, box: str
) -> None:
    shelves.send(f"{box}/done")
    assert "done on 7 May 2024" in _words(shelves.get("/shelves/boxes").get_data(as_text=True))
    assert shelves.send(f"{box}/rows", **ROW).status_code == 409
    shelves.send(f"{box}/done")
    assert "One disc" in _send(shelves, box)
    again = shelves.send("/shelves/boxes", number="12", donor="")
    assert "There is a box 12 already" in _words(again.get_data(as_text=True))
    assert shelves.get("/shelves/boxes/99").status_code == 404


def test_who_gave_it_is_for_the_librarian_and_goes_when_it_is_emptied(
    shelves: Desk, phone: Desk, store: Store, box: str
) -> None:
    page = _words(shelves.get(box).get_data(as_text=True))
    assert "given by Perpetua" in page and "erased by itself on 6 June 2024" in page
    assert "Perpetua" not in phone.get(box).get_data(as_text=True)
    assert phone.send(f"{box}/rows", **ROW).status_code == 403
    shelves.send(f"{box}/donor", donor=" ")
    assert donors.of_box(store, 1) == donors.NOBODY


def test_a_row_keeps_what_was_said_when_it_was_decided(
    shelves: Desk, store: Store, box: str, held: Held
) -> None:
    wants.add(store, "Far Tide", "Bo Quay", None, "Dora", EVENING)
    _send(shelves, box, decision="declined")
    (row,) = donated_boxes.rows_of(store, 1)
    assert (row.found, row.asked, row.decision) == ("wanted", 1, Decision.DECLINED)
