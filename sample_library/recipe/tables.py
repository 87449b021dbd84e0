"""Writes the lists, as CSV and as a spreadsheet, and seeds the choices of chance."""

from __future__ import annotations

import csv
import random
import zipfile
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from pathlib import Path

from openpyxl import Workbook  # type: ignore[import-untyped]
from openpyxl.styles import Font  # type: ignore[import-untyped]

Cell = str | int

# A spreadsheet carries the date of its making; a fixed one keeps the file the same each time.
MADE_ON = datetime(2025, 1, 1, 12, 0, 0)


def chance(purpose: str) -> random.Random:
    """A generator of its own for each purpose: a change in one list leaves the rest alone."""
    return random.Random(f"Saltmarsh Radio: {purpose}")


def write_csv(path: Path, heading: Sequence[str], rows: Sequence[Sequence[Cell]]) -> None:
    """Write rows under a heading: UTF-8, comma, CRLF as RFC 4180 has it."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(heading)
        writer.writerows(rows)


def write_spreadsheet(path: Path, heading: Sequence[str], rows: Sequence[Sequence[Cell]]) -> None:
    """Write the same rows as .xlsx; integers become numbers, as somebody typing would have them."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Shelf list"
    sheet.append(list(heading))
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for row in rows:
        sheet.append([None if value == "" else value for value in row])
    sheet.freeze_panes = "A2"
    # openpyxl takes a text such as "=1" for a formula; no cell of ours is one.
    for line in sheet.iter_rows(min_row=2):
        for cell in line:
            if cell.data_type == "f":
                cell.data_type = "s"
    book.properties.creator = "Saltmarsh Radio"
    book.properties.created = book.properties.modified = MADE_ON
    made = BytesIO()
    book.save(made)
    path.write_bytes(_with_fixed_times(made))


def _with_fixed_times(made: BytesIO) -> bytes:
    """The same zip archive with every member dated ``MADE_ON``."""
    out = BytesIO()
    with zipfile.ZipFile(made) as before, zipfile.ZipFile(out, "w") as after:
        for name in before.namelist():
            data = before.read(name)
            if name == "docProps/core.xml":
                data = _with_fixed_modified(data)
            info = zipfile.ZipInfo(name, MADE_ON.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            after.writestr(info, data)
    return out.getvalue()


def _with_fixed_modified(core: bytes) -> bytes:
    """openpyxl stamps the time of saving over ``modified``; put ours back."""
    start = core.index(b"<dcterms:modified")
    opening = core.index(b">", start) + 1
    end = core.index(b"</dcterms:modified>", opening)
    return core[:opening] + MADE_ON.strftime("%Y-%m-%dT%H:%M:%SZ").encode() + core[end:]
