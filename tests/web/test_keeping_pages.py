"""The keeper's pages of safety, as the keeper sees them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from catalogue import backup, callers, forgetting, request_slips, settings
from catalogue.store import Store
from web import log_file
from web.opening import OpenStation

from .conftest import EVENING, Clock, Desk, Held

PAGES = ("/station/health", "/station/held", "/station/changes", "/station/papers",
         "/station/papers/after-a-breach", "/station/log")  # fmt: skip


@pytest.fixture
def keeper(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Dora")


@pytest.fixture
def slip(store: Store) -> int:
    number = request_slips.start(store, "request", "Alice", EVENING)
    details = {"caller_name": "Wilhelmina Fenn", "why": "for her sister", "under_sixteen": True}
    callers.write(store, number, details, "Alice", EVENING)
    return number


def _text(desk: Desk, path: str) -> str:
    answer = desk.get(path)
    assert answer.status_code == 200, path
    return _plain(answer)


def _plain(answer: TestResponse) -> str:
    text = answer.get_data(as_text=True).replace("<wbr>", "")
    return " ".join(re.sub(r"<[^>]+>", " ", text).split())


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("name", ["Alice", "Bob", "Charlie"])
def test_they_are_the_keepers_alone(sign_in: Callable[[str], Desk], name: str, path: str) -> None:
    assert sign_in(name).get(path).status_code == 403


class TestHeld:
    def test_what_is_held_is_shown_with_a_day_to_shred_it(
        self, keeper: Desk, store: Store, slip: int, clock: Clock
    ) -> None:
        """The same as the command tells; the copies too, and nothing of the name in an address."""
        copy = backup.make(store, backup.Kind.DAILY, clock())
        assert "Wilhelmina" not in _text(keeper, "/station/held")
        answer = keeper.send("/station/held", page=True, name="fenn wilhelmina")
        page = _plain(answer)
        assert f"On slip {slip}" in page and "for her sister" in page and copy.name in page
        assert "under sixteen Yes" in page
        assert "Shred this page by 14 May 2024." in page
        assert "fenn" not in str(answer.headers).lower()

    def test_somebody_who_asks_is_erased_at_once(
        self, keeper: Desk, store: Store, slip: int, clock: Clock
    ) -> None:
        copy = backup.make(store, backup.Kind.DAILY, clock())
        done = keeper.send(f"/station/held/{slip}/forget", page=True)
        assert done.status_code == 303
        assert "are erased, from the copies here too" in _text(keeper, "/station/held")
        assert callers.of(store, slip) is None
        assert b"Wilhelmina" not in copy.read_bytes()

    def test_nobody_of_that_name_and_no_name(self, keeper: Desk, slip: int) -> None:
        nobody = keeper.send("/station/held", page=True, name="Bo Quay").get_data(as_text=True)
        assert "Nothing is held about “Bo Quay”" in nobody
        assert keeper.send("/station/held", page=True, name=" ").status_code == 400
        assert keeper.send("/station/held/999/forget", page=True).status_code == 404

    def test_in_german(self, keeper: Desk, store: Store, slip: int) -> None:
        settings.put(store, "language", "de", "Dora", EVENING)
        answer = keeper.send("/station/held", page=True, name="Wilhelmina").get_data(as_text=True)
        assert f"Auf Zettel {slip}" in answer and "14. Mai 2024" in answer


class TestHealth:
    def test_what_is_to_be_done_comes_first(self, keeper: Desk, store: Store, clock: Clock) -> None:
        page = _text(keeper, "/station/health")
        assert "to do There is no daily copy." in page
        assert page.index("to do") < page.index("The clock says")
        backup.keep_up(store, clock())
        page = _text(keeper, "/station/health")
        assert "There is no daily copy" not in page and "of the week, without callers" in page

    def test_everything_is_looked_at_when_asked(
        self, keeper: Desk, store: Store, clock: Clock
    ) -> None:
        """The files of the library, which the quick look leaves out."""
        assert "quay_street_waltz" not in _text(keeper, "/station/health")
        answer = keeper.send("/station/health", page=True)
        assert answer.status_code == 200
        page = answer.get_data(as_text=True).replace("<wbr>", "")
        assert "quay_street_waltz.flac" in page and "The database is whole" in page

    def test_it_is_said_in_german(self, keeper: Desk, store: Store, clock: Clock) -> None:
        settings.put(store, "language", "de", "Dora", EVENING)
        assert "Es gibt keine Tageskopie." in _text(keeper, "/station/health")
        backup.keep_up(store, clock())
        page = _text(keeper, "/station/health")
        assert "die letzte Tageskopie ist von heute" in page and "Die Uhr sagt" in page
        for english in ("The ", "There ", "Nothing "):
            assert english not in page

    def test_the_record_of_erasures_holds_no_names(
        self, sign_in: Callable[[str], Desk], store: Store, slip: int, clock: Clock
    ) -> None:
        assert "Nothing was erased yet." in _text(sign_in("Dora"), "/station/health")
        clock.on(days=7)
        keeper = sign_in("Dora")
        forgetting.erase_due(store, clock())
        page = _text(keeper, "/station/health")
        assert "the caller of one slip" in page and "Wilhelmina" not in page


class TestLog:
    @pytest.fixture
    def written(self, app: Flask, store: Store) -> Iterator[None]:
        index = app.extensions["asheard"].index
        with log_file.kept(OpenStation(store.path.parent, store, index)):
            yield

    def test_it_is_saved_without_words_that_came_on_a_slip_later(
        self, keeper: Desk, phone: Desk, store: Store, written: None
    ) -> None:
        import logging

        logging.getLogger("web").warning("The drive of Perpetua does not answer.")
        assert "of Perpetua" in _text(keeper, "/station/log")
        phone.send("/phone/details", sheet="a", caller_name="Perpetua")
        answer = keeper.get("/station/log")
        text = answer.get_data(as_text=True)
        assert "The drive of … does not answer." in text and "Perpetua" not in text
        assert "attachment" in answer.headers["Content-Disposition"]

    def test_without_a_log_it_is_empty(self, keeper: Desk) -> None:
        assert _text(keeper, "/station/log") == ""


class TestWhoChangedWhat:
    def test_a_correction_is_told_with_what_was_there(
        self, keeper: Desk, shelves: Desk, held: Held
    ) -> None:
        shelves.send(f"/shelves/recordings/{held.recordings['jetty']}", title="The Short Jetty",
                     artist="Hector Pike")  # fmt: skip
        page = _text(keeper, "/station/changes")
        assert "Charlie : " in page
        assert "Title: The Long Jetty → The Short Jetty" in page

    def test_pages_follow_each_other(self, keeper: Desk, store: Store) -> None:
        for number in range(60):
            settings.put(store, "repeat_hours", str(number + 1), "Dora", EVENING)
        first = keeper.get("/station/changes").get_data(as_text=True)
        older = re.search(r"/station/changes\?before=(\d+)", first)
        assert older
        then = keeper.get(older.group()).get_data(as_text=True)
        assert "<del>1</del> → <ins>2</ins>" in then and "<ins>60</ins>" in first
        assert keeper.get("/station/changes?before=soon").status_code == 200

    def test_nothing_a_caller_said_is_there(self, keeper: Desk, store: Store, slip: int) -> None:
        request_slips.hand_over(store, slip, "Studio 1", "Alice", EVENING)
        page = _text(keeper, "/station/changes")
        assert "Alice" in page and "Wilhelmina" not in page


class TestPapers:
    @pytest.mark.parametrize("language", ["en", "de"])
    def test_each_is_a_page_to_print(self, keeper: Desk, store: Store, language: str) -> None:
        settings.put(store, "language", language, "Dora", EVENING)
        listed = keeper.get("/station/papers").get_data(as_text=True)
        names = re.findall(r'href="/station/papers/([\w-]+)"', listed)
        assert sorted(names) == ["after-a-breach", "data-protection-assessment", "encrypted-disk"]
        for name in names:
            page = keeper.get(f"/station/papers/{name}").get_data(as_text=True)
            assert "<h1>" in page and 'id="print"' in page and "<li>" in page
            assert "# " not in re.sub(r"<[^>]+>", "", page)

    def test_the_assessment_has_its_table_and_an_unknown_one_is_told(self, keeper: Desk) -> None:
        page = keeper.get("/station/papers/data-protection-assessment").get_data(as_text=True)
        assert "<table>" in page and "<th>" in page
        assert keeper.get("/station/papers/passwd").status_code == 404


def test_a_page_printed_with_callers_says_by_when_to_shred_it(
    phone: Desk, studio: Desk, sign_in: Callable[[str], Desk], clock: Clock, store: Store, slip: int
) -> None:
    """By the day on which the first of the details held is erased."""
    for desk, path in ((phone, f"/phone/slips/{slip}"), (studio, "/studio")):
        assert "shred it by 14 May 2024." in _text(desk, path)
    clock.on(days=3)
    later = request_slips.start(store, "request", "Alice", clock() + timedelta(hours=1))
    assert later and "shred it by 14 May 2024." in _text(sign_in("Alice"), "/phone/fresh")
    assert "shred" not in _text(sign_in("Charlie"), "/shelves")


def test_by_the_consents_the_stations_policy_is_named(phone: Desk, store: Store) -> None:
    """Until somebody has asked; for somebody under sixteen in the warning as well."""
    kept = phone.send("/phone/details", sheet="a", caller_name="Bo").get_data(as_text=True)
    assert "Follow your station’s policy." in kept
    young = phone.send("/phone/details", slip="1", under_sixteen="yes").get_data(as_text=True)
    assert "grown-up" in young and "policy" in young
    asked = phone.send("/phone/details", slip="1", consent="yes").get_data(as_text=True)
    assert "Follow your station’s policy." not in asked
