"""The camera reads our own labels, bars and squares; where it cannot be, the page says why."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.desks import NARROW, SEARCHER, Desks, chromium, open_desks
from tests.journeys.filmed import film

Filming = Callable[[str, str], Desks]


@pytest.fixture
def filming(prepared: Path, browser: Browser, tmp_path: Path) -> Iterator[Filming]:
    """A station, and a browser with a camera in front of which a label is held."""
    shutil.copytree(prepared, tmp_path / "station")
    with ExitStack() as stack:

        def start(mark: str, code: str) -> Desks:
            video = film(tmp_path / "label.y4m", mark, code)
            seeing = browser.browser_type.launch(
                executable_path=chromium(),
                args=["--no-sandbox", "--disable-gpu", "--use-fake-device-for-media-stream",
                      f"--use-file-for-fake-video-capture={video}"],
            )  # fmt: skip
            stack.callback(seeing.close)
            desks = stack.enter_context(open_desks(tmp_path / "station", seeing))
            stack.callback(lambda: _no_troubles(desks))
            return desks

        yield start


def _no_troubles(desks: Desks) -> None:
    assert desks.troubles == []


def _walk(desks: Desks, shelf: str) -> Page:
    page = desks.sit_down(SEARCHER, "/shelves/stock-take", NARROW)
    page.locator("#shelf").select_option(shelf)
    page.get_by_role("button", name="Begin", exact=True).click()
    page.wait_for_url("**/stock-take/*")
    return page


@pytest.mark.parametrize("code", ["code128", "qr"])
def test_a_label_of_ours_is_read_by_the_camera(filming: Filming, code: str) -> None:
    page = _walk(filming("C 005", code), "mark:C")
    page.context.grant_permissions(["camera"])
    page.locator("#camera").click()
    expect(page.locator("#camera-said")).to_contain_text("Hold a label")
    expect(page.locator("#walk-said")).to_contain_text("C 005 is here", timeout=20_000)
    row = page.locator(".walk-row", has=page.get_by_text("C 005", exact=True))
    expect(row).to_have_attribute("aria-pressed", "true")
    page.wait_for_timeout(1500)  # it is held there, and read once
    expect(page.locator("#walk-said")).to_contain_text("C 005 is here")
    expect(page.locator("#walk-count")).to_contain_text("1 of ")
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.locator("#camera-place")).to_be_hidden()
    assert page.locator("#camera-video").evaluate("v => v.srcObject === null")


def test_where_the_camera_cannot_be_it_is_said_and_typing_goes_on(desks: Desks) -> None:
    page = _walk(desks, "mark:C")
    page.locator("#camera").click()  # nobody allowed it, or there is none
    said = page.locator("#camera-said")
    expect(said).to_contain_text("Type the marks, or use a reader")
    expect(page.locator("#camera-video")).to_be_hidden()
    page.evaluate("() => Object.defineProperty(window, 'isSecureContext', {value: false})")
    page.locator("#camera").click()
    expect(said).to_contain_text("only lent to a page that came securely (https)")
    page.locator("#scan").fill("C 005")
    page.locator("#scan").press("Enter")
    expect(page.locator("#walk-said")).to_have_text("C 005 is here.")
