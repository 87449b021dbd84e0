"""Whose heading means what: headings to our fields, and contents where there are no headings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.records import Carrier
from catalogue.spelling import plain
from importers import values
from importers.headings import HEADINGS

_MEANING = {
    plain(word): field for field, words in HEADINGS.items() for word in words.split(",")
}  # fmt: skip
_UNIT = re.compile(r"\s*[(\[].*?[)\]]\s*")
_SEARCHED_ROWS = 15
"""Rows at the top in which the headings may stand, under a title or an address."""

_MOST = 0.7
"""Share of the filled cells of a column that must look alike for its contents to speak."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Which field each column holds ("" for none of ours), and how that is known.

    `heading_row` counts from 0; -1 where there are no headings and contents were gone by.
    """

    fields: tuple[str, ...]
    heading_row: int
    guessed: bool = False

    def has(self, field: str) -> bool:
        """Whether a column holds this field."""
        return field in self.fields


def meaning(heading: str) -> str:
    """The field a heading names, or empty.

    >>> meaning("Shelf Mark"), meaning("Interpret"), meaning("Length (mm:ss)"), meaning("Tide")
    ('shelf_mark', 'artist', 'length', '')
    """
    words = plain(heading).replace("'", "") if heading.strip() else ""
    return _MEANING.get(words) or _MEANING.get(plain(_UNIT.sub(" ", heading)), "")


def guess(rows: Sequence[Sequence[str]]) -> Columns | None:
    """The columns of a list from its first rows; None where no column can be a title.

    The row with most headings wins if it has two, or is nothing but one heading.
    """
    best, most = -1, 0
    for number, row in enumerate(rows[:_SEARCHED_ROWS]):
        known = len({m for cell in row if (m := meaning(cell))})
        if known > most:
            best, most = number, known
    filled = [cell for cell in rows[best] if cell.strip()] if best >= 0 else []
    if most >= 2 or (most == 1 and len(filled) == 1 and best == 0):
        return _by_headings(rows[best], best)
    return _by_contents(rows)


def in_words(columns: Columns, headings: Sequence[str], name: str) -> list[str]:
    """What a person should know of how the columns were understood, as sentences."""
    if columns.guessed:
        read = [f"{i} as {f.replace('_', ' ')}" for i, f in enumerate(columns.fields, 1) if f]
        return [f"{name} has no headings. By what is in them, columns were read: "
                f"{', '.join(read)}."]  # fmt: skip
    unknown = [h for h, field in zip(headings, columns.fields, strict=False) if h and not field]
    if not unknown:
        return []
    names = ", ".join(f"“{heading}”" for heading in unknown)
    return [f"In {name} these headings mean nothing here: {names}. What stands under them is "
            "only kept beside the record."]  # fmt: skip


def _by_headings(headings: Sequence[str], row: int) -> Columns | None:
    fields: list[str] = []
    for heading in headings:
        field = meaning(heading)
        fields.append("" if field in fields else field)
    if "song" in fields and "title" in fields:  # "Title" is then the disc's
        fields[fields.index("title")] = "" if "disc_title" in fields else "disc_title"
    if "song" in fields:
        fields[fields.index("song")] = "title"
    if "title" not in fields and "track" in fields:  # "Track" is then its name
        fields[fields.index("track")] = "title"
    if "title" not in fields and "disc_title" in fields:
        fields[fields.index("disc_title")] = "title"
    if "shelf_mark" not in fields and "number" in fields:
        fields[fields.index("number")] = "shelf_mark"
    if "title" not in fields and "work" not in fields:
        return None
    return Columns(tuple(fields), row)


def _by_contents(rows: Sequence[Sequence[str]]) -> Columns | None:
    width = max((len(row) for row in rows), default=0)
    cells = [[row[i].strip() for row in rows if i < len(row) and row[i].strip()]
             for i in range(width)]  # fmt: skip
    fields = [""] * width
    for field, looks in _LOOKS:
        for i, column in enumerate(cells):
            alike = sum(bool(looks(cell)) for cell in column)
            if not fields[i] and column and field not in fields and alike >= _MOST * len(column):
                fields[i] = field
    texts = [i for i in range(width) if not fields[i] and _wordy(cells[i])]
    if not texts:
        return None
    for i, field in zip(texts, _text_fields(cells, texts), strict=True):
        fields[i] = field
    return Columns(tuple(fields), -1, guessed=True)


def _text_fields(cells: list[list[str]], texts: list[int]) -> list[str]:
    """Columns of words: titles differ most from row to row; of the rest the first is the artist."""
    if len(texts) == 1:
        return ["title"]
    variety = {i: len(set(cells[i])) / len(cells[i]) for i in texts[:3]}
    title = max(variety, key=lambda i: (round(variety[i], 2), i))
    rest = iter(["artist", "disc_title"])
    return ["title" if i == title else next(rest, "") for i in texts]


def _wordy(column: list[str]) -> bool:
    letters = sum(any(c.isalpha() for c in cell) for cell in column)
    return bool(column) and letters >= 0.5 * len(column)


def _is_carrier(cell: str) -> bool:
    return len(cell) <= 12 and values.carrier(cell) not in {None, Carrier.OTHER}


_LOOKS = (
    ("year", lambda c: re.fullmatch(r"(?:18[6-9]|19\d|20\d)\d", c)),
    ("length", lambda c: re.fullmatch(r"\d{1,2}[:.]\d\d(?::\d\d)?|PT\d+M(?:\d+S)?", c)),
    ("isrc", lambda c: re.fullmatch(r"[A-Z]{2}-?[A-Z0-9]{3}-?\d\d-?\d{5}", c)),
    ("carrier", _is_carrier),
    ("shelf_mark", lambda c: len(c) <= 16
        and re.fullmatch(r"[A-Z]{1,5}[\s./-]*\d+(?:[\s./-]*\w{1,5})*|\d{3,}[A-Za-z]?|"
                         r"\d+[./-]\d+(?:[./-]\d+)*", c)),
    ("track", lambda c: re.fullmatch(r"[A-D]?\s?\d{1,2}", c)),
    ("side", lambda c: re.fullmatch(r"[A-Da-d]|[1-4]", c)),
)  # fmt: skip
"""What contents look like, the telling ones first (common practice, no source)."""
