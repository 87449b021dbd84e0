"""Rows of whole discs come apart into tracks: a column for each, or all in one cell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from importers.list_rows import Row

_NUMBERED_COLUMN = re.compile(
    r"(?:track|song|title|tune|titel|titre|piste|cut|t)\s*(?:no\.?\s*)?(\d{1,2})(?:\s+title)?"
)
_SIDED_COLUMN = re.compile(r"(?:side\s*)?([a-d])\s*(?:track\s*)?(\d{1,2})(?:\s+title)?")
_SIDE_COLUMN = re.compile(r"(?:side|seite|face)\s*([a-d]|one|two|[12])|([a-d]{1,2})[\s-]*side")
_FLIP_COLUMN = re.compile(r"flip(?:\s*side)?|reverse|b/w|backed with")
_SIDES = {"one": "1", "two": "2", "aa": "B"}
"""A record of two A sides has the second on its back (common practice, no source)."""

_IN_ONE_CELL = (r"\n", r"\s*\|\s*", r"\s*;\s*", r"\s+/\s+", r"\s+--\s+")
_NUMBERS = re.compile(r"(?:^|\s)(?=(?:[A-D]\d{1,2}|\d{1,2})[.):]\s)")
_NUMBER = re.compile(r"(?:([A-D])\s?)?(\d{1,2})\s*[.):-]\s*(?=\S)|([A-D])(\d{1,2})\s+(?=\S)")
_LENGTH = re.compile(r"\s*[\[(]?(\d{1,2}[:.’']\d{2})[\])]?\s*$")


def meaning(heading: str) -> str:
    """What a column with titles of one place on a disc is called, as a field; empty for others.

    >>> meaning("track 3"), meaning("b2"), meaning("side a"), meaning("flip side"), meaning("year")
    ('title::3', 'title:B:2', 'title:A:', 'title:B:', '')
    """
    words = " ".join(heading.lower().split())
    if found := _NUMBERED_COLUMN.fullmatch(words):
        return f"title::{int(found.group(1))}"
    if found := _SIDED_COLUMN.fullmatch(words):
        return f"title:{found.group(1).upper()}:{int(found.group(2))}"
    if found := _SIDE_COLUMN.fullmatch(words):
        side = found.group(1) or found.group(2)
        return f"title:{_SIDES.get(side, side.upper())}:"
    return "title:B:" if _FLIP_COLUMN.fullmatch(words) else ""


def apart(row: Row) -> Iterator[Row]:
    """A row of a disc as one row for each of its tracks; any other row as it is."""
    common = {n: t for n, t in row.fields.items() if not n.startswith("title:") and n != "tracks"}
    tracks = [(*n.split(":")[1:], t) for n, t in row.fields.items() if n.startswith("title:")]
    found = [(side, track, title, "") for side, track, title in tracks]
    found += _in_one_cell(row.fields.get("tracks", ""))
    if not found:
        yield row
        return
    if "title" in common:
        common.setdefault("disc_title", common.pop("title"))
        common.pop("title", None)
    for side, track, title, length in found:
        place = f"{side}{track}" or title
        fields = {**common, "title": title}
        fields |= {n: t for n, t in (("side", side), ("track", track), ("length", length)) if t}
        yield replace(row, source=f"{row.source} {place}", fields=fields)


def _in_one_cell(text: str) -> list[tuple[str, str, str, str]]:
    """(side, track, title, length) of each track that a cell names."""
    if not text.strip():
        return []
    shapes = (shape for shape in _IN_ONE_CELL if len(re.split(shape, text.strip())) > 1)
    parts = re.split(next(shapes, r"\n"), text.strip())
    if len(parts) == 1:
        parts = _NUMBERS.split(text.strip())
    found = []
    for count, part in enumerate((p.strip() for p in parts if p.strip()), start=1):
        side, track, title, length = track_of(part)
        found.append((side, track or str(count), title, length))
    return [track for track in found if track[2]]


def track_of(text: str) -> tuple[str, str, str, str]:
    """(side, track, title, length) of what names one track.

    >>> track_of("B2. Low Water (3:42)"), track_of("Tide")
    (('B', '2', 'Low Water', '3:42'), ('', '', 'Tide', ''))
    """
    side = track = length = ""
    if number := _NUMBER.match(text):
        side = number.group(1) or number.group(3) or ""
        track = str(int(number.group(2) or number.group(4)))
        text = text[number.end() :]
    ends = _LENGTH.search(text)
    if ends and text[: ends.start()].strip():
        length, text = re.sub("[’']", ":", ends.group(1)), text[: ends.start()]
    return side, track, text.strip(" -–"), length
