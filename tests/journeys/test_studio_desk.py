"""The studio by keyboard alone: take, on air, the second studio, and the screen that goes blank."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, PRESENTER, SEARCHER, Desks, hear, take
from tests.journeys.silent_wire import wire_to

FIRST, SECOND = "thunder mudflat", "limonata alle tre"


def _hand_over(phone: Page, words: str, caller: str) -> None:
    with phone.expect_navigation():
        phone.keyboard.press("F2")
    hear(phone, words)
    take(phone)
    phone.keyboard.type(caller)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()
    phone.wait_for_load_state()  # a page that is still being read has no keys yet


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
        if phone.evaluate("() => document.activeElement.name === 'urgent'"):
            break
        phone.keyboard.press("Tab")
    phone.keyboard.press("Space")
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card .urgent")).to_have_text("Urgent", timeout=3000)
    expect(studio.locator("#count")).to_contain_text("is urgent")


def test_what_is_not_found_is_back_at_the_phone_desk_and_comes_again_with_another(
    desks: Desks,
) -> None:
    phone = desks.sit_down(SEARCHER)
    _hand_over(phone, FIRST, "Maureen")
    studio = desks.sit_down(PRESENTER)
    place = studio.locator(".spine-mark").first.inner_text()
    studio.keyboard.press("F7")
    expect(studio.locator("article.card select")).to_be_focused()
    studio.keyboard.type("not found")
    studio.keyboard.press("Tab")
    studio.keyboard.press("Enter")
    expect(studio.locator("#said")).to_contain_text("is back at the phone desk")
    expect(studio.locator("article.card")).to_have_count(0)
    expect(studio.locator("#played")).to_contain_text("not found in its place")

    told = phone.locator("#came-back")
    expect(told).to_contain_text("came back from Studio 1", timeout=5000)
    expect(told).to_contain_text("“Thunder Mudflat” was not found in its place")
    phone.keyboard.press("F7")
    phone.wait_for_url("**/phone/slips/*")
    expect(phone.locator("#caller_name")).to_have_value("Maureen")
    expect(phone.locator("#answer")).to_contain_text(f"{place}", timeout=5000)
    expect(phone.locator("#answer")).to_contain_text("missing")
    phone.keyboard.press("Control+A")
    hear(phone, SECOND)
    take(phone)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()
    expect(studio.locator("article.card")).to_contain_text("Limonata alle tre", timeout=3000)
    expect(phone.locator("#came-back p")).to_have_count(0)


def test_what_was_done_by_mistake_is_taken_back_with_one_key(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    _hand_over(phone, FIRST, "Maureen")
    studio = desks.sit_down(PRESENTER)
    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#played")).to_contain_text("Thunder Mudflat")
    expect(studio.locator("#played")).to_contain_text("played")
    studio.wait_for_load_state()
    studio.keyboard.press("Control+z")
    expect(studio.locator("article.card")).to_contain_text("Maureen")


def test_the_shelves_send_a_slip_back_and_the_studio_and_the_phone_desk_see_it(
    desks: Desks,
) -> None:
    phone = desks.sit_down(SEARCHER)
    shelves = desks.sit_down(LIBRARIAN, "/shelves/fetch", size=(390, 844))
    _hand_over(phone, FIRST, "Maureen")
    expect(shelves.locator("#fetch")).to_contain_text("Thunder Mudflat", timeout=5000)
    studio = desks.sit_down(PRESENTER)
    for _ in range(40):
        if shelves.evaluate("() => document.activeElement.value === 'not found in its place'"):
            break
        shelves.keyboard.press("Tab")
    shelves.keyboard.press("Enter")
    expect(shelves.locator("#said")).to_contain_text("is marked missing")
    expect(studio.locator("article.card")).to_have_count(0, timeout=3000)
    expect(studio.locator("#played")).to_contain_text("not found in its place")
    expect(phone.locator("#came-back")).to_contain_text("Thunder Mudflat", timeout=5000)


def test_a_cable_pulled_out_is_told_though_nothing_gives_an_error(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    with wire_to(desks.address) as (wire, address):
        far = Desks(address, desks.passphrases, desks.browser)
        studio = far.sit_down(PRESENTER)
        expect(studio.locator("#lost")).to_be_empty()
        wire.cut()
        expect(studio.locator("#lost")).to_contain_text("Not up to date since", timeout=10_000)
        _hand_over(phone, FIRST, "Maureen")
        wire.mend()
        expect(studio.locator("article.card")).to_contain_text("Maureen", timeout=8000)
        expect(studio.locator("#lost")).to_be_empty()
        assert far.troubles == []
        studio.context.close()
