"""The lists of the demo collection hold what is promised."""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from pathlib import Path

from python_calamine import CalamineWorkbook

from sample_library import folder
from sample_library.recipe.audio_files import tagged_files
from sample_library.recipe.known_not_held import HEADING as KNOWN_HEADING
from sample_library.recipe.shelf_list import HEADING as SHELF_HEADING
from sample_library.recipe.songbook import songbook
from sample_library.recipe.unsorted_files import unsorted_files

CHECKED_IN = folder()
MEGABYTE = 1_000_000

AWKWARD_TITLES = (
    "?",
    "!!!",
    "A",
    "The",
    "Ø",
    "1-2-3",
    "$5.99",
    "99 Herons",
    "Déjà Brume",
    "Untitled",
    "Neon Vicarage",
    "Don't/Can't/Won't",
    "白鷺橋のワルツ",
    "Theme from The Long Causeway",
    "Mind the Mud (feat. Precious Dacres)",
    "She's Got a Season Ticket (live)",
    "Telephone Weather (1987 remix)",
)


def read(name: str, where: Path = CHECKED_IN) -> list[dict[str, str]]:
    with (where / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def heading(name: str) -> list[str]:
    with (CHECKED_IN / name).open(encoding="utf-8", newline="") as file:
        return next(csv.reader(file))


def test_headings_are_as_the_importers_expect_them() -> None:
    assert ",".join(heading("shelf_list.csv")) == (
        "Shelf mark,Carrier,Artist,Title,Song,Side,Track,Year,Label,Number,Length,Genre,Composer,"
        "Soloist,Conductor,Language,Tempo,Voice,Condition,Place,Note"
    )
    assert tuple(heading("shelf_list.csv")) == SHELF_HEADING
    assert tuple(heading("known_not_held.csv")) == KNOWN_HEADING
    assert ",".join(heading("known_not_held.csv")) == (
        "Artist,Title,Year,Tempo,Genre,Composer,Language,Voice"
    )
    assert ",".join(heading("past_requests.csv")) == (
        "days_before,time,place,heard,artist,title,outcome,occasion"
    )
    assert ",".join(heading("past_plays.csv")) == (
        "days_before,time,programme,artist,title,shelf_mark,for_request"
    )


def test_the_shelf_list_is_as_long_and_varied_as_promised() -> None:
    rows = read("shelf_list.csv")
    discs = defaultdict(list)
    for row in rows:
        discs[row["Shelf mark"]].append(row)

    assert len(discs) >= 400
    assert 900 <= len(rows) <= 1200
    assert {row["Carrier"] for row in rows} == {"CD", "LP", "45", "78", "Cassette"}
    assert all(len({row["Carrier"] for row in tracks}) == 1 for tracks in discs.values())
    assert max(map(len, discs.values())) <= 6
    for column in ("Year", "Length", "Genre", "Label", "Condition", "Voice", "Tempo", "Place"):
        assert any(row[column] for row in rows)
        assert any(not row[column] for row in rows)
    genres = {row["Genre"] for row in rows}
    assert {"concert music", "hymn", "brass band", "comedy", "calypso", "punk"} <= genres
    concert = [row for row in rows if row["Conductor"]]
    assert len(concert) >= 20
    assert all(row["Composer"] for row in concert)
    years = {int(row["Year"]) for row in rows if row["Year"]}
    assert min(years) == 1908
    assert max(years) == 2024


def test_no_place_on_a_shelf_is_named_twice() -> None:
    places = Counter(
        (row["Shelf mark"], row["Side"], row["Track"]) for row in read("shelf_list.csv")
    )

    assert [place for place, count in places.items() if count > 1] == []


def test_awkward_names_are_all_there() -> None:
    rows = read("shelf_list.csv")
    songs = {row["Song"] for row in rows}
    artists = {row["Artist"] for row in rows}

    assert set(AWKWARD_TITLES) - songs == set()
    assert {"Marsha Herron", "Marsh Herring", "The Marsh Herons", "The The Tides"} <= artists
    assert any(len(song) > 100 for song in songs)
    assert any(row["Song"] == row["Artist"] for row in rows)
    untitled = {row["Artist"] for row in rows if row["Song"] == "Untitled"}
    assert len(untitled) >= 2


def test_many_songs_are_there_by_several_artists() -> None:
    artists = defaultdict(set)
    for track in [*songbook().tracks(), *songbook().known]:
        artists[track.title, track.composer].add(track.artist)
    several = [song for song, singers in artists.items() if len(singers) >= 2]

    assert len(several) >= 25


def test_one_title_may_be_two_songs() -> None:
    composers = defaultdict(set)
    for track in songbook().tracks():
        composers[track.title].add(track.composer)

    for title in ("Home by Seven", "Lantern Weather", "Never Again Till Tuesday", "Untitled"):
        assert len(composers[title]) >= 2, title


def test_known_recordings_are_not_held_but_lead_to_some_that_are() -> None:
    known = read("known_not_held.csv")
    tracks = songbook().tracks()
    held = {(track.artist, track.title) for track in tracks}
    titles = {track.title for track in tracks}
    artists = {track.artist for track in tracks}

    assert len(known) >= 150
    assert [row for row in known if (row["Artist"], row["Title"]) in held] == []
    assert sum(row["Title"] in titles for row in known) >= 50
    assert sum(row["Artist"] in artists for row in known) >= 30
    assert all(row["Tempo"].isdigit() and row["Year"].isdigit() for row in known)


def test_a_month_of_requests_names_places_but_no_callers() -> None:
    requests = read("past_requests.csv")
    places = {row["place"] for row in read("places.csv")}

    assert len(requests) >= 250
    assert {row["place"] for row in requests} <= places
    assert {row["outcome"] for row in requests} == {"played", "stand-in", "not met"}
    assert {row["occasion"] for row in requests} == {
        "birthday",
        "anniversary",
        "get well",
        "thank you",
        "in memory",
        "homesick",
        "just because",
    }
    assert {int(row["days_before"]) for row in requests} == set(range(1, 32))
    assert all(row["heard"] for row in requests)
    assert all(row["outcome"] == "not met" for row in requests if not row["title"])
    times = Counter((row["days_before"], row["time"]) for row in requests)
    assert max(times.values()) == 1


def test_every_request_that_was_answered_was_played_later_that_day() -> None:
    answered = {
        (row["days_before"], row["time"]): row
        for row in read("past_requests.csv")
        if row["outcome"] != "not met"
    }
    plays = [row for row in read("past_plays.csv") if row["for_request"]]

    assert {(row["days_before"], row["for_request"]) for row in plays} == set(answered)
    for play in plays:
        request = answered[play["days_before"], play["for_request"]]
        same = (play["artist"], play["title"]) == (request["artist"], request["title"])
        assert same == (request["outcome"] == "played")
        assert play["time"] > request["time"]


def test_plays_name_discs_that_are_on_the_shelves() -> None:
    marks = {row["Shelf mark"] for row in read("shelf_list.csv")}
    plays = read("past_plays.csv")

    assert {row["shelf_mark"] for row in plays} - {""} <= marks
    assert sum(row["shelf_mark"] == "" for row in plays) < len(plays) / 5
    once_a_day = Counter((row["days_before"], row["artist"], row["title"]) for row in plays)
    assert max(once_a_day.values()) == 1


def test_some_places_are_not_to_be_named_on_air() -> None:
    places = read("places.csv")

    assert {row["say_on_air"] for row in places} == {"yes", "no"}
    assert {"care home", "hospital ward", "ferry crew"} <= {row["kind"] for row in places}
    assert any(row["how_to_say"] for row in places)


def test_the_whole_folder_is_small() -> None:
    sizes = [
        path.stat().st_size
        for path in CHECKED_IN.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    ]

    assert sum(sizes) <= 6 * MEGABYTE


def test_the_spreadsheet_has_the_rows_of_the_csv() -> None:
    with (CHECKED_IN / "shelf_list.csv").open(encoding="utf-8", newline="") as file:
        expected = list(csv.reader(file))

    book = CalamineWorkbook.from_path(CHECKED_IN / "shelf_list.xlsx")
    cells = book.get_sheet_by_index(0).to_python()
    actual = [[as_typed(value) for value in row] for row in cells]

    assert actual == expected


def as_typed(value: object) -> str:
    """A number of the sheet as it would be typed: 1957, not 1957.0."""
    return str(int(value)) if isinstance(value, float) else str(value)


def test_the_read_me_gives_the_true_figures() -> None:
    text = (CHECKED_IN / "README.md").read_text(encoding="utf-8")
    rows = read("shelf_list.csv")

    assert f"| {len([*tagged_files(), *unsorted_files()])} files |" in text
    assert f"| {len(unsorted_files())} of them |" in text
    assert f"{len({row['Shelf mark'] for row in rows})} discs, {len(rows)} rows |" in text
    for name in ("known_not_held.csv", "places.csv", "past_requests.csv", "past_plays.csv"):
        line = next(line for line in text.splitlines() if line.startswith(f"| `{name}`"))
        assert line.endswith(f"| {len(read(name))} |")
    assert all(file.path.rpartition("/")[2][:30].rstrip() in text for file in unsorted_files())
