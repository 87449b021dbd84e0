"""A disc goes out and comes home, by keyboard and as a barcode reader types it."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.journeys.desks import LIBRARIAN, NARROW, SEARCHER, WIDE, Desks
from tests.journeys.wedge import scan


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_a_loan_out_and_back(desks: Desks, size: tuple[int, int]) -> None:
    shelves = desks.sit_down(LIBRARIAN, "/shelves?order=mark", size=size)
    line = shelves.locator(".ledger .line", has_text="ready").first
    carrier = line.locator(".spine-carrier").first.inner_text()
    mark = line.locator(".spine-mark").first.inner_text()
    record = line.locator(".title").get_attribute("href")

    shelves.goto(f"{desks.address}/shelves/loans")
    shelves.locator("#mark").focus()
    for words in (f"{carrier} {mark}".lower(), "the Corn Hall"):
        shelves.keyboard.type(words)
        shelves.keyboard.press("Tab")
    shelves.keyboard.press("Enter")
    out = shelves.locator(".loans li", has=shelves.get_by_text(mark, exact=True))
    expect(out).to_contain_text("out to the Corn Hall since today")

    phone = desks.sit_down(SEARCHER, str(record), size=size)
    expect(phone.locator(".copies")).to_contain_text("on loan to the Corn Hall")

    # The reader: characters without a pause, and Enter. The box has the focus by itself.
    expect(shelves.locator("#home")).to_be_focused()
    scan(shelves, "no such mark")
    expect(shelves.locator("#problem")).to_contain_text("No disc has the shelf mark")
    expect(shelves.locator("#home")).to_have_value("no such mark")
    shelves.locator("#home").press("Control+A")
    scan(shelves, f"{carrier} {mark}")
    expect(shelves.locator("#said")).to_contain_text("is home again from the Corn Hall")
    expect(out).to_have_count(0)
    expect(shelves.locator("#home")).to_be_focused()
    phone.reload()
    expect(phone.locator(".copies")).not_to_contain_text("on loan to the Corn Hall")
