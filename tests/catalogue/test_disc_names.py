"""Discs found by what stands on a sleeve: misspelt, misheard, by number; never another volume."""

from __future__ import annotations

from datetime import datetime

import pytest

from catalogue import undo
from catalogue.catalogue_rows import add_holding, add_recording, change_disc, shelve_disc
from catalogue.disc_names import DiscNames, same_names, with_number
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

_DISCS = (
    ("C 1", Carrier.LP, "Harbour Songs", "Marsha Herron", "SAL 1001", "5012345678900"),
    ("C 2", Carrier.LP, "Evening Hits, Volume 1", "Various artists", "SAL 1002", ""),
    ("C 3", Carrier.LP, "Evening Hits, Volume 2", "Various artists", "SAL 1003", ""),
    ("C 4", Carrier.CD, "The Long Jetty", "Hector Pike", "", "0036000291452"),
    ("S 1", Carrier.SINGLE_45, "", "Ada Sluice", "AS 7", ""),
)


@pytest.fixture
def discs(store: Store, now: datetime) -> dict[str, int]:
    found = {}
    with undo.action(store, "Test", "discs", now):
        for mark, carrier, title, artist, number, barcode in _DISCS:
            found[mark] = shelve_disc(
                store, NewDisc(carrier, mark, title, number=number, barcode=barcode)
            )
            recording = add_recording(store, NewRecording(title or "Grey Heron", artist))
            add_holding(store, NewHolding(recording, disc_id=found[mark]))
        known = NewRecording("Tide", "Bo Quay", album="Songs of the Ferry")
        add_recording(store, known)
    return found


def _ids(store: Store, names: DiscNames, title: str, artist: str) -> list[int | None]:
    return [one.disc_id for one in names.alike(store, title, artist)]


@pytest.mark.parametrize(
    ("title", "artist", "mark"),
    [
        ("Harbour Songs", "Marsha Herron", "C 1"),
        ("harbor songs", "Marsha Heron", "C 1"),
        ("Harber Songz", "Marcia Herron", "C 1"),
        ("Harbour Songs", "Herron, Marsha", "C 1"),
        ("Long Jetty", "Hektor Pyke", "C 4"),
        ("Gray Herron", "Ada Sluice", "S 1"),
        ("Evening Hits Vol. 2", "", "C 3"),
    ],
)
def test_a_sleeve_is_known_however_it_is_spelt(
    store: Store, discs: dict[str, int], title: str, artist: str, mark: str
) -> None:
    assert _ids(store, DiscNames(), title, artist)[:1] == [discs[mark]]


@pytest.mark.parametrize(
    ("title", "artist"),
    [
        ("Evening Hits, Volume 3", "Various"),
        ("Harbour Songs", "The Bargemen"),
        ("Harbour Nights", "Hector Pike"),
        ("Harbour Songs (Live)", "Marsha Herron"),
        ("", "Marsha Herron"),
        ("?", ""),
    ],
)
def test_another_volume_version_or_artist_is_another_disc(
    store: Store, discs: dict[str, int], title: str, artist: str
) -> None:
    assert _ids(store, DiscNames(), title, artist) == []


def test_an_album_that_is_known_and_not_held_is_found_with_its_tracks(
    store: Store, discs: dict[str, int]
) -> None:
    (one,) = DiscNames().alike(store, "Songs of the Fery", "Bo Quay")
    assert (one.disc_id, one.held, one.tracks) == (None, False, 1)


def test_names_follow_what_is_typed_corrected_and_taken_back(
    store: Store, discs: dict[str, int], now: datetime
) -> None:
    names = DiscNames()
    assert _ids(store, names, "Far Tide", "Bo Quay") == []
    with undo.action(store, "Test", "one more", now) as action:
        new = shelve_disc(store, NewDisc(Carrier.LP, "C 9", "Far Tide"))
        recording = add_recording(store, NewRecording("Far Tide", "Bo Quay"))
        add_holding(store, NewHolding(recording, disc_id=new))
    assert _ids(store, names, "Far Tide", "Bo Quay") == [new]
    with undo.action(store, "Test", "renamed", now) as renamed:
        change_disc(store, new, title="Low Water")
    assert _ids(store, names, "Far Tide", "Bo Quay") == []
    undo.take_back(store, renamed, "Test", now)
    undo.take_back(store, action, "Test", now)
    assert _ids(store, names, "Far Tide", "Bo Quay") == []
    assert _ids(store, names, "Harbour Songs", "Marsha Herron") == [discs["C 1"]]


def test_a_number_is_found_however_it_is_spaced(store: Store, discs: dict[str, int]) -> None:
    assert with_number(store, "sal-1001") == [discs["C 1"]]
    assert with_number(store, "501 2345 678900") == [discs["C 1"]]
    # A UPC-A is an EAN-13 with a nought before it (GS1 General Specifications).
    assert with_number(store, "036000291452") == [discs["C 4"]]
    assert with_number(store, "7") == [] == with_number(store, "")


def test_nobody_on_either_side_is_no_evidence_against() -> None:
    assert same_names([("Tide", ""), ("Tide", "Bo Quay")], "Tied", "") == [0, 1]
    assert same_names([("Tide", "Bo Quay")], "Tide", "Ann Oke") == []
    assert same_names([], "Tide", "") == []
