"""The page of the filing rules, and the list in their order."""

from __future__ import annotations

from catalogue import filing
from catalogue.store import Store

from .conftest import Desk

OLD = {"articles": "english", "mac": "full", "saint": "full", "numerals": "spoken"}


def test_a_shelf_is_given_rules_and_the_list_narrows_to_it(shelves: Desk, store: Store) -> None:
    shelves.send("/shelves/filing", own="yes", by="mark", shelf=" S ", **OLD)
    (shelf,) = filing.all_shelves(store)
    assert (shelf.name, shelf.rules) == ("S", filing.ALA_1968)

    page = shelves.get(f"/shelves?shelf={shelf.id}").get_data(as_text=True)
    assert "The Bargemen" in page
    assert "Hector Pike" not in page
    assert f'<option value="{shelf.id}" selected>S …</option>' in page
    assert "begin with S" in shelves.get("/shelves/filing").get_data(as_text=True)

    shelves.send(f"/shelves/filing/{shelf.id}/forget")
    assert shelves.get(f"/shelves?shelf={shelf.id}").status_code == 404
    assert filing.all_shelves(store) == []


def test_bad_rules_change_nothing(shelves: Desk, store: Store) -> None:
    assert shelves.send("/shelves/filing", own="yes", by="mark", **OLD).status_code == 400
    assert shelves.send("/shelves/filing", by="mark", articles="all").status_code == 400
    assert filing.everywhere(store) == filing.ALA_1980


def test_a_searcher_sees_the_rules_and_cannot_set_them(phone: Desk) -> None:
    page = phone.get("/shelves/filing").get_data(as_text=True)
    assert "Keep this" not in page
    assert phone.send("/shelves/filing", by="mark", **OLD).status_code == 403
