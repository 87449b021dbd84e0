"""The pictures of the README, one of each desk: python -m tests.journeys.readme_pictures [OUT]

Without OUT they are put where the README shows them.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from tests.journeys.desks import (
    KEEPER,
    LIBRARIAN,
    PRESENTER,
    SEARCHER,
    WIDE,
    Desks,
    hear,
    launch,
    open_desks,
    prepare,
)
from tests.journeys.screenshots import fill

SHOWN = Path(__file__).parent / "pictures"
PAGES = {
    "shelves": (LIBRARIAN, "/shelves?q=the", "day"),
    "fetch": (LIBRARIAN, "/shelves/fetch", "day"),
    "programme": (PRESENTER, "/programmes/1", "day"),
    "round": (SEARCHER, "/round", "day"),
    "station": (KEEPER, "/station", "day"),
    "studio": (PRESENTER, "/studio", "studio"),
}


def main(out: Path) -> None:
    """Fill the demo station with an evening's slips, and take a picture of each desk."""
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = launch(playwright)
        prepare(Path(folder) / "station")
        with open_desks(Path(folder) / "station", browser) as desks:
            fill(desks)
            for what, (name, path, scheme) in PAGES.items():
                page = desks.sit_down(name, path, WIDE, scheme)
                _keep(page, out / f"{what}.png")
                page.context.close()
            _phone(desks, out / "phone.png")
        browser.close()


def _phone(desks: Desks, file: Path) -> None:
    """A call half written: what was heard is found, and the caller is known."""
    phone = desks.sit_down(SEARCHER, "/phone/fresh", WIDE, "day")
    hear(phone, "funder mud flat iron corm a rant")
    for field, words in {
        "caller_name": "Maureen Tolley",
        "say_name": "MOR-een TOLL-ee",
        "place_detail": "the day room",
        "for_whom": "her sister Joyce",
        "why": "they danced to it at the Corn Hall",
    }.items():
        phone.locator(f"#{field}").fill(words)
    phone.locator("#place_id").select_option(index=1)
    phone.locator("[name=consent][value='first name only']").check()
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.locator("#heard").focus()
    phone.keyboard.press("Enter")
    phone.wait_for_selector("button.row:focus")
    _keep(phone, file)


def _keep(page: Page, file: Path) -> None:
    page.wait_for_timeout(400)
    page.screenshot(path=file)
    print(file)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else SHOWN)
