"""Who sees a caller when: while it is live, for the rest of the evening, and after that."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from flask import Flask

from catalogue import callers, request_slips, staff
from catalogue.store import Store
from web.roles import ACCESS

from .conftest import EVENING, PEOPLE, Clock, Desk, Held, SharedDesk

NAME = "Wilhelmina Pargeter"
_UNDONE = {"sign_in.leave", "keeping.forget"}
"""Not walked: they would end the session or the details that are looked for."""


def _done(store: Store, held: Held, how: str) -> int:
    """A slip that is done."""
    number = request_slips.start(store, "request", "Alice", EVENING)
    words = {"caller_name": NAME, "why": "Pargeterlane", "heard": "lantern"}
    callers.write(store, number, words, "Alice", EVENING)
    if how == "withdrawn":
        request_slips.withdraw(store, number, "Alice", EVENING)
        return number
    recording, copy = held.recordings["heron"], held.copies["heron"]
    request_slips.choose(store, number, recording, copy, "Alice", EVENING)
    request_slips.hand_over(store, number, "Studio 1", "Alice", EVENING)
    if how == "played":
        request_slips.played(store, number, "Bob", EVENING)
    else:
        request_slips.not_used(store, number, "no time", "Bob", EVENING)
    return number


def _seen_at(app: Flask, desk: Desk, slip: int) -> set[str]:
    """The endpoints at which somebody is told of the caller, asked for in every way."""
    seen = set()
    for rule in app.url_map.iter_rules():
        if rule.endpoint in _UNDONE or rule.endpoint == "static":
            continue
        path = re.sub(r"<int:slip_id>", str(slip), rule.rule)
        path = re.sub(r"<int:\w+>", "1", re.sub(r"<\w+>", "title", path))
        for method in sorted((rule.methods or set()) & {"GET", "POST"}):
            if method == "GET":
                answer = desk.get(path + f"?slip={slip}&studio=Studio+1")
            elif ACCESS[rule.endpoint] in ("phone", "studio", "see callers", "programme"):
                version = "1"
                answer = desk.send(path, slip=str(slip), version=version)
            else:
                continue
            if "Pargeter" in answer.get_data(as_text=True) + str(answer.headers):
                seen.add(rule.endpoint)
    return seen


@pytest.fixture
def slip(store: Store, held: Held) -> int:
    return _done(store, held, "played")


@pytest.mark.parametrize(
    ("name", "how"), [("Alice", "withdrawn"), ("Bob", "played"), ("Charlie", "not used")]
)
def test_after_the_evening_nobody_but_the_keeper_is_told_of_a_caller(
    app: Flask, store: Store, held: Held, clock: Clock, sign_in: Callable[[str], Desk],
    name: str, how: str,
) -> None:  # fmt: skip
    slip = _done(store, held, how)
    clock.on(days=1)
    assert not staff.may(PEOPLE[name], "past callers")
    assert _seen_at(app, sign_in(name), slip) == set()


def test_the_keeper_finds_them_to_answer_and_to_erase(
    clock: Clock, sign_in: Callable[[str], Desk], slip: int
) -> None:
    clock.on(days=1)
    keeper = sign_in("Dora")
    assert "Pargeter" in keeper.send("/station/held", name="Pargeter").get_data(as_text=True)
    assert sign_in("Alice").send("/station/held", name="Pargeter").status_code == 403


def test_by_pin_not_even_the_keeper(
    clock: Clock, app: Flask, shared: SharedDesk, slip: int
) -> None:
    clock.on(days=1)
    shared.by_pin("Dora")
    assert _seen_at(app, shared.desk, slip) == set()


@pytest.mark.parametrize("how", ["played", "not used", "withdrawn"])
def test_what_is_asked_for_by_number_is_refused(
    store: Store, held: Held, clock: Clock, sign_in: Callable[[str], Desk], how: str
) -> None:
    slip = _done(store, held, how)
    assert sign_in("Alice").get(f"/phone/slips/{slip}").status_code == 200  # of this evening
    clock.on(days=1)
    for name in ("Alice", "Bob"):
        desk = sign_in(name)
        for path in (f"/phone/slips/{slip}", f"/phone/recordings/{slip}"):
            answer = desk.get(path)
            assert answer.status_code == 403, path
            assert "Only the keeper sees past callers" in " ".join(answer.text.split())
        assert desk.send("/phone/take-up-again", slip=str(slip)).status_code == 403
    back = sign_in("Bob").send("/studio/take-back", slip=str(slip))
    assert back.status_code == (409 if how == "withdrawn" else 403)
    assert sign_in("Dora").get(f"/phone/slips/{slip}").status_code == 200


def test_a_librarian_sees_no_caller_even_of_now(
    app: Flask, store: Store, sign_in: Callable[[str], Desk]
) -> None:
    number = request_slips.start(store, "request", "Alice", EVENING)
    callers.write(store, number, {"caller_name": NAME, "heard": "lantern"}, "Alice", EVENING)
    assert _seen_at(app, sign_in("Charlie"), number) == set()
    assert "phone_desk.slip" in _seen_at(app, sign_in("Alice"), number)
