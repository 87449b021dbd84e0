"""The list never changes between looking and pressing Enter, and a lost network is told."""

from __future__ import annotations

from playwright.sync_api import Page, Route, expect

from tests.journeys.desks import LIBRARIAN, PRESENTER, SEARCHER, STILL_MS, Desks, hear, take

FIRST, SECOND = "thunder mudflat", "limonata alle tre"


def _rows(page: Page) -> list[str]:
    return page.locator("button.row .title").all_inner_texts()


def test_a_late_answer_does_not_move_the_list_under_the_hand(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    before = _rows(phone)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    phone.route("**/phone/heard", hold)
    phone.keyboard.press("Control+A")
    phone.keyboard.type(SECOND)
    phone.wait_for_timeout(600)
    assert held, "the question was sent"
    phone.keyboard.press("Tab")
    phone.locator("button.row").first.focus()

    for route in held:
        route.continue_()
    phone.unroute("**/phone/heard")
    phone.wait_for_timeout(800)

    assert _rows(phone) == before
    phone.keyboard.press("Escape")
    expect(phone.locator("button.row .title").first).to_have_text("Limonata alle tre")


def test_enter_pressed_too_soon_takes_nothing_that_was_not_seen(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    phone.keyboard.type(FIRST)
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus")).to_have_count(1)
    phone.keyboard.press("Enter")
    phone.wait_for_timeout(150)
    taken_at_once = phone.locator("#chosen.full").count()
    phone.wait_for_timeout(STILL_MS)
    assert taken_at_once == 0
    expect(phone.locator("#announce")).to_contain_text("only just changed")
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_be_visible()


def test_enter_before_the_answer_waits_for_the_answer_to_these_words(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    phone.keyboard.press("Control+A")
    phone.keyboard.type(SECOND)
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus .title")).to_have_text("Limonata alle tre")


def test_a_card_being_used_stays_while_others_arrive(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    for words in (FIRST, SECOND):
        hear(phone, words)
        take(phone)
        phone.keyboard.press("Control+Enter")
        expect(phone.locator(".handed")).to_be_visible()
        if words == FIRST:
            expect(studio.locator("article.card")).to_have_count(1, timeout=3000)
            studio.locator("article.card select").select_option("caller gone")
            studio.locator("article.card select").focus()
    expect(studio.locator("article.card")).to_have_count(2, timeout=3000)
    expect(studio.locator("article.card select").first).to_be_focused()
    expect(studio.locator("article.card select").first).to_have_value("caller gone")
    assert studio.locator("article.card .title").first.inner_text() == "Thunder Mudflat"


def test_the_studio_says_when_it_is_not_up_to_date(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    studio.context.set_offline(True)
    expect(studio.locator("#lost")).to_contain_text("Not up to date", timeout=5000)
    studio.context.set_offline(False)
    expect(studio.locator("#lost")).to_be_empty(timeout=5000)


def test_what_was_typed_while_the_network_was_lost_is_kept_afterwards(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    phone.context.set_offline(True)
    phone.locator("#caller_name").focus()
    phone.keyboard.type("Maureen")
    expect(phone.locator("#lost")).to_contain_text("Not up to date", timeout=5000)
    phone.context.set_offline(False)
    expect(phone.locator("#lost")).to_be_empty(timeout=6000)
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_timeout(600)
    phone.reload()
    expect(phone.locator("#caller_name")).to_have_value("Maureen")


def test_a_files_place_is_marked_for_copying_with_one_key(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, "wallop the walrus")
    take(phone)
    expect(phone.locator("#chosen.full")).to_contain_text(".mp3")
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_have_count(1, timeout=3000)
    studio.keyboard.press("F8")
    expect(studio.locator("button.copy")).to_contain_text("Copied")
    marked = studio.evaluate("() => window.getSelection().toString()")
    assert marked.endswith("Wallop the Walrus/01 Wallop the Walrus.mp3")


def test_a_correction_that_is_refused_keeps_what_was_typed(desks: Desks) -> None:
    shelves = desks.sit_down(LIBRARIAN, "/shelves/recordings/1")
    shelves.fill("#f-year", "nineteen")
    shelves.fill("#f-album", "A new album")
    shelves.keyboard.press("Enter")
    expect(shelves.locator("#problem")).to_contain_text("is not a year")
    expect(shelves.locator("#f-album")).to_have_value("A new album")


def test_many_slips_do_not_mix(desks: Desks) -> None:
    """Three searchers write at once; each slip keeps its own caller."""
    phones = [desks.sit_down(SEARCHER) for _ in range(3)]
    for number, phone in enumerate(phones):
        hear(phone, FIRST)
        phone.locator("#caller_name").focus()
        phone.keyboard.type(f"Caller {number}")
    for number, phone in enumerate(phones):
        phone.wait_for_timeout(600)
        phone.reload()
        expect(phone.locator("#caller_name")).to_have_value(f"Caller {number}")


def test_a_session_that_ended_is_told_and_the_slip_goes_on_after_signing_in(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, FIRST)
    cookies = phone.context.cookies()
    phone.context.clear_cookies()
    phone.locator("#caller_name").focus()
    phone.keyboard.type("Maureen")
    expect(phone.locator("#problem")).to_contain_text("sign in again", timeout=5000)
    expect(phone.locator("#caller_name")).to_have_value("Maureen")

    phone.context.add_cookies(cookies)  # type: ignore[arg-type]
    expect(phone.locator("#problem")).to_be_empty(timeout=6000)
    phone.keyboard.type(" T")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_timeout(600)
    phone.reload()
    expect(phone.locator("#caller_name")).to_have_value("Maureen T")
