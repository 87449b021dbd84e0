"""What a studio takes along, what it does before playing, and what is left of the programme."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from urllib.parse import unquote, urlparse
from xml.etree import ElementTree

import pytest

from catalogue import programmes, request_slips, roots, settings
from catalogue.store import Store
from web.studio_lists import file_uri

from .conftest import EVENING, Desk, Held


@pytest.fixture
def slips(phone: Desk, held: Held) -> tuple[int, int]:
    """One on an LP and one as a file, both with Studio 1."""
    for number, (record, details) in enumerate(
        (
            ("lantern", {"caller_name": "Maureen Tolley", "consent": "first name only",
                         "place_id": "2", "ring_back": "01632 960123", "why": "a dance"}),
            ("waltz", {"caller_name": "Stan Rigby"}),
        ),
        start=1,
    ):  # fmt: skip
        phone.send("/phone/details", sheet=record, **details)
        phone.send("/phone/choose", slip=number, recording_id=held.recordings[record],
                   holding_id=held.copies[record])  # fmt: skip
        phone.send("/phone/hand-over", slip=number, studio="Studio 1")
    return 1, 2


def _see(store: Store, desk: str) -> None:
    roots.add(store, "music", "Dora", EVENING)
    roots.see_as(store, "music", desk, r"M:\Music", "Dora", EVENING)


def test_the_list_as_xspf_has_this_desks_paths_and_no_caller(
    studio: Desk, store: Store, slips: tuple[int, int]
) -> None:
    _see(store, "Studio 1")
    answer = studio.get("/studio/list.xspf?studio=Studio+1")
    assert answer.mimetype == "application/xspf+xml"
    assert "attachment" in answer.headers["Content-Disposition"]
    root = ElementTree.fromstring(answer.data)
    space = {"x": "http://xspf.org/ns/0/"}  # xspf.org, version 1
    assert root.tag == "{http://xspf.org/ns/0/}playlist" and root.get("version") == "1"
    tracks = root.findall("x:trackList/x:track", space)
    assert [t.findtext("x:title", "", space) for t in tracks] == [
        "Lantern on the Quay", "Quay Street Waltz",
    ]  # fmt: skip
    assert tracks[0].findtext("x:annotation", "", space) == "LP C 114, side 2, track 3"
    assert tracks[1].findtext("x:location", "", space) == (
        "file:///M:/Music/quay_street_waltz.flac"
    )
    assert tracks[1].findtext("x:duration", "", space) == "172000"
    assert b"Maureen" not in answer.data and b"Stan" not in answer.data


def test_the_list_as_m3u_is_read_line_by_line(
    studio: Desk, store: Store, slips: tuple[int, int]
) -> None:
    _see(store, "Studio 1")
    lines = studio.get("/studio/list.m3u8?studio=Studio+1").get_data(as_text=True).splitlines()
    assert lines[0] == "#EXTM3U"
    assert [line for line in lines if not line.startswith("#")] == [
        "M:\\Music\\quay_street_waltz.flac"
    ]
    assert "#EXTINF:172,Marsha Herron - Quay Street Waltz" in lines
    assert any("C 114" in line for line in lines if line.startswith("# "))
    assert not any("Maureen" in line for line in lines)


def test_the_studio_shows_the_path_as_its_desk_sees_it(
    studio: Desk, store: Store, slips: tuple[int, int]
) -> None:
    _see(store, "Studio 1")
    page = studio.get("/studio").get_data(as_text=True).replace("<wbr>", "")
    assert "M:\\Music\\quay_street_waltz.flac</code>" in page
    studio.send("/desk", page=True, name="North")
    page = studio.get("/studio").get_data(as_text=True).replace("<wbr>", "")
    assert ">music/quay_street_waltz.flac</code>" in page


def test_the_printed_list_says_by_when_to_shred_it_and_only_what_may_be_said(
    studio: Desk, store: Store, slips: tuple[int, int]
) -> None:
    page = studio.get("/studio/print?studio=Studio+1").get_data(as_text=True)
    assert "Shred this page by 14 May 2024." in page
    assert "C 114" in page and "a dance" in page
    assert "<strong>Maureen</strong>" in page
    for private in ("Tolley", "Rigby", "960123", "Ward 2"):
        assert private not in page
    assert "Do not say who it is." in page


# RFC 8089, appendices B and E: a drive letter, and a path on a Unix system.
@pytest.mark.parametrize(
    ("path", "uri"),
    [
        (r"C:\Music\a b.mp3", "file:///C:/Music/a%20b.mp3"),
        ("/srv/music/100%.mp3", "file:///srv/music/100%25.mp3"),
        (r"\\server\share\x.mp3", "file://server/share/x.mp3"),
        ("/srv/Łódź/#1?.mp3", "file:///srv/%C5%81%C3%B3d%C5%BA/%231%3F.mp3"),
    ],
)
def test_a_path_is_a_file_uri(path: str, uri: str) -> None:
    assert file_uri(path) == uri
    assert Path(unquote(urlparse(uri).path)).name == path.replace("\\", "/").split("/")[-1]


class TestSteps:
    def test_take_on_air_and_played(self, studio: Desk, store: Store, slips: tuple) -> None:
        studio.send("/studio/take", page=True, slip="2", studio="Studio 1")
        page = studio.get("/studio").get_data(as_text=True)
        assert "You have the call since 19:40" in page
        studio.send("/studio/on-air", page=True, slip="2", studio="Studio 1")
        page = studio.get("/studio").get_data(as_text=True)
        assert "On air since 19:40" in page
        # What is on air comes first, so that the key that says "played" means it.
        assert page.index('id="slip-2"') < page.index('id="slip-1"')
        studio.send("/studio/played", page=True, slip="2", studio="Studio 1")
        assert [s.id for s in request_slips.queue(store, "Studio 1")] == [1]

    def test_not_yet_after_all(self, studio: Desk, store: Store, slips: tuple) -> None:
        studio.send("/studio/on-air", page=True, slip="1", studio="Studio 1")
        studio.send("/studio/wait-again", page=True, slip="1", studio="Studio 1")
        assert request_slips.get(store, 1).in_studio == ""

    def test_the_phone_desk_sees_where_a_call_is(
        self, studio: Desk, phone: Desk, slips: tuple
    ) -> None:
        studio.send("/studio/on-air", page=True, slip="1", studio="Studio 1")
        assert "1: on air in Studio 1" in phone.get("/phone/strip").get_data(as_text=True)
        refused = phone.send("/phone/call-back", slip="1")
        assert refused.status_code == 400
        assert "on air" in refused.get_data(as_text=True)

    def test_a_slip_given_away_is_in_the_other_list_only(
        self, studio: Desk, store: Store, slips: tuple
    ) -> None:
        studio.send("/studio/move", page=True, slip="1", to="Studio 2", studio="Studio 1")
        first = studio.get("/studio?studio=Studio+1").get_data(as_text=True)
        second = studio.get("/studio?studio=Studio+2").get_data(as_text=True)
        assert 'id="slip-1"' not in first and 'id="slip-1"' in second
        odd = studio.send("/studio/move", page=True, slip="1", to="The moon")
        assert odd.status_code == 400

    def test_a_step_on_a_slip_as_it_was_is_refused(self, studio: Desk, slips: tuple) -> None:
        for step in ("take", "on-air", "wait-again"):
            answer = studio.send(f"/studio/{step}", page=True, slip="1", version="1")
            assert answer.status_code == 409


def test_what_is_left_of_the_programme_is_a_sentence(
    studio: Desk, store: Store, clock, slips: tuple
) -> None:
    assert 'id="left"></p>' in studio.get("/studio").get_data(as_text=True)
    programmes.add(store, "Evening Requests", "Bob", EVENING, EVENING + timedelta(minutes=20),
                   "Dora", EVENING)  # fmt: skip
    page = studio.get("/studio").get_data(as_text=True)
    assert "Evening Requests ends at 20:00: 20 minutes left, about 5 records." in page
    known = re.search(r"since=(\d+)&amp;minute=(\d+)", page)
    assert known
    address = f"/studio/queue?studio=Studio+1&since={known[1]}&minute={known[2]}"
    assert studio.get(address).status_code == 204
    clock.on(minutes=18)
    later = studio.get(address).get_data(as_text=True)
    assert "2 minutes left, too short for a record." in later
    clock.on(minutes=1)
    assert "1 minute left" in studio.get(address).get_data(as_text=True)


def test_the_screen_goes_blank_after_the_stations_minutes(studio: Desk, store: Store) -> None:
    assert 'data-minutes="10"' in studio.get("/studio").get_data(as_text=True)
    settings.put(store, "blank_minutes", "0", "Dora", EVENING)
    assert 'data-minutes="0"' in studio.get("/studio").get_data(as_text=True)


def test_paper_has_no_word_of_a_caller_who_was_not_asked(
    phone: Desk, studio: Desk, held: Held
) -> None:
    phone.send("/phone/details", sheet="another sheet", caller_name="Joan Rigby",
               for_whom="her sister Joan", why="their old house", occasion="birthday")  # fmt: skip
    page = phone.get("/phone/strip").get_data(as_text=True)
    number = max(int(n) for n in re.findall(r"strip-(\d+)", page))
    phone.send("/phone/choose", slip=number, recording_id=held.recordings["waltz"],
               holding_id=held.copies["waltz"])  # fmt: skip
    phone.send("/phone/hand-over", slip=number, studio="Studio 1")
    paper = studio.get("/studio/print?studio=Studio+1").get_data(as_text=True)
    assert "Quay Street Waltz" in paper and "birthday" in paper
    for private in ("Joan", "sister", "old house"):
        assert private not in paper
