"""axe-core finds no fault on any page, in either scheme (WCAG 2.0 to 2.2, levels A and AA)."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.desks import (
    KEEPER,
    LIBRARIAN,
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
SHELVES = (
    "/shelves", "/shelves?order=mark", "/shelves/recordings/1", "/shelves/recordings/new",
    "/shelves/gaps", "/shelves/duplicates", "/shelves/duplicates/1/203",
    "/shelves/duplicates/discs/168/170", "/shelves/duplicates/judged", "/shelves/actions",
    "/shelves/nowhere", "/shelves/lessons", "/shelves/taking-in", "/shelves/needs-a-look",
    "/paper", "/paper/slip", "/desk",
)  # fmt: skip

PROGRAMMES = (
    "/round", "/round/blank",
    "/programmes", "/programmes/1", "/programmes/1/print", "/programmes/1/fetch",
    "/programmes/away", "/programmes/waiting", "/played", "/played/1", "/played/return", "/figures",
)  # fmt: skip
STATION = (
    "/station", "/station/programmes", "/station/places", "/station/people", "/station/health",
    "/station/held", "/station/changes", "/station/papers",
    "/station/papers/data-protection-assessment",
)  # fmt: skip
ZOOMED = (683, 384)
"""1366×768 at 200 % zoom, in CSS pixels."""


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


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_the_shelves_and_the_keepers_pages_have_no_fault(
    desks: Desks, size: tuple[int, int]
) -> None:
    faults: list[str] = []
    # The keeper sees the shelves' pages with everything that can be done there.
    keeper = desks.sit_down(KEEPER, size=size)
    for path in (*SHELVES, *PROGRAMMES, *STATION):
        keeper.goto(f"{desks.address}{path}")
        keeper.evaluate("() => document.querySelectorAll('details').forEach((d) => d.open = true)")
        faults += _faults(keeper)
    keeper.get_by_role("button", name="Sign out").click()
    expect(keeper.locator("#passphrase")).to_be_visible()
    faults += _faults(keeper)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("size", [NARROW, ZOOMED], ids=["narrow", "zoomed"])
def test_nothing_is_wider_than_a_narrow_screen(desks: Desks, size: tuple[int, int]) -> None:
    wide: list[str] = []
    for name, paths in {
        SEARCHER: ("/phone",),
        PRESENTER: ("/studio", "/studio/print"),
        LIBRARIAN: SHELVES,
        KEEPER: STATION,
    }.items():
        page = desks.sit_down(name, size=size)
        for path in paths:
            page.goto(f"{desks.address}{path}")
            if page.evaluate("() => document.documentElement.scrollWidth") > size[0]:
                wide.append(path)
        page.context.close()
    assert wide == []


def test_the_slip_fits_a_small_screen_without_scrolling(desks: Desks) -> None:
    page = desks.sit_down(SEARCHER)
    assert page.evaluate("() => document.documentElement.scrollHeight") <= WIDE[1]


def test_no_letter_is_smaller_than_18_pixels(desks: Desks) -> None:
    small = """() => Array.from(document.querySelectorAll('body *')).filter((e) =>
        e.getClientRects().length && parseFloat(getComputedStyle(e).fontSize) < 18)
        .map((e) => e.outerHTML.slice(0, 80))"""
    for name, path in (
        (SEARCHER, ""), (PRESENTER, ""), (LIBRARIAN, ""), (KEEPER, "/station"), (KEEPER, "/desk"),
    ):  # fmt: skip
        page = desks.sit_down(name, path)
        assert page.evaluate(small) == []
