"""What the full run of `python -m tests.fuzz` found, and what was found on the way: each a case."""

from __future__ import annotations

import sqlite3
import ssl
import time
import zipfile
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime
from itertools import combinations
from pathlib import Path
from types import SimpleNamespace

import pytest
from mutagen.apev2 import APEv2
from mutagen.id3 import ID3, TIT2

from catalogue import backup, packing
from catalogue.errors import NotADatabase, StationProblem, UnreadableFile, UnreadableList
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from importers import audio_tags, playlists, sheet_size, sheets, shelf_lists, taking_in
from importers.audio_wholeness import Promise, missing
from importers.cleaning import clean
from importers.entries import Draft
from tests.fuzz import samples
from tests.web.conftest import Desk
from web import certificates, stand_in_plot
from web.log_file import Discreet
from web.stand_in_plot import Point

NOW = datetime(2026, 3, 14, 19, 30)


@pytest.fixture
def catalogue(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    yield opened
    opened.close()


@pytest.mark.parametrize("name", ["panic", "memory"])
def test_a_damaged_sheet_ends_the_process_that_reads_it_and_no_other(
    tmp_path: Path, name: str
) -> None:
    """Found in sheets of Excel 97: a panic in calamine, which is no Exception; and four gigabytes
    asked for, which ends the process."""
    path = tmp_path / f"{name}.xls"
    path.write_bytes((Path(__file__).parent / "found" / f"{name}.xls").read_bytes())
    with pytest.raises(UnreadableList, match="may be damaged"):
        sheets.read(path)
    path.write_bytes(samples.xls())
    assert sheets.read(path)[0][1][1][:2] == ["C 114", "CD"]


def test_one_process_reads_on_behind_a_damaged_sheet(tmp_path: Path) -> None:
    bad, good = tmp_path / "bad.xls", tmp_path / "good.xls"
    bad.write_bytes((Path(__file__).parent / "found" / "memory.xls").read_bytes())
    good.write_bytes(samples.xls())
    with sheets.Reader() as reader:
        for path in (good, bad, good):
            try:
                assert reader.read(path)[0][0] == "shelf"
            except UnreadableList:
                assert path is bad


def _xlsx(path: Path, sheet: bytes) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
    return path


@pytest.mark.parametrize("piece", [b'<c r="A1" ', b"<c ", b'<c r="A1"'])
def test_a_sheet_of_tags_without_an_end_is_gone_through_once(tmp_path: Path, piece: bytes) -> None:
    """Time grew with the square: 20 kilobytes took a minute, a megabyte would have taken days."""
    path = _xlsx(tmp_path / "a.xlsx", piece * (400_000 // len(piece)))
    started = time.process_time()
    sheet_size.refuse_if_too_large(path)
    assert time.process_time() - started < 2.0


def test_a_tag_longer_than_any_is_no_sheet(tmp_path: Path) -> None:
    """Else a far cell could hide behind spaces."""
    path = _xlsx(tmp_path / "a.xlsx", b"<c " + b" " * (3 << 20) + b'r="XFD1048576">1</c>')
    with pytest.raises(UnreadableList, match="as programs write it"):
        sheet_size.refuse_if_too_large(path)


def test_a_row_of_thousands_of_cells_is_no_list(tmp_path: Path) -> None:
    """Names of columns were compared each with each: 60,000 of them took a minute."""
    path = tmp_path / "wide.csv"
    path.write_text("Shelf mark;Title" + ";Year" * 60_000 + "\nC 1;Tide" + ";" * 60_000 + "\n")
    with pytest.raises(UnreadableList, match="a row of 60,002 cells"):
        shelf_lists.look(path)


def test_a_list_with_a_title_of_a_book_goes_on_behind_it(catalogue: Store, tmp_path: Path) -> None:
    """SQLite refuses to compare it, and the whole list was refused with it."""
    path = tmp_path / "known.csv"
    path.write_text(f"Artist,Title\nAda Sluice,{'ce ' * 40_000}\nHector Pike,Low Water\n")
    report = taking_in.add_known(catalogue, path, "Ann", NOW)
    assert report.added == 1
    assert "letters long" in report.refused[0].text


def test_thousands_of_brackets_are_not_gone_through(catalogue: Store, tmp_path: Path) -> None:
    """Taking a version out of such a title took minutes: it is refused as it stands."""
    title = "Low Water " + "(1Water " * 38_000
    draft = Draft({"title": title, "artist": "Hector Pike"})
    assert clean(draft) is draft
    path = tmp_path / "known.txt"
    path.write_text(f"Ada Sluice - Tide\nHector Pike - {title}\n")
    report = taking_in.add_known(catalogue, path, "Ann", NOW)
    assert report.added == 1
    assert "letters long" in report.refused[0].text


@pytest.mark.parametrize("name", ["x" * 5_000, "a%00b.mp3", "C:" + "x" * 5_000])
def test_a_playlist_may_name_what_no_drive_can_have(
    catalogue: Store, tmp_path: Path, name: str
) -> None:
    path = tmp_path / "a.m3u"
    path.write_text(f"#EXTM3U\n{name}\n")
    report = taking_in.add_list(catalogue, path, "Ann", NOW)
    assert "There is no file" in report.refused[0].text


@pytest.mark.parametrize("coding", ["TF-8", "rot13", "idna"])
def test_a_playlist_in_an_encoding_that_is_none_is_refused(tmp_path: Path, coding: str) -> None:
    """One letter lost: Python's parser raises a LookupError, which is no error of XML."""
    path = tmp_path / "a.xspf"
    path.write_bytes(samples.xspf().replace(b"UTF-8", coding.encode()))
    with pytest.raises(UnreadableList, match="cannot be read as XSPF"):
        playlists.items(path)


@pytest.mark.parametrize("coding", ["utf-8", "utf-16-le"])
def test_a_doctype_is_seen_in_every_encoding(tmp_path: Path, coding: str) -> None:
    """It was looked for as bytes of ASCII only; the parser reads UTF-16 as well."""
    said = "" if coding == "utf-16-le" else f'<?xml version="1.0" encoding="{coding}"?>'
    body = '<!DOCTYPE a [<!ENTITY b "c">]>' + samples.xspf().decode().partition("?>")[2]
    path = tmp_path / "a.xspf"
    path.write_bytes(said.encode() + body.encode(coding))
    with pytest.raises(UnreadableList, match="no playlist of the usual kind"):
        playlists.items(path)


def test_boxes_of_an_mp4_are_not_counted_for_ever(tmp_path: Path) -> None:
    """Eight bytes each, as many as a file holds: the first ten thousand tell enough."""
    path = tmp_path / "a.m4a"
    path.write_bytes(b"\0\0\0\x08free" * 2_000_000)
    started = time.process_time()
    with path.open("rb") as file:
        assert missing(file, path.stat().st_size, "MP4", Promise()) == 0
    assert time.process_time() - started < 1.0


@pytest.mark.parametrize("kind", ["APEv2", "ID3"])
def test_an_aac_is_sound_with_tags(tmp_path: Path, kind: str) -> None:
    """With APEv2 behind it, mutagen saw tags and no sound, and the file was refused."""
    path = tmp_path / "ebb.aac"
    path.write_bytes(samples.audio(tmp_path)[".aac"])
    if kind == "ID3":
        APEv2(path).delete(path)
        tags = ID3()
        tags.add(TIT2(encoding=3, text="Tide"))
        tags.save(path)
    found = audio_tags.read(path).recording
    assert found.title == "Tide"
    assert found.length_s is not None
    assert found.length_s > 1


def test_a_packed_station_with_a_file_of_no_name_is_refused(tmp_path: Path) -> None:
    """`ZipInfo.is_dir` looked at the last letter of no letters."""
    path = tmp_path / "packed.zip"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("asheard.db", b"")
        packed.writestr("x", b"")
    path.write_bytes(_nameless(path.read_bytes()))
    with pytest.raises(UnreadableFile, match="not a packed station"):
        packing.unpack(path, tmp_path / "new", "asheard.db", NOW)


def _nameless(packed: bytes) -> bytes:
    """The last name of a ZIP's list taken out of it (APPNOTE 6.3.10, 4.3.12 and 4.3.16)."""
    at, end = packed.rindex(b"PK\x01\x02"), packed.rindex(b"PK\x05\x06")
    entry = bytearray(packed[at:end])
    entry[28:30] = b"\0\0"
    del entry[46:47]
    tail = bytearray(packed[end:])
    tail[12:16] = (int.from_bytes(tail[12:16], "little") - 1).to_bytes(4, "little")
    return packed[:at] + bytes(entry) + bytes(tail)


def test_an_index_that_panics_when_words_are_counted_is_made_anew(tmp_path: Path) -> None:
    """Found in the list of words: a panic in tantivy, which is no Exception."""

    class Panic(BaseException):
        """As what pyo3 raises."""

    samples.station(tmp_path)
    store = Store(tmp_path / "asheard.db")
    index = SoundIndex(tmp_path / "sound_index", store)
    right = index.rarities(["quay", "zebra"])

    def broken(*_: object) -> int:
        raise Panic("index out of bounds")

    index._view = index._view._replace(searcher=SimpleNamespace(num_docs=5, doc_freq=broken))
    assert index.rarities(["quay", "zebra"]) == right
    index.close()
    store.close()


def test_a_certificate_that_openssl_alone_can_read_is_refused(tmp_path: Path) -> None:
    """It was taken, and the page that shows its fingerprint failed."""
    own = certificates.own(tmp_path, ["localhost"])
    path = tmp_path / "given.pem"
    path.write_bytes(own.file.read_bytes().replace(b"\n-----END", b"-\n-----END"))
    ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(path, own.key)
    with pytest.raises(StationProblem, match="cannot be read to its end"):
        certificates.given(path, own.key)


def test_a_file_that_asks_for_gigabytes_is_damaged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A block’s size was damaged: mutagen made room for all of it, and a taking-in ended."""

    def too_large(_: object) -> None:
        raise MemoryError

    path = tmp_path / "a.flac"
    path.write_bytes(b"fLaC" + bytes(60))
    monkeypatch.setitem(audio_tags._BY_SIGNATURE, "FLAC", too_large)
    with pytest.raises(UnreadableFile, match="damaged"):
        audio_tags.read(path)


@pytest.mark.parametrize("piece", ["uneral", "“", "‘", "x.y", "1 ", "a@", '"x'])
def test_a_line_of_a_log_without_an_end_is_gone_through_once(piece: str) -> None:
    """A damaged log: time grew with the square, and the page that saves it did not answer."""
    line = piece * (300_000 // len(piece))
    started = time.process_time()
    list(Discreet(lambda: ["funeral"]).lines([line]))
    assert time.process_time() - started < 1.0


def test_points_on_one_another_find_a_place_each() -> None:
    """Found under load, with many stand-ins of one year and tempo: it went from row to row and
    back for ever. More points than there are places end too."""
    points = [Point(n, x, y, "Tide", "Tide") for n, (x, y) in enumerate([(200.0, 110.0)] * 60)]
    found = stand_in_plot._apart(points)
    for one, other in combinations(found, 2):
        assert max(abs(one.x - other.x), abs(one.y - other.y)) >= stand_in_plot._CLOSE
    assert len(stand_in_plot._apart(points * 20)) == 1_200


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_days_at_the_ends_of_the_calendar_are_no_days(phone: Desk, day: str) -> None:
    """Behind the last there is none to count to."""
    for address in ("/figures", "/figures/csv"):
        assert phone.get(f"{address}?first=&last={day}&name=hours").status_code == 400


@pytest.mark.parametrize("address", ["/phone/slips/{}", "/shelves/recordings/{}"])
def test_a_number_beyond_any_row_is_no_page(shelves: Desk, phone: Desk, address: str) -> None:
    """SQLite holds numbers of 63 bits."""
    for desk in (phone, shelves):
        for number in (2**63, 2**64, int("9" * 400)):
            assert desk.get(address.format(number)).status_code in (403, 404)


def test_a_copy_whose_damage_is_named_in_no_letters_is_told_as_damaged(tmp_path: Path) -> None:
    """SQLite's message has the name of the broken table in it, whatever its bytes are."""
    path = tmp_path / "copy.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE zzzz (a)")
    whole = path.read_bytes()
    broken = whole.replace(b"CREATE TABLE zzzz", b"CREATE TABLE (zzz").replace(b"zzzz", b"zz\xffz")
    assert broken != whole
    path.write_bytes(broken)

    assert "damaged" in backup.what_is_wrong(path)
    with pytest.raises(NotADatabase):
        Store(path)
