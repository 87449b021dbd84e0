"""What a donor offers, read from pasted lines or from a list of any kind: titles and artists."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from importers import reference_lists
from importers.entries import Entry

MOST_LINES = 5_000
"""Lines that are looked at: a house's whole collection."""

_APART = re.compile(r"\t+| [-–—/|] | by |; ?|, ", re.IGNORECASE)
"""What stands between title and artist on a line, if anything."""


def lines_of(text: str) -> list[tuple[str, str]]:
    """Titles and artists of pasted lines, one a line; blank lines are left out.

    Which of the two comes first is left to whoever compares them.

    >>> lines_of("Lantern, Ann Oke\\n\\nBo Quay - Far Tide\\nLamp")
    [('Lantern', 'Ann Oke'), ('Bo Quay', 'Far Tide'), ('Lamp', '')]
    """
    found = []
    for line in text.splitlines()[:MOST_LINES]:
        if line.strip():
            title, artist = [*_APART.split(line.strip(), maxsplit=1), ""][:2]
            found.append((title.strip(), artist.strip()))
    return found


def read(path: Path) -> list[tuple[str, str]]:
    """Titles and artists of a list with columns, or of plain lines. Raises UnreadableList."""
    return list(_read(path))[:MOST_LINES]


def _read(path: Path) -> Iterator[tuple[str, str]]:
    for row in reference_lists.read(path):
        if isinstance(row, Entry) and row.recording.artist.strip():
            yield row.recording.title, row.recording.artist
        elif isinstance(row, Entry):
            yield from lines_of(row.recording.title)
        else:
            yield from lines_of(", ".join(value for value in row.raw.values() if value.strip()))
