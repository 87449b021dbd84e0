"""A whole call, by keyboard alone: from what was half heard to the played list."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.journeys.desks import PRESENTER, SEARCHER, STILL_MS, Desks, hear, take

MISHEARD = "funder mud flat iron corm a rant"
"""For "Thunder Mudflat" by Iron Cormorant: th heard as f, as on any telephone."""
TITLE, ARTIST = "Thunder Mudflat", "Iron Cormorant"

NOT_HELD = "a light house is no plays for a lady"
NOT_HELD_TITLE = "A Lighthouse Is No Place for a Lady"

_LARGEST = """() => {
  const seen = Array.from(document.querySelectorAll('main *')).filter((e) =>
    e.getClientRects().length
    && Array.from(e.childNodes).some((n) => n.nodeType === 3 && n.data.trim()));
  const size = (e) => parseFloat(getComputedStyle(e).fontSize);
  return seen.sort((a, b) => size(b) - size(a))[0].className;
}"""


class Keys:
    """A keyboard that counts what is pressed beyond the text."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.pressed: list[str] = []

    def press(self, key: str) -> None:
        self.pressed.append(key)
        self.page.keyboard.press(key)


def _focus_is(page: Page, selector: str) -> bool:
    return bool(page.evaluate("(s) => document.activeElement.matches(s)", selector))


def test_a_misheard_request_goes_from_the_phone_to_the_played_list(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    expect(studio.locator("#count")).to_contain_text("No slip is waiting")
    phone = desks.sit_down(SEARCHER)
    keys = Keys(phone)

    assert _focus_is(phone, "#heard")
    hear(phone, MISHEARD)
    keys.press("Enter")
    first = phone.locator("button.row:focus")
    expect(first).to_contain_text(TITLE)
    expect(first).to_contain_text(ARTIST)
    place = first.locator(".spine-mark").inner_text()
    keys.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(TITLE)
    expect(phone.locator("#caller_name")).to_be_focused()
    phone.keyboard.type("Maureen Tolley")
    keys.press("Control+Enter")
    expect(phone.locator(".handed")).to_contain_text("is with Studio 1")
    assert len(keys.pressed) <= 6

    card = studio.locator("article.card")
    expect(card).to_contain_text("Maureen Tolley", timeout=3000)
    expect(card).to_contain_text("Not asked. Do not say who it is.")
    assert card.locator(".spine-mark").inner_text() == place
    assert studio.evaluate(_LARGEST) == "spine-mark"

    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#played")).to_contain_text(TITLE)
    expect(studio.locator("#played .margin").first).to_have_text(re.compile(r"^\d\d:\d\d$"))
    expect(studio.locator("article.card")).to_have_count(0)
    expect(phone.locator("#strip a.away")).to_have_count(0, timeout=5000)


def test_a_stand_in_is_taken_for_what_is_not_held(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    keys = Keys(phone)
    hear(phone, NOT_HELD)

    keys.press("Enter")
    row = phone.locator("button.row:focus")
    expect(row).to_contain_text(NOT_HELD_TITLE)
    expect(row).to_contain_text("known, but not held")
    phone.keyboard.press("Enter")
    why_not = phone.locator("li:has(button.row:focus) .not-now")
    expect(why_not).to_contain_text("Not put on the slip: known, but not held. Press ↓")
    expect(phone.locator("#announce")).to_contain_text("Not put on the slip")
    expect(phone.locator("#chosen.full")).to_have_count(0)

    while phone.locator("ol.ledger").nth(1).locator("button.row:focus").count() == 0:
        keys.press("ArrowDown")
        assert len(keys.pressed) < 12
    title = phone.locator("button.row:focus .title").inner_text()
    keys.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(f"in place of “{NOT_HELD_TITLE}”")
    keys.press("Control+Enter")

    card = studio.locator("article.card")
    expect(card).to_contain_text(title, timeout=3000)
    expect(card).to_contain_text(f"Asked for: “{NOT_HELD_TITLE}”")


def test_nothing_typed_is_lost_by_a_reload_or_a_second_call(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, MISHEARD)
    phone.locator("#caller_name").focus()
    phone.keyboard.type("Maureen")
    phone.keyboard.press("Tab")
    phone.keyboard.type("MOR-een")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_timeout(500)
    phone.reload()
    expect(phone.locator("#heard")).to_have_value(MISHEARD)
    expect(phone.locator("#say_name")).to_have_value("MOR-een")
    expect(phone.locator("button.row").first).to_contain_text(TITLE)

    phone.keyboard.press("F2")
    expect(phone.locator("#slip-heading")).to_contain_text("Fresh slip")
    hear(phone, "limonata")
    phone.locator("#strip a", has_text="Maureen").click()
    expect(phone.locator("#caller_name")).to_have_value("Maureen")


def test_a_slip_is_called_back_and_leaves_the_studio(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, MISHEARD)
    take(phone)
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_have_count(1, timeout=3000)
    phone.get_by_role("button", name="Call it back").focus()
    phone.keyboard.press("Enter")
    expect(studio.locator("article.card")).to_have_count(0, timeout=3000)
    expect(phone.locator("#chosen.full")).to_contain_text(TITLE)
    phone.locator("#chosen button").focus()
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_have_count(0)
    expect(phone.locator("#heard")).to_be_focused()


def test_words_typed_on_the_list_go_back_into_the_box(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, "thunder mudfla")
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus")).to_have_count(1)
    phone.keyboard.type("t again ")
    expect(phone.locator("#heard")).to_have_value("thunder mudflat again ")
    expect(phone.locator("#chosen.full")).to_have_count(0)


def test_escape_comes_back_to_the_box_and_digits_only_move(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, "99 herons 2")
    expect(phone.locator("#heard")).to_have_value("99 herons 2")
    phone.keyboard.press("ArrowDown")
    phone.keyboard.press("2")
    expect(phone.locator("button.row:focus")).to_have_attribute("data-row", "2")
    expect(phone.locator("#chosen.full")).to_have_count(0)
    phone.keyboard.press("Escape")
    expect(phone.locator("#heard")).to_be_focused()
    phone.wait_for_timeout(STILL_MS)
