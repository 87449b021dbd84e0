"""The demo station served on a free port, and browsers for its volunteers.

For the journeys and for the pictures. Chromium is the system's own; nothing is downloaded.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright

from web import demo
from web.opening import opened
from web.serving import local_time, serving

WIDE, NARROW = (1366, 768), (390, 844)
SEARCHER, PRESENTER, LIBRARIAN, KEEPER = (name for name, _ in demo.PEOPLE)
STILL_MS = 350
"""A little longer than a list must stand still before a row of it can be taken (`phone.js`)."""


def chromium() -> str | None:
    """The system's Chromium, None if it has none."""
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), None)


def launch(playwright: Playwright) -> Browser:
    """Start the system's Chromium."""
    return playwright.chromium.launch(
        executable_path=chromium(),
        args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    )


def prepare(folder: Path) -> Path:
    """Take the sample library in; returns the folder."""
    with opened(folder, make=True) as station:
        demo.prepare(station, local_time())
    return folder


def arrived(page: Page) -> None:
    """Wait until somebody who signs in is at a desk; a loaded machine takes its time."""
    page.wait_for_url(re.compile(r"/(phone|studio|shelves)"), timeout=30_000)


@dataclass
class Desks:
    """A running station, and who may sign in to it."""

    address: str
    passphrases: dict[str, str]
    browser: Browser
    troubles: list[str] = field(default_factory=list)
    """What went wrong in a browser: script errors, and requests to anywhere else."""
    shift: timedelta = timedelta()
    """How far the station's clock is put on: a journey of two days need not take two."""

    def sit_down(
        self, name: str, path: str = "", size: tuple[int, int] = WIDE, scheme: str = ""
    ) -> Page:
        """A browser in which somebody has signed in, by keyboard, at their desk or `path`."""
        context = self.browser.new_context(viewport={"width": size[0], "height": size[1]})
        context.set_default_timeout(10_000)
        page = context.new_page()
        page.on("pageerror", lambda error: self.troubles.append(f"script: {error}"))
        page.on("console", self._console)
        page.on("request", lambda request: self._asked_for(request.url))
        if scheme:
            page.add_init_script(f"localStorage.setItem('scheme', '{scheme}')")
        page.goto(f"{self.address}/sign-in")
        page.keyboard.type(name)
        page.keyboard.press("Tab")
        page.keyboard.type(self.passphrases[name])
        page.keyboard.press("Enter")
        arrived(page)
        if path:
            page.goto(f"{self.address}{path}")
        return page

    def _console(self, message: object) -> None:
        text = str(getattr(message, "text", ""))
        if "Content Security Policy" in text or "Content-Security-Policy" in text:
            self.troubles.append(text)

    def _asked_for(self, url: str) -> None:
        if not url.startswith((self.address, "data:", "blob:")):
            self.troubles.append(f"asked for {url}")


@contextmanager
def open_desks(folder: Path, browser: Browser) -> Iterator[Desks]:
    """Serve the prepared station in `folder`."""
    words = {name: passphrase for name, _, passphrase in demo.people(folder)}
    desks = Desks("", words, browser)
    with (
        opened(folder) as station,
        serving(station, "127.0.0.1", 0, lambda: local_time() + desks.shift) as address,
    ):
        desks.address = address.rstrip("/")
        yield desks


def hear(page: Page, words: str) -> None:
    """Type what was heard and wait for the list of just these words to stand still."""
    page.keyboard.type(words)
    page.wait_for_selector('#heard-form[data-answered="yes"]')
    page.wait_for_timeout(STILL_MS)


def take(page: Page) -> None:
    """Go down the list, by keyboard, to the first row that is ready, and take it."""
    page.keyboard.press("Enter")
    page.wait_for_selector("button.row:focus")
    for _ in range(page.locator("button.row").count()):
        if page.locator("button.row.take:focus").count():
            break
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_selector("#chosen.full")


def to_shelf_page(page: Page, name: str) -> None:
    """Go to a page of the shelves by its entry in the bar; on a narrow screen by its group."""
    entry = page.locator(".shelf-nav .entries a", has_text=name)
    if not entry.is_visible():
        group = page.locator(".shelf-nav .group", has=page.locator(".entries a", has_text=name))
        group.locator(".to-group").click()
    entry.click()
    page.wait_for_load_state()  # a page that is still being read has no keys yet
