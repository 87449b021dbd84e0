"""A barcode reader that types: its Enter goes to the next sensible step in every box for a mark."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from catalogue import out_of_place, pull_list
from catalogue.store import Store
from tests.journeys.desks import LIBRARIAN, NARROW, PRESENTER, Desks
from tests.journeys.wedge import scan
from web.serving import local_time


def _focused(page: Page) -> str:
    return str(page.evaluate("() => document.activeElement.id"))


def _sent(page: Page) -> list[str]:
    sent: list[str] = []
    page.on("request", lambda r: sent.append(r.url) if r.method == "POST" else None)
    return sent


def test_a_loan_is_scanned_and_nothing_half_filled_is_sent(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/loans")
    sent = _sent(page)
    page.locator("#mark").focus()
    scan(page, "C 005")
    assert _focused(page) == "lent_to"
    # A second disc by mistake stands in the wrong box, and Enter only goes on.
    scan(page, "C 006")
    assert _focused(page) == "due"
    assert sent == []
    page.locator("#lent_to").fill("Una")
    page.locator("#lent_to").press("Enter")
    expect(page.locator(".loans")).to_contain_text("out to Una since today")
    # With the focus on a button: the button is not pressed, its box takes the mark.
    page.get_by_role("button", name=re.compile("^It is back: ")).first.focus()
    scan(page, "C 005")
    expect(page.locator("#said")).to_contain_text("CD C 005 is home again from Una")
    expect(page.locator(".loans")).not_to_contain_text("out to Una")


def test_what_stood_in_the_box_goes_and_a_hand_is_no_reader(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/loans", NARROW)
    page.locator("#home").fill("C 0")
    page.locator("#home").focus()
    scan(page, "Z 404")
    expect(page.locator("#problem")).to_contain_text("“Z 404”")
    expect(page.locator("#home")).to_have_value("Z 404")
    page.locator("#mark").focus()
    page.keyboard.type("C 00", delay=90)
    page.keyboard.press("Enter")  # by hand: the browser asks for what is missing
    assert _focused(page) == "lent_to"
    expect(page.locator("#mark")).to_have_value("C 00")


def test_the_form_of_a_copy_goes_on_to_its_next_box(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/recordings/1")
    sent = _sent(page)
    page.locator(".add-copy summary").click()
    page.locator("#c-mark").focus()
    scan(page, "C 901")
    assert _focused(page) == "c-side"
    page.locator("#c-place").focus()
    scan(page, "Main shelves")
    assert _focused(page) == "c-path"
    assert sent == []
    page.keyboard.press("Enter")
    expect(page.locator(".copies")).to_contain_text("C 901")


def test_labels_are_scanned_one_a_line(desks: Desks) -> None:
    page = desks.sit_down(LIBRARIAN, "/shelves/labels")
    sent = _sent(page)
    expect(page.locator("#marks")).to_be_focused()
    scan(page, "C 001")
    scan(page, "L 001")
    page.locator("button.main").focus()
    scan(page, "C 002")
    expect(page.locator("#marks")).to_have_value("C 001\nL 001\nC 002\n")
    page.locator("#beginning").focus()
    scan(page, "S 00")
    assert sent == []


def test_discs_are_put_away_by_scanning(desks: Desks, tmp_path: Path) -> None:
    store, now = Store(tmp_path / "station" / "asheard.db"), local_time()
    tonight = store.rows("SELECT id FROM programmes LIMIT 1")[0]["id"]
    discs = [out_of_place.marked(store, mark)[0].id for mark in ("C 005", "C 006")]
    pull_list.pull(store, tonight, discs, PRESENTER, now)
    store.close()
    page = desks.sit_down(LIBRARIAN, "/programmes/away", NARROW)
    expect(page.locator("#home")).to_be_focused()
    expect(page.locator(".disc-list li")).to_have_count(2)
    scan(page, "C 006")
    expect(page.locator("#said")).to_contain_text("CD C 006 is home again from")
    expect(page.locator(".disc-list li")).to_have_count(1)
