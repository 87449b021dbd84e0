"""A shared desk, and the first start, and HTTPS: in a real browser."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from catalogue import staff
from tests.journeys.desks import KEEPER, PRESENTER, SEARCHER, Desks, arrived, hear, take
from web import certificates
from web.opening import first_keeper, local_time, opened
from web.serving import serving

PINS = {SEARCHER: "482915", PRESENTER: "159753"}


def _sign_in(page: Page, desks: Desks, name: str) -> None:
    page.goto(f"{desks.address}/sign-in")
    page.locator("#name").select_option(name)
    page.locator("#passphrase").fill(desks.passphrases[name])
    page.locator("#passphrase").press("Enter")
    arrived(page)


def _shared(desks: Desks) -> Page:
    """One browser that two people share, each with a PIN; the searcher is at it."""
    page = desks.sit_down(PRESENTER, "/desk")
    page.locator("#shared-name").fill("North PC")
    page.get_by_role("button", name="Make this a shared desk").click()
    expect(page.locator("#said")).to_contain_text("shared desk now")
    for name in (PRESENTER, SEARCHER):
        _sign_in(page, desks, name)
        page.goto(f"{desks.address}/sign-in/own")
        for field in ("own-pin", "own-pin-again"):
            page.locator(f"#{field}").fill(PINS[name])
        page.locator("#own-pin-passphrase").fill(desks.passphrases[name])
        page.get_by_role("button", name="Keep this PIN").click()
        expect(page.locator("#said")).to_contain_text("Your PIN works at North PC")
    page.goto(f"{desks.address}/phone")
    return page


def _change(page: Page, name: str, pin: str) -> None:
    page.locator("#change-person").click()
    dialog = page.locator("#change")
    expect(dialog).to_be_visible()
    dialog.get_by_label(name).check()
    dialog.locator("#change-pin").fill(pin)
    page.keyboard.press("Enter")


def test_another_person_goes_on_with_a_half_filled_slip(desks: Desks) -> None:
    page = _shared(desks)
    hear(page, "thunder mudflat")
    take(page)
    page.keyboard.type("Maureen")
    page.locator("#why").focus()
    page.keyboard.type("they danced to")
    page.locator("#heard").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("wallop the wal")  # and away at once, before it is answered

    _change(page, PRESENTER, "000000")
    expect(page.locator("#change-said")).to_contain_text("not the PIN")
    page.locator("#change-pin").fill(PINS[PRESENTER])
    page.keyboard.press("Enter")
    expect(page.locator("#change")).not_to_be_visible()
    expect(page.locator("#head .person")).to_have_text(PRESENTER)
    expect(page.locator("#said")).to_contain_text(f"{PRESENTER} is here now")
    expect(page.locator("#head nav")).to_contain_text("Studio")

    # All of it is still there, and the hand is where it was.
    expect(page.locator("#heard")).to_be_focused()
    expect(page.locator("#heard")).to_have_value("wallop the wal")
    expect(page.locator("#caller_name")).to_have_value("Maureen")
    expect(page.locator("#why")).to_have_value("they danced to")
    expect(page.locator("#chosen.full")).to_be_visible()
    page.keyboard.type("rus")
    page.wait_for_selector('#heard-form[data-answered="yes"]')
    expect(page.locator("#answer")).to_contain_text("Walrus")
    page.locator("#why").press("End")
    page.keyboard.type(" it")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".handed")).to_be_visible()
    expect(page.locator("#problem")).to_be_empty()

    # What was done since is in the new person's name.
    keeper = desks.sit_down(KEEPER, "/station/changes")
    latest = keeper.locator("main .line").first
    expect(latest).to_contain_text(PRESENTER)
    page.goto(f"{desks.address}/studio")
    expect(page.locator("article.card").first).to_contain_text("they danced to it")


def test_whoever_may_not_use_the_page_goes_to_their_own_and_nothing_is_lost(desks: Desks) -> None:
    page = _shared(desks)
    _change(page, PRESENTER, PINS[PRESENTER])
    expect(page.locator("#head .person")).to_have_text(PRESENTER)
    page.goto(f"{desks.address}/studio")
    _change(page, SEARCHER, PINS[SEARCHER])
    page.wait_for_url("**/phone")
    page.locator("#caller_name").fill("Bryn")
    expect(page.locator("#kept")).to_contain_text("Kept at")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", name="With your PIN at North PC")).to_be_visible()
    page.get_by_label(PRESENTER).check()
    page.locator("#pin").fill(PINS[PRESENTER])
    page.keyboard.press("Enter")
    page.wait_for_url("**/studio")
    page.goto(f"{desks.address}/phone")
    expect(page.locator("#caller_name")).to_have_value("Bryn")


def test_nobody_changes_and_the_hand_goes_on(desks: Desks) -> None:
    page = _shared(desks)
    page.locator("#why").focus()
    page.keyboard.type("a wed")
    page.keyboard.press("F10")
    expect(page.locator("#change")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#change")).not_to_be_visible()
    expect(page.locator("#why")).to_be_focused()
    page.keyboard.type("ding")
    expect(page.locator("#why")).to_have_value("a wedding")


def test_a_first_start_by_https(browser: Browser, tmp_path: Path) -> None:
    """The station's own certificate, the keeper's one-time passphrase, and a passphrase of their
    own, in a browser that was told to take the certificate."""
    with opened(tmp_path / "station", make=True) as station:
        own = certificates.own(station.folder, [])
        made = first_keeper(station.store, local_time())
        assert made
        with serving(station, "127.0.0.1", 0, certificate=own) as address:
            stranger = browser.new_context()
            stranger.set_default_timeout(10_000)
            refused = ""
            try:
                stranger.new_page().goto(address)
            except Exception as problem:
                refused = str(problem)
            assert "ERR_CERT_AUTHORITY_INVALID" in refused
            stranger.close()

            context = browser.new_context(ignore_https_errors=True)
            context.set_default_timeout(10_000)
            page = context.new_page()
            page.goto(f"{address}/trust")
            for line in own.fingerprint_lines():
                expect(page.locator(".fingerprint")).to_contain_text(line)
            page.goto(address)
            page.locator("#name").fill(made[0])
            page.locator("#passphrase").fill(made[1])
            page.keyboard.press("Enter")
            expect(page.get_by_role("heading", name="Choose your own passphrase")).to_be_visible()
            page.goto(f"{address}/station")
            expect(page.get_by_role("heading", name="Choose your own passphrase")).to_be_visible()
            words = page.locator("p.passphrase").inner_text()
            page.get_by_role("button", name="take this one").click()
            page.wait_for_url("**/shelves")
            assert staff.check(station.store, made[0], words)
            assert staff.check(station.store, *made) is None
            page.goto(f"{address}/phone/fresh")
            page.locator("#caller_name").fill("Maureen")
            expect(page.locator("#kept")).to_contain_text("Kept at")
            cookies = {c["name"]: c for c in context.cookies()}
            assert {"__Host-asheard", "__Host-asheard_signed_in"} <= set(cookies)
            assert all(c["secure"] and c["httpOnly"] for c in cookies.values())
            assert page.evaluate("window.isSecureContext") is True
            context.close()
