"""The pages of the stock-take: ticks, marks typed and scanned, two people, the end, its report."""

from __future__ import annotations

import re
from typing import Any

import pytest

from catalogue import catalogue_rows, filing, loans, stocktake, undo
from catalogue.records import Carrier, NewDisc
from catalogue.store import Store

from .conftest import EVENING, Clock, Desk, Held

BASE = "/shelves/stock-take"


@pytest.fixture
def discs(store: Store) -> dict[str, int]:
    """A shelf of its own: P 1 to P 9."""
    with undo.action(store, "Charlie", "took in", EVENING):
        return {
            f"P {n}": catalogue_rows.shelve_disc(
                store, NewDisc(Carrier.LP, f"P {n}", f"Tides {n}", "Main shelves")
            )
            for n in range(1, 10)
        }


@pytest.fixture
def walk(phone: Desk, discs: dict[str, int]) -> str:
    """A walk begun by whoever answers the telephone."""
    form = {"shelf": "mark:P", "carrier": "", "from": "", "to": ""}
    return str(phone.send(BASE, **form).headers["HX-Redirect"])


def _text(desk: Desk, path: str) -> str:
    return re.sub(r"\s+", " ", desk.get(path).get_data(as_text=True))


def _see(desk: Desk, walk: str, **form: Any) -> Any:
    answer = desk.send(f"{walk}/seen", **form)
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return answer.get_json()


def _is_missing(store: Store, number: int) -> bool:
    return catalogue_rows.disc(store, number).missing


def test_anybody_walks_and_the_librarian_finishes(
    phone: Desk, shelves: Desk, store: Store, discs: dict[str, int], walk: str
) -> None:
    for mark in ("P 1", "P 2", "P 4"):
        _see(phone, walk, key=mark, disc=discs[mark])
    assert "3 of 9 here" in _text(phone, BASE)
    assert "A librarian finishes the walk" in _text(phone, f"{walk}/finish")
    assert phone.send(f"{walk}/finish", number="3", end="").status_code == 403
    assert phone.send(f"{walk}/give-up").status_code == 403

    page = _text(shelves, f"{walk}/finish")
    assert "To be marked missing <small>1</small>" in page
    assert "5 were not walked" in page
    form = {"number": stocktake.number(store, 1), "end": "P 4", "missing": discs["P 3"]}
    assert shelves.send(f"{walk}/finish", **form).headers["HX-Redirect"] == f"{walk}/report"
    assert _is_missing(store, discs["P 3"])
    report = _text(shelves, f"{walk}/report")
    assert "Written as one action" in report
    assert "Marked missing <small>1</small>" in report
    assert "<strong>P 3</strong>" in report
    assert shelves.get(walk).headers["Location"] == f"{walk}/report"
    assert shelves.get(f"{walk}/finish").headers["Location"] == walk

    finished = undo.recent(store, 1)[0]
    shelves.send(f"/shelves/actions/{finished.id}/take-back")
    assert not _is_missing(store, discs["P 3"])
    assert "3 of 9 here" in _text(shelves, walk)
    assert shelves.get(f"{walk}/report").headers["Location"] == walk


def test_a_mark_is_typed_or_scanned(
    phone: Desk, store: Store, discs: dict[str, int], held: Held, walk: str
) -> None:
    answer = _see(phone, walk, key="a", mark="lp p-1")
    assert answer["said"] == "P 1 is here."
    assert answer["rows"] == {str(discs["P 1"]): {"keys": ["a"], "by": ""}}
    assert _see(phone, walk, key="b", mark="P 1")["said"] == "P 1 was ticked already."
    said = _see(phone, walk, key="c", mark="P 9")["said"]
    assert said == "P 9 is here, but out of its order: it belongs by P 8."
    answer = _see(phone, walk, key="d", mark="C 114")
    assert answer["said"] == "LP C 114 is misplaced: it belongs at C 114."
    assert "belongs at C 114" in answer["elsewhere"]
    answer = _see(phone, walk, key="e", mark="X 99")
    assert answer["said"].startswith("X 99 is not in the catalogue.")
    assert answer["count"] == "2 of 9 here, 1 misplaced, 1 not known"
    phone.send(f"{walk}/about", key="e", about="a box of sea shanties")
    page = _text(phone, walk)
    assert 'value="a box of sea shanties"' in page
    phone.send(f"{walk}/not-seen", keys="e")
    assert "sea shanties" not in _text(phone, walk)


def test_what_is_noted_as_out_or_missing_and_turns_up_is_said(
    phone: Desk, shelves: Desk, store: Store, discs: dict[str, int], walk: str
) -> None:
    loans.lend(store, discs["P 2"], "Walter", None, "Charlie", EVENING)
    with undo.action(store, "Charlie", "lost", EVENING):
        catalogue_rows.change_disc(store, discs["P 3"], missing=1)
    page = _text(phone, walk)
    assert "out to Walter since today" in page
    assert "noted as missing" in page
    assert "noted as out to Walter" in _see(phone, walk, key="a", mark="P 2")["said"]
    assert "was noted as missing" in _see(phone, walk, key="b", mark="P 3")["said"]
    number = stocktake.number(store, 1)
    shelves.send(f"{walk}/finish", number=number, end="")
    assert loans.out(store).get(discs["P 2"]) is None
    assert not _is_missing(store, discs["P 3"])
    # P 1 was passed over, and its tick taken away on the page: it is not marked.
    assert not _is_missing(store, discs["P 1"])
    assert "Passed over, not marked missing" in _text(shelves, f"{walk}/report")


def test_two_see_each_others_ticks(
    phone: Desk, shelves: Desk, discs: dict[str, int], walk: str, clock: Clock
) -> None:
    first = _see(phone, walk, key="a", disc=discs["P 1"])
    known = first["number"]
    assert shelves.get(f"{walk}/since?since={known}").status_code == 204
    _see(shelves, walk, key="b", disc=discs["P 2"])
    answer = phone.get(f"{walk}/since?since={known}").get_json()
    assert answer["rows"] == {str(discs["P 2"]): {"keys": ["b"], "by": "ticked by Charlie"}}
    assert answer["count"] == "2 of 9 here"
    # The same tick sent twice, by a telephone that heard no answer.
    assert _see(phone, walk, key="a", disc=discs["P 1"])["count"] == "2 of 9 here"


def test_finished_meanwhile_is_told_and_a_late_tick_is_not_lost(
    phone: Desk, shelves: Desk, store: Store, discs: dict[str, int], walk: str
) -> None:
    known = _see(phone, walk, key="a", disc=discs["P 3"])["number"]
    stale = shelves.send(f"{walk}/finish", number="0", end="")
    assert stale.status_code == 409
    form = {"number": known, "end": "", "missing": [discs["P 1"], discs["P 2"]]}
    shelves.send(f"{walk}/finish", **form)
    assert _is_missing(store, discs["P 2"])
    answer = _see(phone, walk, key="late", disc=discs["P 2"])
    assert answer["over"].startswith("Charlie finished this walk.")
    assert not _is_missing(store, discs["P 2"])
    assert "could not send it before: LP P 2." in _text(shelves, f"{walk}/report")
    refused = phone.send(f"{walk}/not-seen", keys="late")
    assert (refused.status_code, "Charlie" in refused.get_json()["refused"]) == (409, True)


def test_without_scripts_a_row_is_ticked_and_ticked_back(
    phone: Desk, discs: dict[str, int], walk: str
) -> None:
    for pressed in ("true", "false"):
        answer = phone.send(f"{walk}/seen", page=True, disc=discs["P 1"])
        assert answer.headers["Location"] == walk
        row = re.search(rf'value="{discs["P 1"]}" aria-pressed="(\w+)"', _text(phone, walk))
        assert row and row.group(1) == pressed


def test_bad_input_is_told_and_nothing_is_noted(phone: Desk, store: Store, walk: str) -> None:
    for form in (
        {"shelf": "mark:Q"}, {"shelf": "row:3"}, {"shelf": ""}, {"shelf": "mark:P", "carrier": "x"},
        {"shelf": "mark:P", "from": "P 9", "to": "P 1"},
    ):  # fmt: skip
        answer = phone.send(BASE, **form)
        assert answer.status_code == 400, form
        assert 'class="problem"' in answer.get_data(as_text=True)
    for address, form in (
        ("seen", {"key": "a"}), ("seen", {"key": "a", "disc": "999"}),
        ("about", {"key": "nobody's", "about": "x"}), ("seen", {"key": "a", "disc": "one"}),
    ):  # fmt: skip
        answer = phone.send(f"{walk}/{address}", **form)
        assert answer.status_code in (400, 404), form
        assert answer.get_json()["refused"]
    assert phone.get(f"{walk}/finish?end=Z+9").status_code == 404
    assert "Nothing was ticked yet." in _text(phone, f"{walk}/finish")
    for path in ("", "/since", "/finish", "/report"):
        assert phone.get(f"{BASE}/999{path}").status_code == 404
    assert stocktake.finds(store, 1) == []


def test_given_up_it_is_gone_from_the_list(phone: Desk, shelves: Desk, walk: str) -> None:
    shelves.send(f"{walk}/give-up")
    assert "Being walked" not in _text(phone, BASE)
    assert phone.get(walk).status_code == 409
    assert phone.send(f"{walk}/seen", key="a", mark="P 1").status_code == 409


def test_a_long_shelf_comes_in_pieces_and_opens_where_it_was_left(
    phone: Desk, store: Store, discs: dict[str, int], walk: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("web.stock_view.PIECE", 4)
    page = _text(phone, walk)
    assert "P 1 to P 4" in page
    assert "Tides 5" not in page
    _see(phone, walk, key="a", disc=discs["P 6"])
    page = _text(phone, walk)
    assert "Tides 5" in page and "Tides 9" not in page
    assert f'data-next="{discs["P 7"]}"' in page
    assert "Tides 9" in _text(phone, f"{walk}?piece=99")
    assert "Tides 1" in _text(phone, f"{walk}?piece=1")


def test_only_the_walk_may_use_the_camera(phone: Desk, walk: str) -> None:
    assert phone.get(walk).headers["Permissions-Policy"] == "camera=(self)"
    for path in (BASE, f"{walk}/finish", "/shelves", "/phone/fresh"):
        assert "camera=()" in phone.get(path).headers["Permissions-Policy"]


def test_a_shelf_by_room_goes_by_the_rooms_rules_and_a_disc_may_stay(
    phone: Desk, shelves: Desk, store: Store, discs: dict[str, int], held: Held
) -> None:
    filing.keep(store, "room", "Main shelves", filing.ALA_1968, "Charlie", EVENING)
    walk = str(phone.send(BASE, shelf="room:Main shelves").headers["HX-Redirect"])
    answer = _see(phone, walk, key="a", mark="C 114")
    assert "Let it stay here" in answer["elsewhere"]
    answer = phone.send(f"{walk}/about", key="a", stays="yes").get_json()
    assert "It stays here now." in answer["elsewhere"]
    shelves.send(f"{walk}/finish", number=answer["number"], end="")
    assert catalogue_rows.disc(store, held.discs["lp"]).place == "Main shelves"
    assert "Entered here from elsewhere" in _text(shelves, f"{walk}/report")
