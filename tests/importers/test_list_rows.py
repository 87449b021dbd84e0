"""What stands above is carried down, discs come apart, columns can be corrected, rows come back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.errors import BadInput
from catalogue.store import Store
from importers import columns, list_layouts, refused_file, shelf_lists, taking_in, track_cells
from importers.entries import Entry, Refused

Written = Callable[[str, str | bytes], Path]


def places(path: Path) -> list[tuple[str, ...]]:
    """(shelf mark, side, track, artist, title) of every entry."""
    found = []
    for one in shelf_lists.read(path):
        assert isinstance(one, Entry), one
        assert one.copy is not None
        found.append((one.copy.shelf_mark, one.copy.side, one.copy.track, one.recording.artist,
                      one.recording.title))  # fmt: skip
    return found


def test_blanks_mean_as_above(written: Written) -> None:
    """A disc's mark, carrier and artist written once, and blank below; the next mark ends it."""
    path = written("a.csv", """Mark,Carrier,Artist,Album,Side,Track,Song
L 1,LP,Ada Sluice,Low Water,A,1,Tide
,,,,,2,Ebb
,,,,B,1,Flow
L 2,LP,Ann Oke,Quays,A,1,Quay
,,Una Fell,,,2,Mist
""")  # fmt: skip

    assert places(path) == [
        ("L 1", "A", "1", "Ada Sluice", "Tide"),
        ("L 1", "A", "2", "Ada Sluice", "Ebb"),
        ("L 1", "B", "1", "Ada Sluice", "Flow"),
        ("L 2", "A", "1", "Ann Oke", "Quay"),
        ("L 2", "A", "2", "Una Fell", "Mist"),
    ]


def test_a_row_that_only_names_the_disc(written: Written) -> None:
    """It is no recording; the rows below it are."""
    path = written("a.csv", """Mark,Carrier,Artist,Album,Track,Song
L 1,LP,Ada Sluice,Low Water,,
,,,,1,Tide
,,,,2,Ebb
""")  # fmt: skip

    assert [place[-1] for place in places(path)] == ["Tide", "Ebb"]


def test_a_forgotten_mark_is_not_made_up(written: Written) -> None:
    """A row that names another disc, or where nothing speaks for the disc above, comes back."""
    path = written("a.csv", """Mark,Carrier,Artist,Title,Place
C 1,CD,Ann Oke,Tide,Main
,CD,Una Fell,Ebb,Main
,LP,,Flow,Store room
C 4,CD,Ann Oke,Quay,Main
""")  # fmt: skip

    read = list(shelf_lists.read(path))

    assert [one.source for one in read if isinstance(one, Refused)] == [
        "a.csv row 3",
        "a.csv row 4",
    ]


def test_a_row_with_nothing_that_could_be_on_a_disc(written: Written) -> None:
    """It is not taken for the disc above; it comes back."""
    path = written("a.csv", "Mark,Artist,Album,Song,Donor\nC 1,Ann,Quays,Tide,Ken\n,,,,Jo\n")

    read = list(shelf_lists.read(path))

    assert [type(one) for one in read] == [Entry, Refused]


def test_many_blanks_are_a_way_of_writing(written: Written) -> None:
    """Compilations, with an artist in every row and the mark only in the first."""
    rows = ["Mark,Artist,Title"]
    for disc in range(3):
        rows += [f"C {disc},Artist {disc},Song {disc}0"]
        rows += [f",Guest {disc}{n},Song {disc}{n}" for n in range(1, 4)]

    found = places(written("a.csv", "\n".join(rows)))

    assert [place[0] for place in found] == ["C 0"] * 4 + ["C 1"] * 4 + ["C 2"] * 4
    assert found[1][3] == "Guest 01"


def test_a_carrier_named_once_for_a_mark(written: Written) -> None:
    """The mark is in every row, the carrier in the first."""
    path = written("a.csv", "Mark,Carrier,Artist,Title\nC 1,CD,Ann,Ebb\nC 1,,Ann,Flow\n")

    _, second = [one for one in shelf_lists.read(path) if isinstance(one, Entry)]

    assert second.copy is not None
    assert str(second.copy.carrier) == "CD"


def test_one_row_for_each_disc(written: Written) -> None:
    """Found by the disc's title, which is marked as guessed."""
    path = written("a.csv", "Mark,Carrier,Artist,Album\nC 1,CD,Ada Sluice,Low Water\n")

    (entry,) = [one for one in shelf_lists.read(path) if isinstance(one, Entry)]

    assert (entry.recording.title, entry.recording.album) == ("Low Water", "Low Water")
    assert "title" in entry.guessed


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Mark,Carrier,Artist,Title,Track 1,Track 2,Track 3\nC 1,CD,Ann,Quays,Tide,Ebb,\n",
         [("C 1", "", "1", "Ann", "Tide"), ("C 1", "", "2", "Ann", "Ebb")]),
        ("Mark,Carrier,Artist,Side A,Side B\nS 1,45,Ann,Tide,Ebb\n",
         [("S 1", "A", "", "Ann", "Tide"), ("S 1", "B", "", "Ann", "Ebb")]),
        ("Mark,Carrier,Artist,A-side,Flip side\nS 1,45,Ann,Tide,Ebb\n",
         [("S 1", "A", "", "Ann", "Tide"), ("S 1", "B", "", "Ann", "Ebb")]),
        ("Mark,Carrier,Artist,A1,A2,B1\nL 1,LP,Ann,Tide,Ebb,Flow\n",
         [("L 1", "A", "1", "Ann", "Tide"), ("L 1", "A", "2", "Ann", "Ebb"),
          ("L 1", "B", "1", "Ann", "Flow")]),
        ("Mark;Carrier;Artist;Album;Tracks\nL 1;LP;Ann;Quays;A1. Tide / A2. Ebb / B1. Flow\n",
         [("L 1", "A", "1", "Ann", "Tide"), ("L 1", "A", "2", "Ann", "Ebb"),
          ("L 1", "B", "1", "Ann", "Flow")]),
        ('Mark;Carrier;Artist;Album;Contents\nC 1;CD;Ann;Quays;"1. Tide (3:42)\n2. Ebb 2:10"\n',
         [("C 1", "", "1", "Ann", "Tide"), ("C 1", "", "2", "Ann", "Ebb")]),
        ("Mark;Carrier;Artist;Album;Tracks\nC 1;CD;Ann;Quays;1. Tide 2. Ebb\n",
         [("C 1", "", "1", "Ann", "Tide"), ("C 1", "", "2", "Ann", "Ebb")]),
    ],
)  # fmt: skip
def test_tracks_in_columns_and_in_one_cell(
    written: Written, text: str, expected: list[tuple[str, ...]]
) -> None:
    """Each track is a recording with its place."""
    assert places(written("a.csv", text)) == expected


def test_lengths_in_a_cell_of_tracks(written: Written) -> None:
    """A time behind the title is the track's length."""
    path = written("a.csv", "Mark;Carrier;Artist;Tracks\nC 1;CD;Ann;Tide (3:42) / Ebb\n")

    lengths = [one.recording.length_s for one in shelf_lists.read(path) if isinstance(one, Entry)]

    assert lengths == [222.0, None]


@given(st.text(max_size=60))
def test_any_cell_of_tracks_comes_apart_without_loss_of_words(text: str) -> None:
    """Whatever stands there, titles are not empty and their words were in the cell."""
    from importers.list_rows import Row

    for row in track_cells.apart(Row("a", {}, {"tracks": text, "artist": "Ann"})):
        title = row.fields.get("title", row.fields.get("tracks", ""))
        assert title == text or (title and title in text)


def test_a_78_with_speed_and_matrix(written: Written) -> None:
    """The matrix number stands in for a missing label number, else goes into the note."""
    path = written("a.csv", "Mark,Carrier,Artist,Title,Speed,Catalogue no,Matrix no\n"
                            "S 1,shellac,Ann,Ebb,78 rpm,,OEA 123\n"
                            "S 2,78,Ann,Flow,,BD 12,OEA 124\n")  # fmt: skip

    one, two = [e.copy for e in shelf_lists.read(path) if isinstance(e, Entry)]

    assert one is not None
    assert two is not None
    assert (str(one.carrier), one.speed, one.number, one.note) == ("78", "78", "OEA 123", "")
    assert (two.number, two.note) == ("BD 12", "matrix OEA 124")


LIST = "Ada Sluice,Tide,C 1,CD\nAnn Oke,Ebb,C 2,CD\nUna Fell,Flow,C 3,CD\nIda Fenn,Mist,C 4,CD\n"


def test_the_guess_is_shown_corrected_and_remembered(
    store: Store, written: Written, now: datetime
) -> None:
    """Three sample rows; what a person says counts, also for the next list of that shape."""
    path = written("a.csv", LIST)
    (guess,) = taking_in.look_at_list(store, path)
    assert guess.columns is not None
    assert (len(guess.samples), guess.remembered) == (3, False)
    assert set(guess.columns.fields) == {"artist", "title", "shelf_mark", "carrier"}
    said = columns.parse("title, artist, shelf mark, carrier")

    taking_in.add_list(store, path, "Ann", now, columns={guess.shape: said})

    titles = [row["title"] for row in store.rows("SELECT title FROM recordings ORDER BY id")]
    assert titles == ["Ada Sluice", "Ann Oke", "Una Fell", "Ida Fenn"]
    (again,) = taking_in.look_at_list(store, written("b.csv", LIST.replace("Tide", "Quay")))
    assert again.remembered
    assert again.columns is not None
    assert again.columns.fields == said
    (other,) = taking_in.look_at_list(store, written("c.csv", "Artist,Title\nAnn,Ebb\n"))
    assert not other.remembered
    assert list(list_layouts.remembered(store).values()) == [said]


def test_columns_that_could_not_be_told_can_be_said(
    store: Store, written: Written, now: datetime
) -> None:
    """Numbers for titles: nothing is guessed, and a person's word is enough."""
    path = written("a.csv", "1;2;1999\n3;4;1970\n")
    (guess,) = taking_in.look_at_list(store, path)
    assert guess.columns is None

    report = taking_in.add_list(
        store, path, "Ann", now, columns={guess.shape: columns.parse("shelf_mark,track,title")}
    )

    assert report.added == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [("title, titel", "Two columns"), ("title, colour", "“colour” is nothing"),
     ("artist, year", "No column would be the title")],
)  # fmt: skip
def test_columns_that_make_no_sense(text: str, words: str) -> None:
    """One sentence that says what is wrong."""
    with pytest.raises(BadInput, match=words):
        columns.parse(text)


@pytest.mark.parametrize("field", sorted(columns.FIELDS - {""}) + ["title::3", "title:B:2"])
def test_every_field_has_a_heading_that_means_it(field: str) -> None:
    """So that rows that came back are understood when they are given again."""
    heading = columns.heading_for(field)

    assert field in (columns.meaning(heading), track_cells.meaning(heading))
    other = "artist" if field == "title" else "title"
    assert columns.parse(f"{heading}, {other}")[0] == field


def test_refused_rows_come_back_to_be_mended(store: Store, written: Written, now: datetime) -> None:
    """Under their own headings, ditto marks written out, with a column saying why; mended and
    given again they are taken in."""
    path = written("a.csv", "Mark;Carrier;Artist;Title;Donor\nC 1;CD;Sluice, Ada;Tide;Ken\n"
                            "do.;do.;do.;;Ken\n;LP;Ann Oke;Ebb;Jo\n")  # fmt: skip
    report = taking_in.add_list(store, path, "Ann", now)
    back = path.with_name("back.csv")

    assert refused_file.write(report, back) == 2

    text = back.read_text("utf-8-sig")
    assert text.splitlines()[0] == "Mark,Carrier,Artist,Title,Donor,Why it was not taken in"
    assert text.splitlines()[1].startswith('C 1,CD,"Sluice, Ada",,Ken,It has no title.')
    assert text.splitlines()[2].startswith(',LP,Ann Oke,Ebb,Jo,"It has no shelf')
    mended = text.replace(",LP,", "L 9,LP,").replace('Ada",,', 'Ada",Flow,')
    again = taking_in.add_list(store, written("back.csv", mended), "Ann", now)
    assert (again.added, len(again.refused), again.read_as[0].count("Why")) == (2, 0, 0)
    assert list(path.parent.glob("*.part")) == []


def test_refused_rows_of_a_list_without_headings(
    store: Store, written: Written, now: datetime
) -> None:
    """They come back under ours, and formulas of a spreadsheet do no harm."""
    rows = LIST + "=cmd(),Ebb,,CD\n"
    report = taking_in.add_list(store, written("a.csv", rows), "Ann", now)

    text = refused_file.text(report)

    headings = text.splitlines()[0].split(",")
    assert headings[2:] == ["Shelf mark", "Carrier", columns.WHY]
    assert set(headings[:2]) == {"Artist", "Title"}
    assert "'=cmd()" in text


def test_refused_files_are_listed(store: Store, music: Path, now: datetime) -> None:
    """By their paths, with the reasons."""
    (music / "a.mp3").write_text("no audio")

    lines = refused_file.text(taking_in.add_files(store, music, "Ann", now)).splitlines()

    assert lines[0] == "File,Why it was not taken in"
    assert lines[1].startswith('a.mp3,"a.mp3 is not audio')


def test_a_place_where_nothing_can_be_written(
    store: Store, written: Written, now: datetime
) -> None:
    """A sentence, and no half a file."""
    report = taking_in.add_known(store, written("a.csv", "Artist,Title\nAnn,Ebb\n"), "Ann", now)

    with pytest.raises(BadInput, match="cannot be written"):
        refused_file.write(report, Path("/none/such/back.csv"))


def test_a_single_mended_row_is_known_by_the_headings_that_were_explained(
    store: Store, tmp_path: Path, now: datetime
) -> None:
    """One row tells nothing of odd headings, but they were explained for the list it is from."""
    path = tmp_path / "odd.csv"
    path.write_text("Regal,Gesang,Was,Ding\nX 1,Ada Sluice,Tide,CD\nX 2,Ann Oke,,CD\n")
    (guess,) = taking_in.look_at_list(store, path)
    said = columns.parse("headings, shelf mark, artist, title, carrier")
    report = taking_in.add_list(store, path, "Ann", now, columns={guess.shape: said})
    refused_file.write(report, tmp_path / "mended.csv")
    mended = (tmp_path / "mended.csv").read_text(encoding="utf-8-sig")
    (tmp_path / "mended.csv").write_text(mended.replace("Ann Oke,,", "Ann Oke,Ebb,"))
    again = taking_in.add_list(store, tmp_path / "mended.csv", "Ann", now)

    assert (report.added, len(report.refused)) == (1, 1)
    assert (again.added, again.refused) == (1, [])
    assert store.rows("SELECT 1 FROM recordings WHERE title = 'Ebb'")
