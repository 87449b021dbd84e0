"""The keeper's pages: rules, programmes, places and people, each with undo where there is one."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from catalogue import places, programmes, settings, staff
from catalogue.store import Store

from .conftest import PASSPHRASE, Desk


@pytest.fixture
def keeper(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Dora")


def _take_back_latest(desk: Desk, page: str) -> None:
    number = re.search(r"/station/actions/(\d+)/take-back", desk.get(page).get_data(as_text=True))
    assert number
    assert desk.send(f"/station/actions/{number[1]}/take-back", page=True).status_code == 303


def test_rules_are_kept_together_and_taken_back_together(keeper: Desk, store: Store) -> None:
    keeper.send("/station", station_name="Estuary Sound", caller_days="3", studios="North\r\nVan")
    assert settings.get(store, "station_name") == "Estuary Sound"
    assert settings.lines(store, "studios") == ["North", "Van"]
    page = keeper.get("/station").get_data(as_text=True)
    assert "changed the rules: Name of the station" in page
    _take_back_latest(keeper, "/station")
    assert settings.get(store, "station_name") == "Saltmarsh Radio"
    assert settings.number(store, "caller_days") == 7


@pytest.mark.parametrize(
    "form",
    [{"caller_days": "0"}, {"caller_days": "ten"}, {"station_name": " "}, {"studios": ""},
     {"language": "xx"}, {"blank_minutes": "-1"}],
)  # fmt: skip
def test_a_rule_that_cannot_be_is_refused_and_none_is_kept(
    keeper: Desk, store: Store, form: dict[str, str]
) -> None:
    answer = keeper.send("/station", **{"repeat_hours": "5", **form})
    assert answer.status_code == 400
    assert 'class="problem"' in answer.get_data(as_text=True)
    assert settings.number(store, "repeat_hours") == 24


def test_nothing_different_changes_nothing(keeper: Desk, store: Store) -> None:
    before = len(store.rows("SELECT id FROM actions"))
    lines = settings.get(store, "occasions").replace("\n", "\r\n")
    keeper.send("/station", occasions=lines, demo="yes")
    assert len(store.rows("SELECT id FROM actions")) == before
    assert settings.get(store, "demo") == ""


def test_a_token_is_kept_replaced_and_removed_and_never_shown(keeper: Desk, store: Store) -> None:
    """No page says what it is, an empty box leaves it, and it goes to no other address."""
    assert "None is kept yet" in keeper.get("/station").get_data(as_text=True)
    address = "http://192.168.1.20:8038"
    keeper.send("/station", network_address=address, network_token="TOKEN-of-the-quay")
    for page in ("/station", "/station/changes"):
        shown = keeper.get(page).get_data(as_text=True)
        assert "Token for that address" in shown and "of-the-quay" not in shown
    assert "One is kept, and is not shown" in keeper.get("/station").get_data(as_text=True)
    keeper.send("/station", station_name="Estuary Sound", network_token=" ")
    assert settings.get(store, "network_token") == "TOKEN-of-the-quay"

    answer = keeper.send("/station", network_address="http://192.168.1.66:8038", network_token="")
    assert answer.status_code == 400
    assert "given for the address as it was" in answer.get_data(as_text=True)
    assert settings.get(store, "network_address") == address

    keeper.send("/station", network_address="http://192.168.1.66:8038", network_token="another")
    assert settings.get(store, "network_token") == "another"
    keeper.send("/station", network_token="", network_token_remove="yes")
    assert settings.get(store, "network_token") == ""
    assert settings.get(store, "network_address") == "http://192.168.1.66:8038"


def test_programmes_are_put_in_past_midnight_too(keeper: Desk, store: Store) -> None:
    keeper.send("/station/programmes", name="Late Requests", day="2024-05-07",
                **{"from": "23:00", "to": "01:00"})  # fmt: skip
    (late,) = programmes.all_programmes(store)
    assert (late.starts_at, late.ends_at) == ("2024-05-07T23:00:00", "2024-05-08T01:00:00")
    odd = keeper.send("/station/programmes", name="Odd", day="soon", **{"from": "1", "to": "2"})
    assert odd.status_code == 400
    _take_back_latest(keeper, "/station/programmes")
    assert programmes.all_programmes(store) == []


def test_places_are_added_changed_dropped_and_taken_back(
    keeper: Desk, phone: Desk, store: Store
) -> None:
    keeper.send("/station/places", name="The Alders", say="", on_air="yes")
    number = next(p.id for p in places.all_places(store) if p.name == "The Alders")
    keeper.send(f"/station/places/{number}", name="The Alders", say="AWL-ders", on_air="no")
    assert (places.get(store, number).say, places.get(store, number).on_air) == ("AWL-ders", False)
    assert "The Alders" in phone.get("/phone/fresh").get_data(as_text=True)

    keeper.send(f"/station/places/{number}/use", page=True, use="no")
    assert "The Alders" not in phone.get("/phone/fresh").get_data(as_text=True)
    _take_back_latest(keeper, "/station/places")
    assert places.get(store, number).in_use
    assert keeper.send("/station/places", name=" the alders ").status_code == 400


def test_a_person_is_put_on_the_list_and_told_the_passphrase_once(
    keeper: Desk, store: Store, app
) -> None:
    keeper.send("/station/people", name="Enid", role="searcher")
    page = keeper.get("/station/people").get_data(as_text=True)
    made = re.search(r'passphrase mono">([^<]+)<', page)
    assert made
    assert "passphrase mono" not in keeper.get("/station/people").get_data(as_text=True)
    assert made[1] not in str(keeper.client.get_cookie("asheard"))
    door = Desk(app.test_client()).send("/sign-in", page=True, name="Enid", passphrase=made[1])
    assert door.status_code == 303


def test_a_new_passphrase_ends_the_old_one(
    keeper: Desk, sign_in: Callable[[str], Desk], store: Store
) -> None:
    alice = sign_in("Alice")
    number = next(p.id for p in staff.all_people(store) if p.name == "Alice")
    page = keeper.send(f"/station/people/{number}/passphrase", page=True).get_data(as_text=True)
    assert "The one-time passphrase of Alice:" in page
    assert alice.get("/phone").status_code == 302


def test_the_last_keeper_stays(keeper: Desk, store: Store) -> None:
    people = {p.name: p.id for p in staff.all_people(store)}
    refused = keeper.send(f"/station/people/{people['Dora']}/active", active="no")
    assert refused.status_code == 400
    keeper.send(f"/station/people/{people['Alice']}/active", page=True, active="no")
    assert not next(p for p in staff.all_people(store) if p.name == "Alice").active
    keeper.send(f"/station/people/{people['Alice']}/active", page=True, active="yes")
    assert next(p for p in staff.all_people(store) if p.name == "Alice").active
    assert keeper.send("/station/people/999/active", active="no").status_code == 404


def test_taking_back_leads_nowhere_else(keeper: Desk, store: Store) -> None:
    keeper.send("/station", repeat_hours="5")
    number = store.rows("SELECT max(id) AS n FROM actions")[0]["n"]
    answer = keeper.send(f"/station/actions/{number}/take-back", page=True,
                         back="https://elsewhere.example")  # fmt: skip
    assert answer.headers["Location"] == "/station"


def test_a_folder_is_seen_from_a_desk_as_the_keeper_says(keeper: Desk, store: Store) -> None:
    from catalogue import roots

    from .conftest import EVENING

    roots.add(store, "/srv/music", "Dora", EVENING)
    refused = keeper.send("/desk/folders", root="/srv/music", path="M:\\Music")
    assert refused.status_code == 400
    keeper.send("/desk", page=True, name="Studio 2")
    keeper.send("/desk/folders", page=True, root="/srv/music", path="M:\\Music")
    assert roots.seen_by(store, "studio 2") == {"/srv/music": "M:\\Music"}
    assert "M:\\Music" in keeper.get("/desk").get_data(as_text=True)


def test_a_changed_role_ends_the_sessions_and_is_there_at_the_next(
    keeper: Desk, sign_in: Callable[[str], Desk], store: Store
) -> None:
    people = {p.name: p.id for p in staff.all_people(store)}
    alice = sign_in("Alice")
    assert alice.get("/studio").status_code == 403
    keeper.send(f"/station/people/{people['Alice']}/role", page=True, role="presenter")
    assert "Alice: presenter from now on." in keeper.get("/station/people").get_data(as_text=True)
    assert alice.get("/studio").headers["Location"] == "/sign-in"
    assert sign_in("Alice").get("/studio").status_code == 200
    odd = keeper.send(f"/station/people/{people['Alice']}/role", role="owner")
    assert odd.status_code == 400
    assert keeper.send("/station/people/999/role", role="keeper").status_code == 404


def test_the_last_keeper_stays_keeper_and_one_of_two_may_go(keeper: Desk, store: Store) -> None:
    people = {p.name: p.id for p in staff.all_people(store)}
    refused = keeper.send(f"/station/people/{people['Dora']}/role", role="librarian")
    assert refused.status_code == 400 and "last keeper" in refused.get_data(as_text=True)
    keeper.send(f"/station/people/{people['Alice']}/role", page=True, role="keeper")
    gone = keeper.send(f"/station/people/{people['Dora']}/role", page=True, role="librarian")
    assert gone.headers["Location"] == "/sign-in"
    assert keeper.get("/shelves").status_code == 302
    keeper.send("/sign-in", page=True, name="Dora", passphrase=PASSPHRASE)
    assert keeper.get("/station").status_code == 403
    assert keeper.get("/shelves").status_code == 200
