"""Many records at once on the pages: choose, look, do, take back, as a job where it is long."""

from __future__ import annotations

import re
import time

import pytest
from flask import Flask

from catalogue import catalogue_rows, shelf_places, undo
from catalogue.store import Store
from web import several

from .conftest import EVENING, Desk, Held


def _seen(page: str) -> str:
    found = re.search(r'name="seen" value="([0-9a-f]+)"', page)
    assert found
    return found.group(1)


def test_ticked_ones_are_changed_after_a_look(shelves: Desk, store: Store, held: Held) -> None:
    one, two = held.recordings["lantern"], held.recordings["waltz"]
    page = shelves.get(f"/shelves/several?one={one}&one={two}").get_data(as_text=True)
    assert "2 records that were ticked" in page
    assert "Lantern on the Quay" in page

    typed = {"one": [one, two], "album": "Tides", "wording": "title", "old": "Quay", "new": "Shore"}
    looked = shelves.send("/shelves/several/look", page=True, **typed).get_data(as_text=True)
    assert "2 records would be changed." in looked
    assert "Lantern on the Shore" in looked
    assert catalogue_rows.recording(store, one).album == ""

    answer = shelves.send("/shelves/several/do", page=True, seen=_seen(looked), **typed)
    assert answer.status_code == 303
    assert "2 records were changed." in shelves.get("/shelves").get_data(as_text=True)
    assert catalogue_rows.recording(store, two).title == "Shore Street Waltz"
    assert "changed album, title of many at once" in shelves.get("/shelves/actions").get_data(
        as_text=True
    )
    shelves.send(f"/shelves/actions/{undo.recent(store)[0].id}/take-back")
    assert catalogue_rows.recording(store, two).title == "Quay Street Waltz"


def test_all_of_a_search_that_changed_meanwhile_is_asked_anew(
    shelves: Desk, store: Store, held: Held
) -> None:
    typed = {"all": "yes", "q": "lantern", "order": "title", "genre": "folk"}
    assert "2 records, all of this search" in shelves.get(
        "/shelves/several?all=yes&q=lantern&order=title"
    ).get_data(as_text=True)
    looked = shelves.send("/shelves/several/look", page=True, **typed).get_data(as_text=True)
    shelves.send("/shelves/recordings/new", title="Third Lantern", artist="Ann Oke")

    again = shelves.send("/shelves/several/do", page=True, seen=_seen(looked), **typed)
    text = again.get_data(as_text=True)
    assert "The search finds other records now" in text
    assert "3 records would be changed." in text
    assert catalogue_rows.recording(store, held.recordings["lantern"]).genre == ""
    shelves.send("/shelves/several/do", page=True, seen=_seen(text), **typed)
    assert len(store.rows("SELECT 1 FROM recordings WHERE genre = 'folk'")) == 3


def test_rooms_tell_of_what_else_is_on_the_disc(shelves: Desk, held: Held) -> None:
    looked = shelves.send(
        "/shelves/several/look", page=True, condition="worn",
        one=[held.recordings["lantern"], held.recordings["waltz"]],
    ).get_data(as_text=True)  # fmt: skip
    assert "1 disc would be changed." in looked
    assert "On these discs is 1 record that was not chosen." in looked
    assert "1 record is on no disc" in looked


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Say what is to be changed"),
        ({"year": "soon"}, "is not a year"),
        ({"album": "x", "empty_album": "yes"}, "not both"),
        ({"voice": "a choir"}, "choose from the list"),
        ({"wording": "title", "new": "x"}, "wording that is to be replaced"),
        ({"album": "x", "wording": "album", "old": "a"}, "not both at once"),
        ({"wording": "price", "old": "a"}, "wording that is to be replaced"),
        ({"place": "the loft"}, "“the loft” is not on the list of places"),
    ],
)
def test_bad_input_is_told_and_nothing_typed_is_lost(
    shelves: Desk, held: Held, typed: dict[str, str], words: str
) -> None:
    answer = shelves.send(
        "/shelves/several/look", page=True, one=held.recordings["waltz"], genre="folk" if typed
        else "", **typed,
    )  # fmt: skip
    text = answer.get_data(as_text=True)
    assert words in text
    lost = ("a choir", "price")
    assert all(f'value="{value}"' in text for value in typed.values() if value not in lost)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"wording": "price", "old": "a", "new": "b"}, "wording that is to be replaced"),
        ({"voice": "a choir"}, "choose from the list"),
        ({"condition": "eaten"}, "choose from the list"),
        ({"place": "the loft"}, "is not on the list of places"),
        ({"colour": "red"}, "Say what is to be changed"),
    ],
)
def test_what_no_page_offers_is_told_when_it_is_sent_to_be_done(
    shelves: Desk, store: Store, held: Held, typed: dict[str, str], words: str
) -> None:
    one = held.recordings["lantern"]
    looked = shelves.send("/shelves/several/look", page=True, one=one, genre="folk")
    before = undo.recent(store)
    answer = shelves.send(
        "/shelves/several/do",
        page=True,
        seen=_seen(looked.get_data(as_text=True)),
        one=one,
        **typed,
    )
    assert answer.status_code == 200
    assert words in answer.get_data(as_text=True)
    assert undo.recent(store) == before


def test_the_room_is_one_of_the_places(shelves: Desk, store: Store, held: Held) -> None:
    shelf_places.add(store, "Store room", "store room", "Charlie", EVENING)
    one = held.recordings["lantern"]
    page = shelves.get(f"/shelves/several?one={one}").get_data(as_text=True)
    assert '<option value="Store room">' in page

    typed = {"one": one, "place": "store ROOM"}
    looked = shelves.send("/shelves/several/look", page=True, **typed).get_data(as_text=True)
    assert '<span class="after">Store room</span>' in looked

    typed = {"one": one, "place": "Loft", "new_place": "yes"}
    looked = shelves.send("/shelves/several/look", page=True, **typed).get_data(as_text=True)
    assert "Loft" not in shelf_places.offered(store)
    shelves.send("/shelves/several/do", page=True, seen=_seen(looked), **typed)
    assert "Loft" in shelf_places.offered(store)
    assert store.rows("SELECT 1 FROM discs WHERE place = 'Loft'")


@pytest.mark.parametrize("query", ["", "one=x", "all=yes&q=zzzz", "all=yes&order=price"])
def test_nothing_chosen_is_said(shelves: Desk, query: str) -> None:
    assert shelves.get(f"/shelves/several?{query}").status_code == 400


def test_only_who_may_edit_sees_ticks(phone: Desk, shelves: Desk) -> None:
    assert 'form="choose"' in shelves.get("/shelves").get_data(as_text=True)
    assert 'form="choose"' not in phone.get("/shelves").get_data(as_text=True)
    assert phone.get("/shelves/several?one=1").status_code == 403


def _ended(desk: Desk, address: str) -> str:
    for _ in range(200):
        text = desk.get(address).get_data(as_text=True)
        if "hx-get" not in text:
            return text
        time.sleep(0.1)
    raise AssertionError("it did not end")


def test_many_are_a_job_and_so_is_taking_them_back(
    app: Flask, shelves: Desk, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(several, "AT_ONCE", 1)
    typed = {"all": "yes", "order": "title", "language": "English"}
    looked = shelves.send("/shelves/several/look", page=True, **typed).get_data(as_text=True)
    answer = shelves.send("/shelves/several/do", page=True, seen=_seen(looked), **typed)
    text = _ended(shelves, answer.headers["Location"])
    assert "5 records were changed." in text
    assert len(store.rows("SELECT 1 FROM recordings WHERE language = 'English'")) == 5
    assert "Many records" not in shelves.get("/shelves/taking-in").get_data(as_text=True)

    done = undo.recent(store)[0]
    with undo.action(store, done.who, done.what, app.extensions["asheard"].clock(), done.id):
        catalogue_rows.change_recording(store, 1, genre="folk")
    answer = shelves.send(f"/shelves/actions/{done.id}/take-back", page=True)
    assert "All of it is as it was before." in _ended(shelves, answer.headers["Location"])
    assert store.rows("SELECT DISTINCT language, genre FROM recordings") == [
        {"language": "", "genre": ""}
    ]
    assert shelves.get("/shelves/several/jobs/99").status_code == 404
