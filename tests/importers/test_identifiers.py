"""Identifiers against published examples; a wrong one is a note, never a refusal."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from mutagen.flac import FLAC

from catalogue.store import Store
from importers import identifiers, taking_in

Written = Callable[[str, str | bytes], Path]


@pytest.mark.parametrize(
    ("body", "check"),
    [
        ("629104150021", "3"),  # gs1.org, how to calculate a check digit
        ("730001100001", "7"),  # gs1.se
        ("890400021003", "7"),  # gs1india.org
        ("501234567890", "0"),  # GS1 UK
        ("03600029145", "2"),  # UPC-A, the common example; the same with a zero before it
        ("003600029145", "2"),
    ],
)
def test_published_barcodes(body: str, check: str) -> None:
    """The published check digit is right, and each other digit is told as wrong."""
    assert identifiers.barcode_of(body + check) == (body + check, "")
    for wrong in set("0123456789") - {check}:
        digits, note = identifiers.barcode_of(body + wrong)
        assert digits == body + wrong
        assert f"it should be {check}" in note


def test_the_published_sum_of_a_barcode() -> None:
    """gs1.org works its example out: each second digit three times, 57 in all, so the check is 3.

    The digits are right as a barcode whatever stands between them; the EAN of a UPC-A is the same
    disc (GS1 General Specifications).
    """
    digits = [int(digit) for digit in "629104150021"]
    total = sum(digit * (3 if place % 2 else 1) for place, digit in enumerate(digits))
    assert total == 57
    assert identifiers.barcode_of(f"6 291041 50021{-total % 10}") == ("6291041500213", "")


def test_the_year_of_an_isrc_is_no_year_of_the_recording(
    store: Store, written: Written, now: datetime
) -> None:
    """ISO 3901:2019 (isrc.ifpi.org): the two digits are the year in which it was assigned."""
    path = written("a.csv", "Mark,Carrier,Artist,Title,ISRC\nC 1,CD,Ann,Ebb,AA-6Q7-20-00047\n")
    taking_in.add_list(store, path, "Ann", now)
    assert store.rows("SELECT isrc, year FROM recordings") == [
        {"isrc": "AA6Q72000047", "year": None}
    ]


@pytest.mark.parametrize(
    ("text", "signs"),
    [
        ("ISRC AA-6Q7-20-00047", "AA6Q72000047"),  # ISO 3901:2019, the example made up there
        ("aa6q72000047", "AA6Q72000047"),
        ("US-SKG-19-12345", "USSKG1912345"),  # documentation of python-stdnum
        ("USS1Z9900001X", ""),
        ("A16Q72000047", ""),
        ("GB", ""),
    ],
)
def test_isrcs(text: str, signs: str) -> None:
    """Twelve signs without a check digit."""
    found, wrong = identifiers.isrc_of(text)

    assert (found, bool(wrong)) == (signs, not signs)


@pytest.mark.parametrize("text", ["0000 0001 2103 2683", "000000012146438X", "0000000218250097"])
def test_isnis(text: str) -> None:
    """ISO 27729 with ISO 7064 MOD 11-2; examples of isni.org and orcid.org (the same scheme)."""
    signs = text.replace(" ", "")
    assert identifiers.isni_of(text) == (signs, "")
    last = "1" if signs[-1] != "1" else "2"
    assert identifiers.isni_of(signs[:-1] + last)[1]


def test_wrong_identifiers_are_notes(store: Store, written: Written, now: datetime) -> None:
    """The row is in, the number is kept as written, and somebody is told."""
    path = written("a.csv", "Mark,Carrier,Artist,Title,Barcode,ISNI,ISRC\n"
                            "C 1,CD,Ann,Ebb,6291041500214,0000000121032684,AA-6Q7\n"
                            "C 2,CD,Ann,Flow,6 291041 500213,0000000121032683,\n")  # fmt: skip

    report = taking_in.add_list(store, path, "Ann", now)

    assert (report.added, report.refused) == (2, [])
    assert len(report.needs_a_look) == 3
    assert [row["barcode"] for row in store.rows("SELECT barcode FROM discs ORDER BY id")] == [
        "6291041500214", "6291041500213",
    ]  # fmt: skip


def test_a_wrong_barcode_in_a_tag(store: Store, tone: Callable[..., Path], now: datetime) -> None:
    """Told too."""
    audio = FLAC(tone("Ann Oke - Ebb.flac"))
    audio["barcode"] = "6291041500214"
    audio.save()

    report = taking_in.add_files(store, Path(audio.filename).parent, "Ann", now)

    assert "it should be 3" in report.needs_a_look[0].text
