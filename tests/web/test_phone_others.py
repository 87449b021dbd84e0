"""The phone desk asks other stations: only if the settings say so, and never to be waited for."""

from __future__ import annotations

import socket
import time
from collections.abc import Callable, Iterator

import pytest

from catalogue import settings
from catalogue.store import Store
from web import phone_others

from .conftest import EVENING, Desk
from .union_stubs import TOKEN, Stub, answer, held, stub

NOT_HERE = "chandlers daughter albie cruttenden"
SECTION = 'id="others"'


@pytest.fixture
def union() -> Iterator[Stub]:
    with stub() as told:
        yield told


@pytest.fixture
def ask_others(store: Store) -> Callable[[str], None]:
    """Let the station ask a union at an address."""

    def put(address: str) -> None:
        told = {"network_ask": "yes", "network_address": address, "network_token": TOKEN}
        for name, value in told.items():
            settings.put(store, name, value, "Dora", EVENING)

    return put


def _heard(desk: Desk, text: str) -> str:
    answer = desk.send("/phone/heard", heard=text, sheet="sheet", asked="1")
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def _others(desk: Desk, text: str = NOT_HERE) -> str:
    answer = desk.send("/phone/others", heard=text)
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def test_unless_the_settings_say_so_nothing_leaves_the_station(
    phone: Desk, store: Store, union: Stub
) -> None:
    """Neither by the page nor by asking for the part of the page; an address alone is no yes."""
    settings.put(store, "network_address", union.address, "Dora", EVENING)

    assert SECTION not in _heard(phone, NOT_HERE)
    assert "Quay Radio" not in _others(phone)
    assert union.asked == []


def test_what_is_not_here_is_asked_of_others_and_told_with_how_to_borrow_it(
    phone: Desk, store: Store, union: Stub, ask_others: Callable[[str], None]
) -> None:
    """The answer of the station itself has not waited; the part that comes later says the rest."""
    ask_others(union.address)
    settings.put(store, "network_position", "51.8, 1.1", "Dora", EVENING)

    page = _heard(phone, NOT_HERE)
    assert SECTION in page
    assert union.asked == []
    part = _others(phone)

    assert [one["heard"] for one in union.asked] == [NOT_HERE]
    assert "Held by 3 stations, nearest Quay Radio, Wharf End, about 13 km away." in part
    assert "Ask for a loan, their number 12: Write to Ann." in part
    assert "Tarred Rope" in part
    assert f"Asked with: “{NOT_HERE}”" in part


def test_others_are_not_asked_for_what_is_here_nor_for_half_a_word(
    phone: Desk, union: Stub, ask_others: Callable[[str], None]
) -> None:
    """Only where this station holds nothing, and a record was named."""
    ask_others(union.address)

    for text in ("lantern on the quay by marsha heron", "zq", "anything by xyzzyx", ""):
        assert SECTION not in _heard(phone, text)
    assert union.asked == []


def test_none_held_and_a_part_that_did_not_answer_are_said(
    phone: Desk, union: Stub, ask_others: Callable[[str], None]
) -> None:
    """An honest no, with what it does not cover."""
    ask_others(union.address)
    missing = {"shards": [1], "recordings": 250}
    union.says(answer(matches=[], stand_ins=[], missing=missing))

    part = _others(phone)

    assert "No other station holds it, as far as they say." in part
    assert "About 25 in a hundred of their recordings could not be asked." in part


def test_a_dead_union_is_said_once_and_left_alone(
    phone: Desk, ask_others: Callable[[str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The desk goes on; the next requests do not knock at the dead door again."""
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    ask_others(f"http://127.0.0.1:{port}")
    assert "do not answer" in _others(phone)

    knocks: list[object] = []
    monkeypatch.setattr(phone_others.other_stations, "ask", lambda *a: knocks.append(a))
    assert "do not answer" in _others(phone)
    assert knocks == []
    assert "Lantern on the Quay" in _heard(phone, "lantern on the quay")


def test_a_token_that_is_not_known_is_said_until_it_is_mended(
    phone: Desk, ask_others: Callable[[str], None], union: Stub
) -> None:
    """Who answers the phone cannot mend it, and is told who can; then it goes on at once."""
    ask_others(union.address)
    union.status = 401
    assert "Go on without it, and tell the keeper" in _others(phone)
    assert "does not know this station’s token" in _others(phone)
    union.status = 200
    assert "Other stations hold it" in _others(phone)


def test_a_slow_union_takes_no_more_than_its_time(
    phone: Desk,
    union: Stub,
    ask_others: Callable[[str], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It is hung up on, and the desk says that nothing came."""
    ask_others(union.address)
    union.drip_s = 0.2
    whole = phone_others.other_stations.ask
    monkeypatch.setattr(phone_others.other_stations, "ask", lambda u, h: whole(u, h, 0.5))
    started = time.monotonic()

    assert "do not answer" in _others(phone)
    assert time.monotonic() - started < 5


def test_only_so_many_questions_are_under_way_at_once() -> None:
    """So that slow others can never take all the threads of the station's server."""
    line = phone_others.Line()
    held_open = [line.question() for _ in range(phone_others._AT_ONCE)]
    for one in held_open:
        one.__enter__()

    with pytest.raises(phone_others.NoAnswer), line.question():
        pass
    held_open[0].__exit__(None, None, None)
    with line.question():
        pass
    assert line.dead_until == 0.0


def test_what_others_say_is_shown_as_text_and_never_as_page(
    phone: Desk, union: Stub, ask_others: Callable[[str], None]
) -> None:
    """A title may be a script; it is read, not run."""
    ask_others(union.address)
    bad = "<script>alert(1)</script>"
    row = held(bad, bad, version=bad, band=bad, kind=bad)
    row["held_at"] = [one | {"station": bad, "place": bad, "loan": bad, "carriers": [bad]}
                      for one in row["held_at"]]  # fmt: skip
    union.says(answer(matches=[row], stand_ins=[row]))

    part = _others(phone)

    assert "<script" not in part
    assert "&lt;script&gt;" in part


def test_where_nothing_of_theirs_answered_it_is_no_answer(
    phone: Desk, union: Stub, ask_others: Callable[[str], None]
) -> None:
    """“Nobody holds it” would be a guess."""
    lost = {"shards": [0, 1], "recordings": 1000}
    union.says(answer(matches=[], stand_ins=[], missing=lost))
    ask_others(union.address)

    part = _others(phone)
    assert "do not answer" in part and "No other station holds it" not in part


def test_the_rules_say_what_leaves_and_refuse_what_is_no_address(
    sign_in: Callable[[str], Desk],
) -> None:
    """In plain words beside the field; a wrong address changes nothing."""
    keeper = sign_in("Dora")
    page = keeper.get("/station").get_data(as_text=True)
    assert "no caller, no place, no reason" in page

    refused = keeper.send("/station", network_address="the union")
    assert refused.status_code == 400
    assert "begins with http://" in refused.get_data(as_text=True)
