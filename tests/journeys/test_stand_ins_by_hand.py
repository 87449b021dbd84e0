"""Stand-ins by keyboard: refused and not offered again, narrowed by what is said, the picture."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, NARROW, SEARCHER, STILL_MS, Desks, hear

NOT_HELD = "mink on a wednesday marsha herron"
"""Known from a list of what is not held (`sample_library/known_not_held.csv`)."""


def _offered(page: Page) -> list[str]:
    rows = page.locator("li:has(button.turn-down) > form > button.row .title")
    return rows.all_inner_texts()


def _settled(page: Page) -> None:
    page.wait_for_timeout(STILL_MS + 400)


def test_what_is_refused_is_not_offered_again_and_the_next_is_taken(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, NOT_HELD)
    first = _offered(phone)
    assert 3 <= len(first) <= 7
    for _ in range(2):
        refused = _offered(phone)[0]
        phone.locator("li:has(button.turn-down) > form > button.row").first.focus()
        phone.keyboard.press("Delete")
        expect(phone.locator("#answer .turned-down")).to_contain_text("not offered again")
        _settled(phone)
        assert refused not in _offered(phone)
    # Nor on the next record of the same call, nor after a reload.
    phone.reload()
    assert not set(first[:1]) & set(_offered(phone))
    taken = _offered(phone)[0]
    phone.locator("li:has(button.turn-down) > form > button.row").first.focus()
    _settled(phone)
    phone.keyboard.press("Enter")
    expect(phone.locator("#chosen.full")).to_contain_text(taken)
    expect(phone.locator("#chosen.full")).to_contain_text("in place of")

    shelves = desks.sit_down(LIBRARIAN, "/shelves/stand-ins")
    line = shelves.locator(".learnt tbody tr", has_text="Mink on a Wednesday").filter(
        has_text=first[0]
    )
    expect(line).to_contain_text("refused once")


def test_what_the_caller_can_say_narrows_the_list_by_keyboard(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, "you choose")
    expect(phone.locator(".based-on")).to_contain_text("Nothing is known of it yet")
    phone.locator("#said-about_when").focus()
    phone.keyboard.type("the fifties")
    phone.keyboard.press("Tab")
    expect(phone.locator(".based-on")).to_contain_text("about 1954")
    # The hand is where it was, on a field that was put in anew.
    assert phone.evaluate("document.activeElement.id").startswith("said-")
    phone.locator("#said-voice").select_option("woman")
    expect(phone.locator(".based-on")).to_contain_text("about 1954; sung by a woman")
    phone.locator("#said-sort").focus()
    phone.keyboard.type("crooner")
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus")).to_have_count(1)
    expect(phone.locator(".based-on")).to_contain_text("crooner")
    phone.reload()
    expect(phone.locator(".based-on")).to_contain_text("sung by a woman; crooner")
    expect(phone.locator("#said-about_when")).to_have_value("the fifties")
    phone.locator("#said-occasion").select_option("birthday")
    expect(phone.locator(".based-on")).to_contain_text("for birthday")
    expect(phone.locator("#occasion")).to_have_value("birthday")


def test_the_picture_is_walked_by_keyboard_and_leads_to_the_lines(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER)
    hear(phone, NOT_HELD)
    points = phone.locator("a.point")
    assert points.count() >= 3
    for at in range(points.count()):
        assert "“" in (points.nth(at).locator("title").text_content() or "")
    points.first.focus()
    expect(phone.locator("a.point.asked:focus")).to_have_count(1)
    phone.keyboard.press("ArrowRight")
    number = phone.locator("a.point:focus").get_attribute("data-to-row")
    phone.keyboard.press("Enter")
    expect(phone.locator("button.row:focus")).to_have_attribute("data-row", number or "")
    assert phone.locator("#chosen.full").count() == 0
    words = phone.locator(".plot-words li").all_inner_texts()
    assert len(words) == len(_offered(phone)) + 1


def test_the_panel_fits_a_narrow_screen(desks: Desks) -> None:
    phone = desks.sit_down(SEARCHER, size=NARROW)
    hear(phone, NOT_HELD)
    wide = phone.evaluate(
        "Math.max(...[...document.querySelectorAll('#answer *')]"
        ".map((e) => e.getBoundingClientRect().right))"
    )
    assert wide <= NARROW[0]
