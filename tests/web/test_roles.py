"""Every page has a rule saying who may use it, and the rules hold: for each role as it came in."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from catalogue import staff
from catalogue.store import Store
from web.roles import ACCESS, ANYONE, DESKS, SIGNED_IN, WITH_ONE_TIME_PASSPHRASE

from .conftest import EVENING, PASSPHRASE, PEOPLE, Desk, SharedDesk

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT")
_CHANGES_WHO = {"sign_in.leave", "sign_in.enter", "sign_in.by_pin", "shared_desks.revoke",
                "shared_desks.end", "own.forget_pin", "keeper_lists.let_in",
                "keeper_lists.change_role", "keeper_lists.new_passphrase",
                "keeper_lists.sign_out"}  # fmt: skip
"""Who may use these is asked last: they end the session that asks."""
_BY_DOING = {"sign_in.leave", "shared_desks.end"}
"""Allowed by what comes of them; asking each role would need a new sign-in after each."""


def test_every_endpoint_has_a_rule_and_every_rule_an_endpoint(app: Flask) -> None:
    assert {rule.endpoint for rule in app.url_map.iter_rules()} == set(ACCESS)


def test_every_rule_is_an_act_that_staff_knows(app: Flask) -> None:
    assert set(ACCESS.values()) - {ANYONE, SIGNED_IN} <= set(staff.ACTS)
    assert {act for act, _, _ in DESKS} <= set(staff.ACTS)


def test_what_is_open_to_anyone_is_only_the_door_and_what_it_looks_like() -> None:
    """A new page for strangers has to be said here as well."""
    assert {endpoint for endpoint, access in ACCESS.items() if access == ANYONE} == {
        "static", "live.alive", "sign_in.page", "sign_in.enter", "sign_in.by_pin",
        "trust.page", "trust.certificate",
    }  # fmt: skip


def test_an_endpoint_without_a_rule_is_refused(
    sign_in: Callable[[str], Desk], monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = sign_in("Dora")
    assert desk.get("/phone").status_code == 200
    monkeypatch.delitem(ACCESS, "phone_desk.page")
    answer = desk.get("/phone")
    assert answer.status_code == 403
    assert "no rule" in answer.get_data(as_text=True)


def _walk(app: Flask) -> Iterator[tuple[str, str, str]]:
    """Endpoint, method and address of every page, by every method it says it takes."""
    rules = sorted(app.url_map.iter_rules(), key=lambda rule: rule.endpoint in _CHANGES_WHO)
    for rule in rules:
        path = re.sub(r"<int:\w+>", "1", rule.rule).replace("<order>", "title")
        path = re.sub(r"<(path:)?\w+>", "css/page.css" if "path:" in path else "nothing", path)
        for method in sorted((rule.methods or set()) - {"OPTIONS"}):
            yield rule.endpoint, method, path


def _ask(desk: Desk, method: str, path: str) -> TestResponse:
    return desk.send(path) if method == "POST" else desk.client.open(path, method=method)


def _held(app: Flask, desk: Desk, allowed: Callable[[str], bool], who: str) -> int:
    """Ask for everything; what the rules refuse is refused, and nothing else is."""
    asked = 0
    for endpoint, method, path in _walk(app):
        if endpoint in _BY_DOING:
            continue
        answer = _ask(desk, method, path)
        asked += 1
        if ACCESS[endpoint] == ANYONE:
            assert answer.status_code not in (401, 403), f"{who}: {method} {path}"
            continue
        told = answer.get_data(as_text=True)
        by_rule = any(words in told for words in ("may not do this", "needs your passphrase"))
        refused = answer.status_code == 403 and (by_rule or method == "HEAD")
        assert refused is not allowed(endpoint), f"{who}: {method} {path} {answer.status_code}"
    return asked


@pytest.mark.parametrize("name", PEOPLE)
def test_each_role_gets_in_exactly_where_the_table_says(
    app: Flask, sign_in: Callable[[str], Desk], name: str
) -> None:
    def allowed(endpoint: str) -> bool:
        access = ACCESS[endpoint]
        return access == SIGNED_IN or staff.may(PEOPLE[name], access)

    assert _held(app, sign_in(name), allowed, name) > 250


@pytest.mark.parametrize("name", ["Bob", "Dora"])
def test_by_pin_it_is_the_same_but_for_what_needs_a_passphrase(
    app: Flask, shared: SharedDesk, name: str
) -> None:
    shared.by_pin(name)
    needs = staff.NEEDS_PASSPHRASE
    _held_by_pin = {"shared_desks.share", "shared_desks.end"}

    def allowed(endpoint: str) -> bool:
        access = ACCESS[endpoint]
        if endpoint in _held_by_pin:
            return False
        if access == SIGNED_IN:
            return True
        return staff.may(PEOPLE[name], access) and access not in needs

    assert _held(app, shared.desk, allowed, f"{name} by PIN") > 250


def test_with_a_one_time_passphrase_nothing_opens_but_the_choice(app: Flask, store: Store) -> None:
    staff.add(store, "Enid", "keeper", PASSPHRASE, "Dora", EVENING, one_time=True)
    desk = Desk(app.test_client())
    desk.send("/sign-in", page=True, name="Enid", passphrase=PASSPHRASE)
    for endpoint, method, path in _walk(app):
        if ACCESS[endpoint] == ANYONE or endpoint in WITH_ONE_TIME_PASSPHRASE:
            continue
        answer = _ask(desk, method, path)
        if method == "GET":
            assert answer.headers.get("Location") == "/sign-in/own", path
        else:
            assert answer.status_code == 403, f"{method} {path}"


def test_without_signing_in_nothing_but_the_door_opens(app: Flask) -> None:
    desk = Desk(app.test_client())
    for endpoint, method, path in _walk(app):
        if ACCESS[endpoint] == ANYONE:
            continue
        answer = _ask(desk, method, path)
        if method == "GET":
            assert (answer.status_code, answer.headers.get("Location")) == (302, "/sign-in"), path
        else:
            assert answer.status_code == 401, f"{method} {path}"


def test_methods_that_a_page_does_not_take_are_refused(
    app: Flask, sign_in: Callable[[str], Desk]
) -> None:
    """By role or without: no method slips past the table."""
    taken: dict[str, set[str]] = {}
    for rule in app.url_map.iter_rules():
        path = re.sub(r"<[^>]+>", "1", rule.rule)
        taken.setdefault(path, set()).update(rule.methods or ())
    for desk in (Desk(app.test_client()), sign_in("Dora")):
        for path, methods in taken.items():
            for method in set(METHODS) - methods:
                answer = desk.client.open(path, method=method)
                assert answer.status_code in (400, 404, 405), f"{method} {path}"
