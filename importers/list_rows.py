"""Tables to rows by our fields: what stands above is carried down, discs come apart into tracks."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from importers import track_cells
from importers.columns import Columns, heading_for

_DITTO = frozenset(
    ('"', "''", "„", "”", "“", "〃", "do", "do.", "ditto", "dto", "dto.", ",,", '"-"', '""')
)
"""Marks that mean: as above."""

_OF_THE_DISC = ("shelf_mark", "carrier", "disc_title", "label", "number", "place", "speed",
                "barcode", "matrix")  # fmt: skip
"""What is written once for a disc and left blank in the rows below."""

_ALSO_CARRIED = ("artist", "side", "year", "album_artist")
"""What goes down with the disc where it is blank."""

BLANKS_MEAN_ABOVE = 1 / 3
"""Share of rows without a shelf mark from which on blanks mean "as above" wherever nothing speaks
against it (common practice, no source)."""

_A_FEW = 3
"""Rows without a shelf mark below which they may as well have been forgotten."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a list: where it stands, its cells by heading, its cells by our fields.

    `guessed` names fields that were not said outright, `mend` is the row as it goes into the
    file of rows that came back, with what stands above written out. `came_from` says under which
    heading a field stood.
    """

    source: str
    raw: dict[str, str]
    fields: dict[str, str]
    guessed: frozenset[str] = frozenset()
    mend: Mapping[str, str] = field(default_factory=dict)
    came_from: Mapping[str, str] = field(default_factory=dict)


def rows(table: Sequence[Sequence[str]], layout: Columns, name: str) -> list[Row]:
    """The rows of a table, blank ones left out, ditto marks and blanks written out."""
    plain = list(_plain_rows(table, layout, name))
    blanks = sum(not row.fields.get("shelf_mark") for row in plain)
    often = blanks >= max(_A_FEW, BLANKS_MEAN_ABOVE * len(plain))
    under = dict(zip(layout.fields, mending_headings(table, layout), strict=False))
    found: list[Row] = []
    above: dict[str, str] = {}
    for plain_row in plain:
        row = plain_row
        carried = _carried(row.fields, above, layout, often)
        if carried is not None:
            if found and _is_head_of_disc(found[-1].fields):
                found.pop()  # it only said which disc the rows below are on
            written_out = {under[f]: text for f, text in carried.items() if f in under}
            row = replace(row, fields=carried, mend={**row.mend, **written_out})
        above = row.fields
        found.append(row)
    return [track for row in found for track in track_cells.apart(row)]


def headings(table: Sequence[Sequence[str]], layout: Columns) -> list[str]:
    """A name for every column, none twice: its heading, or "column 3"."""
    said: list[str] = []
    if layout.heading_row >= 0:
        said = [*[row for row in table if any(row)][layout.heading_row]]
    names: list[str] = []
    for i in range(max(len(said), len(layout.fields))):
        heading = (said[i] if i < len(said) else "") or f"column {i + 1}"
        names.append(heading if heading not in names else f"{heading} (column {i + 1})")
    return names


def mending_headings(table: Sequence[Sequence[str]], layout: Columns) -> list[str]:
    """The headings, or ours for a list that has none: so its rows can be given again."""
    names = headings(table, layout)
    if layout.heading_row >= 0:
        return names
    return [heading_for(f) if f else name for f, name in zip(layout.fields, names, strict=False)]


def _plain_rows(table: Sequence[Sequence[str]], layout: Columns, name: str) -> Iterator[Row]:
    """Rows as they stand, ditto marks written out; headings that come again are no rows."""
    names = headings(table, layout)
    for_mending = mending_headings(table, layout)
    skipped = 0
    above: dict[int, str] = {}
    for number, cells in enumerate(table, start=1):
        if not any(cells):
            continue
        if skipped <= layout.heading_row:
            skipped += 1
            continue
        said = {
            i: above.get(i, "") if cell.lower() in _DITTO else cell for i, cell in enumerate(cells)
        }
        above.update(said)
        if layout.heading_row >= 0 and _are_headings(cells, names):
            continue  # as on every printed page
        raw = {_at(names, i): cell for i, cell in enumerate(cells) if cell}
        fields = {f: said[i] for i, f in enumerate(layout.fields) if f and said.get(i)}
        guessed = frozenset(fields) & {"artist", "title"} if layout.guessed else frozenset()
        mend = {_at(for_mending, i): cell for i, cell in said.items() if cell}
        came_from = {f: _at(names, i) for i, f in enumerate(layout.fields) if f in fields}
        yield Row(f"{name} row {number}", raw, fields, guessed, mend, came_from)


def _are_headings(cells: Sequence[str], names: Sequence[str]) -> bool:
    return all(cell in ("", _at(names, i)) for i, cell in enumerate(cells))


def _at(names: Sequence[str], column: int) -> str:
    return names[column] if column < len(names) else f"column {column + 1}"


def _carried(
    fields: dict[str, str], above: Mapping[str, str], layout: Columns, often: bool
) -> dict[str, str] | None:
    """The fields with what the rows above say of the disc, or None where they say nothing.

    A row without a shelf mark belongs to the disc above if it says nothing of another disc, and
    its track goes on from there, or its artist is left blank too, or such rows are many.
    """
    mark = fields.get("shelf_mark", "")
    if not above.get("shelf_mark"):
        return None
    if mark:
        if mark != above["shelf_mark"] or fields.get("carrier") or not above.get("carrier"):
            return None
        return {**fields, "carrier": above["carrier"]}
    if _is_head_of_disc(fields):
        return None  # nothing that could be on the disc above
    if any(fields.get(n) and fields[n] != above.get(n) for n in _OF_THE_DISC):
        return None
    as_above = "artist" in layout.fields and not fields.get("artist")
    if not (as_above or often or _goes_on(fields, above)):
        return None
    down = {n: above[n] for n in (*_OF_THE_DISC, *_ALSO_CARRIED) if above.get(n)}
    return {**down, **fields}


def _goes_on(fields: Mapping[str, str], above: Mapping[str, str]) -> bool:
    one, other = (re.search(r"\d+", fields_.get("track", "")) for fields_ in (above, fields))
    if not other:
        return False
    return (
        not one
        or int(other.group()) > int(one.group())
        or fields.get("side", "") > above.get("side", "")
    )


def _is_head_of_disc(fields: Mapping[str, str]) -> bool:
    """Whether a row names a disc and nothing that is on it."""
    on_it = ("title", "tracks", "track", "work")
    return not any(fields.get(n) for n in on_it) and not any(n.startswith("title:") for n in fields)
