"""Whether a sheet is too large to be opened: before a reader makes room for all of its cells.

xlsx and ods are ZIP archives of XML. A small file may unpack to gigabytes, or hold two cells as
far apart as a sheet goes, for which a reader makes room for 17 thousand million. Such files are
made by accident too: by a stray cell far below the list. Sources: ECMA-376 part 1, 18.3.1.4
(cell references), OpenDocument 1.3 part 3, 19.678 and 19.682 (repeated columns and rows).
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path

from catalogue.errors import UnreadableList

MOST_UNPACKED = 256 * 1024 * 1024
"""Bytes of XML: a list of 300,000 rows has some 100 million."""

MOST_CELLS = 8_000_000
"""Cells of one sheet, empty ones too: 400,000 rows of 20 columns."""

MOST_PARTS = 5_000
"""Parts of an archive: a workbook has some dozens."""

_PIECE = 1024 * 1024
_LONGEST_TAG = 1024 * 1024
"""Bytes of a tag: no program writes one as long."""

# No tag holds another "<": by that, time grows with the size alone, whatever a file holds.
_XLSX_CELL = re.compile(rb"<(?:\w{1,20}:)?c\b([^<>]*)>")
_XLSX_PLACE = re.compile(rb"""\br=["']([A-Za-z]{1,3})(\d{1,7})["']""")
_ODS_TAG = re.compile(rb"<table:(table-row|table-cell|covered-table-cell|table)\b[^<>]*>")
_REPEATED = re.compile(rb"""number-(?:columns|rows)-repeated=["'](\d{1,9})["']""")


def refuse_if_too_large(path: Path) -> None:
    """Raise UnreadableList for an xlsx or ods that would take more room than a list can need."""
    try:
        with zipfile.ZipFile(path) as archive:
            left = MOST_UNPACKED
            if len(archive.infolist()) > MOST_PARTS:
                raise UnreadableList(f"{path.name} has too many parts for a list. Save it as CSV.")
            for part in archive.infolist():
                pieces = _Pieces(archive, part, left)
                cells = _cells(part.filename, pieces)
                for _ in pieces:
                    pass
                left = pieces.left
                if left < 0:
                    raise UnreadableList(
                        f"{path.name} unpacks to more than a list can hold. Save it as CSV."
                    )
                if cells > MOST_CELLS:
                    raise UnreadableList(
                        f"{path.name} reaches over {cells:,} cells, most of them empty. Delete "
                        "what stands far below the list or far to its right, or save it as CSV."
                    )
    except _NoSheet as problem:
        raise UnreadableList(f"{path.name} is no sheet as programs write it. Save it as CSV."
                             ) from problem  # fmt: skip
    except (zipfile.BadZipFile, OSError, EOFError, NotImplementedError, RuntimeError, ValueError,
            zlib.error):  # fmt: skip
        return  # the reader says that it cannot be read


class _NoSheet(Exception):
    """Something that no program writes into a sheet."""


class _Pieces:
    """One part of an archive, unpacked a piece at a time, until `left` bytes are used up."""

    def __init__(self, archive: zipfile.ZipFile, part: zipfile.ZipInfo, left: int) -> None:
        self.left = left
        self._unpacked = self._read(archive, part)

    def __iter__(self) -> Iterator[bytes]:
        return self._unpacked

    def _read(self, archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> Iterator[bytes]:
        with archive.open(part) as file:
            while self.left >= 0 and (piece := file.read(_PIECE)):
                self.left -= len(piece)
                yield piece


def _cells(name: str, pieces: _Pieces) -> int:
    if name.startswith("xl/worksheets/"):
        return _xlsx_cells(pieces)
    return _ods_cells(pieces) if name == "content.xml" else 0


def _whole_tags(pieces: _Pieces, tag: re.Pattern[bytes]) -> Iterator[re.Match[bytes]]:
    """The tags of a part, those that lie across two pieces too."""
    rest = b""
    for piece in pieces:
        text, done = rest + piece, 0
        for found in tag.finditer(text):
            done = found.end()
            yield found
        begun = text.rfind(b"<")
        rest = text[begun:] if begun >= done else b""
        if len(rest) > _LONGEST_TAG:
            raise _NoSheet


def _xlsx_cells(pieces: _Pieces) -> int:
    """The area from the first cell with something in it to the last."""
    rows, columns = [0, 0], [0, 0]
    for found in _whole_tags(pieces, _XLSX_CELL):
        place = _XLSX_PLACE.search(found.group(1))
        if place is None or found.group(1).endswith(b"/"):
            continue
        column = 0
        for letter in place.group(1).upper():
            column = column * 26 + letter - ord("A") + 1
        for seen, number in ((rows, int(place.group(2))), (columns, column)):
            seen[0] = min(seen[0] or number, number)
            seen[1] = max(seen[1], number)
    return (rows[1] - rows[0] + 1) * (columns[1] - columns[0] + 1)


def _ods_cells(pieces: _Pieces) -> int:
    """The rows up to the last one with something in it, each as wide as the widest."""
    most = height = rows = width = 0
    across = times = 0
    for found in _whole_tags(pieces, _ODS_TAG):
        kind, tag = found.group(1), found.group()
        repeated = int(said.group(1)) if (said := _REPEATED.search(tag)) else 1
        if kind == b"table":
            height = rows = width = times = 0
        elif kind == b"table-row":
            height, times, across = height + times, repeated, 0
        else:
            across += repeated
            if b"value-type" in tag:
                rows, width = height + times, max(width, across)
                most = max(most, rows * width)
    return most
