"""In and out, one-time passphrases, PINs at shared desks, tries, and when a session ends."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from catalogue import staff
from catalogue.store import Store
from web import roles, signed_in

from .conftest import EVENING, PASSPHRASE, PINS, Clock, Desk, SharedDesk

OWN = "otter quill sand plum 11"


def _text(answer: TestResponse) -> str:
    return " ".join(answer.get_data(as_text=True).split())


def _number(store: Store, name: str) -> int:
    return next(p.id for p in staff.all_people(store) if p.name == name)


class TestTheOneTimePassphrase:
    @pytest.fixture
    def enid(self, app: Flask, store: Store) -> Desk:
        staff.add(store, "Enid", "searcher", PASSPHRASE, "Dora", EVENING, one_time=True)
        desk = Desk(app.test_client())
        answer = desk.send("/sign-in", page=True, name="Enid", passphrase=PASSPHRASE)
        assert answer.headers["Location"] == "/sign-in/own"
        return desk

    def test_nothing_opens_before_they_have_chosen_their_own(self, app: Flask, enid: Desk) -> None:
        for rule in app.url_map.iter_rules():
            path = re.sub(r"<[^>]+>", "1", rule.rule)
            access = roles.ACCESS[rule.endpoint]
            if access == roles.ANYONE or rule.endpoint in roles.WITH_ONE_TIME_PASSPHRASE:
                continue
            if "GET" in (rule.methods or ()):
                assert enid.get(path).headers.get("Location") == "/sign-in/own", path
            else:
                assert enid.send(path).status_code == 403, path

    def test_they_take_what_is_made_for_them_or_write_their_own(
        self, app: Flask, enid: Desk, store: Store
    ) -> None:
        page = enid.get("/sign-in/own").get_data(as_text=True)
        made = re.search(r'name="proposed" value="([^"]+)"', page)
        assert made and "Choose your own passphrase" in page
        answer = enid.send("/sign-in/own/passphrase", page=True, take="proposed", proposed=made[1])
        assert answer.headers["Location"] == "/"
        assert enid.get("/phone").status_code == 200
        assert staff.check(store, "Enid", made[1])

    @pytest.mark.parametrize(
        ("new", "again", "said"),
        [("short", "short", "15 characters"), (OWN, "other words 12345", "not the same"),
         (PASSPHRASE, PASSPHRASE, "have now"), ("searcher searcher", "searcher searcher", "guess")],
    )  # fmt: skip
    def test_what_cannot_be_theirs_is_told(
        self, enid: Desk, store: Store, new: str, again: str, said: str
    ) -> None:
        answer = enid.send("/sign-in/own/passphrase", page=True, new=new, again=again)
        assert answer.status_code == 400 and said in _text(answer)
        assert staff.check(store, "Enid", PASSPHRASE)
        assert enid.get("/phone").status_code == 302

    def test_after_two_weeks_it_lets_nobody_in(
        self, app: Flask, store: Store, clock: Clock
    ) -> None:
        staff.add(store, "Enid", "searcher", PASSPHRASE, "Dora", EVENING, one_time=True)
        clock.on(days=15)
        desk = Desk(app.test_client())
        answer = desk.send("/sign-in", page=True, name="Enid", passphrase=PASSPHRASE)
        assert answer.status_code == 400 and "its time is over" in _text(answer)
        assert desk.get("/phone").status_code == 302

    def test_a_keeper_s_one_time_passphrase_ends_sessions_and_pins(
        self, shared: SharedDesk, sign_in: Callable[[str], Desk], store: Store
    ) -> None:
        shared.by_pin("Alice")
        keeper = sign_in("Dora")
        number = shared.people["Alice"]
        page = _text(keeper.send(f"/station/people/{number}/passphrase", page=True))
        assert "chosen" not in page and "lets Alice in once" in page
        assert shared.desk.get("/phone").status_code == 302
        assert shared.by_pin("Alice").status_code == 400

    def test_a_keeper_changes_their_own_under_their_name(
        self, sign_in: Callable[[str], Desk], store: Store
    ) -> None:
        keeper = sign_in("Dora")
        answer = keeper.send(f"/station/people/{_number(store, 'Dora')}/passphrase", page=True)
        assert answer.status_code == 400 and "under your name" in _text(answer)
        assert keeper.get("/station").status_code == 200


class TestOnesOwnSignIn:
    def test_another_passphrase_needs_the_one_of_now_and_ends_the_others(
        self, sign_in: Callable[[str], Desk], store: Store
    ) -> None:
        here, there = sign_in("Alice"), sign_in("Alice")
        form = {"new": OWN, "again": OWN}
        wrong = here.send("/sign-in/own/passphrase", page=True, passphrase="no", **form)
        assert wrong.status_code == 403 and there.get("/phone").status_code == 200
        right = here.send("/sign-in/own/passphrase", page=True, passphrase=PASSPHRASE, **form)
        assert right.status_code == 303
        assert here.get("/phone").status_code == 200
        assert there.get("/phone").status_code == 302
        assert staff.check(store, "Alice", OWN)

    def test_one_signs_out_everywhere_else(self, sign_in: Callable[[str], Desk]) -> None:
        here, there = sign_in("Alice"), sign_in("Alice")
        assert here.get("/sign-in/own").get_data(as_text=True).count("by passphrase") == 2
        refused = here.send("/sign-in/own/sign-out-elsewhere", page=True, passphrase="no")
        assert refused.status_code == 403
        here.send("/sign-in/own/sign-out-elsewhere", page=True, passphrase=PASSPHRASE)
        assert here.get("/phone").status_code == 200
        assert there.get("/phone").status_code == 302

    def test_guessing_there_is_slowed_as_at_the_door(self, sign_in: Callable[[str], Desk]) -> None:
        here = sign_in("Alice")
        said = ""
        for _ in range(7):
            said = _text(here.send("/sign-in/own/sign-out-elsewhere", page=True, passphrase="no"))
        assert "Wait 2 seconds" in said

    def test_the_keeper_signs_somebody_out_everywhere(
        self, sign_in: Callable[[str], Desk], store: Store
    ) -> None:
        alice, keeper = sign_in("Alice"), sign_in("Dora")
        keeper.send(f"/station/people/{_number(store, 'Alice')}/sign-out", page=True)
        assert alice.get("/phone").status_code == 302

    def test_a_cookie_that_was_copied_is_worth_nothing_after_signing_out(
        self, app: Flask, phone: Desk
    ) -> None:
        copied = phone.client.get_cookie("asheard_signed_in")
        assert copied
        thief = app.test_client()
        thief.set_cookie("asheard_signed_in", copied.value)
        assert thief.get("/phone").status_code == 200
        phone.send("/sign-out", page=True)
        assert thief.get("/phone").status_code == 302
        assert phone.client.get_cookie("asheard_signed_in") is None

    def test_signing_in_makes_a_new_token(self, phone: Desk) -> None:
        first = phone.client.get_cookie("asheard_signed_in")
        phone.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        second = phone.client.get_cookie("asheard_signed_in")
        assert first and second and first.value != second.value
        phone.client.set_cookie("asheard_signed_in", first.value)
        assert phone.get("/phone").status_code == 302


class TestPins:
    def test_each_comes_in_by_their_own_and_is_who_does_it(
        self, shared: SharedDesk, store: Store
    ) -> None:
        assert shared.by_pin("Alice").status_code == 200
        shared.desk.send("/phone/details", sheet="a", caller_name="Maureen")
        assert shared.by_pin("Bob").status_code == 200
        form = {"slip": "1", "studio": "Studio 1", "purpose": "dedication"}
        shared.desk.send("/phone/hand-over", all_the_same="no record", **form)
        who = [row["who"] for row in store.rows("SELECT who FROM actions ORDER BY id DESC LIMIT 1")]
        assert who == ["Bob"]

    def test_a_pin_works_only_at_its_desk(
        self, app: Flask, shared: SharedDesk, sign_in: Callable[[str], Desk]
    ) -> None:
        elsewhere = sign_in("Alice")
        elsewhere.send("/desk/shared", page=True, name="South PC")
        elsewhere.send("/sign-out", page=True)
        for desk in (elsewhere, Desk(app.test_client())):
            form = {"person": shared.people["Alice"], "pin": PINS["Alice"]}
            assert desk.send("/sign-in/pin", page=True, **form).status_code == 400
            assert desk.get("/phone").status_code == 302

    @pytest.mark.parametrize("pin", ["123456", "111111", "48291", "abcdef", "12345678901234", ""])
    def test_a_pin_that_is_guessed_first_is_refused(self, shared: SharedDesk, pin: str) -> None:
        form = {"pin": pin, "again": pin, "passphrase": PASSPHRASE}
        answer = shared.desk.send("/sign-in/own/pin", page=True, **form)
        assert answer.status_code == 400
        assert shared.by_pin("Dora").status_code == 200

    def test_setting_one_needs_the_passphrase(self, shared: SharedDesk) -> None:
        shared.by_pin("Bob")
        form = {"pin": "918273", "again": "918273"}
        assert shared.desk.send("/sign-in/own/pin", page=True, **form).status_code == 403
        assert shared.by_pin("Bob").status_code == 200

    def test_a_desk_that_is_not_shared_takes_none(self, phone: Desk) -> None:
        form = {"pin": "482915", "again": "482915", "passphrase": PASSPHRASE}
        assert phone.send("/sign-in/own/pin", page=True, **form).status_code == 400

    def test_a_pin_opens_none_of_the_station_s_pages(self, shared: SharedDesk) -> None:
        shared.by_pin("Dora")
        assert shared.desk.get("/phone").status_code == 200
        page = shared.desk.get("/phone").get_data(as_text=True)
        assert 'href="/station"' not in page
        answer = shared.desk.get("/station/people")
        assert answer.status_code == 403 and "needs your passphrase" in _text(answer)

    def test_sharing_and_no_longer_need_a_passphrase(self, shared: SharedDesk) -> None:
        shared.by_pin("Dora")
        for path in ("/desk/shared", "/desk/shared/end"):
            assert shared.desk.send(path, page=True, name="Mine").status_code == 403
        assert "North PC" in shared.desk.get("/desk").get_data(as_text=True)
        shared.desk.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        shared.desk.send("/desk/shared/end", page=True)
        assert shared.by_pin("Bob").status_code == 400

    def test_a_revoked_desk_is_out(
        self, shared: SharedDesk, sign_in: Callable[[str], Desk]
    ) -> None:
        shared.by_pin("Bob")
        keeper = sign_in("Dora")
        page = _text(keeper.get("/station/desks"))
        assert "North PC" in page and "PINs: Alice, Bob, Charlie, Dora" in page
        number = re.search(r"/station/desks/(\d+)/revoke", page)
        assert number
        keeper.send(f"/station/desks/{number[1]}/revoke", page=True)
        assert shared.desk.get("/studio").status_code == 302
        assert shared.by_pin("Bob").status_code == 400
        assert "North PC" not in _text(keeper.get("/station/desks"))
        again = keeper.send(f"/station/desks/{number[1]}/revoke", page=True)
        assert again.status_code == 404

    def test_somebody_who_left_or_has_not_chosen_has_no_pin(
        self, shared: SharedDesk, store: Store
    ) -> None:
        staff.set_active(store, shared.people["Bob"], False, EVENING)
        staff.new_words_for(store, shared.people["Alice"], OWN, one_time_from=EVENING)
        for name in ("Bob", "Alice"):
            assert shared.by_pin(name).status_code == 400


class TestChangeOfPerson:
    @pytest.mark.parametrize(
        ("page", "then", "becomes"),
        [
            ("/phone", "Bob", "stays"), ("/phone/slips/1", "Dora", "stays"),
            ("/round", "Bob", "stays"), ("/phone", "Charlie", "goes"),
            ("/studio", "Bob", "stays"), ("/studio", "Alice", "goes"),
            ("/shelves", "Charlie", "anew"), ("/shelves", "Alice", "stays"),
            ("/desk", "Bob", "anew"), ("/station", "Dora", "goes"), ("/nowhere", "Bob", "goes"),
            ("//elsewhere.example/", "Bob", "goes"), ("", "Bob", "goes"),
        ],
    )  # fmt: skip
    def test_the_page_stays_where_it_is_the_same_for_both(
        self, shared: SharedDesk, page: str, then: str, becomes: str
    ) -> None:
        shared.by_pin("Alice")
        answer = shared.by_pin(then, over=page)
        assert answer.status_code == 200
        told = ("stays" if then in answer.get_data(as_text=True) else "anew"
                if answer.headers.get("HX-Refresh") else "goes"
                if answer.headers.get("HX-Redirect") == "/" else "?")  # fmt: skip
        assert told == becomes

    def test_the_slip_of_this_desk_is_still_there(self, shared: SharedDesk) -> None:
        shared.by_pin("Alice")
        shared.desk.send("/phone/details", sheet="a", caller_name="Maureen", why="her sister")
        shared.by_pin("Bob", over="/phone")
        page = shared.desk.client.get("/phone", follow_redirects=True).get_data(as_text=True)
        assert "Maureen" in page and "her sister" in page
        # Signing out at a shared desk leaves it as well: the next person goes on with it.
        shared.desk.send("/sign-out", page=True)
        shared.by_pin("Alice")
        page = shared.desk.client.get("/phone", follow_redirects=True).get_data(as_text=True)
        assert "Maureen" in page

    def test_the_token_of_the_open_page_still_works(self, shared: SharedDesk) -> None:
        shared.by_pin("Alice")
        token = shared.desk.token()
        shared.by_pin("Bob", over="/phone")
        assert shared.desk.token() == token

    def test_a_late_answer_to_the_one_before_does_not_put_them_back(
        self, shared: SharedDesk
    ) -> None:
        """No answer but that of signing in sets the cookie that says who is here."""
        shared.by_pin("Alice")
        answers = [shared.desk.get(path) for path in ("/phone/fresh", "/phone/strip")]
        answers += [shared.desk.send("/phone/details", sheet="a", caller_name="Mo")]
        for answer in answers:
            assert "asheard_signed_in" not in str(answer.headers)

    def test_nothing_of_it_shows_where_nobody_shares(self, phone: Desk) -> None:
        page = phone.get("/phone").get_data(as_text=True)
        assert "Change person" not in page and 'id="change"' not in page


class TestTries:
    def _wrong(self, desk: Desk, name: str = "Alice", times: int = 1) -> TestResponse:
        for _ in range(times):
            answer = desk.send("/sign-in", page=True, name=name, passphrase="no")
        return answer

    def test_tries_elsewhere_do_not_hold_up_whoever_is_at_their_own_desk(
        self, app: Flask, phone: Desk
    ) -> None:
        """Not even from the same address: the desk is known by its cookie."""
        phone.send("/sign-out", page=True)
        other = Desk(app.test_client())
        assert self._wrong(other, times=40).status_code == 429
        assert phone.send("/sign-in", page=True, name="Alice",
                          passphrase=PASSPHRASE).status_code == 303  # fmt: skip

    def test_a_cookie_of_one_s_own_making_makes_no_desk_known(self, app: Flask) -> None:
        other = Desk(app.test_client())
        other.client.set_cookie("asheard_browser", "a" * 43)
        assert self._wrong(other, times=4).status_code == 429

    def test_a_desk_that_knows_one_person_knows_no_other(self, app: Flask, phone: Desk) -> None:
        assert self._wrong(phone, "Bob", 4).status_code == 429

    def test_tries_there_are_slowed_as_well_but_shortly(self, phone: Desk) -> None:
        assert self._wrong(phone, times=6).status_code == 429
        waits = []
        for _ in range(20):
            found = re.search(r"Wait (\d+) seconds", _text(self._wrong(phone)))
            assert found
            waits.append(int(found[1]))
        assert max(waits) <= 15

    def test_a_pin_is_slowed_apart_from_the_passphrase(self, shared: SharedDesk) -> None:
        for _ in range(8):
            answer = shared.by_pin("Bob", "999999")
        assert answer.status_code == 429
        assert shared.by_pin("Alice").status_code == 200
        assert shared.desk.send("/sign-in", page=True, name="Bob",
                                passphrase=PASSPHRASE).status_code == 303  # fmt: skip

    def test_many_names_from_one_address_are_slowed_too(self, app: Flask) -> None:
        desk = Desk(app.test_client())
        answers = [self._wrong(desk, f"Somebody {n}").status_code for n in range(35)]
        assert answers[:30] == [400] * 30 and 429 in answers[30:]

    def test_whose_tries_is_not_to_be_read_in_the_database(self, app: Flask, store: Store) -> None:
        self._wrong(Desk(app.test_client()), "my passphrase in the wrong box")
        held = "\n".join(store.db.conn.iterdump())
        assert "wrong box" not in held and "127.0.0.1" not in held

    def test_an_unknown_name_is_answered_as_a_wrong_passphrase_is(self, app: Flask) -> None:
        desk = Desk(app.test_client())
        known, unknown = self._wrong(desk, "Alice"), self._wrong(desk, "Nobody")
        assert known.status_code == unknown.status_code
        assert "do not go together" in _text(known) and "do not go together" in _text(unknown)

    def test_an_unknown_name_takes_a_hash_too(
        self, app: Flask, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        from catalogue import passphrases

        seen: list[str] = []
        fits = passphrases.fits
        monkeypatch.setattr(passphrases, "fits", lambda h, s: seen.append(h) or fits(h, s))
        self._wrong(Desk(app.test_client()), "Nobody")
        assert seen == [""]


def test_the_log_tells_of_sign_ins_by_number_and_of_nobody_by_name(
    app: Flask, shared: SharedDesk, caplog: pytest.LogCaptureFixture
) -> None:
    """ASVS 5.0, 16.3.1 and 16.3.2; the log can be given to whoever helps."""
    caplog.set_level("INFO", "asheard.sign_in")
    stranger = Desk(app.test_client())
    stranger.send("/sign-in", page=True, name="Alice", passphrase="swordfish and chips")
    shared.by_pin("Bob", "999999")
    shared.by_pin("Bob")
    shared.desk.get("/station/people")
    told = [record.getMessage() for record in caplog.records]
    assert told[0] == "A wrong name or passphrase (a desk that is not known)."
    assert told[1].startswith("A wrong PIN for person 2 (desk ")
    assert told[2].startswith("Person 2 signed in by PIN (desk ")
    assert told[3] == "Person 2 may not use keeper_lists.people_list."
    for name in (*PINS, *PINS.values(), "swordfish", "127.0.0.1"):
        assert name not in " ".join(told)


class TestTheEndOfASession:
    def test_it_ends_by_itself(self, phone: Desk, clock: Clock) -> None:
        clock.on(hours=2, minutes=59)
        assert phone.get("/phone").status_code == 200
        clock.on(hours=3, minutes=1)
        assert phone.get("/phone").status_code == 302

    def test_what_a_page_asks_for_by_itself_does_not_keep_it_open(
        self, phone: Desk, clock: Clock
    ) -> None:
        for _ in range(4):
            clock.on(minutes=50)
            answer = phone.get("/phone/strip?since=-1", headers={"HX-Request": "true"})
        assert answer.status_code == 401

    def test_a_presenter_is_not_put_out_between_two_records(
        self, studio: Desk, clock: Clock
    ) -> None:
        """Signed in for 16 hours, and a record every four minutes."""
        for _ in range(6 * 16):
            clock.on(minutes=10)
            studio.get("/studio")
        for _ in range(5):
            clock.on(minutes=4)
            assert studio.get("/studio").status_code == 200

    def test_by_pin_an_hour_without_anything_done_is_enough(
        self, shared: SharedDesk, clock: Clock
    ) -> None:
        shared.by_pin("Alice")
        clock.on(minutes=59)
        assert shared.desk.get("/phone").status_code == 200
        clock.on(minutes=61)
        assert shared.desk.get("/phone").status_code == 302

    def test_every_part_that_a_page_asks_for_again_and_again_is_named(self, app: Flask) -> None:
        from pathlib import Path

        import web

        folder = Path(web.__file__).parent / "templates"
        asked = set()
        for file in folder.rglob("*.html"):
            text = file.read_text(encoding="utf-8")
            for tag in re.findall(r"<[^<]*hx-trigger=\"every[^>]*>", text):
                asked |= set(re.findall(r"url_for\('([\w.]+)'", tag))
        assert asked and asked <= signed_in.ASKED_BY_PAGES
        assert set(roles.ACCESS) >= signed_in.ASKED_BY_PAGES


class TestWhereOneGoes:
    @pytest.mark.parametrize(
        "after", ["//elsewhere.example", "/\\elsewhere.example", "https://elsewhere.example"]
    )
    def test_the_door_leads_nowhere_else(self, app: Flask, after: str) -> None:
        desk = Desk(app.test_client())
        desk.token()
        with desk.client.session_transaction() as session:
            session["after_sign_in"] = after
        answer = desk.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        assert answer.headers["Location"] == "/phone"

    def test_on_to_what_was_asked_for(self, app: Flask) -> None:
        desk = Desk(app.test_client())
        desk.get("/shelves")
        answer = desk.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        assert answer.headers["Location"] == "/shelves"
