"""Sheets that would take more room than a list can need are refused before they are opened."""

from __future__ import annotations

import zipfile
from pathlib import Path

import openpyxl
import pytest

from catalogue.errors import UnreadableList
from importers import sheet_size, shelf_lists

_ODS = (
    '<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body>'
    '<office:spreadsheet><table:table table:name="S">{rows}</table:table></office:spreadsheet>'
    "</office:body></office:document-content>"
)
_MANIFEST = (
    '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>'
)
_CELL = '<table:table-cell office:value-type="string"{}><text:p>{}</text:p></table:table-cell>'


def _ods(path: Path, rows: str) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", _MANIFEST)
        archive.writestr("content.xml", _ODS.format(rows=rows))
    return path


def _xlsx(path: Path, far: str = "") -> Path:
    book = openpyxl.Workbook()
    for row in (("Shelf mark", "Title"), ("C 1", "Tide"), ("C 2", "Ebb")):
        book.active.append(row)
    if far:
        book.active[far] = "stray"
    book.save(path)
    return path


def test_two_cells_at_the_ends_of_a_sheet_are_refused(tmp_path: Path) -> None:
    """Opened, they would ask for half a terabyte, and the program would be ended."""
    path = _xlsx(tmp_path / "far.xlsx", "XFD1048576")

    with pytest.raises(UnreadableList, match=r"17,179,869,184 cells.*save it as CSV"):
        shelf_lists.look(path)


def test_a_sheet_that_unpacks_to_gigabytes_is_refused(tmp_path: Path) -> None:
    path = _xlsx(tmp_path / "bomb.xlsx")
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        with archive.open("xl/worksheets/sheet9.xml", "w", force_zip64=True) as part:
            for _ in range(300):
                part.write(b" " * 1024 * 1024)

    with pytest.raises(UnreadableList, match="unpacks to more"):
        shelf_lists.look(path)


def test_repeated_cells_of_an_ods_count_as_often_as_they_are_repeated(tmp_path: Path) -> None:
    many = _CELL.format(' table:number-columns-repeated="16000"', "x")
    row = '<table:table-row table:number-rows-repeated="1000000">{}</table:table-row>'
    path = _ods(tmp_path / "bomb.ods", row.format(many))

    with pytest.raises(UnreadableList, match="16,000,000,000 cells"):
        shelf_lists.look(path)


def test_sheets_as_people_save_them_are_opened(tmp_path: Path) -> None:
    """A cell some way off, and the empty rows with which an ods ends, are no bomb."""
    rows = "".join(
        f"<table:table-row>{''.join(_CELL.format('', cell) for cell in row)}</table:table-row>"
        for row in (("Shelf mark", "Title"), ("C 1", "Tide"))
    )
    empty = (
        '<table:table-row table:number-rows-repeated="1048574"><table:table-cell '
        'table:number-columns-repeated="16384"/></table:table-row>'
    )

    assert len(shelf_lists.look(_xlsx(tmp_path / "a.xlsx", "Z5000"))) == 1
    assert shelf_lists.look(_ods(tmp_path / "a.ods", rows + empty))[0].headings == (
        "Shelf mark",
        "Title",
    )


def test_a_tag_across_two_pieces_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_size, "_PIECE", 7)

    with pytest.raises(UnreadableList, match="17,179,869,184"):
        sheet_size.refuse_if_too_large(_xlsx(tmp_path / "far.xlsx", "XFD1048576"))


def test_what_is_no_archive_is_left_to_the_reader(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"PK\x03\x04 and no more")

    sheet_size.refuse_if_too_large(path)
    with pytest.raises(UnreadableList, match="no sheet that can be read"):
        shelf_lists.look(path)
