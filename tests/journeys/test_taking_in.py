"""A list with odd headings: given, corrected, taken in, a row mended and given again, taken back.

And a folder: taken in beside the desks, seen again after the page is loaded anew.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.desks import LIBRARIAN, NARROW, WIDE, Desks, to_shelf_page
from tests.journeys.test_accessible import _faults

ODD = (
    "Regal-Zahl;Ding;Gesang;Was es ist;Dauer;Jahrgang\n"
    "X 1;CD;Ada Sluice;Zinc Bucket Reel;3,42;1961\n"
    "X 2;CD;Ann Oke;;2:10;1958\n"
    "X 3;LP;Una Fell;Mist on the Bar;222;1970\n"
)
"""No heading is one that is known; a title is missing; lengths are written in three ways."""

SAID = ("Shelf mark", "What it is (CD, LP, …)", "Artist", "Title", "Length", "Year")
DONE_MS = 60_000


def _give(page: Page, path: Path) -> None:
    to_shelf_page(page, "Taking in")
    page.get_by_label("The list", exact=True).set_input_files(path)
    page.get_by_role("button", name="Look at its columns").click()
    page.wait_for_url("**/lists/**")


def _take_in(page: Page) -> None:
    page.get_by_role("button", name="Take the list in").click()
    page.wait_for_url(re.compile(r"/taking-in/\d+$"))
    expect(page.locator("#job .state")).to_be_visible(timeout=DONE_MS)
    page.reload()  # the reasons are not part of what is asked for again and again


def _count(page: Page, words: str) -> str:
    return page.locator(".counts div", has_text=words).locator("dd").inner_text()


@pytest.mark.parametrize("size", [WIDE, NARROW], ids=["wide", "narrow"])
def test_a_list_with_odd_headings(desks: Desks, size: tuple[int, int], tmp_path: Path) -> None:
    faults: list[str] = []
    page = desks.sit_down(LIBRARIAN, "/shelves", size)
    given = tmp_path / "Märzliste.csv"
    given.write_text(ODD, encoding="cp1252")

    # The guess is shown with samples; nothing is stored while it is corrected.
    _give(page, given)
    expect(page.get_by_text("The columns of Märzliste.csv")).to_be_visible()
    expect(page.get_by_role("cell", name="Mist on the Bar")).to_be_visible()
    faults += _faults(page)
    for heading, field in zip(ODD.split("\n", maxsplit=1)[0].split(";"), SAID, strict=True):
        page.get_by_label(heading, exact=True).select_option(label=field)
    page.get_by_label("Was es ist", exact=True).select_option(label="Artist")
    page.get_by_role("button", name="Take the list in").click()
    expect(page.locator("#problem")).to_contain_text("Two columns cannot both be")
    page.get_by_label("Was es ist", exact=True).select_option(label="Title")
    expect(page.get_by_label("Dauer", exact=True)).to_have_value("length")

    # Taken in; what could not be used is told, and comes back as a file.
    _take_in(page)
    assert (_count(page, "new"), _count(page, "not taken in")) == ("2", "1")
    expect(page.get_by_text("It has no title. Write what is on the label.")).to_be_visible()
    faults += _faults(page)
    first = page.url
    with page.expect_download() as coming:
        page.get_by_role("link", name="what is to be mended").click()
    mended = tmp_path / "mended.csv"
    text = Path(coming.value.path()).read_text(encoding="utf-8-sig")
    assert "Why it was not taken in" in text
    mended.write_text(text.replace("Ann Oke,,", "Ann Oke,Kelp Ladder Song,"), encoding="utf-8")

    # Mended and given again: it is of the same making, so that nothing has to be said again.
    _give(page, mended)
    expect(page.get_by_text("Understood as somebody said for a list like this")).to_be_visible()
    _take_in(page)
    assert _count(page, "new") == "1"
    page.goto(f"{desks.address}/shelves?q=kelp+ladder+song")
    page.get_by_role("link", name="Kelp Ladder Song").click()
    expect(page.get_by_role("heading", name="As it came")).to_be_visible()

    # The next list of the first making is understood by itself.
    _give(page, given)
    expect(page.get_by_text("Understood as somebody said for a list like this")).to_be_visible()
    page.get_by_role("button", name="It was the wrong list").click()
    expect(page.get_by_text("Nothing was taken in.")).to_be_visible()

    # Taken back whole.
    page.goto(first)
    page.get_by_text("Take all of it back …").click()
    page.get_by_role("button", name="Take all of it back").click()
    expect(page.locator("#said")).to_contain_text("All of it is taken back.")
    page.goto(f"{desks.address}/shelves?q=zinc+bucket+reel")
    expect(page.get_by_text("Nothing in the list has these words.")).to_be_visible()
    assert faults == []


def test_a_folder_is_taken_in_beside_the_desks(desks: Desks, tmp_path: Path) -> None:
    """Loaded anew the page shows it as it is; at the end what came of it, each with its reason."""
    music = tmp_path / "Attic drive"
    music.mkdir()
    for number in range(40):
        (music / f"{number}.mp3").write_text("a letter and no song")
    page = desks.sit_down(LIBRARIAN, "/shelves/taking-in")
    page.get_by_label("Or another folder").fill(str(music))
    page.get_by_role("button", name="Take it in").click()
    page.wait_for_url(re.compile(r"/taking-in/\d+$"))
    page.reload()
    expect(page.locator("#job .state")).to_have_text("Done.", timeout=DONE_MS)
    page.reload()

    assert _count(page, "not taken in") == "40"
    expect(page.get_by_text("it looks like a text").first).to_be_visible()
    page.get_by_role("link", name="To all that was taken in").click()
    expect(page.get_by_role("link", name="Files from Attic drive")).to_be_visible()
    assert _faults(page) == []
