"""Bytes of a list to rows of cells: which encoding, which separator, which quotes."""

from __future__ import annotations

import codecs
import csv
import io
import re
import statistics
from collections import Counter
from collections.abc import Iterator
from typing import Literal

from catalogue.plain_csv import as_it_was

_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark it begins with
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_EIGHT_BITS = ("cp1252", "mac_roman", "cp850")
"""Encodings of one byte a letter, the likeliest first: later Windows, old Macs, DOS."""

_LIKELY = frozenset("àáâãäåæçèéêëìíîïñòóôõöøùúûüýßœÿÀÁÂÄÅÆÇÈÉÊËÎÏÑÓÔÖØÙÚÜŒ")
_LIKELY_SIGNS = frozenset("’‘“”–—…£°½¼«»é")
_SEPARATORS = ("\t", ";", ",", "|")
_LOOKED_AT = 200
"""Lines from which the separator is told."""


def decode(data: bytes) -> tuple[str, str]:
    """(text, name of the encoding) of a list of any likely encoding; never fails.

    Without a mark at the beginning UTF-8 is tried first: other text hardly ever passes for it.
    Of the encodings of one byte the one that gives the most likely letters is taken. Where some
    lines are UTF-8 and others are not, each line is read by itself.
    """
    for mark, name in _BOMS:
        if data.startswith(mark):
            return data.decode(name, "replace").lstrip("\ufeff"), name
    if wide := _wide_without_mark(data):
        return data.decode(wide, "replace"), wide
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        pass
    lines = data.split(b"\n")
    name = max(_EIGHT_BITS, key=lambda n: _likelihood(_eight_bits(data, n)))
    if not any(_is_utf8(line) for line in lines if not line.isascii()):
        return _eight_bits(data, name), name
    texts = (line.decode("utf-8") if _is_utf8(line) else _eight_bits(line, name) for line in lines)
    return "\n".join(texts), f"utf-8 and {name}"


def _wide_without_mark(data: bytes) -> str:
    """UTF-16 by its zeros: every other byte of western text is one."""
    start = data[:4000]
    if len(start) < 4 or len(start) % 2 and len(data) < 4000:
        start = start[: len(start) // 2 * 2]
    half = len(start) // 2
    if half and start[1::2].count(0) > 0.6 * half and start[::2].count(0) < 0.2 * half:
        return "utf-16-le"
    if half and start[::2].count(0) > 0.6 * half and start[1::2].count(0) < 0.2 * half:
        return "utf-16-be"
    return ""


def _is_utf8(line: bytes) -> bool:
    try:
        line.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _eight_bits(data: bytes, name: str) -> str:
    """Decoded, with Latin-1 for the bytes that an encoding leaves out."""
    try:
        return data.decode(name)
    except UnicodeDecodeError:
        return "".join(bytes([b]).decode(name, "ignore") or chr(b) for b in data)


def _likelihood(text: str) -> float:
    """Likely letters count for an encoding, unlikely signs against it."""
    score = 0.0
    for match in re.finditer(r"[^\x00-\x7f]", text[:200_000]):
        char, before = match.group(), text[match.start() - 1 : match.start()]
        if char in _LIKELY:
            in_place = char.islower() or not before.islower()
            score += 1.0 if in_place else -0.5
        else:
            score += 0.5 if char in _LIKELY_SIGNS else -1.0
    return score


def is_text(text: str) -> bool:
    """Whether decoded text is a list somebody wrote, and not a picture or a program."""
    start = text[:4000]
    control = sum(ord(c) < 32 and c not in "\r\n\t\f\x1a" for c in start)
    return control <= len(start) / 100


def rows(text: str) -> Iterator[list[str]]:
    """The rows of a text, as lists of cells; a row without separators is one cell."""
    text = text.replace("\0", "").rstrip("\x1a")
    separator = separator_of(text)
    if separator is None:
        yield from ([line.strip()] for line in text.splitlines())
    elif separator == "  ":
        yield from (re.split(r" {2,}", line.strip()) for line in text.splitlines())
    else:
        yield from _separated(text, separator)


def separator_of(text: str) -> str | None:
    """Which sign parts the cells: the one found equally often in most lines; None for none.

    >>> separator_of("a;b;c\\nd;e, f;g\\n"), separator_of("Ada Sluice - Tide\\n")
    (';', None)
    """
    lines = [line for line in text.splitlines()[: _LOOKED_AT * 2] if line.strip()][:_LOOKED_AT]
    best, best_score = None, 0.0
    for separator in _SEPARATORS:
        counts = [_unquoted(line).count(separator) for line in lines]
        usual = statistics.mode(counts) if counts else 0
        if usual == 0:
            continue
        agree = sum(count == usual for count in counts) / len(counts)
        if agree >= 0.6 and agree * min(usual, 4) > best_score:
            best, best_score = separator, agree * min(usual, 4)
    if best == "," and best_score < 1.0 and any(" - " in line for line in lines[:5]):
        return None  # "Artist - Title, with a comma" is a plain line.
    if best is None and lines:
        wide = sum(bool(re.search(r"\S {2,}\S", line)) for line in lines)
        if wide >= 0.8 * len(lines):
            return "  "
    return best


def _unquoted(line: str) -> str:
    return re.sub(r'"[^"]*"', "", line)


def _separated(text: str, separator: str) -> list[list[str]]:
    """Rows with quotes read as quotes, or as inch marks and the like where that gives more rows
    as wide as most: a quote opened and never closed must not swallow what follows."""
    quoted = _csv(text, separator, csv.QUOTE_MINIMAL)
    if '"' not in text:
        return quoted
    plain = _csv(text, separator, csv.QUOTE_NONE)
    return plain if _regular(plain) > _regular(quoted) else quoted


def _regular(rows: list[list[str]]) -> int:
    """How many rows are as wide as the most are."""
    widths = Counter(len(row) for row in rows if row)
    return max(widths.values(), default=0)


def _csv(text: str, separator: str, quoting: Literal[0, 3]) -> list[list[str]]:
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=separator, quoting=quoting, skipinitialspace=True
    )
    try:
        return [[_unwrapped(cell.strip(), quoting) for cell in row] for row in reader]
    except csv.Error:  # a field beyond all measure: a quote swallowed the rest
        return []


def _unwrapped(cell: str, quoting: int) -> str:
    """A cell read without quotes, but wrapped in a pair of them; one of ours as it was before."""
    wrapped = quoting == csv.QUOTE_NONE and len(cell) > 2 and cell[0] == cell[-1] == '"'
    return as_it_was(cell[1:-1] if wrapped else cell)
