"""Labels: rendered by one library and read back by another, neither of them ours."""

from __future__ import annotations

import pypdfium2
import pytest
import zxingcpp

from catalogue import catalogue_rows, out_of_place, undo
from catalogue.errors import BadInput
from catalogue.records import Carrier, NewDisc
from catalogue.store import Store
from web.label_pdf import pdf
from web.label_sheets import SHEETS, Label

from .conftest import EVENING, Desk

MARKS = ["C 114", "LP C 2", "780.92 BEA", "ML410 .B4", "cd-0007", "S 20"]
FORM = {"sheet": "70x37", "code": "code128", "first": "1"}
_DPI = 300
"""A common office printer's."""


def _read(written: bytes) -> list[list[tuple[str, str, float, float]]]:
    """Of each page every code: its text, its kind and its middle in millimetres."""
    found = []
    for page in pypdfium2.PdfDocument(written):
        picture = page.render(scale=_DPI / 72).to_pil().convert("L")
        codes = []
        for code in zxingcpp.read_barcodes(picture):
            corner, other = code.position.top_left, code.position.bottom_right
            x, y = (corner.x + other.x) / 2, (corner.y + other.y) / 2
            codes.append((code.text, code.format.name, x * 25.4 / _DPI, y * 25.4 / _DPI))
        found.append(codes)
    return found


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize(("code", "kind"), [("code128", "Code128"), ("qr", "QRCode")])
def test_every_label_is_read_back_where_its_label_is(sheet: str, code: str, kind: str) -> None:
    of = SHEETS[sheet]
    (codes,) = _read(pdf([Label(mark, mark, "LP, Tide") for mark in MARKS], of, code, first=2))
    assert {text for text, *_ in codes} == set(MARKS)
    for text, read_as, x, y in codes:
        assert read_as.replace("_", "") == kind
        row, column = divmod(MARKS.index(text) + 1, of.columns)
        assert of.left + column * of.across < x < of.left + column * of.across + of.width
        assert of.top + row * of.down < y < of.top + row * of.down + of.height


def test_a_second_sheet_begins_when_the_first_is_full() -> None:
    labels = [Label(f"C {n}", f"C {n}") for n in range(26)]
    assert [len(page) for page in _read(pdf(labels, SHEETS["70x37"], "code128", 24))] == [1, 24, 1]


@pytest.mark.parametrize("sheet", SHEETS)
def test_all_labels_stay_on_the_paper(sheet: str) -> None:
    of = SHEETS[sheet]
    assert of.left + (of.columns - 1) * of.across + of.width <= 210
    assert of.top + (of.rows - 1) * of.down + of.height <= 297


def test_letters_that_bars_cannot_hold() -> None:
    label = [Label("Å 1 ж", "Å 1 ж")]
    with pytest.raises(BadInput, match="square code"):
        pdf(label, SHEETS["70x37"], "code128")
    assert [code[0] for code in _read(pdf(label, SHEETS["70x37"], "qr"))[0]] == ["Å 1 ж"]
    long = [Label("x" * 60, "x" * 60, "y" * 300)]
    with pytest.raises(BadInput, match="too long"):
        pdf(long, SHEETS["48x25"], "code128")
    assert _read(pdf(long, SHEETS["48x25"], "qr"))[0][0][0] == "x" * 60


def test_what_is_scanned_finds_its_disc(shelves: Desk, store: Store) -> None:
    """Also where two discs share a mark: then the carrier is in the code."""
    with undo.action(store, "Charlie", "took in", EVENING):
        catalogue_rows.shelve_disc(store, NewDisc(Carrier.CD, "C 114"))
    answer = shelves.send("/shelves/labels", page=True, **FORM, marks="s20\n\n", beginning="c")
    assert answer.mimetype == "application/pdf"
    (codes,) = _read(answer.data)
    scanned = {code[0] for code in codes}
    assert scanned == {"S 20", "LP C 114", "CD C 114"}
    assert all(len(out_of_place.marked(store, text)) == 1 for text in scanned)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [({"marks": ""}, "Name the discs"), ({"marks": "C 114\nZ 9"}, "Z 9"),
     ({"first": "25"}, "from 1 to 24"), ({"first": "0"}, "from 1"), ({"first": "x"}, "from 1"),
     ({"sheet": "a4"}, "problem"), ({"code": "ean"}, "problem"),
     ({"marks": "", "beginning": "Q%"}, "begins with")],
)  # fmt: skip
def test_bad_input_is_told_and_what_was_typed_stays(
    shelves: Desk, wrong: dict[str, str], told: str
) -> None:
    form = {**FORM, "marks": "C 114", **wrong}
    answer = shelves.send("/shelves/labels", page=True, **form)
    page = answer.get_data(as_text=True)
    assert (answer.status_code, told in page) == (400, True)
    assert form["marks"] in page
