"""Every field of every page, found by walking the URL map, with somebody signed in who may do all.

An input is a request as JSON: endpoint, method, the blanks of its address, its fields. Which
fields a page has is noted by the form itself (`tests/web/planting.py`), so that a new one cannot
be forgotten. Half of the damage is in the address and its query, half in the body.
"""

from __future__ import annotations

import io
import json
import random
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from unittest import mock
from urllib.parse import quote, urlencode

from flask import Flask
from werkzeug.datastructures import ImmutableMultiDict
from werkzeug.routing import Rule
from werkzeug.test import TestResponse

from catalogue import programmes, roots, running_order, search_runs
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from importers import jobs
from tests.fuzz import samples
from tests.fuzz.damage import of_words
from tests.fuzz.readers import Open
from tests.web.conftest import EVENING, PASSPHRASE, Clock, Desk
from tests.web.planting import Asked, rules
from tests.web.test_gone import RIGHT, RIGHT_AT, _box
from web import create_app, given_lists, searching
from web.job_starting import Workers

RENEWED_AFTER = 250
"""Requests after which the station is as it was at first: people are sent away, slips used up."""

_ODD_HEADERS = ("Cookie", "X-CSRFToken", "Host", "HX-Request", "Accept-Language", "X-File-Name",
                "Content-Type", "Range", "If-Modified-Since")  # fmt: skip
_SIGNED_OUT = "/sign-in"
_CHANGE_WHO_MAY = ("sign_in.", "keeper_lists.")
"""Pages whose valid form may leave nobody signed in."""


class Noted(Asked):
    """Notes names as `Asked` does; files are closed by going through all of them."""

    items = ImmutableMultiDict.items
    lists = ImmutableMultiDict.lists


class Fault(Exception):
    """A page answered 500, and no error of ours was seen behind it."""


class Browser:
    """The station, renewed again and again, and the keeper's browser."""

    def __init__(self, folder: Path) -> None:
        self._made, self._folder = folder / "made", folder / "station"
        held = samples.station(self._made)
        self._prepare(held.recordings["heron"], held.copies["heron"])
        self._patches = (
            mock.patch.object(Workers, "start", lambda _, *asked: jobs.ask(*asked)),
            mock.patch.object(
                searching,
                "start",
                lambda store, who, clock, again=False: search_runs.begin(store, who, clock()),
            ),
        )
        for patch in self._patches:
            patch.start()
        self._open: tuple[Store, SoundIndex] | None = None
        self.renew()

    def _prepare(self, recording: int, copy: int) -> None:
        store = Store(self._made / "asheard.db")
        roots.add(store, "/music", "Dora", EVENING)
        programmes.add(store, "Requests", "Bob", EVENING, EVENING.replace(hour=22), "Dora", EVENING)
        running_order.put_in(store, 1, recording, copy, "Bob", EVENING)
        _box(store)
        self.line = running_order.of(store, 1, EVENING).items[-1].key
        jobs.ask(store, "list", "/nowhere/list.csv", {}, "Dora", EVENING)
        folder = self._made / "given_lists" / ("a" * 16)
        folder.mkdir(parents=True)
        (folder / "list.csv").write_bytes(samples.text(","))
        self.token = folder.name
        assert given_lists.find(store, self.token)
        store.close()

    def renew(self) -> None:
        """The station as it was at first, and the keeper signed in anew."""
        if self._open:
            self._open[1].close()
            self._open[0].close()
            shutil.rmtree(self._folder)
        shutil.copytree(self._made, self._folder)
        store = Store(self._folder / "asheard.db")
        store.db.execute("PRAGMA synchronous = OFF")
        index = SoundIndex(self._folder / "sound_index", store)
        self._open = store, index
        self.app = create_app(store, index, Clock(), {"SECRET_KEY": "only for tests"})
        request = type("Request", (self.app.request_class,), {"parameter_storage_class": Noted})
        self.app.request_class = request
        self.seen: list[BaseException] = []
        _listen(self.app, self.seen)
        self.desk = Desk(self.app.test_client())
        self.desk.send("/sign-in", page=True, name="Dora", passphrase=PASSPHRASE)
        self.csrf = self.desk.token()
        self.sent = 0

    def close(self) -> None:
        """Leave the program as it was."""
        for patch in self._patches:
            patch.stop()
        if self._open:
            self._open[1].close()
            self._open[0].close()

    def send(self, case: dict[str, Any]) -> TestResponse:
        """Send one request."""
        self.sent += 1
        headers = {"X-CSRFToken": self.csrf, **case.get("headers", {})}
        headers = {n: v.encode("latin-1", "replace").decode("latin-1") for n, v in headers.items()}
        headers = {n: re.sub(r"[\r\n\0]", " ", v) for n, v in headers.items()}
        fields, files = case["fields"], case.get("file")
        address, query = case["address"], ""
        for blank, value in case["blanks"].items():
            whole = quote(value, safe="", errors="surrogatepass")
            address = address.replace(blank, whole or "0")
        if case["method"] == "GET":
            query, data = _encoded(fields), None
        elif files is not None:
            file = io.BytesIO(files.encode("utf-8", "surrogatepass"))
            data = {**{n: v.encode("utf-8", "replace") for n, v in fields.items()},
                    "list": (file, fields.get("file name", "list.csv"))}  # fmt: skip
        elif "raw" in case:
            query, data = _encoded(fields), case["raw"].encode("utf-8", "surrogatepass")
            headers.setdefault("Content-Type", "application/octet-stream")
        else:
            data = _encoded(fields).encode()
            headers.setdefault("Content-Type", "application/x-www-form-urlencoded")
        return self.desk.client.open(
            address, method=case["method"], query_string=query, data=data, headers=headers
        )


def _encoded(fields: dict[str, str]) -> str:
    return urlencode(fields, errors="surrogatepass")


def _listen(app: Flask, seen: list[BaseException]) -> None:
    """Keep what no page foresaw, and answer it as ever."""
    handlers = app.error_handler_spec[None][None]
    answer = handlers[Exception]

    def note(problem: Exception) -> Any:
        seen.append(problem)
        return answer(problem)

    handlers[Exception] = note


def _cases(browser: Browser) -> Iterator[dict[str, Any]]:
    """A valid request for every page, by each method, with all the fields it asks for."""
    for method in ("POST", "GET"):
        for rule in rules(browser.app, method):
            if rule.endpoint == "live.alive":
                continue
            yield from _of_rule(browser, rule, method)


def _of_rule(browser: Browser, rule: Rule, method: str) -> Iterator[dict[str, Any]]:
    blanks = {blank: _example(browser, blank) for blank in re.findall(r"<[^>]+>", rule.rule)}
    case: dict[str, Any] = {
        "endpoint": rule.endpoint, "method": method, "address": rule.rule, "blanks": blanks,
        "fields": {}, "headers": {"HX-Request": "true"} if method == "POST" else {},
    }  # fmt: skip
    if rule.endpoint == "taking_in.give_list":
        case["file"] = samples.text(",").decode()
    if rule.endpoint == "phone_call.attach_recording":
        case["raw"] = "RIFF and so on"
    known: set[str] = set()
    right = _right(browser, rule.endpoint)
    while True:
        Asked.names = set()
        browser.send(case)
        names = {n for n in Asked.names if not n.endswith("csrf_token")} - known
        if not names:
            break
        known |= names
        case["fields"] |= {name: right.get(name, "") for name in sorted(names)}
    if rule.endpoint.startswith(_CHANGE_WHO_MAY) or browser.sent > RENEWED_AFTER:
        browser.renew()
    for slip in ("1", "2", "3", "4") if "slip" in known else ("",):
        fields = case["fields"] | ({"slip": slip} if slip else {})
        yield {**case, "fields": fields}


def _right(browser: Browser, endpoint: str) -> dict[str, str]:
    of_the_station = {
        "slip": "1", "version": "1", "recording_id": "1", "holding_id": "1", "studio": "Studio 1",
        "line": browser.line, "seen": "1", "list": browser.token, "since": "1", "minute": "1940",
        "column-0-1": "shelf_mark", "column-0-4": "title", "headed-0": "yes", "kind": "list",
        "page": "1", "sheet": "a" * 24, "recordings": "1",
    }  # fmt: skip
    if endpoint.startswith(("boxes.", "disc_sheet.")):
        of_the_station |= _OF_A_DISC
    return {**RIGHT, **of_the_station, **RIGHT_AT.get(endpoint, {})}


_OF_A_DISC = {
    "key": "b" * 24, "number": "77", "track_number": "9", "track_side": "A", "track_artist": "",
    "track_length": "3:05", "shelf_mark": "N 77",
}  # fmt: skip
"""What is typed of a new disc, whether it comes in a box or not."""


def _example(browser: Browser, blank: str) -> str:
    named = {"token": browser.token, "order": "title", "name": "albums"}
    return named.get(blank.strip("<>").rpartition(":")[2], "1")


def change(data: bytes, chance: random.Random, deep: bool) -> bytes:
    """Damage one to three of a request's words: the body's, or those of its address."""
    case = json.loads(data)
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        in_address = not deep and case["blanks"] and chance.random() < 0.6
        where = case["blanks"] if in_address else case["fields"]
        if not deep and chance.random() < 0.25:
            name = chance.choice(_ODD_HEADERS)
            case.setdefault("headers", {})[name] = of_words("text/html; q=1", chance)
        elif "raw" in case and chance.random() < 0.5:
            case["raw"] = of_words(case["raw"], chance)
        elif "file" in case and chance.random() < 0.5:
            case["file"] = of_words(case["file"], chance)
        elif where:
            name = chance.choice(sorted(where))
            if chance.random() < 0.05:
                del where[name]
                continue
            where[name] = of_words(where[name], chance, odd=("\udcff", "\ud800x"))
        else:
            case["fields"][of_words("q", chance)] = of_words("tide", chance)
    return json.dumps(case).encode()


def open_(folder: Path) -> Open:
    """The station's pages, ready to be asked."""
    browser = Browser(folder)
    valid = [json.dumps(case).encode() for case in _cases(browser)]

    def read(data: bytes) -> bool:
        try:
            case = json.loads(data)
        except ValueError:
            return False
        if browser.sent >= RENEWED_AFTER:
            browser.renew()
        browser.seen.clear()
        answer = browser.send(case)
        if browser.seen:
            raise browser.seen[0]
        if answer.status_code >= 500:
            raise Fault(f"{case['method']} {case['endpoint']}: {answer.status_code}")
        assert b"Traceback (most recent" not in answer.data
        if answer.status_code == 401 or answer.headers.get("Location") == _SIGNED_OUT:
            browser.renew()
        return answer.status_code < 400

    return Open(valid, change, read, browser.close)
