"""Known browsers, PINs bound to their desk, sessions and when they end, and tries."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import browsers, pins, restoring, sessions, staff, tries
from catalogue.browsers import Browser
from catalogue.errors import BadInput, NotFound
from catalogue.sessions import Session
from catalogue.staff import Person
from catalogue.store import Store

WORDS = "ferry lemon quilt brass 47"
NOW = datetime(2026, 11, 26, 19, 30)


@pytest.fixture
def ada(store: Store) -> Person:
    found = staff.get(store, staff.add(store, "Ada", "presenter", WORDS, "Kit", NOW))
    assert found
    return found


def _desk(store: Store, person: Person, name: str = "Studio 1") -> tuple[Browser, str]:
    token = browsers.new_token()
    browsers.share(store, browsers.remember(store, token, person.id, NOW), name)
    found = browsers.of(store, token)
    assert found
    return found, token


class TestPins:
    @pytest.mark.parametrize(
        "pin",
        ["123456", "234567", "890123", "987654", "654321", "111111", "121212", "123123", "112233",
         "123321", "135791", "000000", "112211", "24061970", "19700624", "06241970", "12345",
         "1234567890123", "12345a", "", "١٢٣٤٥٩"],
    )  # fmt: skip
    def test_what_is_guessed_first_is_refused(self, pin: str) -> None:
        with pytest.raises(BadInput):
            pins.checked(pin)

    @pytest.mark.parametrize("pin", ["482915", "159753", "70 41 82", "20467193"])
    def test_others_are_taken(self, pin: str) -> None:
        assert pins.checked(pin) == pin.replace(" ", "")

    @given(st.text(max_size=20))
    def test_whatever_is_typed_is_a_pin_or_refused_with_a_sentence(self, pin: str) -> None:
        try:
            assert pins.checked(pin).isdigit()
        except BadInput as problem:
            assert problem.message.endswith(".")

    def test_a_pin_works_at_its_desk_and_no_other(self, store: Store, ada: Person) -> None:
        here, token = _desk(store, ada)
        there, other = _desk(store, ada, "Studio 2")
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        assert pins.fits(store, here, token, ada.id, "48 29 15")
        assert not pins.fits(store, there, other, ada.id, "482915")
        assert pins.people_at(store, here) == [(ada.id, "Ada")]
        assert pins.people_at(store, there) == []

    def test_the_database_alone_does_not_say_which_pin(self, store: Store, ada: Person) -> None:
        """With the desk's row but not its token even the right PIN does not fit."""
        here, token = _desk(store, ada)
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        held = "\n".join(store.db.conn.iterdump())
        assert token not in held and "482915" not in held and "$argon2id$" in held
        for known in ("", browsers.hash_of(token)):
            assert not pins.fits(store, here, known, ada.id, "482915")

    def test_a_pin_needs_a_shared_desk(self, store: Store, ada: Person) -> None:
        token = browsers.new_token()
        browser = browsers.remember(store, token, ada.id, NOW)
        with pytest.raises(BadInput, match="shared desks only"):
            pins.set_for(store, browser, token, ada.id, "482915", NOW)
        here, token = _desk(store, ada)
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        browsers.unshare(store, here)
        ordinary = browsers.of(store, token)
        assert ordinary and not pins.fits(store, ordinary, token, ada.id, "482915")

    def test_a_hundred_wrong_in_a_row_end_the_pin(self, store: Store, ada: Person) -> None:
        here, token = _desk(store, ada)
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        for _ in range(pins.MOST_WRONG - 1):
            assert not pins.fits(store, here, token, ada.id, "1")
        assert pins.fits(store, here, token, ada.id, "482915")  # and counts anew
        for _ in range(pins.MOST_WRONG):
            pins.fits(store, here, token, ada.id, "1")
        assert not pins.fits(store, here, token, ada.id, "482915")
        assert pins.people_at(store, here) == []
        pins.set_for(store, here, token, ada.id, "482916", NOW)
        assert pins.fits(store, here, token, ada.id, "482916")

    def test_pins_are_forgotten(self, store: Store, ada: Person) -> None:
        here, token = _desk(store, ada)
        there, other = _desk(store, ada, "Studio 2")
        for desk, its in ((here, token), (there, other)):
            pins.set_for(store, desk, its, ada.id, "482915", NOW)
        pins.forget(store, ada.id, here.id)
        assert not pins.fits(store, here, token, ada.id, "482915")
        assert pins.fits(store, there, other, ada.id, "482915")
        pins.forget(store, ada.id)
        assert not pins.fits(store, there, other, ada.id, "482915")


class TestBrowsers:
    def test_a_browser_knows_who_signed_in_there(self, store: Store, ada: Person) -> None:
        token = browsers.new_token()
        assert browsers.of(store, token) is None and browsers.of(store, "") is None
        browser = browsers.remember(store, token, ada.id, NOW)
        assert browsers.knows(store, browser, ada.id)
        assert not browsers.knows(store, browser, ada.id + 1)
        assert not browsers.knows(store, None, ada.id)

    def test_a_revoked_desk_is_gone_with_its_pins(self, store: Store, ada: Person) -> None:
        here, token = _desk(store, ada)
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        assert [b.shared_as for b, _ in browsers.shared(store)] == ["Studio 1"]
        browsers.revoke(store, here.id)
        assert browsers.of(store, token) is None
        for table in ("browsers", "known_browsers", "pins"):
            assert store.rows(f"SELECT * FROM {table}") == []
        with pytest.raises(NotFound):
            browsers.revoke(store, here.id)

    def test_one_that_nobody_uses_is_forgotten_after_400_days(
        self, store: Store, ada: Person
    ) -> None:
        _, old = _desk(store, ada)
        later = NOW + timedelta(days=401)
        browsers.remember(store, browsers.new_token(), ada.id, later)
        assert browsers.of(store, old) is None

    @pytest.mark.parametrize("name", ["", "  ", "x" * 61])
    def test_a_shared_desk_has_a_name(self, store: Store, ada: Person, name: str) -> None:
        browser = browsers.remember(store, browsers.new_token(), ada.id, NOW)
        with pytest.raises(BadInput):
            browsers.share(store, browser, name)


def _session(started: datetime, seen: datetime, by_pin: bool = False) -> Session:
    return Session(1, 1, "", None, by_pin, started, seen)


class TestSessions:
    @pytest.mark.parametrize(
        ("age", "quiet", "by_pin", "over"),
        [
            # hours since signing in, minutes since something was done
            (2, 179, False, False), (4, 181, False, True), (1, 59, True, False),
            (2, 61, True, True), (13.9, 20, False, False), (14.1, 16, False, True),
            # In the middle of a programme: one record, two records, and the hour it may take.
            (14.1, 4, False, False), (15, 8, True, False), (19.9, 14, False, False),
            (20.1, 0, False, True),
        ],
    )  # fmt: skip
    def test_when_its_time_is_over(
        self, age: float, quiet: float, by_pin: bool, over: bool
    ) -> None:
        at = NOW + timedelta(hours=age)
        session = _session(NOW, at - timedelta(minutes=quiet), by_pin)
        assert session.is_over(at) is over

    def test_it_is_found_by_its_token_and_ends(self, store: Store, ada: Person) -> None:
        token = sessions.start(store, ada, None, False, NOW)
        found = sessions.find(store, token, NOW)
        assert found and found.person_id == ada.id
        assert token not in "\n".join(store.db.conn.iterdump())
        assert sessions.find(store, "another", NOW) is None
        assert sessions.find(store, token, NOW + timedelta(hours=4)) is None
        sessions.end(store, found.id)
        assert sessions.find(store, token, NOW) is None

    def test_what_is_done_keeps_it_open(self, store: Store, ada: Person) -> None:
        token = sessions.start(store, ada, None, False, NOW)
        at = NOW
        for _ in range(4):
            at += timedelta(hours=2, minutes=50)
            found = sessions.find(store, token, at - timedelta(minutes=1))
            assert found, at
            sessions.note(store, found, at)

    def test_those_over_are_cleared_away(self, store: Store, ada: Person) -> None:
        sessions.start(store, ada, None, False, NOW)
        sessions.start(store, ada, None, False, NOW + timedelta(hours=5))
        assert len(store.rows("SELECT * FROM sessions")) == 1

    def test_a_copy_that_is_put_back_lets_nobody_in(self, store: Store, ada: Person) -> None:
        token = sessions.start(store, ada, None, False, NOW)
        copy = store.path.with_name("copy.db")
        store.db.execute("VACUUM INTO ?", (str(copy),)).fetchall()
        path, index = store.path, store.path.parent / "sound_index"
        store.close()
        restoring.put_back(path, index, copy, NOW)
        again = Store(path)
        assert sessions.find(again, token, NOW) is None
        assert staff.check(again, "Ada", WORDS)
        again.close()

    def test_who_is_gone_from_the_list_leaves_nothing(self, store: Store, ada: Person) -> None:
        here, token = _desk(store, ada)
        pins.set_for(store, here, token, ada.id, "482915", NOW)
        sessions.start(store, ada, here.id, True, NOW)
        with store.transaction() as db:
            db.execute("DELETE FROM people")
        for table in ("known_browsers", "pins", "sessions"):
            assert store.rows(f"SELECT * FROM {table}") == []


class TestTries:
    def test_some_are_free_and_then_the_wait_doubles_up_to_its_end(self, store: Store) -> None:
        at, waits = NOW, []
        for _ in range(12):
            while wait := tries.begin(store, "ada", tries.STRANGER, at):
                waits.append(wait)
                at += timedelta(seconds=wait)
        assert waits == [2, 4, 8, 16, 32, 60, 60, 60, 60]

    def test_a_wait_survives_a_restart(self, store: Store) -> None:
        for _ in range(3):
            assert tries.begin(store, "ada", tries.STRANGER, NOW) == 0
        again = Store(store.path)
        assert tries.begin(again, "ada", tries.STRANGER, NOW) == 2
        again.close()

    def test_whoever_comes_in_begins_anew_and_the_day_after_too(self, store: Store) -> None:
        for _ in range(3):
            tries.begin(store, "ada", tries.STRANGER, NOW)
        tries.right(store, "ada")
        assert [tries.begin(store, "ada", tries.STRANGER, NOW) for _ in range(4)] == [0, 0, 0, 2]
        later = NOW + timedelta(hours=13)
        assert [tries.begin(store, "ada", tries.STRANGER, later) for _ in range(4)] == [0, 0, 0, 2]

    def test_only_so_many_are_kept(self, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(tries, "_MOST_KEPT", 5)
        for number in range(20):
            tries.begin(store, str(number), tries.STRANGER, NOW + timedelta(seconds=number))
        kept = [row["who"] for row in store.rows("SELECT who FROM sign_in_tries ORDER BY last")]
        assert kept == ["15", "16", "17", "18", "19"]
