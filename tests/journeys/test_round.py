"""The round by keyboard: a stack of ten, a corridor without a network, tomorrow, and a show."""

from __future__ import annotations

import csv
import io
from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.journeys.desks import KEEPER, LIBRARIAN, NARROW, PRESENTER, SEARCHER, Desks
from web.serving import local_time

STACK = (
    ("last boat to samphire marsha herron", "Elsie"),
    ("thunder mudflat", "Percy"),
    ("lemonade a la tray by nando corvella", "Olwen"),
    ("girl in the photo booth by half past eight", "Maud"),
    ("something slow for a sunday", "Reg"),
    ("velvet collar broken heart by dickie farthing gale", "Ivy"),
    ("sag dem fairman goota nackt", "Hanni"),
    ("grey her on something", "Wilf"),
    ("the last boat to samphire by marsha herron", "Gladys"),
    ("thunder tea by bonny thackeray", "Bert"),
)
"""Ten paper slips: what was asked for, and by whom."""


def _type(page: Page, heard: str, name: str) -> None:
    """One paper slip, by keyboard: what, artist left out, name, and on to the next row."""
    page.keyboard.type(heard)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.type(name)
    page.keyboard.press("Enter")


def test_a_stack_of_ten_is_typed_in_and_handed_over_in_one_go(desks: Desks) -> None:
    sheet = desks.sit_down(SEARCHER, "/round")
    sheet.select_option("#r-place", index=1)
    sheet.fill("#r-collector", "Walter")
    sheet.locator("[name=heard]").first.focus()
    for heard, name in STACK:
        _type(sheet, heard, name)
    expect(sheet.locator(".row-answer[data-slip]")).to_have_count(len(STACK))
    doubtful = sheet.locator(".row-answer.doubtful")
    left = doubtful.count()
    assert 1 <= left <= 5, "a stack has doubtful rows, but most are found"
    # A doubtful row is settled by its first offer.
    offer = doubtful.first.locator(".offer").first
    offer.focus()
    sheet.keyboard.press("Enter")
    expect(doubtful).to_have_count(left - 1)
    sheet.keyboard.press("Control+Enter")
    handed = len(STACK) - left + 1
    expect(sheet.locator("#said")).to_contain_text(f"{handed} slips are with the studio.")
    if left > 1:
        expect(sheet.locator("#said")).to_contain_text("second look")
    studio = desks.sit_down(PRESENTER, "/studio")
    # Two people asked for the boat to Samphire: one card, both dedications.
    expect(studio.locator(".caller")).to_have_count(handed)
    both = studio.locator("article.card", has_text="Elsie")
    expect(both).to_contain_text("Gladys")
    both.locator("button.main").focus()
    studio.keyboard.press("Enter")
    expect(studio.locator("#said")).to_contain_text("played")
    expect(studio.locator(".caller")).to_have_count(handed - 2)


def test_in_a_corridor_without_a_network_nothing_typed_is_lost(desks: Desks) -> None:
    sheet = desks.sit_down(SEARCHER, "/round", size=NARROW)
    sheet.locator("[name=heard]").first.focus()
    _type(sheet, *STACK[0])
    expect(sheet.locator(".row-answer[data-slip]")).to_have_count(1)
    sheet.context.set_offline(True)
    for row in STACK[1:4]:
        _type(sheet, *row)
    expect(sheet.locator("#round-unsent")).to_contain_text("3 rows are not sent yet")
    expect(sheet.locator(".row-problem", has_text="Not sent yet")).to_have_count(3)
    kept = sheet.evaluate(
        "async () => [JSON.stringify(localStorage), JSON.stringify(sessionStorage),"
        " (await indexedDB.databases()).length, (await caches.keys()).length]"
    )
    assert "Percy" not in "".join(str(part) for part in kept) and kept[2:] == [0, 0]
    sheet.context.set_offline(False)
    expect(sheet.locator(".row-answer[data-slip]")).to_have_count(4)
    expect(sheet.locator("#round-unsent")).to_be_hidden()
    assert sheet.evaluate("document.documentElement.scrollWidth") <= NARROW[0]
    again = desks.sit_down(SEARCHER, "/round")
    names = again.locator("[name=caller_name]")
    assert [names.nth(n).input_value() for n in range(4)] == [name for _, name in STACK[:4]]


def test_a_request_for_tomorrow_comes_up_tomorrow(desks: Desks) -> None:
    sheet = desks.sit_down(SEARCHER, "/round")
    tomorrow = (local_time() + timedelta(days=1)).date().isoformat()
    sheet.fill("#r-day", tomorrow)
    sheet.locator("[name=heard]").first.focus()
    _type(sheet, *STACK[1])
    expect(sheet.locator(".row-answer[data-state=found]")).to_have_count(1)
    sheet.keyboard.press("Control+Enter")
    expect(sheet.locator("#said")).to_contain_text("One slip is with the studio.")
    studio = desks.sit_down(PRESENTER, "/studio")
    expect(studio.locator("article.card")).to_have_count(0)
    studio.goto(f"{desks.address}/programmes/waiting")
    expect(studio.locator("#work")).to_contain_text("Percy")
    desks.shift = timedelta(days=1)
    morning = desks.sit_down(PRESENTER, "/studio")
    expect(morning.locator("article.card")).to_contain_text("Percy")
    desks.shift = timedelta(days=2)
    after = desks.sit_down(PRESENTER, "/programmes/waiting")
    after.get_by_role("button", name="is not used").focus()
    after.keyboard.press("Enter")
    expect(after.locator("#said")).to_contain_text("not used")


def test_fetched_before_the_show_played_and_put_away(desks: Desks) -> None:
    sheet = desks.sit_down(SEARCHER, "/round")
    sheet.locator("[name=heard]").first.focus()
    for row in (STACK[8], STACK[1], STACK[9]):
        _type(sheet, *row)
    expect(sheet.locator(".row-answer[data-state=found]")).to_have_count(3)
    sheet.keyboard.press("Control+Enter")
    expect(sheet.locator("#said")).to_contain_text("with the studio")
    shelves = desks.sit_down(LIBRARIAN, "/programmes")
    shelves.get_by_role("link", name="What to fetch for").first.focus()
    shelves.keyboard.press("Enter")
    ticks = shelves.locator(".disc-list input[type=checkbox]")
    expect(ticks.first).to_be_checked()
    fetched = ticks.count()
    marks = shelves.locator(".disc-list .spine-mark").all_inner_texts()
    assert marks == sorted(marks)
    shelves.get_by_role("button", name="I have what is ticked").focus()
    shelves.keyboard.press("Enter")
    expect(shelves.locator("#said")).to_contain_text(f"Fetched: {fetched}.")
    studio = desks.sit_down(PRESENTER, "/studio")
    studio.keyboard.press("Control+Enter")
    expect(studio.locator("#said")).to_contain_text("played")
    listed = desks.sit_down(KEEPER, "/programmes")
    listed.locator("a.title").first.focus()
    listed.keyboard.press("Enter")
    expect(listed.locator(".was-played")).to_have_count(1)
    shelves.goto(f"{desks.address}/programmes/away")
    shelves.get_by_role("button", name="What is ticked is home").focus()
    shelves.keyboard.press("Enter")
    expect(shelves.locator("#work")).to_contain_text("Everything is home.")
    shelves.goto(f"{desks.address}/played")
    expect(shelves.locator("#work")).to_contain_text("for slip")


def test_the_return_of_a_month_is_saved_as_it_was_played(desks: Desks) -> None:
    keeper = desks.sit_down(KEEPER, "/played")
    keeper.get_by_label("Title or artist").fill("velvet collar broken heart")
    keeper.keyboard.press("Enter")
    keeper.get_by_label("How long it was heard").fill("2:05")
    keeper.keyboard.press("Enter")
    expect(keeper.locator("#said")).to_contain_text("is added to what was played")
    keeper.get_by_role("button", name="Show").focus()
    keeper.keyboard.press("Enter")
    with keeper.expect_download() as saved:
        keeper.get_by_role("link", name="Save it as CSV").click()
    text = Path(saved.value.path()).read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    today = local_time().date().isoformat()
    # Written by hand, beside what the page was told above.
    by_hand = {
        "Station": "Saltmarsh Radio", "Date": today, "Title": "Velvet Collar, Broken Heart",
        "Featured performer": "Dickie Farthingale", "Duration used": "02:05",
        "Number of plays": "1", "Publisher": "",
    }  # fmt: skip
    (mine,) = [row for row in rows if row["Date"] == today]
    assert {name: mine[name] for name in by_hand} == by_hand
    month = [row for row in rows if row["Date"].startswith(today[:7])]
    assert len(month) == len(rows) and all(row["Number of plays"] == "1" for row in rows)
