"""axe-core finds no fault on any page, in either scheme (WCAG 2.0 to 2.2, levels A and AA)."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, NARROW, PRESENTER, SEARCHER, WIDE, Desks, hear

AXE = Path(__file__).parents[1] / "reference" / "axe" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
SHELVES = (
    "/shelves", "/shelves?order=mark", "/shelves/recordings/1", "/shelves/recordings/new",
    "/shelves/gaps", "/shelves/duplicates", "/shelves/actions", "/shelves/nowhere",
)  # fmt: skip


def _faults(page: Page) -> list[str]:
    # Evaluated by the browser's own tools, so that the page's policy need not allow it.
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate(
        "(rules) => axe.run(document, {runOnly: {type: 'tag', values: rules}})", RULES
    )
    return [
        f"{page.url} {fault['id']}: {node['html'][:160]} {node['failureSummary'][:200]}"
        for fault in found["violations"]
        for node in fault["nodes"]
    ]


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
@pytest.mark.parametrize("scheme", ["day", "studio"])
def test_no_page_has_a_fault(desks: Desks, scheme: str, size: tuple[int, int]) -> None:
    faults: list[str] = []
    phone = desks.sit_down(SEARCHER, size=size, scheme=scheme)
    faults += _faults(phone)
    hear(phone, "a light house is no plays for a lady")
    faults += _faults(phone)
    phone.keyboard.press("Control+A")
    hear(phone, "thunder mudflat")
    phone.keyboard.press("Enter")
    faults += _faults(phone)
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_be_visible()
    phone.keyboard.type("Maureen")
    phone.check("[name=under_sixteen]")
    phone.fill("#why", "born on 3/4/1946")
    expect(phone.locator("#cautions p")).to_have_count(2)
    faults += _faults(phone)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()
    faults += _faults(phone)
    phone.locator("#strip a.away").click()
    phone.wait_for_url("**/phone/slips/*")
    expect(phone.locator(".handed")).to_be_visible()
    faults += _faults(phone)

    studio = desks.sit_down(PRESENTER, size=size, scheme=scheme)
    expect(studio.locator("article.card")).to_have_count(1)
    studio.locator(".checklist summary").click()
    faults += _faults(studio)
    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#played .ledger")).to_be_visible()
    faults += _faults(studio)

    shelves = desks.sit_down(LIBRARIAN, size=size, scheme=scheme)
    for path in SHELVES:
        shelves.goto(f"{desks.address}{path}")
        shelves.evaluate("() => document.querySelectorAll('details').forEach((d) => d.open = true)")
        faults += _faults(shelves)
    shelves.get_by_role("button", name="Sign out").click()
    expect(shelves.locator("#passphrase")).to_be_visible()
    faults += _faults(shelves)
    assert faults == []


@pytest.mark.parametrize("path", ["/phone", "/studio", *SHELVES])
def test_nothing_is_wider_than_a_narrow_screen(desks: Desks, path: str) -> None:
    name = {"/phone": SEARCHER, "/studio": PRESENTER}.get(path, LIBRARIAN)
    page = desks.sit_down(name, path, size=NARROW)
    wide = page.evaluate("() => document.documentElement.scrollWidth")
    assert wide <= NARROW[0]


def test_the_slip_fits_a_small_screen_without_scrolling(desks: Desks) -> None:
    page = desks.sit_down(SEARCHER)
    assert page.evaluate("() => document.documentElement.scrollHeight") <= WIDE[1]


def test_no_letter_is_smaller_than_18_pixels(desks: Desks) -> None:
    small = """() => Array.from(document.querySelectorAll('body *')).filter((e) =>
        e.getClientRects().length && parseFloat(getComputedStyle(e).fontSize) < 18)
        .map((e) => e.outerHTML.slice(0, 80))"""
    for name in (SEARCHER, PRESENTER, LIBRARIAN):
        page = desks.sit_down(name)
        assert page.evaluate(small) == []
