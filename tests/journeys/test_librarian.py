"""The librarian's evening, by keyboard: a double judged and undone; a gap that becomes a want,
arrives and is offered."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, SEARCHER, Desks, hear


def _go_to(page: Page, role: str, name: str | re.Pattern[str], most: int = 90) -> None:
    """Press Tab until the link or button of this name has the focus."""
    target = page.get_by_role(role, name=name, exact=isinstance(name, str)).first  # type: ignore[arg-type]
    for _ in range(most):
        if target.evaluate("e => e === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{name} was not reached by keyboard")


def test_a_double_is_found_judged_and_undone(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/duplicates")
    expect(page.locator("h1")).to_have_text("Likely duplicates")
    left = page.locator("strong", has_text="left to judge").inner_text()
    _go_to(page, "link", "Begin with the first")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Are these one recording?")
    expect(page.locator(".differing").first).to_be_visible()
    first = page.url
    _go_to(page, "button", "The same: make them one")
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: url != first)
    expect(page.locator("#said")).to_contain_text("Made one. It can be undone")
    page.goto(f"{desks.address}/shelves/duplicates/judged")
    expect(page.locator(".judged")).to_contain_text("Made one")
    expect(page.locator(".judged")).to_contain_text(LIBRARIAN)
    _go_to(page, "button", re.compile("^Undo: "))
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("Everything is back where it was.")
    page.goto(f"{desks.address}/shelves/duplicates")
    expect(page.locator("strong", has_text="left to judge")).to_have_text(left)


def test_a_gap_becomes_a_want_arrives_and_is_offered(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/gaps")
    button = page.get_by_role("button", name=re.compile("^Put on the list of wants: ")).first
    title = button.get_attribute("aria-label").split(": ", 1)[1]  # type: ignore[union-attr]
    line = page.locator(".line", has=button).first
    artist = line.locator(".artist").inner_text()
    number = line.locator("[name=recording_id]").input_value()
    _go_to(page, "button", f"Put on the list of wants: {title}")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text(f"On the list of wants: {title}")
    page.goto(f"{desks.address}/shelves/wants/print")
    expect(page.locator(".run")).to_contain_text(title)
    # It comes: a CD is put on the shelf.
    page.goto(f"{desks.address}/shelves/recordings/{number}")
    page.locator(".add-copy summary").focus()
    page.keyboard.press("Enter")
    page.locator("#c-mark").focus()
    page.keyboard.type("C 999", delay=90)  # by hand: after a reader Enter goes on to the next box
    page.keyboard.press("Enter")
    expect(page.locator(".copies")).to_contain_text("C 999")
    page.goto(f"{desks.address}/shelves/wants")
    came = page.locator(".came .line", has_text=title)
    expect(came).to_contain_text("C 999")
    expect(came).to_contain_text("Asked for")
    expect(page.locator(".sheet:not(.came) .title", has_text=title)).to_have_count(0)
    # And the next caller who asks is offered it.
    phone = desks.sit_down(SEARCHER)
    hear(phone, f"{title} by {artist}")
    expect(phone.locator("button.row.take").first).to_contain_text("C 999")
    _go_to(page, "button", re.compile(f"^Seen to: .*{re.escape(title)}"))
    page.keyboard.press("Enter")
    expect(page.locator(".came", has_text=title)).to_have_count(0)
