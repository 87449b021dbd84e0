"""The sheet of a disc: kept whole or not at all, looked up while it is typed, taken back."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest

from catalogue import catalogue_rows, donors, sleeves, undo
from catalogue.store import Store

from .conftest import EVENING, Clock, Desk, Held

DISC = {
    "artist": "Bo Quay", "title": "Songs of the Ferry", "carrier": "LP", "condition": "good",
    "label": "Tern", "year": "1964", "number": "5012345678901", "shelf_mark": "C 200",
    "place": "the long room", "new_place": "yes", "donor": "Perpetua",
    "track_side": ["A", "A", "B", ""], "track_number": ["", "", "", ""],
    "track_title": ["Tide", "Low Water", "Ebb", ""],
    "track_artist": ["", "Ann Oke", "", ""], "track_length": ["3:05", "", "2:50", ""],
}  # fmt: skip


def _text(desk: Desk, address: str) -> str:
    return re.sub(r"\s+", " ", unescape(desk.get(address).get_data(as_text=True)))


def _counts(store: Store) -> list[int]:
    return [store.rows(f"SELECT count(*) AS n FROM {t}")[0]["n"] for t in ("discs", "recordings")]


def test_a_disc_is_kept_shown_and_taken_back(shelves: Desk, store: Store) -> None:
    before = _counts(store)
    address = shelves.send("/shelves/discs/new", **DISC).headers["HX-Redirect"]
    disc = int(address.rsplit("/", 1)[1])
    on_it = sleeves.tracks_on(store, disc)
    assert [(s, n, r.title, r.artist, r.length_s) for r, s, n in on_it] == [
        ("A", "1", "Tide", "Bo Quay", 185.0),
        ("A", "2", "Low Water", "Ann Oke", None),
        ("B", "1", "Ebb", "Bo Quay", 170.0),
    ]
    page = _text(shelves, address)
    for words in ("C 200", "Songs of the Ferry", "A2", "Low Water", "Ann Oke", "2:50", "Tern",
                  "the long room", "Perpetua", "erased by itself on 6 June 2024"):  # fmt: skip
        assert words in page
    assert "The check digit of the barcode 5012345678901 is wrong: it should be 0" in page
    song = next(r.id for r, _, _ in sleeves.tracks_on(store, disc))
    assert "C 200" in _text(shelves, f"/shelves/recordings/{song}")
    done = _text(shelves, "/shelves/actions")
    assert "typed in “Songs of the Ferry” (C 200) with its tracks: 3" in done
    shelves.send(f"/shelves/actions/{undo.recent(store, 1)[0].id}/take-back")
    assert _counts(store) == before
    assert shelves.get(address).status_code == 404


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"title": " "}, "Write the title of the disc"),
        ({"year": "19x4"}, "19x4"),
        ({"carrier": "file"}, "what the disc is"),
        ({"shelf_mark": "c 114"}, "already. Give this disc another mark"),
        ({"track_length": ["3:99", "", "", ""]}, "3:99"),
        ({"track_title": ["Tide", "", "Ebb", ""]}, "Track 2 has no title"),
        ({"label": "x" * 201}, "too long"),
        ({"place": "the wrong room", "new_place": ""}, "is not on the list of places"),
        ({"donor": "x" * 81}, "too long for a name"),
    ],
    ids=str,
)
def test_what_is_wrong_is_said_and_nothing_is_kept(
    shelves: Desk, store: Store, wrong: dict[str, object], words: str
) -> None:
    before = _counts(store), len(undo.recent(store))
    answer = shelves.send("/shelves/discs/new", **{**DISC, **wrong})
    assert answer.status_code == 400
    assert words in unescape(answer.get_data(as_text=True))
    assert (_counts(store), len(undo.recent(store))) == before
    assert store.rows("SELECT 1 FROM donors") == []


def test_without_a_mark_it_is_to_be_shelved(shelves: Desk, store: Store) -> None:
    form = {**DISC, "shelf_mark": "", "place": "", "donor": "", "new_place": ""}
    marks = []
    for title in ("One", "Two"):
        address = shelves.send("/shelves/discs/new", **{**form, "title": title})
        disc = catalogue_rows.disc(store, int(address.headers["HX-Redirect"].rsplit("/", 1)[1]))
        marks.append((disc.shelf_mark, disc.place))
    assert marks == [("New 1", "to be shelved"), ("New 2", "to be shelved")]


def test_a_known_disc_is_told_with_its_tracks_to_take_over(
    shelves: Desk, store: Store, held: Held
) -> None:
    shelves.send("/shelves/discs/new", **DISC)
    asked = {"artist": "Bow Quay", "title": "Songs of the Fery", "carrier": "LP",
             "condition": "worn", "number": ""}  # fmt: skip
    page = shelves.send("/shelves/discs/look", **asked).get_data(as_text=True)
    assert "Held already: ours is in a better state." in page and "C 200" in page
    found = re.search(r'data-disc="([^"]+)" data-tracks="([^"]+)"', page)
    assert found
    disc, tracks = (json.loads(unescape(part)) for part in found.groups())
    assert disc == {"title": "Songs of the Ferry", "artist": "Bo Quay", "label": "Tern",
                    "year": "1964"}  # fmt: skip
    assert [(t["side"], t["number"], t["title"], t["artist"]) for t in tracks] == [
        ("A", "1", "Tide", ""), ("A", "2", "Low Water", "Ann Oke"), ("B", "1", "Ebb", ""),
    ]  # fmt: skip
    by_number = shelves.send("/shelves/discs/look", carrier="LP", number="5012345678901")
    assert "C 200" in by_number.get_data(as_text=True)


def test_the_disc_is_corrected_and_two_do_not_overwrite_each_other(
    shelves: Desk, store: Store, held: Held
) -> None:
    address = f"/shelves/discs/{held.discs['lp']}"
    seen = undo.row_number(store, "discs", held.discs["lp"])
    form = {"title": "Harbour Songs", "carrier": "LP", "shelf_mark": "C 115", "place": "van",
            "new_place": "yes", "condition": "worn", "label": "", "number": "SAL 1",
            "barcode": "", "note": "", "seen": seen}  # fmt: skip
    assert shelves.send(address, **form).status_code == 200
    disc = catalogue_rows.disc(store, held.discs["lp"])
    assert (disc.title, disc.shelf_mark, disc.place, disc.number) == (
        "Harbour Songs", "C 115", "van", "SAL 1",
    )  # fmt: skip
    again = shelves.send(address, **{**form, "title": "Another"})
    assert again.status_code == 409
    assert catalogue_rows.disc(store, held.discs["lp"]).title == "Harbour Songs"
    too_long = shelves.send(address, **{**form, "note": "x" * 201, "seen": ""})
    assert too_long.status_code == 400


def test_tracks_are_added_to_a_disc_that_is_filed(shelves: Desk, store: Store, held: Held) -> None:
    address = f"/shelves/discs/{held.discs['45']}/tracks"
    assert "Tracks of" in _text(shelves, address)
    form = {"artist": "The Bargemen", "track_side": ["B"], "track_number": [""],
            "track_title": ["Ebb"], "track_artist": [""], "track_length": ["2:10"]}  # fmt: skip
    assert shelves.send(address, **form).headers["HX-Redirect"] == address.removesuffix("/tracks")
    on_it = [(s, n, r.title) for r, s, n in sleeves.tracks_on(store, held.discs["45"])]
    assert on_it == [("", "", "Lantern on the Quay"), ("B", "1", "Ebb")]
    again = {**form, "track_title": ["Flow"], "track_number": ["1"]}
    assert "is “Ebb” already" in unescape(shelves.send(address, **again).get_data(as_text=True))


def test_a_donor_is_taken_off_on_the_discs_page(shelves: Desk, store: Store, clock: Clock) -> None:
    address = shelves.send("/shelves/discs/new", **DISC).headers["HX-Redirect"]
    disc = int(address.rsplit("/", 1)[1])
    assert donors.of_disc(store, disc).name == "Perpetua"
    form = {"title": "Songs of the Ferry", "carrier": "LP", "shelf_mark": "C 200",
            "condition": "good", "donor": ""}  # fmt: skip
    shelves.send(address, **form)
    assert donors.of_disc(store, disc) == donors.NOBODY
    assert clock() == EVENING


def test_whoever_answers_the_telephone_looks_and_does_not_type(phone: Desk, held: Held) -> None:
    assert phone.get(f"/shelves/discs/{held.discs['lp']}").status_code == 200
    assert "readonly" in phone.get(f"/shelves/discs/{held.discs['lp']}").get_data(as_text=True)
    assert phone.get("/shelves/discs/new").status_code == 403
    assert phone.send("/shelves/discs/new", **DISC).status_code == 403
