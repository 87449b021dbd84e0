"""Headers, tokens and what no page may hold."""

from __future__ import annotations

import re
from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from flask import Flask

from catalogue import settings
from catalogue.store import Store

from .conftest import EVENING, PASSPHRASE, Desk, Held

PAGES = {
    "Dora": ("/station", "/station/programmes", "/station/places", "/station/people", "/desk"),
    "Alice": ("/phone", "/phone/fresh", "/phone/slips/1", "/phone/slips/999", "/shelves"),
    "Bob": ("/studio", "/studio?studio=Studio+2", "/studio?studio=none", "/studio/queue",
            "/studio/print?studio=Studio+1"),
    "Charlie": (
        "/shelves", "/shelves?q=quay&order=mark", "/shelves/recordings/1",
        "/shelves/recordings/new", "/shelves/gaps", "/shelves/duplicates", "/shelves/actions",
        "/shelves/lessons", "/paper", "/paper/slip", "/desk",
        "/nowhere", "/shelves/recordings/99999",
    ),
}  # fmt: skip


class Inline(HTMLParser):
    """Finds what the content policy forbids."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = dict(attrs)
        if tag == "script" and not names.get("src"):
            self.found.append("script without src")
        if tag == "style":
            self.found.append("style element")
        for name, value in attrs:
            if name == "style" or name.startswith("on") or name.startswith("hx-on"):
                self.found.append(f"{tag} {name}")
            if name in ("src", "href", "action") and re.match(r"(?i)(https?:)?//|javascript:|data:",
                                                              value or ""):  # fmt: skip
                self.found.append(f"{tag} {name} {value}")


@pytest.mark.parametrize("name", PAGES)
def test_no_page_has_inline_script_or_style_or_anything_from_elsewhere(
    phone: Desk, sign_in: Callable[[str], Desk], name: str
) -> None:
    phone.send("/phone/heard", sheet="first", heard="lantern on the key")
    phone.send("/phone/details", slip="1", caller_name="Maureen", why="<script>alert(1)</script>")
    desk = sign_in(name)
    for path in PAGES[name]:
        text = desk.get(path).get_data(as_text=True)
        seen = Inline()
        seen.feed(text)
        assert len(text) > 50, path
        assert seen.found == [], path


def test_every_answer_carries_the_policy_without_exceptions(app: Flask, phone: Desk) -> None:
    for path in ("/sign-in", "/phone", "/nowhere", "/static/css/page.css", "/live/alive"):
        headers = phone.get(path).headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "no-referrer"


def test_pages_are_not_kept_by_browsers(phone: Desk) -> None:
    assert phone.get("/phone").headers["Cache-Control"] == "no-store"


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(app: Flask) -> None:
    cookie = app.test_client().get("/sign-in").headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_a_form_without_its_token_changes_nothing(phone: Desk, store: Store) -> None:
    answer = phone.client.post("/phone/details", data={"sheet": "x", "caller_name": "Maureen"})

    assert answer.status_code == 400
    assert "Nothing was changed" in answer.get_data(as_text=True)
    assert store.rows("SELECT * FROM slips") == []


def test_what_was_typed_is_shown_as_text(phone: Desk) -> None:
    phone.send("/phone/details", sheet="a", caller_name='"><img src=x onerror=alert(1)>')
    page = phone.get("/phone/slips/1").get_data(as_text=True)
    assert "<img" not in page


def test_the_demo_says_so_on_every_page(store: Store, phone: Desk, sign_in: Callable) -> None:
    assert "not use it for real callers" not in phone.get("/phone").get_data(as_text=True)
    settings.put(store, "demo", "yes", "Dora", EVENING)
    for name, paths in PAGES.items():
        desk = sign_in(name)
        for path in paths:
            if path != "/studio/queue":
                assert "not use it for real callers" in desk.get(path).get_data(as_text=True), path


def test_nothing_of_a_caller_is_in_a_url_or_cookie(phone: Desk) -> None:
    answer = phone.send("/phone/details", sheet="a", caller_name="Maureen Tolley")
    over = phone.send("/phone/hand-over", slip="1", studio="Studio 1")
    for response in (answer, over):
        assert "Maureen" not in str(response.headers)


def test_a_fault_inside_shows_a_sentence_and_logs_no_words(
    app: Flask, phone: Desk, held: Held, monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    from catalogue import enquiry

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("Maureen in bed 3")

    monkeypatch.setattr(enquiry, "enquire", broken)
    answer = phone.send("/phone/heard", sheet="a", heard="Maureen in bed 3")

    assert answer.status_code == 500
    assert "Something went wrong" in answer.get_data(as_text=True)
    assert "Traceback" not in answer.get_data(as_text=True)
    assert "RuntimeError" in caplog.text
    assert "Maureen" not in caplog.text


def test_the_station_says_that_it_answers(app: Flask) -> None:
    answer = app.test_client().get("/live/alive")
    assert (answer.status_code, answer.mimetype) == (200, "text/plain")


class TestTheDoor:
    def test_a_wrong_passphrase_is_told_in_a_sentence(self, app: Flask) -> None:
        answer = Desk(app.test_client()).send("/sign-in", page=True, name="Alice", passphrase="no")
        assert answer.status_code == 400
        assert "do not go together" in answer.get_data(as_text=True)

    def test_tries_are_slowed_down_and_then_free_again(self, app: Flask, clock) -> None:
        desk = Desk(app.test_client())
        for _ in range(3):
            desk.send("/sign-in", page=True, name="Alice", passphrase="no")

        right = desk.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        assert right.status_code == 429
        assert "Wait 2 seconds" in right.get_data(as_text=True)

        other = desk.send("/sign-in", page=True, name="Bob", passphrase=PASSPHRASE)
        assert other.status_code == 303

        clock.on(seconds=3)
        again = desk.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        assert again.status_code == 303

    def test_a_changed_passphrase_ends_the_sessions(self, phone: Desk, store: Store) -> None:
        from catalogue import staff

        assert phone.get("/phone").status_code == 200
        person = next(p for p in staff.all_people(store) if p.name == "Alice")
        staff.new_words_for(store, person.id, "another four words")
        assert phone.get("/phone").status_code == 302

    def test_somebody_who_left_is_out(self, phone: Desk, store: Store) -> None:
        from catalogue import staff

        person = next(p for p in staff.all_people(store) if p.name == "Alice")
        staff.set_active(store, person.id, False, EVENING)
        assert phone.get("/phone").status_code == 302

    def test_signing_out_signs_out(self, phone: Desk) -> None:
        phone.send("/sign-out", page=True)
        assert phone.get("/phone").status_code == 302

    @pytest.mark.parametrize(
        ("name", "desk"),
        [("Alice", "/phone"), ("Bob", "/studio"), ("Charlie", "/shelves"), ("Dora", "/shelves")],
    )
    def test_home_is_each_roles_own_desk(
        self, sign_in: Callable[[str], Desk], name: str, desk: str
    ) -> None:
        assert sign_in(name).get("/").headers["Location"] == desk
