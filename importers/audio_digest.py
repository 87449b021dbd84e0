"""A digest of a file's sound without its tags: by it a moved or retagged file is known again.

Three pieces of the sound and its length are hashed, not the whole: two files that agree in them
and differ elsewhere are not met in practice. Where the sound begins and ends is told by each
format's own marks. Sources: RFC 9639 (FLAC), RFC 3533 (Ogg), ISO/IEC 14496-12 (MP4 boxes),
id3.org (ID3v2 header); the RIFF, AIFF, ASF and APEv2 marks from memory.
"""

from __future__ import annotations

import hashlib
import struct
from collections.abc import Callable
from typing import BinaryIO

PIECE = 8 * 1024
"""Bytes hashed at the beginning, in the middle and at the end of the sound."""

_SIGNS = 12
"""Bytes of the digest: a chance of one in 10^17 for a false pair among a million files."""

_SYNC_WITHIN = 4096
"""Bytes behind an ID3 tag in which padding may stand that the tag does not count."""

_MOST_BLOCKS = 10_000
"""Chunks, boxes or pages that are gone through before a file is taken for damaged."""

_LONGEST_PAGE = 27 + 255 + 255 * 255
"""Bytes of the longest page of an Ogg file."""

_ASF_DATA = bytes.fromhex("3626b2758e66cf11a6d900aa0062ce6c")

Region = tuple[int, int]
"""First byte of the sound, and the byte behind its last."""


def digest(file: BinaryIO, size: int, kind: str) -> str:
    """The digest of a file's sound, in hexadecimal; empty where no sound is found.

    `kind` is the name of its format as `audio_tags` gives it. Raises OSError.
    """
    if kind in {"Ogg", "Opus"}:
        return _ogg_digest(file, size)
    first, last = _REGIONS.get(kind, _between_tags)(file, size)
    if last <= first:
        return ""
    hashed = hashlib.blake2b(str(last - first).encode(), digest_size=_SIGNS)
    for piece in _pieces(first, last):
        file.seek(piece[0])
        hashed.update(file.read(piece[1] - piece[0]))
    return hashed.hexdigest()


def _pieces(first: int, last: int) -> list[Region]:
    if last - first <= 3 * PIECE:
        return [(first, last)]
    middle = (first + last - PIECE) // 2
    return [(first, first + PIECE), (middle, middle + PIECE), (last - PIECE, last)]


def _behind_id3(file: BinaryIO) -> int:
    """The byte behind the ID3v2 tags at the beginning."""
    at = 0
    for _ in range(_MOST_BLOCKS):
        file.seek(at)
        head = file.read(10)
        if len(head) < 10 or head[:3] != b"ID3":
            break
        size = 0
        for byte in head[6:10]:
            size = size << 7 | byte & 0x7F
        at += 10 + size + (10 if head[5] & 0x10 else 0)
    return at


def _before_last_tags(file: BinaryIO, size: int) -> int:
    """The byte before an APEv2 and an ID3v1 tag at the end."""
    last = size
    file.seek(max(0, last - 128))
    if file.read(3) == b"TAG":
        last -= 128
    file.seek(max(0, last - 32))
    foot = file.read(32)
    if foot[:8] == b"APETAGEX" and len(foot) == 32:
        length, _, flags = struct.unpack("<3I", foot[12:24])
        last -= length + (32 if flags & 0x80000000 else 0)
    return max(0, last)


def _between_tags(file: BinaryIO, size: int) -> Region:
    first = _behind_id3(file)
    file.seek(first)
    start = file.read(_SYNC_WITHIN)
    padding = len(start) - len(start.lstrip(b"\0"))
    return first + padding, _before_last_tags(file, size)


def _flac(file: BinaryIO, size: int) -> Region:
    at = _behind_id3(file) + 4
    for _ in range(_MOST_BLOCKS):
        file.seek(at)
        head = file.read(4)
        if len(head) < 4:
            return 0, 0
        at += 4 + int.from_bytes(head[1:], "big")
        if head[0] & 0x80:
            return at, _before_last_tags(file, size)
    return 0, 0


def _chunks(name: bytes, order: str) -> Callable[[BinaryIO, int], Region]:
    """Where the chunk of sound of a RIFF (order "<") or AIFF (">") file is."""

    def region(file: BinaryIO, size: int) -> Region:
        at = 12
        for _ in range(_MOST_BLOCKS):
            file.seek(at)
            head = file.read(8)
            if len(head) < 8:
                return 0, 0
            length = struct.unpack(f"{order}I", head[4:])[0]
            if head[:4] == name:
                return at + 8, min(size, at + 8 + length)
            at += 8 + length + length % 2
            if at >= size:
                break
        return 0, 0

    return region


def _mp4(file: BinaryIO, size: int) -> Region:
    """The longest box of media data."""
    at, best = 0, (0, 0)
    for _ in range(_MOST_BLOCKS):
        file.seek(at)
        head = file.read(16)
        if len(head) < 8:
            break
        length, first = int.from_bytes(head[:4], "big"), at + 8
        if length == 1 and len(head) == 16:
            length, first = int.from_bytes(head[8:], "big"), at + 16
        end = size if length < 8 else min(size, at + length)
        if head[4:8] == b"mdat" and end - first > best[1] - best[0]:
            best = (first, end)
        if length < 8 or end >= size:
            break
        at = end
    return best


def _asf(file: BinaryIO, size: int) -> Region:
    at = 0
    for _ in range(_MOST_BLOCKS):
        file.seek(at)
        head = file.read(24)
        if len(head) < 24:
            return 0, 0
        length = int.from_bytes(head[16:], "little")
        if head[:16] == _ASF_DATA:
            return min(size, at + 50), min(size, at + length)
        at += max(24, length)
        if at >= size:
            break
    return 0, 0


_REGIONS: dict[str, Callable[[BinaryIO, int], Region]] = {
    "FLAC": _flac,
    "WAV": _chunks(b"data", "<"),
    "AIFF": _chunks(b"SSND", ">"),
    "MP4": _mp4,
    "WMA": _asf,
}


def _ogg_digest(file: BinaryIO, size: int) -> str:
    """The first pages of sound, without their own numbers and check sums, and the last.

    Pages with tags end at sample 0; a longer tag numbers all later pages anew.
    """
    hashed = hashlib.blake2b(digest_size=_SIGNS)
    at = taken = 0
    for _ in range(_MOST_BLOCKS):
        page = _ogg_page(file, at)
        if page is None:
            break
        at, sample, body = page
        if sample > 0 and sample != 2**64 - 1:
            hashed.update(body)
            taken += len(body)
        if taken >= 2 * PIECE:
            break
    file.seek(max(0, size - _LONGEST_PAGE))
    tail = file.read()
    last = tail.rfind(b"OggS")
    if not taken or last < 0:
        return ""
    hashed.update(tail[last + 6 : last + 14])  # the number of the last sample
    hashed.update(tail[last + 27 :])
    return hashed.hexdigest()


def _ogg_page(file: BinaryIO, at: int) -> tuple[int, int, bytes] | None:
    """(where the next page begins, last sample, body) of the page at a place."""
    file.seek(at)
    head = file.read(27)
    if len(head) < 27 or head[:4] != b"OggS":
        return None
    table = file.read(head[26])
    body = file.read(sum(table))
    return at + 27 + len(table) + len(body), int.from_bytes(head[6:14], "little"), body
