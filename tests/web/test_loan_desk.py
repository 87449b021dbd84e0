"""The page of loans: out to whom and until when, and home again by typing the mark."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

from catalogue import loans, programmes, pull_list
from catalogue.store import Store

from .conftest import EVENING, Clock, Desk, Held


def _page(desk: Desk) -> str:
    return re.sub(r"\s+", " ", desk.get("/shelves/loans").get_data(as_text=True))


def test_a_disc_goes_out_and_comes_home_by_its_mark(
    sign_in: Callable[[str], Desk], store: Store, held: Held, clock: Clock
) -> None:
    shelves, phone = sign_in("Charlie"), sign_in("Alice")
    form = {"mark": "c114", "lent_to": "Walter", "due": "2024-05-09"}
    assert shelves.send("/shelves/loans/lend", **form).headers["HX-Redirect"] == "/shelves/loans"
    page = _page(shelves)
    assert "LP C 114 is out to Walter." in page
    assert "out to Walter since today" in page
    assert "due 9 May" in page
    assert "overdue" not in page
    answer = phone.send("/phone/heard", heard="lantern on the quay", sheet="s")
    assert "on loan to Walter" in answer.get_data(as_text=True)

    clock.on(days=3)
    shelves, phone = sign_in("Charlie"), sign_in("Alice")  # nobody stays signed in so long
    page = _page(shelves)
    assert "overdue by a day" in page
    assert page.index("out to Walter") < page.index("out to the north studio")

    phone.send("/shelves/loans/home", mark="C 114")  # whoever answers the telephone may
    assert held.discs["lp"] not in loans.out(store)
    assert "LP C 114 is home again from Walter." in _page(phone)


def test_a_line_of_the_page_comes_home_by_its_button(
    shelves: Desk, store: Store, held: Held
) -> None:
    shelves.send("/shelves/loans/home", page=True, disc=held.discs["45"])
    assert loans.out(store) == {}


def test_what_was_fetched_is_beside_it_and_comes_home(
    shelves: Desk, store: Store, held: Held
) -> None:
    ends = EVENING + timedelta(hours=1)
    number = programmes.add(store, "Tea Time", "", EVENING, ends, "Dora", EVENING)
    pull_list.pull(store, number, [held.discs["lp"]], "Bob", EVENING)
    page = _page(shelves)
    assert "Tea Time" in page.split("Fetched for a programme")[1]
    assert '<option value="Tea Time">' in page
    assert shelves.send("/shelves/loans/lend", mark="C 114", lent_to="Bob").status_code == 409
    shelves.send("/shelves/loans/home", mark="C 114")
    assert pull_list.to_put_away(store) == []


def test_the_phone_desk_says_that_a_programme_has_it(phone: Desk, store: Store, held: Held) -> None:
    number = programmes.add(
        store, "Tea Time", "", EVENING, EVENING + timedelta(hours=1), "Dora", EVENING
    )
    pull_list.pull(store, number, [held.discs["lp"]], "Bob", EVENING)
    answer = phone.send("/phone/heard", heard="lantern on the quay marsha herron", sheet="s")
    assert "ready, fetched for Tea Time since today" in answer.get_data(as_text=True)


def test_a_disc_lent_from_its_record_is_refused_while_a_programme_has_it(
    shelves: Desk, store: Store, held: Held
) -> None:
    number = programmes.add(
        store, "Tea Time", "", EVENING, EVENING + timedelta(hours=1), "Dora", EVENING
    )
    pull_list.pull(store, number, [held.discs["lp"]], "Bob", EVENING)
    address = f"/shelves/discs/{held.discs['lp']}"
    answer = shelves.send(f"{address}/lend", lent_to="Una", recording="1")
    assert (answer.status_code, "Tea Time" in answer.get_data(as_text=True)) == (409, True)
    shelves.send(f"{address}/bring-back", recording="1")
    assert pull_list.to_put_away(store) == []
    assert shelves.send(f"{address}/bring-back").status_code == 409


def test_a_disc_scanned_on_the_put_away_list_is_home(phone: Desk, store: Store, held: Held) -> None:
    number = programmes.add(
        store, "Tea Time", "", EVENING, EVENING + timedelta(hours=1), "Dora", EVENING
    )
    pull_list.pull(store, number, [held.discs["lp"]], "Bob", EVENING)
    for form, status in (({"mark": ""}, 400), ({"mark": "Z 9"}, 404)):
        assert phone.send("/programmes/away/scan", **form).status_code == status
    phone.send("/programmes/away/scan", mark="c114")
    page = phone.get("/programmes/away").get_data(as_text=True)
    assert "LP C 114 is home again from Tea Time." in page
    assert "Everything is home." in page


def test_bad_input_is_told_and_nothing_is_noted(shelves: Desk, store: Store, held: Held) -> None:
    before = loans.out(store)
    for form in (
        {"mark": "", "lent_to": "Ned"}, {"mark": "Z 9", "lent_to": "Ned"},
        {"mark": "C 114", "lent_to": " "}, {"mark": "C 114", "lent_to": "Ned", "due": "soon"},
        {"mark": "S 20", "lent_to": "Ned"},
    ):  # fmt: skip
        answer = shelves.send("/shelves/loans/lend", **form)
        assert answer.status_code in (400, 404, 409), form
        assert 'class="problem"' in answer.get_data(as_text=True)
    for form in ({"mark": ""}, {"mark": "Z 9"}, {"mark": "C 114"}, {"disc": "999"}):
        assert shelves.send("/shelves/loans/home", **form).status_code in (400, 404, 409), form
    assert loans.out(store) == before


def test_a_searcher_sees_who_has_what_and_lends_nothing(phone: Desk) -> None:
    page = _page(phone)
    assert "out to the north studio" in page
    assert "Lend a disc" not in page
    assert phone.send("/shelves/loans/lend", mark="C 114", lent_to="x").status_code == 403
