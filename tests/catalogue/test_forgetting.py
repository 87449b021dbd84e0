"""Forgetting somebody everywhere, and telling what is held."""

from __future__ import annotations

from datetime import timedelta

import pytest

from catalogue import (
    backup,
    callers,
    duplicates,
    forgetting,
    loans,
    places,
    programmes,
    request_slips,
    staff,
)
from catalogue.backup import Kind
from catalogue.errors import BadInput, NotFound

TEXTS = [
    f
    for f in callers.WRITABLE
    if f not in ("place_id", "consent", "place_consent", "under_sixteen", "may_hear")
]


@pytest.fixture
def slip(store, now):
    number = request_slips.start(store, "request", "Kit", now)
    words = {"caller_name": "Wilhelmina Fenn", "why": "for her sister's birthday"}
    callers.write(store, number, {**words, "consent": "yes"}, "Kit", now)
    return number


def test_somebody_who_asks_is_forgotten_at_once(store, now, slip):
    """Here and in every copy, and the others stay; the record of it holds no name."""
    other = request_slips.start(store, "request", "Kit", now)
    callers.write(store, other, {"caller_name": "Dot Marsh"}, "Kit", now)
    copies = [backup.make(store, Kind.DAILY, now - timedelta(days=n)) for n in (1, 0)]

    assert forgetting.forget(store, slip, now) == 3
    assert forgetting.forget(store, slip, now) == 0

    for path in (*copies, *store.path.parent.glob("asheard.db*")):
        assert b"Wilhelmina" not in path.read_bytes(), path
    assert all(b"Dot Marsh" in path.read_bytes() for path in copies)
    assert callers.of(store, other).caller_name == "Dot Marsh"
    (erased,) = store.rows("SELECT * FROM erasures")
    assert set(erased) == {"id", "at", "slips"} and erased["slips"] == 1


def test_an_unknown_slip_is_told(store, now):
    with pytest.raises(NotFound, match="no slip number 77"):
        forgetting.forget(store, 77, now)


@pytest.mark.parametrize("field", TEXTS)
def test_whatever_field_holds_the_name_it_is_found(store, now, field):
    """Also in other capitals, with an accent, and in another order."""
    number = request_slips.start(store, "request", "Kit", now)
    callers.write(store, number, {field: "said by Renée O'Dell herself"}, "Kit", now)
    (held,) = forgetting.held_about(store, "O'DELL renee")
    assert dict(held.lines)["slip_id"] == str(number)
    assert dict(held.lines)[field] == "said by Renée O'Dell herself"


def test_all_that_is_held_is_told(store, now, slip, add):
    """The whole slip with the place by name, and the copies that hold it."""
    place = places.add(store, "Saltings House", "", True, "Kit", now)
    callers.write(store, slip, {"place_id": place}, "Kit", now)
    path = backup.make(store, Kind.DAILY, now)
    on_slip, in_copy = forgetting.held_about(store, "wilhelmina")

    told = dict(on_slip.lines)
    assert (told["place_id"], told["why"]) == ("Saltings House", "for her sister's birthday")
    assert told["erase_on"] == "2026-12-02"
    assert dict(in_copy.lines) == {"copy": path.name, "slips": str(slip)}


def test_volunteers_may_ask_too(store, now, add):
    """Where a name stands as who did it, and no passphrase or its hash."""
    staff.add(store, "Ann Oke", "searcher", "four plain words", "Kit", now)
    a, b = add("Tide", "Bo"), add("Tide", "Bo", version="live")
    duplicates.judge(store, a, b, "different", "Ann Oke", now)
    programmes.add(store, "Evening", "Ann Oke", now, now + timedelta(hours=1), "Kit", now)
    add("Lamp", "Bo", disc="C 1")
    loans.lend(store, 1, "Ann Oke", None, "Kit", now)
    slip = request_slips.start(store, "request", "Ann Oke", now)
    callers.write(store, slip, {"consent": "yes"}, "Ann Oke", now)
    found = forgetting.held_about(store, "ann oke")

    assert {held.where for held in found} == {
        "on a slip", "on the list of people", "as who did what", "as who judged duplicates",
        "on a loan", "as a presenter", "as who noted a consent",
    }  # fmt: skip
    assert "argon2" not in str(found)
    assert forgetting.held_about(store, "nobody at all") == []


@pytest.mark.parametrize("name", ["", "  "])
def test_a_name_is_needed(store, name):
    with pytest.raises(BadInput, match="name to look for"):
        forgetting.held_about(store, name)
