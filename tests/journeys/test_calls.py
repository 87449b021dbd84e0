"""Calls as they come, by keyboard alone: the plain find timed, no record named, two at once."""

from __future__ import annotations

import time

from playwright.sync_api import Page, expect

from tests.journeys.desks import PRESENTER, SEARCHER, STILL_MS, Desks, hear, take

KEY_MS = 120
"""A volunteer's typing: about a hundred letters a minute more than a beginner's."""
MOST_KEYS = 6

MISHEARD, TITLE = "funder mud flat iron corm a rant", "Thunder Mudflat"
OTHER, OTHER_TITLE = "limonata alle tre", "Limonata alle tre"


def _tab_to(page: Page, selector: str, most: int = 60) -> None:
    """Go forward by Tab alone until the hand is on this."""
    for _ in range(most):
        if page.evaluate("(s) => document.activeElement.matches(s)", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not reach {selector}")


def test_the_plain_find_is_timed_from_the_first_key_to_the_studio(desks: Desks, capsys) -> None:
    """Prints the seconds and the keys beyond the text, which are promised to be six at most."""
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    keys = 0
    began = time.perf_counter()
    phone.keyboard.type(MISHEARD, delay=KEY_MS)
    typed = time.perf_counter()
    phone.keyboard.press("Enter")
    keys += 1
    expect(phone.locator("button.row:focus")).to_contain_text(TITLE)
    phone.wait_for_timeout(STILL_MS)
    phone.keyboard.press("Enter")
    keys += 1
    expect(phone.locator("#caller_name")).to_be_focused()
    phone.keyboard.type("Maureen", delay=KEY_MS)
    phone.keyboard.press("Control+Enter")
    keys += 1
    expect(studio.locator("article.card")).to_contain_text("Maureen", timeout=5000)
    seconds = time.perf_counter() - began
    with capsys.disabled():
        print(
            f"\nplain find: {seconds:.1f} s from the first key to the studio at {KEY_MS} ms a key, "
            f"{typed - began:.1f} s of it typing what was heard; {keys} keys beyond the text"
        )
    assert keys <= MOST_KEYS
    expect(studio.locator("article.card")).to_contain_text(TITLE)


def test_a_request_that_names_no_record_goes_straight_to_suggestions(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, "anything by marsha heron")
    expect(phone.locator(".ask li").first).to_be_visible()
    expect(phone.locator(".ledger-title").first).to_have_text("Ask the caller")
    phone.keyboard.press("Enter")
    first = phone.locator("button.row:focus")
    expect(first).to_contain_text("Marsha Herron")
    refused = f"{first.locator('.title').inner_text()} {first.locator('.artist').inner_text()}"

    phone.keyboard.press("Delete")
    expect(phone.locator(".turned-down")).to_contain_text("1 turned down")
    expect(phone.locator("button.row:focus")).to_have_count(1)
    # The same song by somebody else may still be offered.
    offered = [
        f"{row.locator('.title').inner_text()} {row.locator('.artist').inner_text()}"
        for row in phone.locator("#list > .ledger button.row").all()
    ]
    assert offered and refused not in offered
    phone.wait_for_timeout(STILL_MS)
    title = phone.locator("button.row:focus .title").inner_text()
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(title)
    phone.keyboard.press("Control+Enter")
    expect(studio.locator("article.card")).to_contain_text(title, timeout=3000)


def test_two_lines_at_once_do_not_mix(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, MISHEARD)
    take(phone)
    phone.keyboard.type("Maureen")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.keyboard.press("F9")
    expect(phone.locator("#hold strong")).to_contain_text("on hold")

    phone.keyboard.press("F2")
    expect(phone.locator("#slip-heading")).to_contain_text("Fresh slip")
    expect(phone.locator("#strip")).to_contain_text("Maureen, on hold")
    hear(phone, OTHER)
    take(phone)
    phone.keyboard.type("Stan")
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()

    _tab_to(phone, "#strip a:not(.away):not(.fresh)")
    phone.keyboard.press("Enter")
    expect(phone.locator("#caller_name")).to_have_value("Maureen")
    expect(phone.locator("#chosen.full")).to_contain_text(TITLE)
    studio = desks.sit_down(PRESENTER)
    expect(studio.locator("article.card")).to_have_count(1)
    expect(studio.locator("article.card")).to_contain_text("Stan")
    expect(studio.locator("article.card")).to_contain_text(OTHER_TITLE)


def test_several_records_of_one_caller_go_over_together(desks: Desks) -> None:
    studio = desks.sit_down(PRESENTER)
    phone = desks.sit_down(SEARCHER)
    hear(phone, MISHEARD)
    take(phone)
    phone.keyboard.type("Maureen")
    phone.keyboard.press("F4")
    expect(phone.locator(".same-call")).to_be_visible()
    expect(phone.locator("#caller_name")).to_have_value("Maureen")
    expect(phone.locator("#heard")).to_be_focused()
    hear(phone, OTHER)
    take(phone)
    phone.keyboard.press("Control+Enter")
    cards = studio.locator("article.card")
    expect(cards).to_have_count(2, timeout=3000)
    for number, title in enumerate((TITLE, OTHER_TITLE)):
        expect(cards.nth(number)).to_contain_text(title)
        expect(cards.nth(number)).to_contain_text("Maureen")


def test_a_wrong_match_is_taken_back_and_the_right_one_taken(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, OTHER)
    take(phone)
    expect(phone.locator("#chosen.full")).to_contain_text(OTHER_TITLE)
    phone.keyboard.press("Escape")
    phone.keyboard.press("Control+A")
    hear(phone, MISHEARD)
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus")).to_contain_text(TITLE)
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(TITLE)
    # The page leads on to the name a moment after the record is shown.
    expect(phone.locator("#caller_name")).to_be_focused()
    _tab_to(phone, "#chosen button")
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_have_count(0)
    expect(phone.locator("#heard")).to_be_focused()


def test_why_these_is_loaded_only_when_it_is_opened(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    hear(phone, MISHEARD)
    expect(phone.locator("mark").first).to_be_visible()
    assert not [url for url in asked if url.endswith("/phone/why")]
    _tab_to(phone, ".read-as summary")
    phone.keyboard.press("Enter")
    expect(phone.locator(".parts").first).to_be_visible()
    phone.keyboard.press("Enter")
    phone.keyboard.press("Enter")
    phone.wait_for_timeout(300)
    assert len([url for url in asked if url.endswith("/phone/why")]) == 1


def test_a_file_is_listened_to_once_headphones_are_chosen(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, "wallop the walrus")
    expect(phone.locator("button.listen")).to_have_count(0)
    phone.goto(f"{desks.address}/desk")
    _tab_to(phone, "[name=headphones]")
    phone.keyboard.press("ArrowUp")
    expect(phone.locator("[name=headphones][value=yes]")).to_be_checked()
    phone.keyboard.press("Enter")
    expect(phone.locator(".note")).to_contain_text("Kept for this desk")

    phone.goto(f"{desks.address}/phone")
    with phone.expect_response("**/phone/listen/*") as heard:
        phone.keyboard.press("F8")
    assert heard.value.status in (200, 206)
    assert heard.value.headers["content-type"].startswith("audio/")
    expect(phone.locator("#ear")).to_contain_text("Wallop the Walrus")
    phone.keyboard.press("F8")
    expect(phone.locator("#ear")).to_be_hidden()


def test_a_recording_is_attached_and_heard_in_the_studio(desks: Desks) -> None:
    import sample_library

    sound = next((sample_library.folder() / "audio").rglob("*.mp3"))
    phone = desks.sit_down(SEARCHER)
    phone.locator("#caller_name").focus()
    phone.keyboard.type("Maureen")
    _tab_to(phone, "[name=how_on_air]")
    phone.keyboard.press("ArrowRight")
    expect(phone.locator("#the-slip [name=slip]")).not_to_have_value("")
    expect(phone.locator("#recording-file")).to_be_visible()
    phone.locator("#recording-file").set_input_files(sound)
    expect(phone.locator("#recorded")).to_contain_text("The recording is attached.")
    phone.reload()
    expect(phone.locator("#recorded")).to_contain_text("The recording is attached.")
    _tab_to(phone, "#first_words")
    phone.keyboard.type("Good evening")
    _tab_to(phone, "#may_hear")
    phone.keyboard.press("ArrowDown")
    phone.keyboard.press("Control+Enter")
    expect(phone.locator("#ask-once")).to_contain_text("names no record")
    phone.keyboard.press("Control+Enter")
    expect(phone.locator(".handed")).to_be_visible()

    studio = desks.sit_down(PRESENTER)
    card = studio.locator("article.card")
    expect(card).to_contain_text("from “Good evening”")
    expect(card).to_contain_text("it may go out")
    assert (
        studio.evaluate(
            "() => fetch(document.querySelector('article.card audio').src).then((r) => r.status)"
        )
        == 200
    )
