"""The librarian at records: many changed and taken back, another name, a record's history."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, NARROW, SEARCHER, WIDE, Desks, hear

BOTH = pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])


def _said(page: Page, words: str) -> None:
    expect(page.locator("#said")).to_contain_text(words)


@BOTH
def test_many_are_changed_and_taken_back(desks: Desks, size: tuple[int, int]) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves?q=netmenders&order=title", size=size)
    lines = page.locator("li.line")
    count = lines.count()
    assert count > 3
    # Shift takes all in between, as in any list.
    lines.nth(0).locator("label.tick").click()
    lines.nth(2).locator("label.tick").click(modifiers=["Shift"])
    expect(page.locator(".ticked")).to_contain_text("3")
    page.get_by_role("button", name="Change those ticked").click()
    expect(page.locator("h1")).to_contain_text("3 records that were ticked")
    page.fill("#s-label", "Saltings Records")
    page.fill("#s-place", "the moon")
    page.get_by_role("button", name="See what would change").click()
    expect(page.locator("main [role=alert]")).to_contain_text(
        "“the moon” is not on the list of places"
    )
    expect(page.locator("#s-label")).to_have_value("Saltings Records")
    page.fill("#s-place", "")
    page.get_by_role("button", name="See what would change").click()
    expect(page.locator(".state")).to_have_text("3 records would be changed.")
    expect(page.locator(".before-after li").first).to_contain_text("Saltings Records")
    page.locator("form.acts-line button.main").click()
    _said(page, "3 records were changed.")

    page.goto(f"{desks.address}/shelves/actions")
    first = page.locator("li.line").first
    expect(first).to_contain_text("record label of many at once")
    first.get_by_role("button").click()
    _said(page, "Taken back")
    page.goto(f"{desks.address}/shelves/several?all=yes&q=netmenders&order=title")
    page.fill("#s-label", "Saltings Records")
    page.get_by_role("button", name="See what would change").click()
    expect(page.locator(".state")).to_have_text(f"{count} records would be changed.")
    page.context.close()


@BOTH
def test_another_name_is_found_and_its_history_takes_it_back(
    desks: Desks, size: tuple[int, int]
) -> None:
    name = f"The Herring Ballad {size[0]}"
    page = desks.sit_down(LIBRARIAN, "/shelves?q=thunder+mudflat", size=size)
    page.locator("li.line .title a, li.line a.title").first.click()
    title = page.locator("h1").inner_text()
    record = page.url
    page.goto(f"{record}/names")
    page.fill("#new-title", name)
    page.locator("#new-title").press("Enter")
    _said(page, "the next request for it finds the record")
    phone = desks.sit_down(SEARCHER)
    hear(phone, name)
    expect(phone.locator("button.row.take").first).to_contain_text(title.split("\n")[0])

    page.goto(f"{record}/history")
    line = page.locator(".events li.line", has_text=name).first
    expect(line).to_contain_text(LIBRARIAN)
    line.get_by_role("button").click()
    _said(page, "Taken back")
    page.goto(f"{record}/names")
    assert name not in [
        box.input_value() for box in page.locator(".other-names input[name=name]").all()
    ]
    page.context.close()
    phone.context.close()
