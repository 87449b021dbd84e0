"""Artists, songs, recordings, discs, holdings and other names: written and read."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import pytest

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.records import (
    Carrier,
    Condition,
    NewDisc,
    NewHolding,
    NewRecording,
    Voice,
)
from catalogue.store import Store

AddRecording = Callable[..., int]


@pytest.fixture
def acting(store: Store, now: datetime) -> Callable[..., object]:
    """Call a function of catalogue_rows inside an action."""

    def act(do: Callable[..., object], *given: object, **named: object) -> object:
        with undo.action(store, "Dilys", "test", now):
            return do(store, *given, **named)

    return act


def test_a_recording_comes_back_as_it_was_put_in(store: Store, acting) -> None:
    """Every field."""
    new = NewRecording(
        "Fen Sketches: II. The Skaters", "Saltmarsh Players", "live", 1962, 96.5, 172.25, "concert",
        "none", Voice.NONE, "Fens", "A. Oke", "Fen Sketches", "The Skaters", "Ada Sluice",
        "Hector Pike", "Quay", "AA6Q72000047",
    )  # fmt: skip
    held = rows.recording(store, acting(rows.add_recording, new))

    assert {name: getattr(held, name) for name in new.__slots__} == {
        name: getattr(new, name) for name in new.__slots__
    }


def test_spellings_with_the_same_plain_words_are_one_artist(acting) -> None:
    """Accents and capitals make no new artist; another name does."""
    one = acting(rows.artist_id, "Bjørk Ærø")

    assert acting(rows.artist_id, "  bjork aero ") == one
    assert acting(rows.artist_id, "Björk & Ærø") != one
    assert acting(rows.artist_id, "") == acting(rows.artist_id, "Unknown artist")


def test_versions_of_a_title_share_a_song_and_composers_part_it(store: Store, acting) -> None:
    """The same title by another composer is another song."""
    song = acting(rows.song_id, "My Lantern")

    assert acting(rows.song_id, "My Lantern (Live at the Quay)") == song
    assert acting(rows.song_id, "My Lantern", "A. Oke") != song


def test_a_recording_is_renamed_with_its_artist_and_song(
    store: Store, add: AddRecording, acting
) -> None:
    """The artist and the song follow."""
    number = add("My Lantern", "Ann Oke")
    before = rows.recording(store, number)
    acting(rows.change_recording, number, title="Her Lantern", artist="Ada Sluice", year=1962)
    held = rows.recording(store, number)

    assert (held.title, held.artist, held.year) == ("Her Lantern", "Ada Sluice", 1962)
    assert held.artist_id != before.artist_id
    assert held.song_id == acting(rows.song_id, "Her Lantern")


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"title": "  "}, "needs a title"),
        ({"colour": "red"}, "no field colour"),
        ({"voice": "alto"}, "“alto” is no voice.*man, woman"),
    ],
)
def test_a_wrong_change_of_a_recording_is_refused(
    store: Store, add: AddRecording, acting, change: dict[str, object], sentence: str
) -> None:
    """Before anything is written; a word that could not be read back would end every search."""
    number = add("My Lantern", "Ann Oke")
    before = rows.recording(store, number)

    with pytest.raises(BadInput, match=sentence):
        acting(rows.change_recording, number, **change)
    assert rows.recording(store, number) == before


def test_what_is_not_there_is_said(store: Store, acting) -> None:
    """By its number, for each kind of thing."""
    for look, change, what in (
        (rows.recording, rows.change_recording, "no recording number 99"),
        (rows.disc, rows.change_disc, "no disc number 99"),
        (rows.holding, rows.change_holding, "no copy number 99"),
    ):
        with pytest.raises(NotFound, match=what):
            look(store, 99)
        with pytest.raises(NotFound, match=what):
            acting(change, 99)


def test_a_disc_is_shelved_once(store: Store, acting) -> None:
    """The same carrier and mark are the same disc; another carrier may share the mark."""
    one = acting(rows.shelve_disc, NewDisc(Carrier.LP, "C 114", "Quays", condition=Condition.WORN))

    assert acting(rows.shelve_disc, NewDisc(Carrier.LP, " C 114 ")) == one
    assert acting(rows.shelve_disc, NewDisc(Carrier.CD, "C 114")) != one
    assert rows.disc(store, one).condition is Condition.WORN
    with pytest.raises(BadInput, match="needs a shelf mark"):
        acting(rows.shelve_disc, NewDisc(Carrier.LP, " "))


def test_a_disc_is_changed_or_the_change_refused(store: Store, acting) -> None:
    """A mark that is taken, a blank one, a word that is none; nothing to change is no error."""
    one = acting(rows.shelve_disc, NewDisc(Carrier.LP, "C 114"))
    acting(rows.shelve_disc, NewDisc(Carrier.LP, "C 115"))
    acting(rows.change_disc, one, missing=True, shelf_mark=" C 116 ")
    held = rows.disc(store, one)

    assert (held.missing, held.shelf_mark) == (True, "C 116")
    for change, sentence in (
        ({"shelf_mark": "C 115"}, "Another LP stands at C 115"),
        ({"shelf_mark": " "}, "needs a shelf mark"),
        ({"condition": "splendid"}, "“splendid” is no condition"),
        ({"id": 7}, "no field id"),
    ):
        with pytest.raises(BadInput, match=sentence):
            acting(rows.change_disc, one, **change)
    acting(rows.change_disc, one)
    assert rows.disc(store, one) == held


def test_a_copy_is_a_file_or_on_a_disc(store: Store, add: AddRecording, acting) -> None:
    """Files stand first; a disc's place, condition and absence are its copies' too."""
    number = add("My Lantern", "Ann Oke", disc="C 114")
    for wrong in (NewHolding(number), NewHolding(number, path="/x", disc_id=1)):
        with pytest.raises(BadInput, match="either a file or on a disc"):
            acting(rows.add_holding, wrong)
    acting(rows.change_disc, 1, missing=True, place="the back room", condition=Condition.WORN)
    file, disc = rows.holdings_of(store, [number])[number]

    assert (file.carrier, file.path, file.missing) == (Carrier.FILE, f"/music/{number}.ogg", False)
    assert (disc.carrier, disc.shelf_mark, disc.side, disc.track) == (Carrier.LP, "C 114", "2", "3")
    assert (disc.missing, disc.place, disc.condition) == (True, "the back room", Condition.WORN)


def test_many_recordings_are_read_at_once(store: Store, now: datetime) -> None:
    """More than SQLite's oldest limit on parameters (999); unknown and repeated ids do no harm."""
    with undo.action(store, "Dilys", "many", now):
        ids = [rows.add_recording(store, NewRecording(f"Tide {n}", "Ann Oke")) for n in range(1200)]
    asked = [*ids, *ids[:5], 99_999]

    assert set(rows.recordings(store, asked)) == set(ids)
    assert sorted(rows.names_of(store, asked))[7] == (8, "Tide 7", "Ann Oke")
    assert rows.recordings(store, []) == {}
    assert rows.holdings_of(store, ids[:2]) == {ids[0]: [], ids[1]: []}


def test_other_names_are_the_artists_or_the_recordings(
    store: Store, add: AddRecording, acting
) -> None:
    """The artist's hold for all of the artist's recordings; blank or homeless ones are refused."""
    one, two = add("My Lantern", "Ann Oke"), add("The Long Jetty", "Ann Oke")
    artist = rows.recording(store, one).artist_id
    acting(rows.add_other_name, "also known as", " The Ferry Girl ", artist=artist)
    refrain = acting(rows.add_other_name, "refrain", "la la", recording=two)

    assert sorted(rows.other_names_of(store, [one, two])) == [
        (one, "also known as", "The Ferry Girl", "artist"),
        (two, "also known as", "The Ferry Girl", "artist"),
        (two, "refrain", "la la", "recording"),
    ]
    acting(rows.remove_other_name, refrain)
    assert len(rows.other_names_of(store, [two])) == 1
    for wrong in ({"name": " ", "artist": artist}, {"name": "x"},
                  {"name": "x", "artist": artist, "recording": one}):  # fmt: skip
        with pytest.raises(BadInput):
            acting(rows.add_other_name, "refrain", **wrong)
