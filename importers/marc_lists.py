"""MARC 21 records of sound recordings to rows, in ISO 2709 or in MARCXML. The only file that
knows pymarc.

Source of the fields: MARC 21 Format for Bibliographic Data, Library of Congress
(loc.gov/marc/bibliographic): 007/03 speed, 024 and 028 numbers, 245 title, 300 extent, 306
playing time, 505 contents, 511 performers, 852 location.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterator
from pathlib import Path

import pymarc

from catalogue.errors import UnreadableList
from importers import plain_xml, shelf_lists, track_cells
from importers.entries import Refused
from importers.list_rows import Row
from importers.shelf_lists import ReadList

_XML = b"http://www.loc.gov/MARC21/slim"
_HEAD = 4096
_LEADER = re.compile(rb"\d{5}[a-z ]{2,5}.{3,6}22\d{5}", re.DOTALL)
_SOUND = {"i", "j"}
"""Leader/06: a sound recording that is not music, and one that is."""

_SPEEDS = {"a": "LP 16", "b": "LP 33", "c": "45 rpm", "d": "78 rpm", "f": "CD"}
"""007/03 of a disc; f is the 1.4 metres a second of a digital disc."""

_PERFORMERS = {"performer", "singer", "instrumentalist", "vocalist", "prf", "sng", "itr", "voc"}
_COMPOSERS = {"composer", "cmp", "songwriter"}
_CONDUCTORS = {"conductor", "cnd"}
_MARKS = ("099", "090", "050", "084", "082")
"""Call numbers, the station's own first."""


def is_marc(file: Path) -> bool:
    """Whether a file holds MARC 21 records, by its first bytes."""
    try:
        with file.open("rb") as opened:
            start = opened.read(_HEAD)
    except OSError:
        return False
    return _LEADER.match(start[:24]) is not None or _XML in start


def rows(file: Path) -> ReadList:
    """The tracks, or where none are named the discs, of a file of records.

    Records of books and scores are left out, and that is said. Raises UnreadableList.
    """
    read = ReadList([], [], [])
    others = 0
    for number, record in enumerate(_records(file), start=1):
        source = f"{file.name} record {number}"
        if isinstance(record, Refused):
            read.rows.append(Refused(source, record.why))
        elif str(record.leader)[6:7] not in _SOUND:
            others += 1
        else:
            read.rows.extend(_rows(record, source))
    if others:
        one = "1 record is of no sound recording; it was left out."
        many = f"{others:,} records are of no sound recordings; they were left out."
        read.said.append(one if others == 1 else many)
    if not read.rows and not others:
        raise UnreadableList(f"{file.name} is empty: there is no record in it.")
    names = {name for row in read.rows if isinstance(row, Row) for name in row.mend}
    read.headings.extend(sorted(names))
    return read


def _records(file: Path) -> Iterator[pymarc.Record | Refused]:
    data = shelf_lists.bytes_of(file)
    broken = Refused("", "This record is damaged and cannot be read. Export it anew.")
    if _XML in data[:_HEAD]:
        if plain_xml.has_doctype(data):
            raise UnreadableList(f"{file.name} is no MARCXML of the usual kind. Export it anew.")
        try:
            yield from pymarc.parse_xml_to_array(io.BytesIO(data))
        except Exception as problem:  # SAX errors, and what pymarc lets through
            raise UnreadableList(
                f"{file.name} cannot be read as MARCXML ({problem}). Export it anew."
            ) from problem
        return
    reader = pymarc.MARCReader(data, to_unicode=True, permissive=True, hide_utf8_warnings=True)
    while True:
        try:
            with warnings.catch_warnings():  # what is odd in a record is kept, or comes back
                warnings.simplefilter("ignore")
                record = next(reader)
        except StopIteration:
            return
        except Exception:  # a length that is none: what follows cannot be found
            yield broken
            return
        yield record if record is not None else broken


def _rows(record: pymarc.Record, source: str) -> Iterator[Row]:
    """A record as one row for each track of its contents note, or as one for the disc."""
    raw = _raw(record)
    disc = {name: text for name, text in _disc(record).items() if text}
    tracks = list(_enhanced(record))
    if tracks:
        common = {n: t for n, t in disc.items() if n not in {"title", "length"}}
        common["disc_title"] = disc.get("title", "")
        for number, track in enumerate(tracks, start=1):
            fields = {**common, "track": str(number), **track}
            yield Row(f"{source} {number}", raw, fields, mend={**disc, **track})
        return
    contents = " -- ".join(" ".join(f.get_subfields("a")) for f in record.get_fields("505"))
    if "--" in contents:
        disc["tracks"] = contents.rstrip(". ")
        disc.pop("length", None)
    yield from track_cells.apart(Row(source, raw, disc, mend=disc))


def _raw(record: pymarc.Record) -> dict[str, str]:
    """Every field by its tag, as it stands."""
    raw: dict[str, str] = {}
    for field in record.fields:
        name, count = field.tag, 1
        while name in raw:
            count += 1
            name = f"{field.tag} ({count})"
        raw[name] = str(field)[6:].strip()
    return raw


def _disc(record: pymarc.Record) -> dict[str, str]:
    performers, composer, conductor = _people(record)
    number, label, matrix = _numbers(record)
    year, first_year = _years(record)
    return {
        "title": _subfields(record, "245", "abnp"),
        "artist": " & ".join(performers),
        "composer": composer,
        "conductor": conductor,
        "number": number,
        "matrix": matrix,
        "label": label or _subfields(record, "264", "b") or _subfields(record, "260", "b"),
        "barcode": _standard_number(record, "13"),
        "isrc": _standard_number(record, "0"),
        "year": year,
        "first_year": first_year,
        "length": _length(record),
        "genre": _subfields(record, "655", "a") or _subfields(record, "650", "a"),
        "language": _language(record),
        "carrier": _carrier(record),
        "shelf_mark": _shelf_mark(record),
        "place": _subfields(record, "852", "bc"),
    }


def _subfields(record: pymarc.Record, tag: str, codes: str) -> str:
    """The first field's subfields in their order, without the punctuation between them."""
    for field in record.get_fields(tag):
        parts = [_bare(text) for text in field.get_subfields(*codes)]
        if text := " ".join(part for part in parts if part):
            return text
    return ""


def _bare(text: str) -> str:
    return re.sub(r"\s*[/:;,=]+\s*$|(?<=\w{3})\.$", "", text.strip()).strip()


def _people(record: pymarc.Record) -> tuple[list[str], str, str]:
    """(performers, composer, conductor). Where others perform, the main entry is the composer."""
    performers: list[str] = []
    composer = conductor = main = ""
    for field in record.get_fields("100", "110", "700", "710"):
        name = _bare(" ".join(field.get_subfields("a")))
        roles = {_bare(r).lower().split("/")[-1] for r in field.get_subfields("e", "4")}
        if not name:
            continue
        if roles & _COMPOSERS:
            composer = composer or name
        elif roles & _CONDUCTORS:
            conductor = conductor or name
        elif roles & _PERFORMERS:
            performers.append(name)
        elif field.tag in {"100", "110"}:
            main = name
    if not performers and not main:
        performers = [_bare(n) for f in record.get_fields("511") for n in f.get_subfields("a")][:1]
    if main and performers:
        composer = composer or main
    elif main:
        performers = [main]
    return list(dict.fromkeys(performers)), composer, conductor


def _numbers(record: pymarc.Record) -> tuple[str, str, str]:
    """(issue number, label, matrix number) of 028."""
    number = label = matrix = ""
    for field in record.get_fields("028"):
        text = _bare(" ".join(field.get_subfields("a")))
        label = label or _bare(" ".join(field.get_subfields("b")))
        if field.indicator1 == "1":
            matrix = matrix or text
        elif field.indicator1 == "0":
            number = number or text
    return number, label, matrix


def _standard_number(record: pymarc.Record, kinds: str) -> str:
    for field in record.get_fields("024"):
        if field.indicator1 in kinds and (text := " ".join(field.get_subfields("a")).strip()):
            return text
    return ""


def _years(record: pymarc.Record) -> tuple[str, str]:
    """(year of issue, year of recording or first issue): 008/06 r and p keep both apart."""
    control = record.get("008")
    data = control.data if control is not None and control.data else ""
    issued = data[7:11] if data[7:11].isdigit() else ""
    first = data[11:15] if data[6:7] in {"r", "p"} and data[11:15].isdigit() else ""
    said = _subfields(record, "264", "c") or _subfields(record, "260", "c")
    return issued or said, first


def _length(record: pymarc.Record) -> str:
    """306 $a as a clock shows it: hhmmss."""
    text = _subfields(record, "306", "a")
    found = re.match(r"(\d\d)(\d\d)(\d\d)", text)
    return ":".join(found.groups()) if found else ""


def _language(record: pymarc.Record) -> str:
    for code in ("d", "a"):  # what is sung, before what is written
        for field in record.get_fields("041"):
            if texts := field.get_subfields(code):
                return str(texts[0])[:3]
    control = record.get("008")
    code = (control.data if control is not None and control.data else "")[35:38].strip(" |")
    return code if code.isalpha() and code != "zxx" else ""


def _carrier(record: pymarc.Record) -> str:
    """What the extent and the physical description's codes say."""
    for field in record.get_fields("007"):
        data = field.data or ""
        if data.startswith("ss"):
            return "cassette"
        if data.startswith("sd") and data[3:4] in _SPEEDS:
            return _SPEEDS[data[3]]
    text = " ".join(str(field) for field in record.get_fields("300", "344", "347", "538")).lower()
    for words, carrier in (("cassette", "cassette"), ("78 rpm", "78 rpm"), ("45 rpm", "45 rpm"),
                           ("33", "LP"), ("digital", "CD"), ("4 3/4", "CD"), ("compact", "CD"),
                           ("12 cm", "CD")):  # fmt: skip
        if words in text:
            return carrier
    return ""


def _shelf_mark(record: pymarc.Record) -> str:
    if own := _subfields(record, "852", "khimj"):
        return own
    return next((mark for tag in _MARKS if (mark := _subfields(record, tag, "ab"))), "")


def _enhanced(record: pymarc.Record) -> Iterator[dict[str, str]]:
    """Tracks of 505 with titles, names and times in subfields of their own."""
    track: dict[str, str] = {}
    for field in record.get_fields("505"):
        for sub in field.subfields:
            text = re.sub(r"^\s*--\s*|\s*(?:--|/|;)\s*$", "", sub.value).strip(" .")
            if sub.code == "t":
                if track:
                    yield track
                track = {"title": text}
            elif sub.code == "r" and track and text:
                track["artist"] = text
            elif sub.code == "g" and track and (time := re.search(r"\d+:\d\d", text)):
                track["length"] = time.group()
    if track:
        yield track
