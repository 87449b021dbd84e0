"""The bar of the shelves' pages: its entries in groups, which of them is open, and its address.

On a narrow screen only the open group's entries are shown; the other groups are one tap each.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import request, url_for

from web import roles
from web.texts import t

GROUPS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    ("bar.find", (
        ("shelves.page", "shelves.list"),
        ("shelves.new_recording", "shelves.add"),
        ("doubles.page", "shelves.duplicates"),
        ("taking_in_looks.page", "shelves.looks"),
    )),
    ("bar.in_and_out", (
        ("fetching.page", "fetch.title"),
        ("loan_desk.page", "loans.title"),
        ("boxes.page", "box.page"),
        ("disc_sheet.sheet", "sheet.title"),
        ("taking_in.page", "shelves.taking_in"),
    )),
    ("bar.papers", (
        ("gaps.page", "shelves.gaps"),
        ("paper.page", "shelves.paper"),
        ("shelf_labels.page", "labels.title"),
        ("shelf_work.actions", "shelves.actions"),
    )),
    ("bar.kept", (
        ("stock_take.page", "stock.title"),
        ("places_page.page", "places.title"),
        ("shelf_filing.page", "filing.title"),
        ("shelf_work.lessons", "shelves.lessons"),
        ("stand_in_work.page", "shelves.stand_ins"),
    )),
)  # fmt: skip
"""The groups in the order of the bar, each entry with its page and its words."""

_OF_BLUEPRINT = {"record_more": "shelves", "several": "shelves", "shelf_look": "gaps"}
"""Pages that belong to another blueprint's entry."""

_SEVERAL_PAGES = {"shelves", "shelf_work", "disc_sheet"}
"""Blueprints with more than one page of their own in the bar: an entry is only its own page."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: its words, its address, and whether its page is the one that is open."""

    words: str
    address: str
    current: bool


@dataclass(frozen=True, slots=True)
class Group:
    """A group of entries; `is_open` where the page that is shown belongs to it."""

    words: str
    entries: tuple[Entry, ...]
    is_open: bool


def bar() -> tuple[Group, ...]:
    """The bar for the page that is asked for, and whoever asks for it."""
    blueprint = request.blueprint or ""
    blueprint = _OF_BLUEPRINT.get(blueprint, blueprint)
    return tuple(_group(words, entries, blueprint) for words, entries in GROUPS)


def _group(words: str, entries: tuple[tuple[str, str], ...], blueprint: str) -> Group:
    allowed = [(e, w) for e, w in entries if _may_open(e)]
    shown = tuple(Entry(t(w), url_for(e), _is_current(e, blueprint)) for e, w in allowed)
    exact = any(entry.current for entry in shown)
    elsewhere = any(request.endpoint == e for _, others in GROUPS for e, _ in others)
    of_it = next((e for _, all_of in GROUPS for e, _ in all_of if _of(e) == blueprint), "")
    return Group(t(words), shown, exact or (not elsewhere and of_it in {e for e, _ in entries}))


def _may_open(endpoint: str) -> bool:
    return roles.may(roles.ACCESS[endpoint])


def _is_current(endpoint: str, blueprint: str) -> bool:
    if request.endpoint == endpoint:
        return True
    return blueprint not in _SEVERAL_PAGES and blueprint == _of(endpoint)


def _of(endpoint: str) -> str:
    return endpoint.split(".", maxsplit=1)[0]
