"""Recordings known of but not held: any list with a title, read as a shelf list is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from importers.cleaning import recording_of
from importers.entries import Entry, Refused
from importers.list_rows import Row
from importers.shelf_entries import draft_of, each, refused
from importers.shelf_lists import read_rows


def read(path: Path) -> Iterator[Entry | Refused]:
    """The rows of a list as entries without a copy; plain lines are "artist - title".

    Raises UnreadableList as `shelf_lists.read` does.
    """
    return each(read_rows(path).rows, entry_of)


def entry_of(row: Row) -> Entry | Refused:
    """A row as an entry without a copy, or the reason why it cannot be one."""
    draft = draft_of(row)
    if not draft.get("title"):
        return refused(row, "It has no title. Write one.")
    recording, draft = recording_of(draft, date.today().year)
    return Entry(row.source, row.raw, recording, None, draft.guessed, draft.notes, row.came_from)
