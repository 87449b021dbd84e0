"""Every page has a rule saying who may use it, and the rules hold."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from flask import Flask

from catalogue import staff
from web.roles import ACCESS, ANYONE, SIGNED_IN

from .conftest import PEOPLE, Desk


def test_every_endpoint_has_a_rule_and_every_rule_an_endpoint(app: Flask) -> None:
    assert {rule.endpoint for rule in app.url_map.iter_rules()} == set(ACCESS)


def test_every_rule_is_an_act_that_staff_knows(app: Flask) -> None:
    assert set(ACCESS.values()) - {ANYONE, SIGNED_IN} <= set(staff.ACTS)


def test_an_endpoint_without_a_rule_is_refused(
    sign_in: Callable[[str], Desk], monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = sign_in("Dora")
    assert desk.get("/phone").status_code == 200
    monkeypatch.delitem(ACCESS, "phone_desk.page")
    answer = desk.get("/phone")
    assert answer.status_code == 403
    assert "no rule" in answer.get_data(as_text=True)


def _paths(app: Flask) -> list[tuple[str, str, str]]:
    found = []
    for rule in app.url_map.iter_rules():
        path = str(rule)
        for argument in rule.arguments:
            path = path.replace(f"<int:{argument}>", "1").replace("<order>", "title")
        if rule.endpoint != "static":
            found += [(rule.endpoint, m, path) for m in rule.methods or () if m in ("GET", "POST")]
    return found


@pytest.mark.parametrize("name", PEOPLE)
def test_each_role_gets_in_exactly_where_the_table_says(
    app: Flask, sign_in: Callable[[str], Desk], name: str
) -> None:
    desk = sign_in(name)
    for endpoint, method, path in _paths(app):
        act = ACCESS[endpoint]
        if endpoint in ("sign_in.leave", "sign_in.enter") or act in (ANYONE, SIGNED_IN):
            continue
        answer = desk.get(path) if method == "GET" else desk.send(path)
        refused = answer.status_code == 403
        assert refused is not staff.may(PEOPLE[name], act), f"{name}: {method} {path}"


def test_without_signing_in_nothing_but_the_door_opens(app: Flask) -> None:
    desk = Desk(app.test_client())
    for endpoint, method, path in _paths(app):
        if ACCESS[endpoint] == ANYONE:
            continue
        if method == "GET":
            answer = desk.get(path)
            assert (answer.status_code, answer.headers.get("Location")) == (302, "/sign-in"), path
        else:
            assert desk.send(path).status_code == 401, path
