"""The studio by keyboard alone: take, on air, the second studio, and the screen that goes blank."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.journeys.desks import PRESENTER, SEARCHER, Desks, hear, take

FIRST, SECOND = "thunder mudflat", "limonata alle tre"


def _hand_over(phone: Page, words: str, caller: str) -> None:
    phone.keyboard.press("F2")
    expect(phone.locator("#slip-heading")).to_contain_text("Fresh slip")
    hear(phone, words)
    take(phone)
    phone.keyboard.type(caller)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()


def test_a_call_is_taken_put_on_air_and_played(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    _hand_over(phone, FIRST, "Maureen")
    _hand_over(phone, SECOND, "Stan")
    studio = desks.sit_down(PRESENTER)
    expect(studio.locator("#left")).to_contain_text("left")
    studio.keyboard.press("F4")
    expect(studio.locator(".flags").first).to_contain_text("You have the call")
    studio.wait_for_load_state()
    studio.keyboard.press("F9")
    expect(studio.locator(".flags").first).to_contain_text("On air since")
    studio.wait_for_load_state()
    expect(phone.locator("#strip")).to_contain_text("on air in Studio 1", timeout=5000)
    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#played")).to_contain_text("Thunder Mudflat")
    expect(studio.locator("article.card")).to_have_count(1)
    expect(studio.locator("article.card")).to_contain_text("Stan")


def test_a_slip_is_given_to_the_second_studio_and_is_never_in_two(desks: Desks) -> None:
    first = desks.sit_down(PRESENTER)
    second = desks.sit_down(PRESENTER, "/studio?studio=Studio+2")
    phone = desks.sit_down(SEARCHER)
    _hand_over(phone, FIRST, "Maureen")
    expect(first.locator("article.card")).to_have_count(1, timeout=3000)
    expect(second.locator("article.card")).to_have_count(0)
    for _ in range(40):
        if first.evaluate("() => document.activeElement.value === 'Studio 2'"):
            break
        first.keyboard.press("Tab")
    first.keyboard.press("Enter")
    expect(first.locator("article.card")).to_have_count(0)
    expect(second.locator("article.card")).to_contain_text("Maureen", timeout=3000)


def test_the_screen_goes_blank_and_the_key_that_wakes_it_does_nothing_else(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    _hand_over(phone, FIRST, "Maureen")
    studio = desks.sit_down(PRESENTER)
    studio.clock.install()
    studio.reload()
    expect(studio.locator("article.card")).to_contain_text("Maureen")
    studio.clock.fast_forward("09:00")
    expect(studio.locator("#blank")).to_be_hidden()
    studio.clock.fast_forward("01:30")
    expect(studio.locator("#blank")).to_be_visible()
    expect(studio.locator("#blank")).to_contain_text("Any key brings it back")
    expect(studio.locator("#blank")).to_contain_text("1 slip is waiting")
    seen = studio.evaluate("() => document.body.innerText")
    assert "Maureen" not in seen and "Thunder" not in seen

    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#blank")).to_be_hidden()
    expect(studio.locator("article.card")).to_contain_text("Maureen")
    studio.clock.resume()
    studio.wait_for_timeout(300)
    expect(studio.locator("article.card")).to_have_count(1)


def test_what_arrives_shows_without_a_key_and_says_that_it_is_urgent(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    take(phone)
    for _ in range(40):
        if phone.evaluate("() => document.activeElement.name === 'urgent_box'"):
            break
        phone.keyboard.press("Tab")
    phone.keyboard.press("Space")
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card .urgent")).to_have_text("Urgent", timeout=3000)
    expect(studio.locator("#count")).to_contain_text("is urgent")
