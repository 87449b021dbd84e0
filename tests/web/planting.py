"""A word of its own planted in every field of every page, found by walking the URL map.

Which fields a page has is not written down anywhere: the forms themselves note what the page's
code asks them for, so that a new page, or a new field, cannot be forgotten.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable
from itertools import count
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.datastructures import ImmutableMultiDict
from werkzeug.routing import Rule
from werkzeug.test import TestResponse

from .conftest import Desk

STEM = "Perpetua"
_WORD = re.compile(rb"perpetua[a-z]{3}")
_ANY = "every field"
Field = tuple[str, str]
"""A page's endpoint and the name of one of its fields."""


class Asked(ImmutableMultiDict[str, str]):
    """A form, or what follows an address, that notes the names it is asked for."""

    names: set[str] = set()

    def get(self, key: str, *more: Any, **named: Any) -> Any:
        self.names.add(key)
        return super().get(key, *more, **named)

    def getlist(self, key: str, *more: Any, **named: Any) -> Any:
        self.names.add(key)
        return super().getlist(key, *more, **named)

    def __getitem__(self, key: str) -> Any:
        self.names.add(key)
        return super().__getitem__(key)

    def __contains__(self, key: object) -> bool:
        self.names.add(str(key))
        return super().__contains__(key)

    def _all_at_once(self) -> None:
        raise AssertionError("A page takes all of its form at once: nobody can tell its fields.")

    def items(self, *_: Any, **__: Any) -> Any:
        return self._all_at_once()

    def lists(self) -> Any:
        return self._all_at_once()

    def to_dict(self, *_: Any, **__: Any) -> Any:
        return self._all_at_once()


class Planted:
    """The words planted so far, and where each of them was."""

    def __init__(self) -> None:
        self.where: dict[str, Field] = {}
        self.answers: dict[str, list[TestResponse]] = defaultdict(list)

    def word(self, endpoint: str, field: str) -> str:
        """A new word for this field."""
        number, letters = len(self.where), ""
        for _ in range(3):
            number, digit = divmod(number, 26)
            letters = chr(ord("a") + digit) + letters
        self.where[STEM.lower() + letters] = (endpoint, field)
        return STEM + letters

    def taken(self, endpoint: str) -> bool:
        """Whether a page has taken a form, rather than refused all of them."""
        return any(answer.status_code < 400 for answer in self.answers[endpoint])

    def found_in(self, *contents: bytes) -> set[Field]:
        """The fields whose words are in these bytes."""
        words = {match for content in contents for match in _WORD.findall(content.lower())}
        return {self.where[word.decode()] for word in words}

    def left_in(self, folder: Path) -> dict[str, set[Field]]:
        """File to the fields whose words are in it, for every file of a folder."""
        files = {str(p.relative_to(folder)): p for p in folder.rglob("*") if p.is_file()}
        found = {name: self.found_in(path.read_bytes()) for name, path in files.items()}
        return {name: fields for name, fields in found.items() if fields}


def rules(app: Flask, method: str) -> list[Rule]:
    """The pages that take this method, in the order of their endpoints."""
    found = [r for r in app.url_map.iter_rules() if method in (r.methods or ())]
    return sorted((r for r in found if r.endpoint != "static"), key=lambda rule: rule.endpoint)


def plant(desk: Desk, rule: Rule, planted: Planted, right: Callable[[], dict[str, str]]) -> None:
    """Send a page's form once for each of its fields: the others are right, this one is a word.

    `right` gives what the other fields should hold, and is asked anew each time.
    """
    known, sent = set[str](), set[str]()
    waiting: Iterable[str] = [""]
    while waiting:
        for field in waiting:
            sent.add(field)
            values = {**right(), **({field: planted.word(rule.endpoint, field)} if field else {})}
            Asked.names = set()
            address = rule.rule.replace("<int:slip_id>", values.get("slip") or "1")
            numbers = count(1)
            address = re.sub(r"<[^>]+>", lambda _, n=numbers: str(next(n)), address)  # type: ignore[misc]
            answer = _send(desk, rule, address, values)
            planted.answers[rule.endpoint].append(answer)
            known |= {name for name in Asked.names if not name.endswith("csrf_token")}
        waiting = sorted(known - sent)


def _send(desk: Desk, rule: Rule, address: str, values: dict[str, str]) -> TestResponse:
    if "POST" in (rule.methods or ()):
        return desk.client.post(
            address, data={**values, "csrf_token": desk.token()}, headers={"HX-Request": "true"}
        )
    return desk.client.get(address, query_string=values)
