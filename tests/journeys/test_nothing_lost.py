"""What was typed is kept however quickly the hand goes on, and two desks on one slip settle it."""

from __future__ import annotations

from playwright.sync_api import Page, Route, expect

from tests.journeys.desks import PRESENTER, SEARCHER, Desks, hear, take

FIRST = "thunder mudflat"


def _go_to(page: Page, field: str) -> None:
    page.locator(f"#{field}").focus()


def test_a_name_typed_just_before_the_next_slip_is_on_its_slip(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    _go_to(phone, "caller_name")
    phone.keyboard.type("Maureen")
    phone.keyboard.press("F2")
    phone.wait_for_url("**/phone/fresh")
    expect(phone.locator("#strip")).to_contain_text("Maureen")
    expect(phone.locator("#caller_name")).to_have_value("")


def test_words_typed_just_before_handing_over_are_in_the_studio(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    take(phone)
    phone.keyboard.type("Maureen")
    _go_to(phone, "why")
    phone.keyboard.type("they danced to it")
    phone.keyboard.press("Control+Enter")
    phone.keyboard.press("Control+Enter")  # an elderly hand presses twice
    card = studio.locator("article.card")
    expect(card).to_contain_text("they danced to it", timeout=5000)
    expect(card).to_contain_text("Maureen")
    expect(phone.locator(".handed")).to_be_visible()
    expect(phone.locator("#problem")).to_be_empty()


def test_words_typed_just_before_the_page_is_closed_are_kept(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    address = phone.url
    _go_to(phone, "why")
    phone.keyboard.type("a wedding")
    phone.close(run_before_unload=True)
    again = desks.sit_down(SEARCHER, address.removeprefix(desks.address))
    expect(again.locator("#why")).to_have_value("a wedding")


def test_nobody_leaves_a_slip_that_cannot_be_kept_without_a_word(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    phone.context.set_offline(True)
    _go_to(phone, "why")
    phone.keyboard.type("a wedding")
    phone.keyboard.press("F2")
    expect(phone.locator("#problem")).to_contain_text("Not kept yet", timeout=8000)
    expect(phone.locator("#why")).to_have_value("a wedding")
    phone.context.set_offline(False)
    expect(phone.locator("#problem")).to_be_empty(timeout=8000)
    phone.keyboard.press("F2")
    phone.wait_for_url("**/phone/fresh")


def test_another_record_is_begun_though_the_strip_is_drawn_anew_meanwhile(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    phone.route("**/phone/details", hold)
    _go_to(phone, "caller_name")
    phone.keyboard.type("Maureen")
    phone.keyboard.press("F4")
    phone.wait_for_timeout(300)
    assert held, "what was typed is sent first"
    phone.evaluate(
        "() => { const old = document.getElementById('strip');"
        " const anew = old.cloneNode(true); old.replaceWith(anew); window.htmx.process(anew); }"
    )
    for route in held:
        route.continue_()
    phone.unroute("**/phone/details")
    expect(phone.locator(".same-call")).to_be_visible()
    expect(phone.locator("#caller_name")).to_have_value("Maureen")


def test_an_empty_slip_is_handed_over_only_when_asked_twice(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    phone.keyboard.press("Control+Enter")
    expect(phone.locator("#ask-once")).to_contain_text("Nothing is written on this slip")
    phone.wait_for_timeout(1500)
    expect(studio.locator("article.card")).to_have_count(0)
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_have_count(1, timeout=3000)


def test_two_desks_on_one_slip_settle_it_field_by_field(desks: Desks) -> None:
    one = desks.sit_down(SEARCHER)
    hear(one, FIRST)
    two = desks.sit_down(SEARCHER, one.url.removeprefix(desks.address))
    _go_to(one, "why")
    one.keyboard.type("for Joan")
    expect(one.locator("#kept")).to_contain_text("Kept at")
    one.keyboard.press("Tab")

    _go_to(two, "why")
    two.keyboard.type("for Mary")
    two.keyboard.press("Tab")
    two.keyboard.type("her garden")
    clash = two.locator("#clashes .clash")
    expect(clash).to_contain_text("Another desk wrote “for Joan” under “Why this one”")
    expect(two.locator("#why")).to_have_value("for Mary")
    two.keyboard.press("Control+Enter")
    expect(two.locator("#problem")).to_contain_text("Choose first which of the two stays")
    expect(clash.get_by_role("button", name="Keep mine")).to_be_focused()
    two.keyboard.press("Enter")
    expect(clash).to_have_count(0)
    expect(two.locator("#problem")).to_be_empty()

    # Whoever comes back to the other desk sees the newer words, and every field goes on.
    one.evaluate("window.dispatchEvent(new Event('focus'))")
    expect(one.locator("#why")).to_have_value("for Mary")
    expect(one.locator("#talk_about")).to_have_value("her garden")
    _go_to(one, "for_whom")
    one.keyboard.type("her sister")
    one.keyboard.press("Tab")
    two.evaluate("window.dispatchEvent(new Event('focus'))")
    expect(two.locator("#for_whom")).to_have_value("her sister")


def test_a_slip_begun_by_one_is_finished_by_another(desks: Desks) -> None:
    one = desks.sit_down(SEARCHER)
    hear(one, FIRST)
    one.locator("#caller_name").focus()
    one.keyboard.type("Maureen")
    one.keyboard.press("F9")
    expect(one.locator("#hold strong")).to_contain_text("on hold")

    two = desks.sit_down(PRESENTER, "/phone")
    line = two.locator("#strip a", has_text="Maureen, on hold")
    line.focus()
    two.keyboard.press("Enter")
    expect(two.locator("#caller_name")).to_have_value("Maureen")
    expect(two.locator("#heard")).to_have_value(FIRST)
    two.locator("#heard").focus()
    take(two)
    two.keyboard.press("Control+Enter")
    expect(two.locator(".handed")).to_contain_text("is with Studio 1")


def test_the_cursor_waits_in_the_passphrase_after_a_wrong_one(desks: Desks) -> None:
    page = desks.browser.new_page()
    page.goto(f"{desks.address}/sign-in")
    page.keyboard.type(SEARCHER)
    page.keyboard.press("Tab")
    page.keyboard.type("not that one")
    page.keyboard.press("Enter")
    expect(page.locator("#sign-in-problem")).to_be_visible()
    expect(page.locator("#passphrase")).to_be_focused()
    expect(page.locator("#name")).to_have_value(SEARCHER)
    page.keyboard.type(desks.passphrases[SEARCHER])
    page.keyboard.press("Enter")
    page.wait_for_url("**/phone**")


def test_a_kind_of_music_names_no_record_and_is_offered(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, "a hymn")
    expect(phone.locator(".based-on")).to_contain_text("hymn")
    phone.keyboard.press("Enter")
    row = phone.locator("button.row:focus")
    expect(row).to_contain_text("hymn")
    title = row.locator(".title").inner_text()
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(title)
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_contain_text(title, timeout=3000)


def test_nothing_of_a_caller_stays_in_the_browser(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    take(phone)
    phone.keyboard.type("Maureen")
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()
    kept = phone.evaluate(
        "() => JSON.stringify([{...localStorage}, {...sessionStorage}, document.cookie])"
    )
    assert "Maureen" not in kept and "mudflat" not in kept
    phone.go_back()
    expect(phone.locator(".handed")).to_contain_text("is with Studio 1")
    assert "Maureen" not in phone.content()


def test_two_desks_hear_differently_and_neither_is_overwritten(desks: Desks) -> None:
    one = desks.sit_down(SEARCHER)
    hear(one, "thunder")
    one.wait_for_url("**/phone/slips/*")
    other = desks.sit_down(PRESENTER, one.url.removeprefix(desks.address))
    other.locator("#heard").focus()
    other.keyboard.press("End")
    hear(other, " mudflat")
    one.locator("#heard").focus()
    one.keyboard.press("End")
    one.keyboard.type(" tea")
    clash = one.locator("#heard-clash .clash")
    expect(clash).to_contain_text("Another desk wrote “thunder mudflat”")
    clash.get_by_role("button", name="Take theirs").focus()
    one.keyboard.press("Enter")
    expect(one.locator("#heard")).to_have_value("thunder mudflat")
    expect(clash).to_have_count(0)
    expect(one.locator("#answer")).to_contain_text("Thunder Mudflat")
    one.locator("#heard").focus()
    one.keyboard.press("End")
    hear(one, " live")
    other.keyboard.type(" two")
    mine = other.locator("#heard-clash .clash")
    expect(mine).to_contain_text("thunder mudflat live")
    mine.get_by_role("button", name="Keep mine").focus()
    other.keyboard.press("Enter")
    expect(mine).to_have_count(0)
    other.wait_for_timeout(600)
    other.reload()
    expect(other.locator("#heard")).to_have_value("thunder mudflat two")
