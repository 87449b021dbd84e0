"""Shelf lists to entries: texts of any kind, and sheets."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue.errors import UnreadableList
from importers import columns, list_rows, list_text, sheets
from importers.audio_bytes import named_by_signature
from importers.entries import Entry, Refused
from importers.list_rows import Row
from importers.shelf_entries import each, entry_of

_SHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""How xlsx, ods and xls files begin, whatever they are called."""

_SAMPLE = 200
"""Rows from which the columns are told."""

MOST_COLUMNS = 1_000
"""Columns of a table: people's lists have some tens, even with places for all tracks of a disc."""

_SHOWN = 3
"""Rows shown with a guess, so that a person sees whether it is right."""


@dataclass(frozen=True, slots=True)
class Guess:
    """How the columns of one table are understood, to be shown before anything is stored.

    `columns` is None where no column can be told to be a title. `samples` are the first three
    rows; `remembered` says that a person gave these columns for a list of this `shape` before.
    """

    name: str
    shape: str
    headings: tuple[str, ...]
    columns: columns.Columns | None
    samples: tuple[tuple[str, ...], ...]
    remembered: bool = False


@dataclass(slots=True)
class ReadList:
    """The rows of a list, sentences on how its columns were understood, and its headings."""

    rows: list[Row | Refused]
    said: list[str]
    headings: list[str]


Layouts = Mapping[str, Sequence[str]]
"""Shape of a table to the fields of its columns, as a person said them."""


def read(path: Path) -> Iterator[Entry | Refused]:
    """The rows of a shelf list as entries with a copy.

    Raises UnreadableList for a file that is missing, empty, no list, or without a column that
    can be a title.
    """
    return each(read_rows(path).rows, entry_of)


def look(path: Path, layouts: Layouts | None = None) -> list[Guess]:
    """How the columns of each table of a list would be understood; nothing is stored.

    Raises UnreadableList for a file that is missing, empty or no list.
    """
    return [_guess(path, sheet, table, layouts or {}) for sheet, table in _tables(path)]


def read_rows(path: Path, layouts: Layouts | None = None) -> ReadList:
    """The rows of a list. Nothing is said where every heading is one of ours."""
    read = ReadList([], [], [])
    found = False
    for sheet, table in _tables(path):
        guess = _guess(path, sheet, table, layouts or {})
        layout = guess.columns
        if layout is None:
            read.said.append(
                f"{guess.name} has no column that can be told to be a title; it was left out."
            )
            continue
        if guess.remembered and not any(layout.fields):
            read.said.append(f"{guess.name} was left out, as you said.")
            continue
        found = True
        read.rows.extend(list_rows.rows(table, layout, guess.name))
        names = list_rows.mending_headings(table, layout)
        read.headings = list(dict.fromkeys([*read.headings, *names]))
        if not guess.remembered:
            read.said.extend(columns.in_words(layout, guess.headings, guess.name))
    if not found:
        raise UnreadableList(
            f"In {path.name} no column can be told to be a title. Write headings over the "
            "columns, such as Shelf mark, Carrier, Artist, Title, or say what they are with "
            "--columns."
        )
    return read


def _guess(path: Path, sheet: str, table: list[list[str]], layouts: Layouts) -> Guess:
    filled = [row for row in table[: _SAMPLE * 2] if any(row)][:_SAMPLE]
    layout = columns.guess(filled)
    known = columns.remembered_row(filled, layouts)
    if known >= 0:
        layout = columns.Columns((), known)
    first = 0 if layout is None else layout.heading_row + 1
    headings = tuple(filled[first - 1]) if first > 0 else ()
    shape = columns.shape(headings or filled[0], layout)
    said = layouts.get(shape)
    if said is not None:
        layout = columns.corrected(said, layout)
        first = layout.heading_row + 1
        headings = tuple(filled[first - 1]) if first > 0 else ()
    width = max(len(row) for row in filled)
    names = headings or tuple(f"column {i}" for i in range(1, width + 1))
    samples = tuple(tuple(row) for row in filled[first : first + _SHOWN])
    return Guess(f"{path.name} {sheet}".strip(), shape, names, layout, samples, said is not None)


def _tables(path: Path) -> list[tuple[str, list[list[str]]]]:
    """(name of the sheet, rows of cells) of every sheet of a file; a text is one sheet."""
    data = bytes_of(path)
    if data.startswith(_SHEETS):
        tables = _sheets(path)
    else:
        if what := named_by_signature(data[:2048]):
            raise UnreadableList(f"{path.name} is no list: it looks like {what}.")
        text, _ = list_text.decode(data)
        if not list_text.is_text(text):
            raise UnreadableList(
                f"{path.name} is no list. Save it from the program that made it as CSV or xlsx."
            )
        tables = [("", list(list_text.rows(text)))]
    tables = [(name, table) for name, table in tables if any(any(row) for row in table)]
    if not tables:
        raise UnreadableList(f"{path.name} is empty: there is no row in it.")
    if (widest := max(len(row) for _, table in tables for row in table)) > MOST_COLUMNS:
        raise UnreadableList(
            f"{path.name} has a row of {widest:,} cells: no list is as wide. Delete what stands "
            "far to the right, or look whether line ends were lost, and save it anew."
        )
    return tables


def bytes_of(path: Path) -> bytes:
    """All of a list's file. Raises UnreadableList."""
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
    tables = sheets.read(path)
    if len(tables) == 1:
        return [("", tables[0][1])]
    return [(f"sheet {name}", table) for name, table in tables]
