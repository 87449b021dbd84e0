"""What is read from an audio file's bytes directly: what it looks like, lost text, INFO lists."""

from __future__ import annotations

import struct
from pathlib import Path

from importers.cleaning_text import LOST

_LOOKED_AT = 512 * 1024
"""Bytes from the beginning in which the tags of FLAC and Ogg files stand."""

_SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x89PNG", "a picture"),
    (b"GIF8", "a picture"),
    (b"MZ", "a program"),
    (b"\x7fELF", "a program"),
    (b"<!DOCTYPE", "a web page"),
    (b"<html", "a web page"),
    (b"SQLite format 3", "a database"),
)


def looks_like(path: Path) -> str:
    """What a file that is not audio seems to be, in two or three words; empty if unknown."""
    try:
        with path.open("rb") as file:
            start = file.read(2048)
    except OSError:
        return ""
    if what := named_by_signature(start):
        return what
    if start and not start.strip(b"\0"):
        return "nothing but zeros"
    try:
        text = start.decode("utf-8")
    except UnicodeDecodeError as problem:
        if problem.start < len(start) - 4:
            return ""
        text = start[: problem.start].decode("utf-8")
    return "a text" if all(c.isprintable() or c in "\r\n\t\f" for c in text) else ""


def named_by_signature(start: bytes) -> str:
    """What else than audio or a list begins so, in two or three words; empty if unknown."""
    bare, binary = start.lstrip(), b"\0" in start
    return next(
        (what for sign, what in _SIGNATURES
         if bare.startswith(sign) and (binary or len(sign) > len(b"MZ"))),
        "",
    )  # fmt: skip


def signature(start: bytes) -> str:
    """The format that a file's first bytes name unmistakably, else empty."""
    if start.startswith(b"OggS"):
        body = start[28:36]
        return "Opus" if body == b"OpusHead" else "Ogg" if body[:7] == b"\x01vorbis" else ""
    if start.startswith(b"fLaC"):
        return "FLAC"
    if start.startswith(b"RIFF") and start[8:12] == b"WAVE":
        return "WAV"
    if start.startswith(b"FORM") and start[8:12] in {b"AIFF", b"AIFC"}:
        return "AIFF"
    if start.startswith(b"\x30\x26\xb2\x75\x8e\x66\xcf\x11"):
        return "WMA"
    return "MP4" if start[4:8] == b"ftyp" else ""


def comment_bytes(path: Path, name: str, text: str) -> str:
    """A Vorbis comment of which letters were lost, read as cp1252 instead.

    The specification says UTF-8; some programs wrote the letters of their own machine. Where
    the bytes are not found, the text stays as it was.
    """
    with path.open("rb") as file:
        start = file.read(_LOOKED_AT)
    low, wanted = start.lower(), name.encode("ascii", "replace").lower() + b"="
    at = low.find(wanted)
    while at >= 4:
        (length,) = struct.unpack("<I", start[at - 4 : at])
        if len(wanted) < length < 10_000:
            value = start[at + len(wanted) : at + length]
            if value.decode("utf-8", "replace") in text and LOST in value.decode(
                "utf-8", "replace"
            ):
                return value.decode("cp1252", "replace")
        at = low.find(wanted, at + 1)
    return text


def riff_info(path: Path) -> dict[str, str]:
    """The INFO list of a WAV file: four-letter names and texts, in UTF-8 or cp1252."""
    found: dict[str, str] = {}
    with path.open("rb") as file:
        file.seek(12)
        while len(head := file.read(8)) == 8:
            name, size = struct.unpack("<4sI", head)
            if name != b"LIST":
                file.seek(size + size % 2, 1)
                continue
            body = file.read(min(size + size % 2, _LOOKED_AT))
            if body[:4] == b"INFO":
                found.update(_info_items(body[4:]))
    return found


def _info_items(body: bytes) -> dict[str, str]:
    items: dict[str, str] = {}
    at = 0
    while at + 8 <= len(body):
        name, size = struct.unpack("<4sI", body[at : at + 8])
        value = body[at + 8 : at + 8 + size].split(b"\0")[0]
        try:
            text = value.decode("utf-8")
        except UnicodeDecodeError:
            text = value.decode("cp1252", "replace")
        if text.strip():
            items[name.decode("latin-1")] = text
        at += 8 + size + size % 2
    return items
