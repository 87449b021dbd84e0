"""Shelf lists to entries: texts of any kind, and sheets. The only file that knows calamine."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

from python_calamine import CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

from catalogue.errors import UnreadableList
from catalogue.records import Carrier
from importers import columns, list_text, values
from importers.cleaning import clean, recording_of
from importers.entries import Copy, Draft, Entry, Refused

_SHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""How xlsx, ods and xls files begin, whatever they are called."""

_SAMPLE = 200
"""Rows from which the columns are told."""

_DITTO = frozenset(
    ('"', "''", "„", "”", "“", "〃", "do", "do.", "ditto", "dto", "dto.", ",,", '-"-', '""')
)
"""Marks that mean: as above."""

_SIDE_AND_TRACK = re.compile(r"(?:side\s*)?([A-D])[\s./-]*(?:track\s*)?(\d{1,2})", re.IGNORECASE)
_SIDE = re.compile(r"(?:side|seite|face)\s*", re.IGNORECASE)
_OURS = ("carrier", "shelf_mark", "side", "speed", "place", "condition", "number", "note")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list: where it stands, its cells by heading, its cells by our fields."""

    source: str
    raw: dict[str, str]
    fields: dict[str, str]
    guessed: frozenset[str]


def read(path: Path) -> Iterator[Entry | Refused]:
    """The rows of a shelf list as entries with a copy.

    Raises UnreadableList for a file that is missing, empty, no list, or without a column that
    can be a title.
    """
    return (entry_of(row) for row in rows_of(path))


def rows_of(path: Path) -> list[Row]:
    """The rows of any list, blank ones left out, ditto marks written out."""
    return read_rows(path)[0]


def read_rows(path: Path) -> tuple[list[Row], list[str]]:
    """The rows of a list, and sentences on how its columns were understood.

    Nothing is said where every heading is one of ours.
    """
    rows: list[Row] = []
    said: list[str] = []
    found = False
    for sheet, table in _tables(path):
        name = f"{path.name} {sheet}".strip()
        layout = columns.guess([row for row in table[: _SAMPLE * 2] if any(row)][:_SAMPLE])
        if layout is None:
            said.append(f"{name} has no column that can be told to be a title; it was left out.")
            continue
        found = True
        rows += _rows(table, layout, name)
        said += columns.in_words(layout, _headings(table, layout), name)
    if not found:
        raise UnreadableList(
            f"In {path.name} no column can be told to be a title. Write headings over the "
            "columns, such as Shelf mark, Carrier, Artist, Title."
        )
    return rows, said


def _tables(path: Path) -> list[tuple[str, list[list[str]]]]:
    """(name of the sheet, rows of cells) of every sheet of a file; a text is one sheet."""
    data = _bytes(path)
    if data.startswith(_SHEETS):
        tables = _sheets(path)
    else:
        text, _ = list_text.decode(data)
        if not list_text.is_text(text):
            raise UnreadableList(
                f"{path.name} is no list. Save it from the program that made it as CSV or xlsx."
            )
        tables = [("", list(list_text.rows(text)))]
    tables = [(name, table) for name, table in tables if any(any(row) for row in table)]
    if not tables:
        raise UnreadableList(f"{path.name} is empty: there is no row in it.")
    return tables


def _bytes(path: Path) -> bytes:
    try:
        if not os.access(path, os.R_OK) and path.exists():
            raise PermissionError
        return path.read_bytes()
    except FileNotFoundError as problem:
        raise UnreadableList(
            f"There is no list {path}. Check the name and the folder."
        ) from problem
    except PermissionError as problem:
        raise UnreadableList(
            f"{path} may not be read by this user. Give the right to read it."
        ) from problem
    except IsADirectoryError as problem:
        raise UnreadableList(f"{path} is a folder. Give one list at a time.") from problem
    except OSError as problem:
        raise UnreadableList(f"{path} cannot be read ({problem.strerror or problem}).") from problem


def _sheets(path: Path) -> list[tuple[str, list[list[str]]]]:
    try:
        book = CalamineWorkbook.from_path(str(path))
        shown = [
            sheet.name
            for sheet in book.sheets_metadata
            if sheet.typ == SheetTypeEnum.WorkSheet and sheet.visible == SheetVisibleEnum.Visible
        ]
        tables = [
            (name, [[_cell(v) for v in row] for row in
                    book.get_sheet_by_name(name).to_python(skip_empty_area=False)])
            for name in shown
        ]  # fmt: skip
    except Exception as problem:  # calamine has several families, and Rust's panics besides
        raise UnreadableList(
            f"{path.name} is no sheet that can be read; it may be damaged or locked by a "
            "password. Save it anew as xlsx or CSV."
        ) from problem
    if len(tables) == 1:
        return [("", tables[0][1])]
    return [(f"sheet {name}", table) for name, table in tables]


def _cell(value: object) -> str:
    """A cell of a sheet as somebody sees it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, datetime | date):
        return value.isoformat()[:10]
    if isinstance(value, time):
        return value.strftime("%H:%M:%S")
    if isinstance(value, timedelta):
        return f"{value.total_seconds():g}"
    return "" if value is None else str(value).strip()


def _rows(table: Sequence[Sequence[str]], layout: columns.Columns, name: str) -> Iterator[Row]:
    headings = _headings(table, layout)
    first = layout.heading_row
    skipped = 0
    above: dict[int, str] = {}
    for number, cells in enumerate(table, start=1):
        if not any(cells):
            continue
        if skipped <= first:
            skipped += 1
            continue
        said = {i: _written_out(i, cell, above) for i, cell in enumerate(cells)}
        above.update(said)
        raw = {_name(headings, i): cell for i, cell in enumerate(cells) if cell}
        if [cell for cell in cells if cell] == [h for h in headings if h]:
            continue  # the headings again, as on every printed page
        fields = {f: said[i] for i, f in enumerate(layout.fields) if f and said.get(i)}
        guessed = frozenset(fields) if layout.guessed else frozenset()
        yield Row(f"{name} row {number}", raw, fields, guessed & {"artist", "title"})


def _headings(table: Sequence[Sequence[str]], layout: columns.Columns) -> list[str]:
    if layout.heading_row < 0:
        return []
    return list([row for row in table if any(row)][layout.heading_row])


def _name(headings: Sequence[str], column: int) -> str:
    heading = headings[column] if column < len(headings) else ""
    return heading or f"column {column + 1}"


def _written_out(column: int, cell: str, above: dict[int, str]) -> str:
    return above.get(column, "") if cell.lower() in _DITTO else cell


def draft_of(row: Row) -> Draft:
    """The cleaned draft of a row."""
    fields = dict(row.fields)
    track = fields.get("track", "")
    if both := _SIDE_AND_TRACK.fullmatch(track):
        fields["track"] = both.group(2)
        fields.setdefault("side", both.group(1).upper())
    elif of := re.fullmatch(r"(\d{1,3})\s*(?:/|of)\s*\d{1,3}|(\d{1,3})\.", track):
        fields["track"] = of.group(1) or of.group(2)
    if fields.get("side"):
        fields["side"] = _SIDE.sub("", fields["side"]).strip().upper() or fields["side"]
    fields.setdefault("album", fields.get("disc_title", ""))
    ours = {name: fields.pop(name) for name in _OURS if name in fields}
    draft = clean(Draft({n: t for n, t in fields.items() if t}, row.guessed))
    return draft.put(**{name: " ".join(text.split()) for name, text in ours.items()})


def entry_of(row: Row) -> Entry | Refused:
    """A row as an entry with a copy, or the reason why it cannot be one."""
    draft = draft_of(row)
    if not draft.get("title"):
        return Refused(row.source, "It has no title. Write what is on the label.", row.raw)
    if not draft.get("shelf_mark"):
        return Refused(
            row.source,
            "It has no shelf mark, so nobody could find the disc. Write one and take the list "
            "in again.",
            row.raw,
        )
    draft, carrier = _carrier(draft)
    if carrier is Carrier.FILE:
        return Refused(
            row.source, "It is a file, not a disc. Take files in with add-files.", row.raw
        )
    recording, draft = recording_of(draft, date.today().year)
    copy = Copy(
        carrier,
        shelf_mark=draft.get("shelf_mark"),
        side=draft.get("side"),
        track=draft.get("track"),
        speed=values.speed(draft.get("speed") or draft.get("carrier")),
        disc_title=draft.get("disc_title"),
        place=draft.get("place"),
        condition=values.condition(draft.get("condition")),
        label=draft.get("label"),
        number=draft.get("number"),
        note=draft.get("note"),
    )
    return Entry(row.source, row.raw, recording, copy, draft.guessed, draft.notes)


def _carrier(draft: Draft) -> tuple[Draft, Carrier]:
    """What the row is on; a record's side tells a record where no carrier is named."""
    named = values.carrier(draft.get("carrier"))
    if named is not None:
        return draft, named
    if draft.get("side"):
        return replace(draft, guessed=draft.guessed | {"carrier"}), Carrier.LP
    return draft.note("it does not say what it is on (CD, LP, …)"), Carrier.OTHER
