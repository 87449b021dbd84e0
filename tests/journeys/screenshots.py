"""Pictures of every desk, both widths, both schemes: python -m tests.journeys.screenshots OUT

They are for looking at. A page is done when its picture is neither ugly, cramped nor puzzling.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from tests.journeys.desks import (
    KEEPER,
    LIBRARIAN,
    NARROW,
    PRESENTER,
    SEARCHER,
    WIDE,
    Desks,
    hear,
    launch,
    open_desks,
    prepare,
    take,
)

SHELVES = {
    "list": "/shelves?q=the",
    "along_the_shelf": "/shelves?order=mark",
    "recording": "/shelves/recordings/1",
    "add": "/shelves/recordings/new",
    "type_in_a_disc": "/shelves/discs/new",
    "a_disc": "/shelves/discs/1",
    "boxes": "/shelves/boxes",
    "learnt": "/shelves/lessons",
    "on_paper": "/paper",
    "blank_slip": "/paper/slip",
    "this_desk": "/desk",
    "to_fetch": "/shelves/fetch",
    "filing": "/shelves/filing",
    "loans": "/shelves/loans",
    "labels": "/shelves/labels",
    "stock_takes": "/shelves/stock-take",
    "places": "/shelves/places",
    "gaps": "/shelves/gaps",
    "gone_or_damaged": "/shelves/gaps/lost",
    "albums_with_gaps": "/shelves/gaps/albums",
    "not_known_yet": "/shelves/gaps/fields",
    "look_on_the_shelf": "/shelves/look",
    "list_of_wants": "/shelves/wants",
    "for_a_fair": "/shelves/wants/print",
    "donors_list": "/shelves/wants/donor",
    "taking_in": "/shelves/taking-in",
    "needs_a_look": "/shelves/needs-a-look",
    "duplicates": "/shelves/duplicates",
    "two_entries": "/shelves/duplicates/122/450",
    "two_discs": "/shelves/duplicates/discs/168/170",
    "judged": "/shelves/duplicates/judged",
    "done_lately": "/shelves/actions",
    "not_there": "/shelves/nowhere",
}
STATION = {
    "rules": "/station",
    "programmes": "/station/programmes",
    "places": "/station/places",
    "people": "/station/people",
    "health": "/station/health",
    "held": "/station/held",
    "changes": "/station/changes",
    "papers": "/station/papers",
    "assessment": "/station/papers/data-protection-assessment",
}


def main(out: Path) -> None:
    """Take the sample library in, serve it, and take the pictures into `out`."""
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = launch(playwright)
        prepare(Path(folder) / "station")
        with open_desks(Path(folder) / "station", browser) as desks:
            fill(desks)
            for size, width in ((WIDE, "wide"), (NARROW, "narrow")):
                for scheme in ("day", "studio"):
                    _take(desks, out, size, f"{width}_{scheme}", scheme)
        browser.close()


def _take(desks: Desks, out: Path, size: tuple[int, int], name: str, scheme: str) -> None:
    def picture(page: Page, what: str) -> None:
        page.wait_for_timeout(200)
        page.screenshot(path=out / f"{what}_{name}.png")
        print(out / f"{what}_{name}.png")

    phone = desks.sit_down(SEARCHER, "/phone/fresh", size, scheme)
    picture(phone, "phone_fresh")
    hear(phone, "a light house is no plays for a lady")
    picture(phone, "phone_stand_ins")
    phone.keyboard.press("Control+A")
    hear(phone, "funder mud flat iron corm a rant")
    picture(phone, "phone_found")
    phone.keyboard.press("Control+A")
    hear(phone, "qqq zzzz")
    picture(phone, "phone_not_found")
    phone.keyboard.press("Control+A")
    hear(phone, "anything by marsha heron")
    picture(phone, "phone_names_no_record")
    phone.keyboard.press("Control+A")
    hear(phone, "wallop the walrus")
    phone.locator("[name=how_on_air][value=recorded]").check()
    phone.locator(".read-as summary").click()
    expect(phone.locator(".parts").first).to_be_visible()
    picture(phone, "phone_why")
    phone.keyboard.press("F9")
    expect(phone.locator("#hold strong")).to_be_visible()
    phone.keyboard.press("F4")
    expect(phone.locator(".same-call")).to_be_visible()
    picture(phone, "phone_another")
    phone.get_by_role("button", name="Withdraw").click()
    phone.wait_for_url("**/phone/fresh")
    phone.locator("#strip a", has_text="wallop").first.click()
    phone.wait_for_url("**/phone/slips/*")
    phone.get_by_role("button", name="Withdraw").click()
    phone.wait_for_url("**/phone/fresh")
    expect(phone.locator("#slip-heading")).to_contain_text("Fresh slip")
    studio = desks.sit_down(PRESENTER, "", size, scheme)
    picture(studio, "studio")
    studio.screenshot(path=out / f"studio_whole_{name}.png", full_page=True)
    studio.goto(f"{desks.address}/studio/print")
    picture(studio, "studio_print")
    shelves = desks.sit_down(LIBRARIAN, "", size, scheme)
    for what, path in SHELVES.items():
        shelves.goto(f"{desks.address}{path}")
        picture(shelves, f"shelves_{what}")
    keeper = desks.sit_down(KEEPER, "", size, scheme)
    for what, path in STATION.items():
        keeper.goto(f"{desks.address}{path}")
        picture(keeper, f"station_{what}")
    keeper.context.close()
    shelves.get_by_role("button", name="Sign out").click()
    picture(shelves, "sign_in")
    for page in (phone, studio, shelves):
        page.context.close()


def fill(desks: Desks) -> None:
    """Some slips with the studio, one of them played, and one being written."""
    phone = desks.sit_down(SEARCHER)
    played = "limonata alle tre"
    for heard, caller in (
        (played, ("Stan", "", "", "", "", "", "the allotment")),
        (
            "funder mud flat iron corm a rant",
            ("Maureen Tolley", "MOR-een", "", "the day room", "her sister Joyce", "",
             "they danced to it at the Corn Hall"),
        ),
        ("wallop the walrus", ("Bryn", "", "", "", "the night shift", "", "")),
    ):  # fmt: skip
        hear(phone, heard)
        take(phone)
        for words in caller:
            phone.keyboard.type(words)
            phone.keyboard.press("Tab")
        phone.locator("#place_id").select_option(index=1)
        phone.locator("#occasion").select_option(index=1)
        phone.locator("[name=consent]").nth(0).check()
        if caller[0] == "Maureen Tolley":
            phone.locator("[name=urgent]").check()
            phone.keyboard.press("F9")
            expect(phone.locator("#hold strong")).to_be_visible()
        phone.keyboard.press("Control+Enter")
        expect(phone.locator(".handed")).to_be_visible()
        if heard == played:
            studio = desks.sit_down(PRESENTER)
            studio.keyboard.press("Control+Enter")
            expect(studio.locator("#played .ledger")).to_be_visible()
            studio.context.close()
    hear(phone, "99 herons")
    phone.locator("#caller_name").fill("Winifred")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.context.close()


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("Say where the pictures go: python -m tests.journeys.screenshots OUT")
    main(Path(sys.argv[1]))
