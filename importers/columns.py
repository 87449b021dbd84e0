"""Whose heading means what: headings to our fields, and contents where there are no headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalogue.errors import BadInput
from catalogue.records import Carrier
from importers import track_cells, values
from importers.headings import HEADINGS
from importers.words import plain

_MEANING = {
    plain(word): field for field, words in HEADINGS.items() for word in words.split(",")
}  # fmt: skip
_UNIT = re.compile(r"\s*[(\[].*?[)\]]\s*")
_LONGEST_HEADING = 200
"""Letters of a heading; a longer cell is none, and looking for units in it could take minutes."""

_SEARCHED_ROWS = 15
"""Rows at the top in which the headings may stand, under a title or an address."""

_MOST = 0.7
"""Share of the filled cells of a column that must look alike for its contents to speak."""


_ROWS_BELOW = 2
"""Rows that must look alike before one above that does not is taken for headings."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Which field each column holds ("" for none of ours), and how that is known.

    `heading_row` counts from 0; -1 where there are no headings. `guessed` where contents were
    gone by, since there are none or they mean nothing.
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
    if len(heading) > _LONGEST_HEADING:
        return ""
    words = plain(heading).replace("'", "") if heading.strip() else ""
    return _MEANING.get(words) or _MEANING.get(plain(_UNIT.sub(" ", heading)), "")


def guess(rows: Sequence[Sequence[str]]) -> Columns | None:
    """The columns of a list from its first rows; None where no column can be a title.

    The row with most headings wins if it has two, or is nothing but one heading.
    """
    best, most = -1, 0
    for number, row in enumerate(rows[:_SEARCHED_ROWS]):
        places = {place for cell in row if (place := track_cells.meaning(cell))}
        known = len({m for cell in row if (m := meaning(cell))})
        known += len(places) if len(places) > 1 else 0
        if known > most:
            best, most = number, known
    filled = [cell for cell in rows[best] if cell.strip()] if best >= 0 else []
    if most >= 2 or (most == 1 and len(filled) == 1 and best == 0):
        return _by_headings(rows[best], best)
    return _by_contents(rows)


FIELDS = frozenset((*HEADINGS, "")) - {"song"}
"""What a column can be said to hold, beside the places of tracks ("title:A:3"); "" for nothing."""

WHY = "Why it was not taken in"
"""Heading of the column that is added to rows that come back."""

_CALLED = {"shelf_mark": "Shelf mark", "first_year": "First released", "number": "Catalogue no",
           "disc": "Volume", "tempo": "BPM", "matrix": "Matrix no"}  # fmt: skip


def heading_for(field: str) -> str:
    """What a column with a field is called, so that it is understood when it is read again.

    >>> heading_for("disc_title"), heading_for("title:B:2"), heading_for("title::3")
    ('Disc title', 'B2', 'Track 3')
    """
    if field.startswith("title:"):
        _, side, track = field.split(":")
        return f"{side}{track}" if side and track else f"Side {side}" if side else f"Track {track}"
    return _CALLED.get(field) or field.replace("_", " ").capitalize()


def parse(text: str) -> tuple[str, ...]:
    """Columns as a person says them: names in order, parted by commas, "-" for none of ours, and
    if need be "headings" or "no headings", for the first row.

    Raises BadInput for a name that is not known, for a field twice, and where no column would
    hold a title.

    >>> parse("shelf mark, carrier, -, Artist, title")
    ('shelf_mark', 'carrier', '', 'artist', 'title')
    """
    return checked(said_fields(tuple(_said(name.strip()) for name in text.split(","))))


HEADINGS_ARE, HEADINGS_ARE_NOT = "#headings", "#no headings"
"""Beside fields in what a person said: whether the row above is one of headings."""


def said_fields(said: Sequence[str]) -> tuple[str, ...]:
    """The fields with what was said of headings at their end."""
    return (
        *(s for s in said if not s.startswith("#")),
        *(s for s in said if s.startswith("#")),
    )


def corrected(said: Sequence[str], guessed: Columns | None) -> Columns:
    """The columns as a person said them, the row of headings as guessed unless they said so."""
    row = guessed.heading_row if guessed else -1
    if HEADINGS_ARE in said:
        row = max(row, 0)
    elif HEADINGS_ARE_NOT in said:
        row = -1
    return Columns(tuple(field for field in said if not field.startswith("#")), row)


def checked(said: tuple[str, ...]) -> tuple[str, ...]:
    """Fields that can be columns of one list. Raises BadInput for one twice, or without a title."""
    twice = {field for field in said if field and said.count(field) > 1}
    if twice:
        names = " and ".join(f"“{heading_for(field)}”" for field in sorted(twice))
        raise BadInput(f"Two columns cannot both be {names}.")
    if not any(f in {"title", "tracks", "disc_title", "work"} or ":" in f for f in said):
        raise BadInput("No column would be the title. Say which one it is.")
    return said


def _said(name: str) -> str:
    if name.lower() in {"", "-", "none", "nothing"}:
        return ""
    if f"#{name.lower()}" in {HEADINGS_ARE, HEADINGS_ARE_NOT}:
        return f"#{name.lower()}"
    field = name.lower().replace(" ", "_")
    if field in FIELDS:
        return field
    if found := track_cells.meaning(name) or meaning(name):
        return "title" if found == "song" else found
    known = ", ".join(sorted(f.replace("_", " ") for f in FIELDS if f))
    raise BadInput(f"“{name}” is nothing that a column can hold. It can be: {known}, or -.")


def shape(headings: Sequence[str], columns: Columns | None) -> str:
    """What lists of one making have in common: their headings, or what their columns look like."""
    if columns is not None and columns.heading_row < 0:
        return "columns: " + ", ".join(columns.fields)
    # Rows that came back to be mended have one column more, and are of the same making.
    named = [plain(h) if h.strip() else "" for h in headings if h != WHY]
    return "headings: " + ", ".join(named)


def with_headings(said: Sequence[str], guessed: Columns | None) -> tuple[str, ...]:
    """What somebody said, and that there are headings where those were seen and not denied."""
    silent = HEADINGS_ARE not in said and HEADINGS_ARE_NOT not in said
    headed = guessed is not None and guessed.heading_row >= 0
    return (*said, HEADINGS_ARE) if silent and headed else tuple(said)


def remembered_row(rows: Sequence[Sequence[str]], said: Mapping[str, Sequence[str]]) -> int:
    """The row of headings that somebody has explained before; -1 if there is none.

    A list of one row, mended and given again, is known by it, though its headings say nothing.
    """
    for number, row in enumerate(rows[:_SEARCHED_ROWS]):
        if HEADINGS_ARE in said.get(shape(row, None), ()):
            return number
    return -1


def in_words(columns: Columns, headings: Sequence[str], name: str) -> list[str]:
    """What a person should know of how the columns were understood, as sentences."""
    if columns.guessed:
        read = [f"{i} as {f.replace('_', ' ')}" for i, f in enumerate(columns.fields, 1) if f]
        if columns.heading_row >= 0:
            return [f"The headings of {name} mean nothing here. By what is in the columns, they "
                    f"were read: {', '.join(read)}."]  # fmt: skip
        return [f"{name} has no headings. By what is in them, columns were read: "
                f"{', '.join(read)}."]  # fmt: skip
    pairs = zip(headings, columns.fields, strict=False)
    unknown = [heading for heading, field in pairs if heading not in ("", WHY) and not field]
    if not unknown:
        return []
    names = ", ".join(f"“{heading}”" for heading in unknown)
    return [f"In {name} these headings mean nothing here: {names}. What stands under them is "
            "only kept beside the record."]  # fmt: skip


def _by_headings(headings: Sequence[str], row: int) -> Columns | None:
    fields: list[str] = []
    places = [track_cells.meaning(heading) for heading in headings]
    if sum(map(bool, places)) < 2:
        places = [""] * len(places)
    for heading, place in zip(headings, places, strict=True):
        field = place or meaning(heading)
        fields.append("" if field in fields else field)
    if "song" in fields and "title" in fields:  # "Title" is then the disc's
        fields[fields.index("title")] = "" if "disc_title" in fields else "disc_title"
    if "song" in fields:
        fields[fields.index("song")] = "title"
    by_disc = "tracks" in fields or any(places)
    if by_disc and "title" in fields and "disc_title" not in fields:
        fields[fields.index("title")] = "disc_title"
    if not by_disc and "title" not in fields and "track" in fields:  # "Track" is then its name
        fields[fields.index("track")] = "title"
    if "matrix" in fields and "number" not in fields:
        fields[fields.index("matrix")] = "number"
    if "shelf_mark" not in fields and "number" in fields:
        fields[fields.index("number")] = "shelf_mark"
    if not by_disc and not {"title", "work", "disc_title"} & set(fields):
        return None
    return Columns(tuple(fields), row)


def _by_contents(rows: Sequence[Sequence[str]]) -> Columns | None:
    """By what is in them; a first row that looks unlike all below it holds headings of no words
    that are known."""
    headed = _looks_headed(rows)
    rows = rows[1:] if headed else rows
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
    return Columns(tuple(fields), 0 if headed else -1, guessed=True)


def _looks_headed(rows: Sequence[Sequence[str]]) -> bool:
    """Whether in some column all rows below look alike (years, lengths, …) and the first not."""
    if len(rows) < _ROWS_BELOW + 1 or not all(cell.strip() for cell in rows[0]):
        return False
    for i, first in enumerate(rows[0]):
        below = [row[i].strip() for row in rows[1:] if i < len(row) and row[i].strip()]
        if len(below) < _ROWS_BELOW:
            continue
        for _, looks in _LOOKS:
            if not looks(first.strip()) and sum(bool(looks(c)) for c in below) >= _MOST * len(
                below
            ):
                return True
    return False


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
