"""Whether all of an audio file is there: what its headers promise against what it holds.

Each format is asked in its own way; none is decoded. Sources: RFC 9639 (FLAC), RFC 3533 (Ogg),
ISO/IEC 14496-12 (MP4 boxes) and the ASF specification, from memory.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Callable
from dataclasses import dataclass
from typing import BinaryIO

_COMPLETE = 0.95
"""Below this share of what a header promises, a file counts as cut short: headers round."""

_TAIL = 128 * 1024
"""Bytes at the end in which the last frame or page begins."""

_MOST_BOXES = 10_000
"""Boxes at the top of an MP4 file that are gone through; a fragmented one has some thousands."""

_OGG_PAGE = 27
"""Bytes of an Ogg page before its table of segments."""

_ASF_FILE_PROPERTIES = bytes.fromhex("a1dcab8c47a9cf118ee400c00c205365")


@dataclass(frozen=True, slots=True)
class Promise:
    """What a header says: about how many bytes the sound takes; for FLAC how many samples it
    has, and how many there are in a block. 0 where it does not say."""

    size: float = 0
    samples: int = 0
    block: int = 0


def missing(file: BinaryIO, size: int, kind: str, promised: Promise) -> int:
    """How many per cent of a file are not there; 0 if it is whole or cannot be told."""
    look = _LOOKS.get(kind)
    if kind == "FLAC":
        there = _flac_share(file, size, promised)
    elif look is not None:
        there = look(file, size)
    else:
        there = size / promised.size if promised.size > 0 else 1.0
    return 0 if there >= _COMPLETE else min(99, max(1, round(100 * (1 - there))))


def _tail(file: BinaryIO, size: int) -> bytes:
    file.seek(max(0, size - _TAIL))
    return file.read()


def _ogg_share(file: BinaryIO, size: int) -> float:
    """The last page says how long it is; a cut nearly always goes through a page."""
    tail = _tail(file, size)
    at = tail.rfind(b"OggS")
    if at < 0:
        return 1.0
    segments = tail[at + _OGG_PAGE - 1] if at + _OGG_PAGE <= len(tail) else 255
    table = tail[at + _OGG_PAGE : at + _OGG_PAGE + segments]
    whole = len(table) == segments and at + _OGG_PAGE + segments + sum(table) <= len(tail)
    # How much was behind the cut cannot be known: call it half, so that it is told.
    return 1.0 if whole else 0.5


def _mp4_share(file: BinaryIO, size: int) -> float:
    """The boxes at the top follow each other to the end of the file."""
    at = boxes = 0
    while at + 8 <= size and (boxes := boxes + 1) <= _MOST_BOXES:
        file.seek(at)
        length, _ = struct.unpack(">I4s", file.read(8))
        if length == 1:
            (length,) = struct.unpack(">Q", file.read(8).ljust(8, b"\0"))
        if length < 8:  # 0: to the end of the file
            break
        at += length
    return size / at if at > size else 1.0


def _asf_share(file: BinaryIO, size: int) -> float:
    """The file properties hold the size of the whole file."""
    file.seek(0)
    start = file.read(64 * 1024)
    at = start.find(_ASF_FILE_PROPERTIES)
    if at < 0 or at + 48 > len(start):
        return 1.0
    (whole,) = struct.unpack("<Q", start[at + 40 : at + 48])
    return size / whole if whole else 1.0


_LOOKS: dict[str, Callable[[BinaryIO, int], float]] = {
    "Ogg": _ogg_share,
    "Opus": _ogg_share,
    "MP4": _mp4_share,
    "WMA": _asf_share,
}


def _flac_share(file: BinaryIO, size: int, promised: Promise) -> float:
    """The farthest sample that a sound frame header near the end names."""
    if promised.samples <= 0:
        return 1.0
    tail = _tail(file, size)
    # Sound may look like a header by chance. The true last frame names the farthest sample, so
    # that a false one before it does no harm, and one beyond the end is none.
    ends = [
        end
        for found in re.finditer(rb"\xff[\xf8\xf9]", tail)
        if (end := _frame_end(tail[found.start() : found.start() + 16], promised.block))
        <= promised.samples
    ]
    return max(ends, default=0) / promised.samples


_BLOCKS = {1: 192, **{n: 144 << n for n in range(2, 6)}, **{n: 1 << n for n in range(8, 16)}}
"""Samples in a frame by the four bits of its header (RFC 9639, 9.1.1)."""


def _frame_end(head: bytes, fixed_block: int) -> int:
    """The number of the sample behind a FLAC frame; 0 if this is no frame's header.

    In a stream of blocks of one length frames are numbered, in others their first samples.
    """
    if len(head) < 12 or head[3] & 1:
        return 0
    number, used = _coded_number(head[4:11])
    at = 4 + used
    code, extra = head[2] >> 4, {12: 1, 13: 2, 14: 2}.get(head[2] & 15, 0)
    wide = {6: 1, 7: 2}.get(code, 0)
    block = int.from_bytes(head[at : at + wide], "big") + 1 if wide else _BLOCKS.get(code, 0)
    at += wide + extra
    if not used or not block or at >= len(head) or _crc8(head[:at]) != head[at]:
        return 0
    return (number if head[1] & 1 else number * fixed_block) + block


def _coded_number(data: bytes) -> tuple[int, int]:
    """(number, bytes used) of a number coded as UTF-8 codes letters, up to seven bytes."""
    first = data[0]
    if first < 0x80:
        return first, 1
    length = 8 - (first ^ 0xFF).bit_length()
    if not 2 <= length <= 7 or any(byte >> 6 != 2 for byte in data[1:length]):
        return 0, 0
    number = first & (0x7F >> length)
    for byte in data[1:length]:
        number = number << 6 | byte & 0x3F
    return number, length


def _crc8(data: bytes) -> int:
    """The check sum of a frame's header: polynomial x^8 + x^2 + x + 1 (RFC 9639, 9.1.8)."""
    check = 0
    for byte in data:
        check ^= byte
        for _ in range(8):
            check = (check << 1 ^ (0x07 if check & 0x80 else 0)) & 0xFF
    return check
