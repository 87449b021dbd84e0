"""Whether the files of an index are still what was written.

tantivy believes what it reads. A length that was damaged makes it ask for more memory than there
is, and that ends the whole process: no `except` catches it. Yet each of its files ends in a
footer that has a CRC-32 of all before it, which tantivy writes and, on opening, does not compare.
So it is compared here, before tantivy reads any of them.
"""

from __future__ import annotations

import json
import struct
import uuid
import zlib
from pathlib import Path
from typing import Any, BinaryIO

LIST = "meta.json"
"""tantivy's own list of what belongs to the index; it has no footer."""

_END = struct.Struct("<II")
"""The last eight bytes of a file: the length of the footer, which is JSON, and this number:"""
_MAGIC = 1337
"""Both as in tantivy 0.25 to 0.27, `directory/footer.rs`; a test holds that its files are so."""

_KINDS = ("fast", "fieldnorm", "idx", "pos", "store", "term")
"""The files of a segment; what is deleted from it is in one more."""

_PIECE = 1 << 20
"""Bytes read at once."""


def check(folder: Path, compared: frozenset[str] = frozenset()) -> frozenset[str]:
    """Compare every file that the index in `folder` reads with its footer, but for those whose
    names are `compared`: tantivy writes no file twice. Returns the names of all.

    A million names are 120 MB and take a tenth of a second. Raises ValueError for the first that
    is damaged or whose list is, OSError if one cannot be read.
    """
    listed = _listed(folder)
    while True:
        try:
            for path in listed:
                if path.name not in compared:
                    _check(path)
            return frozenset(path.name for path in listed)
        except OSError:
            before, listed = listed, _listed(folder)
            if listed == before:
                raise  # else another program has gone on with the index meanwhile


def checksum(file: BinaryIO, size: int, so_far: int = 0) -> int:
    """The CRC-32 of the next `size` bytes of a file, going on from that of those before.

    Raises ValueError if the file ends before that.
    """
    while size:
        piece = file.read(min(size, _PIECE))
        if not piece:
            raise ValueError(f"{Path(file.name).name} is cut short")
        so_far = zlib.crc32(piece, so_far)
        size -= len(piece)
    return so_far


def _listed(folder: Path) -> list[Path]:
    """The files that tantivy lists; others may be half written, or about to go."""
    try:
        listed: Any = json.loads((folder / LIST).read_text(encoding="utf-8"))
        return [file for one in listed["segments"] for file in _of_segment(folder, one)]
    except (ArithmeticError, AttributeError, LookupError, RecursionError, TypeError) as problem:
        raise ValueError(f"{LIST} is damaged") from problem


def _of_segment(folder: Path, segment: Any) -> list[Path]:
    """Its files. Raises ValueError if it is said to have more names than it can have."""
    name = uuid.UUID(segment["segment_id"]).hex
    # A byte for each name and field: believed, a number of billions asks for as much memory.
    if not 0 <= segment["max_doc"] <= (folder / f"{name}.fieldnorm").stat().st_size:
        raise ValueError(f"{LIST} is damaged")
    return [folder / f"{name}.{kind}" for kind in (*_KINDS, *_deleted(segment))]


def _deleted(segment: Any) -> list[str]:
    """The kind of the file of what was deleted from a segment, if anything was."""
    deletes = segment["deletes"]
    return [] if deletes is None else [f"{int(deletes['opstamp'])}.del"]


def _check(path: Path) -> None:
    with path.open("rb") as file:
        size = file.seek(0, 2) - _END.size
        if size < 0:
            raise ValueError(f"{path.name} is cut short")
        file.seek(size)
        length, magic = _END.unpack(file.read(_END.size))
        size -= length
        if magic != _MAGIC or size < 0:
            raise ValueError(f"{path.name} has no footer")
        file.seek(size)
        written = _written(file.read(length))
        file.seek(0)
        if written is None or checksum(file, size) != written:
            raise ValueError(f"{path.name} is damaged")


def _written(footer: bytes) -> int | None:
    """The checksum in a footer, if that can be read."""
    try:
        told = json.loads(footer)["crc"]
    except (ValueError, KeyError, TypeError):
        return None
    return told if isinstance(told, int) else None
