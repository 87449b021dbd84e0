"""Valid files of every kind that is read: what the damage starts from.

Small on purpose: a damaged byte should matter. Artists and titles are invented.
"""

from __future__ import annotations

import io
import shutil
import struct
import tempfile
import zipfile
from pathlib import Path

import mutagen
import numpy as np
import openpyxl
import pymarc
import soundfile
from mutagen import apev2, id3

from catalogue import places, settings, staff
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.importers import test_marc_lists as marc
from tests.importers.conftest import FORMATS
from tests.web.conftest import EVENING, PASSPHRASE, PEOPLE, Held, _take_in, slip_in

SEED = 21
_DATA = Path(__file__).parents[1] / "importers" / "data"
_COPIED = (".m4a", ".wma", ".wv", ".aac")
AUDIO = (*FORMATS, *_COPIED, ".ape", ".mpc")
"""Every format that is looked into, by the name of its files."""

ROWS = (
    ("Shelf mark", "Carrier", "Artist", "Title", "Year", "Length", "Side", "Track", "Genre"),
    ("C 114", "CD", "Ada Sluice", "Tide, rising", "1962", "3:42", "", "3", "folk"),
    ("C 115", "LP", "Pike, Hector", 'Low "Water"', "1959", "2:10", "A", "1", "dance band"),
    ("S 20", "45 rpm", "Marsha Herron", "Quay Street Waltz", "c. 1964", "178", "B", "", ""),
    ("C 116", "LP", "Various", "A1 Ebb / A2 Flöw (live)", "1971", "", "", "", "choir"),
)
"""A shelf list as people keep them."""


def audio(folder: Path) -> dict[str, bytes]:
    """A short tagged file of every format, with a picture where the format takes one."""
    made = {}
    noise = 0.1 * np.random.default_rng(SEED).standard_normal(16_000)
    for suffix in AUDIO:
        path = folder / f"valid{suffix}"
        if suffix in FORMATS:
            kind, coding = FORMATS[suffix]
            soundfile.write(path, noise, 16_000, format=kind, subtype=coding)
        elif suffix in _COPIED:
            shutil.copy(_DATA / f"silence{suffix}", path)
        else:
            path.write_bytes(_header(suffix))
        _tag(path)
        made[suffix] = path.read_bytes()
        path.unlink()
    return made


def _header(suffix: str) -> bytes:
    """What is read of a Monkey's Audio or a Musepack file, before noise (from memory)."""
    if suffix == ".ape":
        sizes = struct.pack("<IIIHHI", 73_728, 1_000, 3, 16, 2, 44_100)
        head = b"MAC " + struct.pack("<HH", 3990, 0) + bytes(48) + sizes
    else:
        head = b"MP+\x07" + struct.pack("<II", 40, 0) + bytes(20)
    return head + np.random.default_rng(SEED).bytes(3_000)


def _tag(path: Path) -> None:
    if path.suffix in {".ape", ".mpc", ".wv", ".aac"}:
        tags = apev2.APEv2()
        tags["Title"], tags["Artist"], tags["Year"] = "Tide", "Ada Sluice", "1962"
        tags.save(path)
        return
    file = mutagen.File(path, easy=path.suffix == ".m4a")
    if path.suffix in {".mp3", ".wav", ".aiff"}:
        if file.tags is None:
            file.add_tags()
        for frame in (id3.TIT2, id3.TPE1, id3.TALB, id3.TCON):
            file.tags.add(frame(encoding=3, text="Tide"))
        file.tags.add(id3.TIPL(encoding=3, people=[["producer", "Ann Oke"]]))
        file.tags.add(id3.RVA2(desc="track", channel=1, gain=-6.5, peak=0.9))
        file.tags.add(id3.TDRC(encoding=3, text="1962-05"))
        file.tags.add(id3.APIC(encoding=0, mime="image/jpeg", type=3, desc="", data=b"\xff" * 900))
        file.save()
        return
    names = ("Title", "Author") if path.suffix == ".wma" else ("title", "artist", "album", "genre")
    for name in names:
        file[name] = "Tide"
    file.save()


def text(separator: str) -> bytes:
    """The list as a text with this separator."""
    rows = [
        separator.join(f'"{c.replace(chr(34), chr(34) * 2)}"' if separator in c else c for c in row)
        for row in ROWS
    ]
    return "\r\n".join(rows).encode()


def known() -> bytes:
    """A list of what is known of, without shelf marks."""
    return "\n".join(",".join(f'"{c}"' for c in (r[2], r[3], r[4])) for r in ROWS).encode()


def plain() -> bytes:
    """A list of plain lines."""
    return b"Ada Sluice - Tide\nHector Pike - Low Water (1959)\nMarsha Herron - Quay St. Waltz\n"


def xlsx() -> bytes:
    """The list as a sheet, with a number, a date and a hidden sheet."""
    book = openpyxl.Workbook()
    for row in ROWS:
        book.active.append([int(c) if c.isdigit() else c for c in row])
    book.create_sheet("old").append(["x", EVENING, True, 1.5, None, "=1+1"])
    return _saved(book)


def _saved(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def xls() -> bytes:
    """A sheet of Excel 97."""
    return (_DATA / "shelf.xls").read_bytes()


def ods() -> bytes:
    """The list as an OpenDocument sheet."""
    uri = "urn:oasis:names:tc:opendocument:xmlns:"
    cell = '<table:table-cell office:value-type="string"><text:p>{}</text:p></table:table-cell>'
    rows = "".join(
        f"<table:table-row>{''.join(cell.format(c) for c in row)}</table:table-row>" for row in ROWS
    )
    content = (
        f'<office:document-content xmlns:office="{uri}office:1.0" xmlns:table="{uri}table:1.0" '
        f'xmlns:text="{uri}text:1.0"><office:body><office:spreadsheet><table:table '
        f'table:name="S">{rows}</table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", f'<m:manifest xmlns:m="{uri}manifest:1.0"/>')
        archive.writestr("content.xml", content)
    return out.getvalue()


def _records() -> list[pymarc.Record]:
    titles = marc.field("505", "t:Tide /", "r:Ada Sluice", "g:(3:42) --", "t:Ebb /", first="0")
    return [marc.record(*marc.DISC, marc.TRACKS), marc.record(*marc.DISC, titles)]


def iso2709() -> bytes:
    """Two MARC 21 records as libraries exchange them."""
    return marc.iso2709(*_records())


def marcxml() -> bytes:
    """The same in MARCXML."""
    return marc.marcxml(*_records())


def xspf() -> bytes:
    """A playlist after the example of the XSPF specification."""
    return (
        b'<?xml version="1.0" encoding="UTF-8"?>\n<playlist version="1" '
        b'xmlns="http://xspf.org/ns/0/"><trackList><track><location>Ada%20Sluice/Tide.wav'
        b"</location><title>Tide</title><creator>Ada Sluice</creator><album>Low Water</album>"
        b"<trackNum>3</trackNum><duration>222000</duration></track><track><location>file:///C:/"
        b"Music/ebb.mp3</location><title>Ebb</title></track></trackList></playlist>\n"
    )


def m3u() -> bytes:
    """A playlist as players write it."""
    return (
        b"#EXTM3U\n#EXTINF:222,Ada Sluice - Tide\nAda Sluice/Tide.wav\n#EXTINF:-1,Ebb\n"
        b"file:///srv/music/ebb.mp3\nM:\\Music\\100%.mp3\nhttp://example.org/a.mp3\n"
    )


def batch() -> bytes:
    """A list of requests to be answered at once."""
    return (
        b"row_id,heard,heard_title,heard_artist\n1,lantern on the key,,\n"
        b'2,"long, ""jetty""",,\n3,,tide,ada sluice\n'
    )


def station(folder: Path) -> Held:
    """A small station: records, a disc on loan, people, places, slips in every state."""
    folder.mkdir(parents=True, exist_ok=True)
    store = Store(folder / "asheard.db")
    held = _take_in(store)
    for name, role in PEOPLE.items():
        staff.add(store, name, role, PASSPHRASE, "test", EVENING)
    settings.put(store, "station_name", "Saltmarsh Radio", "Dora", EVENING)
    places.add(store, "Saltings House", "Saltings House", True, "Dora", EVENING)
    for state in ("being written", "handed over", "not used", "played"):
        slip_in(store, held, state, EVENING)
    SoundIndex(folder / "sound_index", store).close()
    store.close()
    return held


def database() -> bytes:
    """A station's database, as a copy of it lies in a folder."""
    with tempfile.TemporaryDirectory() as folder:
        station(Path(folder) / "station")
        return (Path(folder) / "station" / "asheard.db").read_bytes()
