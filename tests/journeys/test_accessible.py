"""axe-core finds no fault on any page, in either scheme (WCAG 2.0 to 2.2, levels A and AA)."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.desks import (
    NARROW,
    PRESENTER,
    SEARCHER,
    STILL_MS,
    WIDE,
    Desks,
    hear,
)

AXE = Path(__file__).parents[1] / "reference" / "axe" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def _faults(page: Page) -> list[str]:
    """Every fault of the page as it is in the day scheme, and of its contrasts in the dark one.

    The schemes differ in colours alone, so that the other rules need not be asked twice.
    """
    # Evaluated by the browser's own tools, so that the page's policy need not allow it.
    if not page.evaluate("() => Boolean(window.axe)"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found = []
    for scheme, run in (
        ("day", {"type": "tag", "values": RULES}),
        ("studio", {"type": "rule", "values": ["color-contrast"]}),
    ):
        result = page.evaluate(
            """async ([scheme, run]) => {
                document.documentElement.dataset.scheme = scheme;
                return await axe.run(document, {runOnly: run, resultTypes: ['violations']});
            }""",
            [scheme, run],
        )
        found += [(scheme, fault) for fault in result["violations"]]
    return [
        f"{page.url} {scheme} {fault['id']}: {node['html'][:160]} {node['failureSummary'][:200]}"
        for scheme, fault in found
        for node in fault["nodes"]
    ]


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_the_phone_desk_has_no_fault(desks: Desks, size: tuple[int, int]) -> None:
    faults: list[str] = []
    phone = desks.sit_down(SEARCHER, size=size)
    hear(phone, "a light house is no plays for a lady")
    faults += _faults(phone)
    phone.keyboard.press("Control+A")
    hear(phone, "anything by marsha heron")
    faults += _faults(phone)
    phone.keyboard.press("Control+A")
    hear(phone, "thunder mudflat")
    phone.locator(".read-as").evaluate("(fold) => { fold.open = true; }")
    expect(phone.locator(".parts").first).to_be_visible()
    phone.keyboard.press("Enter")
    faults += _faults(phone)
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_be_visible()
    phone.keyboard.type("Maureen")
    phone.check("[name=under_sixteen]")
    phone.check("[name=how_on_air][value=recorded]")
    phone.check("[name=urgent]")
    phone.fill("#why", "born on 3/4/1946")
    expect(phone.locator("#cautions p")).to_have_count(2)
    phone.keyboard.press("F9")
    expect(phone.locator("#hold strong")).to_be_visible()
    faults += _faults(phone)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()
    faults += _faults(phone)

    studio = desks.sit_down(PRESENTER, size=size)
    expect(studio.locator("article.card")).to_have_count(1)
    studio.locator(".checklist summary").click()
    studio.locator(".lists summary").click()
    faults += _faults(studio)
    studio.goto(f"{desks.address}/studio/print")
    faults += _faults(studio)
    studio.goto(f"{desks.address}/studio")
    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#played .ledger")).to_be_visible()
    faults += _faults(studio)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_what_the_phone_desk_asks_and_says_has_no_fault(
    desks: Desks, size: tuple[int, int]
) -> None:
    phone = desks.sit_down(SEARCHER, "/desk", size)
    faults = _faults(phone)
    phone.goto(f"{desks.address}/phone/fresh")
    phone.keyboard.press("Control+Enter")
    expect(phone.locator("#ask-once .note")).to_be_visible()
    faults += _faults(phone)
    phone.locator("#heard").focus()
    hear(phone, "a light house is no plays for a lady")
    phone.keyboard.press("Enter")
    phone.wait_for_timeout(STILL_MS)
    phone.keyboard.press("Enter")
    expect(phone.locator(".not-now")).to_be_visible()
    faults += _faults(phone)
    other = desks.sit_down(SEARCHER, phone.url.removeprefix(desks.address), size)
    for page, words in ((phone, "for Joan"), (other, "for Mary")):
        page.fill("#why", words)
        page.keyboard.press("Tab")
        page.wait_for_timeout(500)
    expect(other.locator(".clash")).to_be_visible()
    # So that the foot, always in sight, lies over no half of a circle.
    other.evaluate("() => window.scrollTo(0, document.body.scrollHeight)")
    faults += _faults(other)
    phone.get_by_role("button", name="Withdraw").click()
    expect(phone.locator(".handed")).to_contain_text("was withdrawn")
    faults += _faults(phone)
    assert faults == []


def test_the_slip_fits_a_small_screen_without_scrolling(desks: Desks) -> None:
    page = desks.sit_down(SEARCHER)
    assert page.evaluate("() => document.documentElement.scrollHeight") <= WIDE[1]
