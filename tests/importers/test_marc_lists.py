"""MARC 21 records of sound recordings. Fields as in the Library of Congress's MARC 21 Format for
Bibliographic Data (loc.gov/marc/bibliographic: 007, 024, 028, 245, 300, 306, 505, 511, 852)."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pymarc
import pytest
from pymarc import Field, Indicators, Record, Subfield

from catalogue.errors import UnreadableList
from catalogue.store import Store
from importers import taking_in

Written = Callable[[str, str | bytes], Path]


def field(tag: str, *parts: str, first: str = " ", second: str = " ") -> Field:
    """A field from "a:text" parts."""
    subfields = [Subfield(code=part[0], value=part[2:]) for part in parts]
    return Field(tag=tag, indicators=Indicators(first, second), subfields=subfields)


def record(*fields: Field, kind: str = "j", dates: str = "s1995    ") -> Record:
    made = Record(force_utf8=True)
    made.leader = f"00000n{kind}m a2200000 a 4500"
    fixed = f"      {dates}xxk                 wel d"
    made.add_field(Field(tag="008", data=fixed), *fields)
    return made


DISC = (
    Field(tag="007", data="sd fsngnnmmned"),
    field("024", "a:5012345678900", first="3"),
    field("028", "a:TID 1", "b:Tidemark", first="0"),
    field("100", "a:Sluice, Ada,", "e:singer.", first="1"),
    field("245", "a:Low water /", "c:Ada Sluice."),
    field("260", "a:Saltmarsh :", "b:Tidemark,", "c:p1995."),
    field("300", "a:1 audio disc :", "b:digital ;", "c:4 3/4 in."),
    field("852", "b:Main shelves", "h:C 114"),
    field("655", "a:Folk songs.", second="7"),
)
TRACKS = field("505", "a:Tide (3:42) -- Ebb (2:10) -- My lantern.", first="0")


def taken(store: Store) -> list[tuple[object, ...]]:
    rows = store.rows(
        """SELECT r.title, a.name, r.year, r.length_s, h.track, d.carrier, d.shelf_mark,
        d.title AS disc, d.number, d.label, d.place FROM recordings r
        JOIN artists a ON a.id = r.artist_id
        JOIN holdings h ON h.recording_id = r.id JOIN discs d ON d.id = h.disc_id ORDER BY r.id"""
    )
    return [tuple(row.values()) for row in rows]


def iso2709(*records: Record) -> bytes:
    return b"".join(made.as_marc() for made in records)


def marcxml(*records: Record) -> bytes:
    out = io.BytesIO()
    writer = pymarc.XMLWriter(out)
    for made in records:
        writer.write(made)
    writer.close(close_fh=False)
    return out.getvalue()


@pytest.mark.parametrize(("name", "pack"), [("a.mrc", iso2709), ("a.xml", marcxml)])
def test_a_disc_with_its_contents(
    store: Store, written: Written, now: datetime, name: str, pack: Callable[..., bytes]
) -> None:
    """Each track of the contents note is a recording at its place on the disc."""
    report = taking_in.add_list(store, written(name, pack(record(*DISC, TRACKS))), "Ann", now)

    disc = ("CD", "C 114", "Low water", "TID 1", "Tidemark", "Main shelves")
    assert taken(store) == [
        ("Tide", "Ada Sluice", 1995, 222.0, "1", *disc),
        ("Ebb", "Ada Sluice", 1995, 130.0, "2", *disc),
        ("My lantern", "Ada Sluice", 1995, None, "3", *disc),
    ]
    assert store.rows("SELECT barcode FROM discs") == [{"barcode": "5012345678900"}]
    assert store.rows("SELECT DISTINCT language, genre FROM recordings") == [
        {"language": "Welsh", "genre": "Folk songs"}
    ]
    assert report.refused == []


def test_contents_in_subfields_name_their_performers(
    store: Store, written: Written, now: datetime
) -> None:
    """505 with $t, $r and $g."""
    contents = field("505", "t:Tide /", "r:Ada Sluice", "g:(3:42) --", "t:Ebb /", "r:Ann Oke",
                     first="0", second="0")  # fmt: skip

    taking_in.add_list(store, written("a.mrc", iso2709(record(*DISC, contents))), "Ann", now)

    assert [row[:2] for row in taken(store)] == [("Tide", "Ada Sluice"), ("Ebb", "Ann Oke")]


def test_a_work_of_a_composer(store: Store, written: Written, now: datetime) -> None:
    """Where others perform, the main entry is the composer; the year of recording comes first."""
    made = record(
        Field(tag="007", data="sd dsmgnn"),
        field("100", "a:Reedmace, Edmund,", first="1"),
        field("245", "a:Tidal suite."),
        field("306", "a:001205"),
        field("511", "a:Saltmarsh Players ; Una Fell, conductor.", first="0"),
        field("700", "a:Fell, Una,", "e:conductor.", first="1"),
        field("710", "a:Saltmarsh Players,", "4:prf", first="2"),
        field("090", "a:M 5", "b:.R4"),
        dates="p19951962",
    )

    taking_in.add_list(store, written("a.mrc", iso2709(made)), "Ann", now)

    (row,) = store.rows("SELECT title, composer, conductor, year, length_s FROM recordings")
    assert tuple(row.values()) == ("Tidal suite", "Edmund Reedmace", "Una Fell", 1962, 725.0)
    assert taken(store)[0][5:7] == ("78", "M 5 .R4")


def test_other_records_are_told(store: Store, written: Written, now: datetime) -> None:
    """A book is left out, a disc without a call number and a damaged record come back."""
    good, book = record(*DISC), record(field("245", "a:A book"), kind="a")
    bare = record(*(one for one in DISC if one.tag != "852"))
    broken = bytearray(iso2709(record(*DISC)))
    broken[12:17] = b"xxxxx"

    report = taking_in.add_list(
        store, written("a.mrc", iso2709(good, book, bare) + bytes(broken)), "Ann", now
    )

    assert (report.added, len(report.refused)) == (1, 2)
    assert "1 record is of no sound recording" in report.read_as[0]
    assert [remark.source for remark in report.refused] == ["a.mrc record 3", "a.mrc record 4"]


def test_what_is_known_by_records(store: Store, written: Written, now: datetime) -> None:
    """A donor's records, without call numbers, as what is known of."""
    bare = record(*(one for one in DISC if one.tag != "852"), TRACKS)

    assert taking_in.add_known(store, written("a.mrc", iso2709(bare)), "Ann", now).added == 3


@pytest.mark.parametrize(
    "content",
    [
        marcxml(record(*DISC))[:400],
        b'<!DOCTYPE x [<!ENTITY a "b">]><collection xmlns="http://www.loc.gov/MARC21/slim"/>',
        b'<collection xmlns="http://www.loc.gov/MARC21/slim"></collection>',
    ],
)
def test_what_is_no_marc(store: Store, written: Written, now: datetime, content: bytes) -> None:
    """One sentence, and nothing is stored."""
    with pytest.raises(UnreadableList, match="a.xml"):
        taking_in.add_list(store, written("a.xml", content), "Ann", now)
    assert store.rows("SELECT id FROM actions") == []


@pytest.mark.parametrize("at", range(0, 400, 23))
def test_damaged_records_never_break_a_run(
    store: Store, written: Written, now: datetime, at: int
) -> None:
    """Bytes lost or changed anywhere: rows, refusals or a sentence, nothing else."""
    data = iso2709(record(*DISC, TRACKS), record(*DISC))
    for broken in (data[:at] + data[at + 3 :], data[:at] + b"\xff\x1e\x00" + data[at + 3 :]):
        try:
            taking_in.add_list(store, written("a.mrc", broken), "Ann", now)
        except UnreadableList as problem:
            assert "a.mrc" in problem.message
