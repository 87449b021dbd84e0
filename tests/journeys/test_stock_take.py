"""A shelf is walked with a telephone, broken off, and gone on with by another; nothing is lost."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.journeys.desks import LIBRARIAN, NARROW, SEARCHER, WIDE, Desks
from tests.journeys.wedge import scan


def _begin(page: Page, shelf: str, first: str = "", last: str = "") -> str:
    page.locator("#shelf").select_option(shelf)
    page.locator("#from").fill(first)
    page.locator("#to").fill(last)
    page.get_by_role("button", name="Begin", exact=True).click()
    page.wait_for_url("**/stock-take/*")
    return page.url.rsplit("/", 1)[1]


def _row(page: Page, mark: str) -> Locator:
    return page.locator(".walk-row", has=page.get_by_text(mark, exact=True))


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_a_walk_is_broken_off_and_gone_on_with_by_another(
    desks: Desks, size: tuple[int, int]
) -> None:
    nell = desks.sit_down(SEARCHER, "/shelves/stock-take", size)
    number = _begin(nell, "mark:C", "C 002", "C 012")
    for mark in ("C 002", "C 003"):
        _row(nell, mark).click()
        expect(_row(nell, mark)).to_have_attribute("aria-pressed", "true")
    _row(nell, "C 003").click()  # not there after all
    expect(_row(nell, "C 003")).to_have_attribute("aria-pressed", "false")
    expect(nell.locator("#walk-said")).to_have_text("The tick is taken back.")
    nell.locator("#scan").focus()
    scan(nell, "L 001")
    expect(nell.locator("#walk-said")).to_contain_text("misplaced: it belongs at L 001")
    scan(nell, "C 004")
    expect(_row(nell, "C 004")).to_have_attribute("aria-pressed", "true")
    expect(nell.locator("#walk-count")).to_have_text("2 of 11 here, 1 misplaced")
    nell.context.close()

    dilys = desks.sit_down(LIBRARIAN, "/shelves/stock-take", size)
    expect(dilys.locator(".walks")).to_contain_text("begun by Nell")
    dilys.locator(".walks a").click()
    expect(_row(dilys, "C 002")).to_have_attribute("aria-pressed", "true")
    expect(_row(dilys, "C 002")).to_contain_text("ticked by Nell")
    expect(dilys.locator(".walk-rows .next")).to_contain_text("C 005")
    helper = desks.sit_down(SEARCHER, f"/shelves/stock-take/{number}", size)
    # Two at once: each sees the other's tick.
    _row(dilys, "C 005").click()
    _row(helper, "C 006").click()
    expect(_row(helper, "C 005")).to_have_attribute("aria-pressed", "true", timeout=8000)
    expect(_row(dilys, "C 006")).to_have_attribute("aria-pressed", "true", timeout=8000)
    dilys.locator("#scan").focus()
    scan(dilys, "X 999")
    what = dilys.get_by_label("What it is")
    what.fill("a box of sea shanties")
    what.press("Enter")
    expect(dilys.locator("#walk-said")).to_have_text("Noted.")

    dilys.locator(".walk-end a").click()
    expect(dilys.locator(".ticks-list")).to_contain_text("C 003")
    expect(dilys.locator("#end")).to_have_value("C 006")
    dilys.locator("#end").fill("C 008")
    dilys.locator("#end").press("Enter")
    expect(dilys.locator(".ticks-list")).to_contain_text("C 008")
    dilys.get_by_label("C 008").uncheck()
    dilys.get_by_role("button", name="Finish, and write this").click()
    dilys.wait_for_url("**/report")
    report = dilys.locator(".stock-run")
    expect(report).to_contain_text("a box of sea shanties")
    expect(report.locator("h2").first).to_have_text("Marked missing 2")
    expect(helper.locator("#walk-said")).to_contain_text("Dilys finished this walk", timeout=8000)
    dilys.goto(f"{desks.address}/shelves?q=c+003")
    expect(dilys.locator(".ledger .line").first).to_contain_text("missing")
    dilys.goto(f"{desks.address}/shelves/actions")
    dilys.locator(".line", has_text="finished the stock-take").locator("button").click()
    expect(dilys.locator("#said")).to_contain_text("finished the stock-take")
    dilys.goto(f"{desks.address}/shelves?q=c+003")
    expect(dilys.locator(".ledger .line").first).not_to_contain_text("missing")


def test_a_lost_connection_loses_no_tick(desks: Desks) -> None:
    page = desks.sit_down(SEARCHER, "/shelves/stock-take", NARROW)
    number = _begin(page, "mark:L", "", "L 020")
    page.context.set_offline(True)
    _row(page, "L 001").click()
    page.locator("#scan").focus()
    scan(page, "LP L 002")  # on this page: ticked at once
    scan(page, "X 999")  # looked up when the PC answers
    unsent = page.locator("#walk-unsent")
    expect(unsent).to_contain_text("3 ticks are not sent yet", timeout=8000)
    expect(_row(page, "L 002")).to_have_attribute("aria-pressed", "true")
    page.context.set_offline(False)
    expect(unsent).to_be_hidden(timeout=10_000)
    expect(page.locator("#walk-count")).to_have_text("2 of 19 here, 1 not known")
    # The page is closed before the tick could go: it goes when the walk is opened again.
    page.context.set_offline(True)
    _row(page, "L 003").click()
    expect(unsent).to_contain_text("One tick is not sent yet", timeout=8000)
    context = page.context
    page.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(f"{desks.address}/shelves/stock-take/{number}")
    expect(again.locator("#walk-count")).to_contain_text("3 of 19 here", timeout=10_000)
    expect(_row(again, "L 003")).to_have_attribute("aria-pressed", "true")
