"""A disc of a donated box that is kept: filed at once, and what was asked for is known to be here.

Until it has a shelf mark of its own it stands in its box: "Box 12-7" is the seventh disc of box
12, and its room says that it is to be shelved. Kept, filed and pointed at is one action.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from catalogue import catalogue_rows, demand, donated_boxes, undo, wants
from catalogue.donated_boxes import Box, BoxRow, Decision, NewRow
from catalogue.errors import BadInput, CannotTakeBack
from catalogue.sleeves import Asked
from catalogue.store import Store
from importers import by_hand
from importers.by_hand import TypedDisc
from importers.words import plain


@dataclass(frozen=True, slots=True)
class Words:
    """The station's own words: what a box is called in a shelf mark, the room of what is not
    shelved yet, and where something was typed."""

    box: str
    to_be_shelved: str
    source: str


def decide(
    store: Store, box_id: int, new: NewRow, decision: Decision, asked: Sequence[Asked],
    words: Words, who: str, now: datetime,
) -> BoxRow:  # fmt: skip
    """Write a row with its decision, and file the disc if it is kept. `asked` is what of it was
    asked for. A row that was sent before is given back as it is.

    Raises BadInput, NotFound or ChangedMeanwhile, as `donated_boxes.write` and `by_hand.file_disc`.
    """
    with undo.action(store, who, _what(new, decision), now):
        if before := donated_boxes.with_key(store, new.key):
            return before
        row = donated_boxes.write(store, box_id, new, decision, who, now)
        if decision is Decision.KEPT:
            _file(store, donated_boxes.get(store, box_id), row, asked, words, who, now)
        return donated_boxes.row(store, row.id)


def decide_later(
    store: Store, row_id: int, decision: Decision, asked: Sequence[Asked], words: Words,
    who: str, now: datetime,
) -> BoxRow:  # fmt: skip
    """Decide on a row that was left for later. Raises ChangedMeanwhile if it was decided on."""
    row = donated_boxes.row(store, row_id)
    with undo.action(store, who, _what(row, decision), now):
        donated_boxes.decide(store, row_id, Decision.LATER, decision, who, now)
        if decision is Decision.KEPT:
            _file(store, donated_boxes.get(store, row.box_id), row, asked, words, who, now)
        return donated_boxes.row(store, row_id)


def undecide(store: Store, row_id: int, who: str, now: datetime) -> None:
    """Take the last decision on a row back: one decided as it was typed goes altogether.

    Raises NotFound, or CannotTakeBack with what has been done since on its disc.
    """
    donated_boxes.row(store, row_id)
    taken = {a.takes_back for a, _ in undo.history(store, "box_rows", row_id) if a.takes_back}
    for action, _ in reversed(undo.history(store, "box_rows", row_id)):
        if action.takes_back is None and action.id not in taken:
            undo.take_back(store, action.id, who, now)
            return
    raise CannotTakeBack("There is nothing to take back in this row.")


def shelve(
    store: Store, row_id: int, mark: str, to_be_shelved: str, who: str, now: datetime
) -> None:
    """Give the disc of a row its shelf mark; it is not to be shelved any more.

    Raises BadInput without a mark, for a mark at which another stands, or without a disc.
    """
    row = donated_boxes.row(store, row_id)
    bare = " ".join(mark.split())
    if not bare:
        raise BadInput("Type or scan the disc’s shelf mark.")
    if row.disc_id is None or row.decision is not Decision.KEPT:
        raise BadInput("This disc was not kept, so it has no place.")
    with undo.action(store, who, f"shelved “{row.title}” at {bare}", now):
        held = catalogue_rows.disc(store, row.disc_id)
        place = "" if held.place == to_be_shelved else held.place
        catalogue_rows.change_disc(store, held.id, shelf_mark=bare, place=place)


def _what(row: NewRow | BoxRow, decision: Decision) -> str:
    return f"{decision} “{row.title}” of a box"


def _file(
    store: Store, box: Box, row: BoxRow, asked: Sequence[Asked], words: Words, who: str,
    now: datetime,
) -> None:  # fmt: skip
    """File the disc under the names by which it was asked for, and tell the wants that it is."""
    mark = by_hand.free_mark(store, row.carrier, f"{words.box} {box.number}-{row.number}")
    tracks = by_hand.tracks_typed(row.tracks)
    disc = TypedDisc(
        row.title, row.artist, row.carrier, mark, words.to_be_shelved, row.condition,
        number=row.catalogue_number, tracks=tracks,
    )  # fmt: skip
    filed = by_hand.file_disc(store, _as_asked(store, disc, asked), words.source, who, now)
    donated_boxes.point_at(store, row.id, filed.disc_id)
    for one in asked:
        number = one.recording_id or filed.recordings.get(plain(one.on_disc))
        if number is None:
            continue
        if not one.want_ids:
            demand.put_on_list(store, number, who, now)
        for want_id in one.want_ids:
            wants.is_this(store, want_id, number, who, now)


def _as_asked(store: Store, disc: TypedDisc, asked: Sequence[Asked]) -> TypedDisc:
    """What was asked for is a recording the catalogue knows: it is filed under its name there, so
    that what came is that recording and no other."""
    known = {}
    for one in asked:
        if one.recording_id is not None:
            recording = catalogue_rows.recording(store, one.recording_id)
            known[plain(one.on_disc)] = (recording.title, recording.artist)
    if not known:
        return disc
    tracks = tuple(
        replace(track, title=named[0], artist=named[1])
        if (named := known.get(plain(track.title)))
        else track
        for track in disc.tracks
    )
    if not disc.tracks and (named := known.get(plain(disc.title))):
        return replace(disc, title=named[0], artist=named[1])
    return replace(disc, tracks=tracks)
