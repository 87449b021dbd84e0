"""The bar of the shelves' pages: every entry in one group, and the page that is open marked."""

from __future__ import annotations

import re

import pytest

from web import roles
from web.shelf_bar import GROUPS

from .conftest import Desk, Held

GROUP = re.compile(
    r'<div class="group( open)?" role="group" aria-label="([^"]+)">(.*?)</div>', re.S
)
ENTRIES = re.compile(r'<span class="entries">(.*?)</span>', re.S)


def _bar(desk: Desk, path: str) -> dict[str, tuple[bool, list[str], list[str]]]:
    """Of each group whether it is open, its entries, and those that are marked."""
    page = desk.get(path).get_data(as_text=True)
    found = {}
    for is_open, name, inside in GROUP.findall(page):
        (entries,) = ENTRIES.findall(inside)
        marked = re.findall(r'aria-current="page">([^<]+)', entries)
        found[name] = (bool(is_open), re.findall(r">([^<]+)</a>", entries), marked)
    return found


def test_every_page_is_in_one_group(shelves: Desk) -> None:
    listed = [endpoint for _, entries in GROUPS for endpoint, _ in entries]
    assert len(listed) == len(set(listed))
    assert all(endpoint in roles.ACCESS for endpoint in listed)
    bar = _bar(shelves, "/shelves")
    assert sum(len(entries) for _, entries, _ in bar.values()) == len(listed)
    assert max(len(entries) for _, entries, _ in bar.values()) <= 5


@pytest.mark.parametrize("path", ["/shelves", "/shelves/discs/new", "/paper", "/shelves/places",
                                  "/shelves/actions", "/shelves/taking-in"])  # fmt: skip
def test_the_page_that_is_open_is_marked(shelves: Desk, path: str) -> None:
    bar = _bar(shelves, path)
    assert [bool(marked) for _, _, marked in bar.values()].count(True) == 1
    assert all(is_open is bool(marked) for is_open, _, marked in bar.values())


@pytest.mark.parametrize(
    ("path", "group", "marked"),
    [
        ("/shelves/recordings/{lantern}", "Find and mend", []),
        ("/shelves/recordings/{lantern}/history", "Find and mend", []),
        ("/shelves/several?one={lantern}", "Find and mend", []),
        ("/shelves/discs/1", "In and out", []),
        ("/shelves/look", "Lists and papers", ["Wants and gaps"]),
        ("/shelves/duplicates/judged", "Find and mend", ["Likely duplicates"]),
    ],
)
def test_a_page_below_an_entry_opens_its_group(
    shelves: Desk, held: Held, path: str, group: str, marked: list[str]
) -> None:
    bar = _bar(shelves, path.format(**held.recordings))
    assert [name for name, (is_open, _, _) in bar.items() if is_open] == [group]
    assert bar[group][2] == marked


def test_only_who_may_edit_is_offered_to_type(phone: Desk, shelves: Desk) -> None:
    assert "Type in a disc" in _bar(shelves, "/shelves")["In and out"][1]
    assert "Type in a disc" not in _bar(phone, "/shelves")["In and out"][1]
