"""Every page of the program, found by walking the URL map, so that none can be forgotten.

A new page is looked at by itself. What is no page (a sound, a file, a part that is put into a
page) must be named here, and a new kind of number in an address needs an example.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from flask import Flask, url_for
from playwright.sync_api import Page, expect

from tests.journeys.desks import KEEPER, SEARCHER, Desks, hear, take
from web import create_app, several
from web.opening import local_time, opened

NO_PAGE = {
    "static", "live.alive", "home.page", "phone_call.listen", "phone_call.recording",
    "studio_steps.recording", "studio_lists.xspf", "studio_lists.m3u", "paper.a_to_z",
    "taking_in.whole_report", "taking_in.to_mend", "doubles.listen", "doubles.together",
    "keeping.log", "figures.csv", "played.usage_csv", "trust.certificate", "several.page",
}  # fmt: skip
"""Sounds, files to keep, and the way to one's own desk."""

PARTS = {"phone_desk.strip", "studio.queue", "fetching.to_fetch", "taking_in.progress",
         "doubles.searched", "stock_take.since", "several.progress",
         "boxes.rows"}  # fmt: skip
"""What a page asks for again and again; it is looked at inside its page."""

BESIDES = (
    "/shelves/several?one=1&one=2",
    "/shelves?q=the",
    "/shelves?order=mark",
    "/shelves/nowhere",
    "/studio?studio=Studio+2",
)
"""Pages that the map does not tell apart: some records chosen, found, along the shelf, an error,
an empty studio."""

LIST = (
    b"Shelf mark,Artist,Title,Year\n"
    b"X 901,Ada Sluice,Ferry Lights,1961\n"
    b"X 902,Hector Pike,Low Water,\n"
)


@dataclass(frozen=True, slots=True)
class Filled:
    """A station at work: the values that stand for the blanks in addresses."""

    examples: dict[str, str]
    keeper: Page


def fill(desks: Desks, size: tuple[int, int]) -> Filled:
    """Slips with a studio, come back, laid aside and being written; a list taken in, one given."""
    phone = desks.sit_down(SEARCHER)
    for words, caller in (
        ("funder mud flat iron corm a rant", "Maureen Tolley"),
        ("wallop the walrus", "Bryn"),
        ("limonata alle tre", "Stan"),
        ("a light house is no plays for a lady", "Ivy"),
        ("thunder mudflat", "Joyce"),
    ):
        phone.goto(f"{desks.address}/phone/fresh")
        hear(phone, words)
        take(phone)
        phone.keyboard.type(caller)
        phone.locator("#place_id").select_option(index=1)
        phone.locator("#why").fill("they danced to it at the Corn Hall")
        phone.check("[name=under_sixteen]")
        phone.check("[name=urgent]")
        expect(phone.locator("#kept")).to_contain_text("Kept at")
        phone.keyboard.press("Control+Enter")
        expect(phone.locator(".handed")).to_be_visible()
    hear(phone, "99 herons")
    phone.locator("#caller_name").fill("Winifred")
    expect(phone.locator("#kept")).to_contain_text("Kept at")
    phone.wait_for_url("**/phone/slips/*")
    slip = phone.url.rsplit("/", 1)[1]
    phone.context.close()

    keeper = desks.sit_down(KEEPER, "/studio", size)
    for act, why in (("Played", ""), ("Back to the phone desk", "not found in its place"),
                     ("Not used", "no time")):  # fmt: skip
        card = keeper.locator("article.card").nth(1)
        number = card.get_attribute("id")
        if why:
            card.locator("select").select_option(why)
        card.get_by_role("button", name=act, exact=True).click()
        expect(keeper.locator(f"#{number}")).to_have_count(0)
    keeper.goto(f"{desks.address}/paper")
    keeper.locator("main button.main").click()
    expect(keeper.locator("#said")).to_be_visible()
    return Filled(
        {
            "slip_id": slip,
            "recording_id": "1",
            "order": "title",
            "job_id": _taken_in(desks, keeper),
            "token": _given(desks, keeper),
            "several.job job_id": _edited(desks, keeper),
            "programme_id": "1",
            "disc_id": "1",
            "box_id": _box(desks, keeper),
            "play_id": "1",
            "name": "data-protection-assessment",
            "gaps.kind name": "albums",
            "gaps.lacking name": "composer",
            # Pairs of the sample library.
            "one": "1",
            "other": "203",
            "doubles.discs one": "168",
            "doubles.discs other": "170",
            "take_id": _stock_take(keeper, desks, finished=False),
            "stock_take.report take_id": _stock_take(keeper, desks, finished=True),
        },
        keeper,
    )


def _edited(desks: Desks, keeper: Page) -> str:
    with mock.patch.object(several, "AT_ONCE", 1):
        keeper.goto(f"{desks.address}/shelves/several?one=1&one=2")
        keeper.locator("#s-label").fill("Saltings Records")
        keeper.locator("form button.main").click()
        keeper.locator("form button.main").click()
        keeper.wait_for_url("**/shelves/several/jobs/*")
    expect(keeper.locator("#job .state")).to_be_visible()
    return keeper.url.rsplit("/", 1)[1]


def _box(desks: Desks, keeper: Page) -> str:
    """A donated box with a disc kept, one declined and one left for later."""
    keeper.goto(f"{desks.address}/shelves/boxes")
    keeper.fill("#b-donor", "the Corn Hall")
    keeper.keyboard.press("Enter")
    keeper.wait_for_url("**/shelves/boxes/*")
    for number, key in enumerate(("F8", "F9", "F4"), 1):
        keeper.fill("#x-artist", "Ada Sluice")
        keeper.fill("#x-title", f"Volume {number} of the Estuary")
        expect(keeper.locator("#look .look-found")).to_be_visible()
        keeper.keyboard.press(key)
        expect(keeper.locator("#box-rows .line")).to_have_count(number)
    return keeper.url.rsplit("/", 1)[1]


def _give(desks: Desks, keeper: Page) -> None:
    keeper.goto(f"{desks.address}/shelves/taking-in")
    keeper.set_input_files(
        "#list", files=[{"name": "new discs.csv", "mimeType": "text/csv", "buffer": LIST}]
    )
    keeper.locator("form:has(#list) button.main").click()
    keeper.wait_for_url("**/taking-in/lists/*")


def _stock_take(keeper: Page, desks: Desks, *, finished: bool) -> str:
    """A walk with something ticked, something misplaced and something unknown."""
    keeper.goto(f"{desks.address}/shelves/stock-take")
    keeper.select_option("#shelf", "mark:K" if finished else "room:Main shelves")
    keeper.locator("form:has(#shelf) button.main").click()
    keeper.wait_for_url("**/stock-take/*")
    number = keeper.url.rsplit("/", 1)[1]
    keeper.locator(".walk-row").nth(2).click()
    for mark in ("X 999", "H 001"):
        keeper.locator("#scan").fill(mark)
        keeper.locator("#scan").press("Enter")
        expect(keeper.locator("#walk-odd")).to_contain_text(mark)
    if finished:
        keeper.goto(f"{desks.address}/shelves/stock-take/{number}/finish")
        keeper.locator(".end-acts button").click()
        keeper.wait_for_url("**/report")
    return number


def _taken_in(desks: Desks, keeper: Page) -> str:
    _give(desks, keeper)
    keeper.locator("form.given button.main").click()
    keeper.wait_for_url("**/shelves/taking-in/*")
    expect(keeper.locator("#job .state")).to_be_visible()
    return keeper.url.rsplit("/", 1)[1]


def _given(desks: Desks, keeper: Page) -> str:
    _give(desks, keeper)
    return keeper.url.rsplit("/", 1)[1].partition("?")[0]


def paths(examples: dict[str, str]) -> list[str]:
    """The address of every page; a KeyError names the blank that has no example yet."""
    with (
        tempfile.TemporaryDirectory() as folder,
        opened(Path(folder) / "station", make=True) as station,
    ):
        app = create_app(station.store, station.index, local_time)
        found = _walk(app, examples)
        app.extensions["asheard_workers"].close()
    return found


def _walk(app: Flask, examples: dict[str, str]) -> list[str]:
    known = {rule.endpoint for rule in app.url_map.iter_rules()}
    assert known >= NO_PAGE | PARTS, f"gone: {(NO_PAGE | PARTS) - known}"
    found = []
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()) or rule.endpoint in NO_PAGE | PARTS:
            continue
        values = {
            name: examples.get(f"{rule.endpoint} {name}") or examples[name]
            for name in rule.arguments
        }
        with app.test_request_context():
            found.append(url_for(rule.endpoint, **values))
    return sorted([*found, *BESIDES])
