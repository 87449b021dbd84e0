"""Rows of shelf lists become entries; rows that cannot be used come back with their number."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from catalogue.errors import UnreadableList
from catalogue.records import Carrier, Condition, Voice
from importers import reference_lists, shelf_lists
from importers.entries import Entry, Refused
from importers.list_rows import Row

Written = Callable[[str, str | bytes], Path]

LIST = """Mark,Carrier,Artist,Title,Song,Side,Track,Year,Label,Number,Length,Voice,Condition,Place
C 114,CD,"Sluice, Ada",Low Water,Tide,,3,1995,Tidemark,TID 1,3:42,woman,good,Main shelves
L 7,12 inch,Ann Oke,Quay,Ebb,Side 1,2,1970,Brigstone,,2.10,,jumps,Store room
S 9,"7"" 45 rpm",Ann Oke,,Flow,A,,1970,,,,,,
"""


def entries(path: Path) -> list[Entry]:
    found = list(shelf_lists.read(path))
    assert all(isinstance(one, Entry) for one in found), found
    return [one for one in found if isinstance(one, Entry)]


def refused(path: Path) -> list[Refused]:
    return [one for one in shelf_lists.read(path) if isinstance(one, Refused)]


def test_a_row_for_each_song(written: Written) -> None:
    """Every column finds its place, in the recording or on the disc."""
    first, second, third = entries(written("shelf.csv", LIST))

    assert (
        first.recording.title, first.recording.artist, first.recording.year,
        first.recording.length_s, first.recording.voice, first.recording.album,
    ) == ("Tide", "Ada Sluice", 1995, 222.0, Voice.WOMAN, "Low Water")  # fmt: skip
    copy = first.copy
    assert copy is not None
    assert (
        copy.carrier, copy.shelf_mark, copy.side, copy.track, copy.disc_title, copy.place,
        copy.condition,
    ) == (Carrier.CD, "C 114", "", "3", "Low Water", "Main shelves", Condition.GOOD)  # fmt: skip
    assert (copy.label, copy.number) == (("Tidemark", "TID 1"))
    assert second.copy is not None
    assert third.copy is not None
    assert (
        second.copy.carrier, second.copy.side, second.copy.track, second.copy.condition,
    ) == (Carrier.LP, "1", "2", Condition.SCRATCHED)  # fmt: skip
    assert (
        third.copy.carrier, third.copy.speed, third.copy.side,
    ) == (Carrier.SINGLE_45, "45", "A")  # fmt: skip
    assert first.source == "shelf.csv row 2"
    assert first.raw["Artist"] == "Sluice, Ada"


@pytest.mark.parametrize(
    ("name", "encoding", "separator"),
    [("a.csv", "utf-8", ","), ("a.csv", "cp1252", ";"), ("a.txt", "utf-16", "\t"),
     ("a.tsv", "utf-8-sig", "\t")],
)  # fmt: skip
def test_encodings_and_separators(
    written: Written, name: str, encoding: str, separator: str
) -> None:
    """The same list, however it was saved."""
    rows = [["Shelf mark", "Carrier", "Artist", "Title"], ["C 1", "CD", "Söhne, Die", "Déjà"],
            ["C 2", "CD", "Ann Oke", "Ebb"]]  # fmt: skip
    text = "".join(separator.join(f'"{cell}"' for cell in row) + "\r\n" for row in rows)

    first, _ = entries(written(name, text.encode(encoding)))

    assert (first.recording.title, first.recording.artist) == ("Déjà", "Die Söhne")


def test_a_sheet(tmp_path: Path) -> None:
    """Numbers, dates and times of a sheet are read as somebody sees them; hidden sheets are not."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Shelf mark", "Carrier", "Artist", "Title", "Year", "Length", "Track"])
    sheet.append([114, "CD", "Ada Sluice", "Tide", dt.date(1962, 5, 1), dt.time(3, 42), 3.0])
    hidden = book.create_sheet("old")
    hidden.append(["Shelf mark", "Artist", "Title"])
    hidden.append(["X", "Nobody", "Nothing"])
    hidden.sheet_state = "hidden"
    book.save(tmp_path / "shelf.xlsx")

    (entry,) = entries(tmp_path / "shelf.xlsx")

    assert (entry.recording.year, entry.recording.length_s) == (1962, 222.0)
    assert entry.copy is not None
    assert (entry.copy.shelf_mark, entry.copy.track) == ("114", "3")


def test_a_sheet_called_csv_is_read_all_the_same(tmp_path: Path) -> None:
    """What is in the file counts, not its name."""
    book = openpyxl.Workbook()
    book.active.append(["Shelf mark", "Carrier", "Artist", "Title"])
    book.active.append(["C 1", "CD", "Ada Sluice", "Tide"])
    book.save(tmp_path / "shelf.xlsx")
    path = (tmp_path / "shelf.xlsx").rename(tmp_path / "shelf.csv")

    assert [entry.recording.title for entry in entries(path)] == ["Tide"]


def test_ditto_marks_are_written_out(written: Written) -> None:
    """A mark for "as above" means what stands above it."""
    path = written("a.tsv", "Mark\tCarrier\tArtist\tTitle\nC 1\tCD\tAda Sluice\tTide\n"
                            "do.\t〃\tditto\tEbb\n")  # fmt: skip

    _, second = entries(path)

    assert second.copy is not None
    assert (
        second.copy.shelf_mark, second.copy.carrier, second.recording.artist,
    ) == ("C 1", Carrier.CD, "Ada Sluice")  # fmt: skip


def test_side_and_track_in_one_cell(written: Written) -> None:
    """ "B3" is the third track of side B."""
    (entry,) = entries(written("a.csv", "Mark,Carrier,Artist,Title,Track\nL 1,LP,Ann,Ebb,B3\n"))

    assert entry.copy is not None
    assert (entry.copy.side, entry.copy.track) == ("B", "3")


def test_headings_again_in_the_middle_are_no_row(written: Written) -> None:
    """Printed lists repeat them on every page."""
    heading = "Mark,Carrier,Artist,Title\n"
    path = written("a.csv", heading + "C 1,CD,Ann,Ebb\n" + heading + "C 2,CD,Ann,Tide\n")

    assert [entry.recording.title for entry in entries(path)] == ["Ebb", "Tide"]


def test_rows_that_cannot_be_used_come_back(written: Written) -> None:
    """Each with the number that the sheet shows, and with what stood in it."""
    path = written("a.csv", "Mark,Carrier,Artist,Title\nC 1,CD,Ann,\n\n,CD,Ann,Ebb\n"
                            "F 1,mp3,Ann,Flow\n")  # fmt: skip

    back = refused(path)

    assert [one.source for one in back] == ["a.csv row 2", "a.csv row 4", "a.csv row 5"]
    assert [
        next(words for words in ("no title", "no shelf mark", "a file, not a disc")
             if words in one.why)
        for one in back
    ] == ["no title", "no shelf mark", "a file, not a disc"]  # fmt: skip
    assert back[0].raw["Artist"] == "Ann"


def test_no_carrier_is_told(written: Written) -> None:
    """A side speaks for a record; where nothing speaks, somebody should look."""
    one, two = entries(written("a.csv", "Mark,Artist,Title,Side\nL 1,Ann,Ebb,A\nX 1,Ann,Flow,\n"))

    assert one.copy is not None
    assert two.copy is not None
    assert (one.copy.carrier, two.copy.carrier) == (Carrier.LP, Carrier.OTHER)
    assert "carrier" in one.guessed
    assert "what it is on" in two.notes[0]


def test_headings_that_mean_nothing_are_told(written: Written) -> None:
    """What stands under them is kept with the raw values."""
    path = written("a.csv", "Mark,Carrier,Artist,Title,Donor\nC 1,CD,Ann,Ebb,Ken\n")

    read = shelf_lists.read_rows(path)
    (row,), said = read.rows, read.said

    assert isinstance(row, Row)
    assert row.raw["Donor"] == "Ken"
    assert len(said) == 1
    assert "“Donor”" in said[0]


def test_a_list_without_headings_says_how_it_was_read(written: Written) -> None:
    """So that somebody sees at once if title and artist were confused."""
    path = written("a.csv", "C 1,CD,Ann Oke,Ebb,1962\nC 1,CD,Ann Oke,Flow,1962\n")

    said = shelf_lists.read_rows(path).said

    assert "3 as artist, 4 as title, 5 as year" in said[0]


@pytest.mark.parametrize("mark", ["C 114", "782.42/SLU", "Röhrenschrank 3-b", "№ 7", "0012"])
def test_shelf_marks_are_kept_as_written(written: Written, mark: str) -> None:
    """Any scheme: it is what stands on the spine."""
    (entry,) = entries(written("a.csv", f"Shelf mark;Carrier;Artist;Title\n{mark};CD;Ann;Ebb\n"))

    assert entry.copy is not None
    assert mark == entry.copy.shelf_mark


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.csv", b"", "is empty"),
        ("a.csv", b"\n\n , ,\n", "is empty"),
        ("a.csv", b"\xff\xfe", "is empty"),
        ("a.csv", b"\x89PNG\r\n\x1a\n" + bytes(range(32)) * 40, "is no list"),
        ("a.csv", b"1;2;3\n4;5;6\n", "no column can be told to be a title"),
        ("a.xlsx", b"PK\x03\x04 and then nothing", "no sheet that can be read"),
        ("a.xls", b"\xd0\xcf\x11\xe0" + b"\0" * 100, "no sheet that can be read"),
    ],
)
def test_what_is_no_list(written: Written, name: str, content: bytes, words: str) -> None:
    """One sentence each, naming the file."""
    path = written(name, content)

    with pytest.raises(UnreadableList) as caught:
        list(shelf_lists.read(path))

    assert words in caught.value.message
    assert name in caught.value.message


def test_a_missing_list_and_a_folder(tmp_path: Path) -> None:
    """The sentence says which."""
    with pytest.raises(UnreadableList, match="There is no list"):
        list(shelf_lists.read(tmp_path / "none.csv"))
    with pytest.raises(UnreadableList, match="is a folder"):
        list(shelf_lists.read(tmp_path))


def test_a_list_that_may_not_be_read(written: Written, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests may run as an administrator, to whom nothing is forbidden: so access is."""
    path = written("a.csv", LIST)
    monkeypatch.setattr("os.access", lambda *_: False)

    with pytest.raises(UnreadableList, match="may not be read by this user"):
        list(shelf_lists.read(path))


@pytest.mark.parametrize(
    ("text", "artist", "title"),
    [
        ("Artist,Title,Year\nAda Sluice,Tide,1962\n", "Ada Sluice", "Tide"),
        ("Ada Sluice - Tide\nAnn Oke - Ebb\n", "Ada Sluice", "Tide"),
        ("Title\nTide\n", "", "Tide"),
    ],
)
def test_lists_of_what_is_known(written: Written, text: str, artist: str, title: str) -> None:
    """A list of recordings needs nothing but titles, and has no copies."""
    first = next(iter(reference_lists.read(written("known.csv", text))))

    assert isinstance(first, Entry)
    assert (artist, title, None) == (first.recording.artist, first.recording.title, first.copy)
