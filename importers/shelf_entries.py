"""Rows of shelf lists to entries, or the reason why a row cannot be one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date

from catalogue.records import Carrier
from importers import values
from importers.cleaning import clean, recording_of
from importers.entries import Copy, Draft, Entry, Refused
from importers.list_rows import Row

_SIDE_AND_TRACK = re.compile(r"(?:side\s*)?([A-D])[\s./-]*(?:track\s*)?(\d{1,2})", re.IGNORECASE)
_SIDE = re.compile(r"(?:side|seite|face)\s*", re.IGNORECASE)
_OURS = (
    "carrier", "shelf_mark", "side", "speed", "place", "condition", "number", "note", "barcode",
    "isni", "matrix",
)  # fmt: skip


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
    guessed = row.guessed
    if not (fields.get("title") or fields.get("work")) and fields.get("disc_title"):
        # One row for a whole disc: it is found, and asked for, by the disc's title.
        fields["title"], guessed = fields["disc_title"], guessed | {"title"}
    ours = {name: fields.pop(name) for name in _OURS if name in fields}
    draft = clean(Draft({n: t for n, t in fields.items() if t}, guessed))
    return draft.put(**{name: " ".join(text.split()) for name, text in ours.items()})


def each(
    rows: Iterable[Row | Refused], entry_of: Callable[[Row], Entry | Refused]
) -> Iterator[Entry | Refused]:
    """Every row as an entry; what was refused before stays so."""
    return (entry_of(row) if isinstance(row, Row) else row for row in rows)


def refused(row: Row, why: str) -> Refused:
    """A row that cannot be used, as it goes back to be mended."""
    return Refused(row.source, why, row.raw, row.mend or row.raw)


def _note(draft: Draft) -> str:
    """The note on the disc; a matrix number beside a label's number goes there."""
    matrix = draft.get("matrix") if draft.get("number") else ""
    parts = [draft.get("note"), f"matrix {matrix}" if matrix else ""]
    return "; ".join(part for part in parts if part)


def entry_of(row: Row) -> Entry | Refused:
    """A row as an entry with a copy, or the reason why it cannot be one."""
    draft = draft_of(row)
    if not draft.get("title"):
        return refused(row, "It has no title. Write what is on the label.")
    if not draft.get("shelf_mark"):
        return refused(
            row,
            "It has no shelf mark, so nobody could find the disc. Write one and take the list "
            "in again.",
        )
    draft, carrier = _carrier(draft)
    if carrier is Carrier.FILE:
        return refused(row, "It is a file, not a disc. Take files in with add-files.")
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
        number=draft.get("number") or draft.get("matrix"),
        note=_note(draft),
        barcode=draft.get("barcode"),
    )
    return Entry(row.source, row.raw, recording, copy, draft.guessed, draft.notes, row.came_from)


def _carrier(draft: Draft) -> tuple[Draft, Carrier]:
    """What the row is on; a record's side tells a record where no carrier is named."""
    named = values.carrier(draft.get("carrier"))
    if named is not None:
        return draft, named
    if draft.get("side"):
        return replace(draft, guessed=draft.guessed | {"carrier"}), Carrier.LP
    return draft.note("it does not say what it is on (CD, LP, …)"), Carrier.OTHER
