"""Headings are understood in several languages; without any, contents speak."""

from __future__ import annotations

import pytest

from importers.columns import HEADINGS_ARE, HEADINGS_ARE_NOT, corrected, guess, meaning, parse
from importers.headings import HEADINGS

OURS = ("shelf_mark", "carrier", "artist", "disc_title", "title", "side", "track", "year", "label",
        "number", "length", "genre", "composer", "soloist", "conductor", "language", "tempo",
        "voice", "condition", "place", "note")  # fmt: skip


def fields(*rows: str) -> tuple[str, ...]:
    found = guess([row.split(",") for row in rows])
    assert found is not None
    return found.fields


def test_a_list_with_every_column() -> None:
    """ "Title" is the disc's where there is a "Song" beside it."""
    heading = ("Shelf mark,Carrier,Artist,Title,Song,Side,Track,Year,Label,Number,Length,Genre,"
               "Composer,Soloist,Conductor,Language,Tempo,Voice,Condition,Place,Note")  # fmt: skip

    assert fields(heading, "C 1,CD,Ada Sluice,Low Water,Tide") == OURS


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Artist,Title", ("artist", "title")),
        ("Interpret,Titel,Signatur", ("artist", "title", "shelf_mark")),
        ("Artiste,Titre,Cote,Durée", ("artist", "title", "shelf_mark", "length")),
        ("No.,Artist,Title", ("shelf_mark", "artist", "title")),
        ("Shelf,No.,Artist,Title", ("shelf_mark", "number", "artist", "title")),
        ("Artist,Album,Track", ("artist", "disc_title", "title")),
        ("Artist,Album,Track No,Title", ("artist", "disc_title", "track", "title")),
        ("ARTIST,TITLE,LENGTH (MM:SS)", ("artist", "title", "length")),
        ("Title,Tempo (BPM),Donor", ("title", "tempo", "")),
        ("Title,Barcode,Matrix no", ("title", "barcode", "shelf_mark")),
        ("Title,Title,Artist", ("title", "", "artist")),
        ("Title,First released", ("title", "first_year")),
    ],
)
def test_headings(heading: str, expected: tuple[str, ...]) -> None:
    """Common practice, no source."""
    assert expected == fields(heading, "x,y,z,w")


def test_headings_under_a_title_are_found() -> None:
    """Lists often begin with their own name and a date."""
    found = guess([["Shelf list of the harbour studio"], ["2019"], ["Mark", "Artist", "Title"]])

    assert found is not None
    assert (found.heading_row, found.fields) == (2, ("shelf_mark", "artist", "title"))


def test_without_headings_contents_speak() -> None:
    """Marks, carriers, years and lengths look like themselves; titles differ most."""
    found = guess([
        ["C 114", "CD", "Ada Sluice", "Tide", "1962", "3:42"],
        ["C 114", "CD", "Ada Sluice", "Ebb", "1962", "2:10"],
        ["C 115", "LP", "Ann Oke", "Quay", "1970", "4:01"],
    ])  # fmt: skip

    assert found is not None
    assert found.fields == ("shelf_mark", "carrier", "artist", "title", "year", "length")
    assert found.guessed
    assert found.heading_row == -1


def test_numbers_alone_are_no_list() -> None:
    """Without a column of words there is no title."""
    assert guess([["1", "2"], ["3", "4"]]) is None


@pytest.mark.parametrize("field", HEADINGS)
def test_every_heading_in_the_table_means_its_field(field: str) -> None:
    """No heading stands under two fields."""
    assert {field} == {meaning(word) for word in HEADINGS[field].split(",")}


ODD = (
    "Regal-Zahl,Ding,Wer,Was,Jahrgang",
    "X 1,CD,Ada Sluice,Tide,1961",
    "X 2,CD,Ada Sluice,Ebb,1958",
    "X 3,LP,Una Fell,Mist,1970",
)


def test_headings_of_no_known_words_are_told_from_the_rows_below() -> None:
    """Every year below is a year, and “Jahrgang” is none: so the first row is no record."""
    found = guess([row.split(",") for row in ODD])

    assert found is not None
    assert found.heading_row == 0 and found.guessed
    assert found.fields == ("shelf_mark", "carrier", "artist", "title", "year")


def test_a_list_without_headings_has_none() -> None:
    found = guess([row.split(",") for row in ODD[1:]])

    assert found is not None
    assert found.heading_row == -1


def test_what_the_first_row_is_can_be_corrected() -> None:
    found = guess([row.split(",") for row in ODD])
    said = parse("no headings, shelf mark, carrier, artist, title, year")

    assert said[-1] == HEADINGS_ARE_NOT
    assert corrected(said, found).heading_row == -1
    assert corrected((*said[:-1], HEADINGS_ARE), None).heading_row == 0
    assert corrected(said[:-1], found).heading_row == 0
    assert corrected(said, found).fields == ("shelf_mark", "carrier", "artist", "title", "year")
