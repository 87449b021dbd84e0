"""A disc typed by hand from its sleeve, with its tracks, taken in as a row of a shelf list is.

It goes the same road from `Entry` on: a recording that is known is not made twice, blanks are
filled, and what was typed is kept beside what was made of it. All of it is one action of the
caller's: a disc with one bad track is not filed at all.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime

from catalogue import catalogue_rows as rows
from catalogue import merged_rows, undo
from catalogue.errors import BadInput
from catalogue.records import Carrier, Condition, Disc, NewRecording
from catalogue.store import Row, Store
from importers import identifiers
from importers.batch import Batch
from importers.entries import Copy, Entry
from importers.track_cells import track_of
from importers.values import length_s
from importers.words import plain

MOST_TRACKS = 200
"""Tracks of one disc: a box of many discs is typed disc by disc."""

LONGEST = 200
"""Characters of one field."""

_SURE_BARCODES = (12, 13, 14)
"""Digits of a number that can only be a UPC, an EAN or a carton's GTIN; eight may be a catalogue
number as well."""


@dataclass(frozen=True, slots=True)
class TypedTrack:
    """A track as it was typed; without an artist it is the disc's. `length_s` is in seconds."""

    title: str
    artist: str = ""
    side: str = ""
    track: str = ""
    length_s: float | None = None


@dataclass(frozen=True, slots=True)
class TypedDisc:
    """A disc as it was typed. `number` is a barcode or a catalogue number, whichever it is."""

    title: str
    artist: str
    carrier: Carrier
    shelf_mark: str
    place: str = ""
    condition: Condition = Condition.UNKNOWN
    label: str = ""
    number: str = ""
    year: int | None = None
    tracks: tuple[TypedTrack, ...] = ()


@dataclass(frozen=True, slots=True)
class Filed:
    """A disc that was filed, and the recording that each title on it is, by its plain words."""

    disc_id: int
    recordings: dict[str, int]


def number_read(text: str) -> tuple[str, str, str]:
    """(barcode, catalogue number, what is wrong with a barcode) of what was typed or scanned.

    >>> number_read("6291041500213"), number_read("SAL 1001"), number_read("63001234")
    (('6291041500213', '', ''), ('', 'SAL 1001', ''), ('', '63001234', ''))
    """
    bare = "".join(text.split())
    if not bare.replace("-", "").isdigit():
        return "", " ".join(text.split()), ""
    digits, wrong = identifiers.barcode_of(bare)
    if not wrong or len(bare.replace("-", "")) in _SURE_BARCODES:
        return digits, "", wrong
    return "", " ".join(text.split()), ""


def tracks_typed(text: str) -> tuple[TypedTrack, ...]:
    """Tracks of a text, one a line: "B2. Low Water / Bo Quay 3:42"; only the title is needed.

    >>> tracks_typed("Lantern 3:05\\nB1 Tide / Bo Quay")[1]
    TypedTrack(title='Tide', artist='Bo Quay', side='B', track='1', length_s=None)
    """
    found: list[TypedTrack] = []
    for line in text.splitlines():
        if line.strip():
            side, number, title, length = track_of(line.strip())
            title, _, artist = title.partition(" / ")
            track = TypedTrack(title.strip(), artist.strip(), side, number, length_s(length))
            found.append(track)
    return numbered(found)


def numbered(tracks: Sequence[TypedTrack]) -> tuple[TypedTrack, ...]:
    """With a number for each track that has none: one more than the track before on its side."""
    found: list[TypedTrack] = []
    for track in tracks:
        number = track.track
        if not number:
            before = [one.track for one in found if one.side == track.side]
            last = before[-1] if before else "0"
            number = str(int(last) + 1) if last.isascii() and last.isdigit() else ""
        found.append(replace(track, track=number))
    return tuple(found)


def file_disc(store: Store, disc: TypedDisc, source: str, who: str, now: datetime) -> Filed:
    """File a new disc with its tracks; without tracks it is found by its own title.

    `source` names where it was typed. Raises BadInput for what cannot be filed, and for a shelf
    mark at which another disc stands; then nothing was written.
    """
    mark = " ".join(disc.shelf_mark.split())
    if not disc.title.strip():
        raise BadInput("Write the title of the disc, as it stands on the sleeve.")
    _check(disc)
    with undo.action(store, who, f"typed in {disc.carrier} {mark}, “{disc.title}”", now):
        there = store.rows(
            "SELECT title FROM discs WHERE carrier = ? AND shelf_mark = ? COLLATE NOCASE",
            (disc.carrier, mark),
        )
        if there:
            raise BadInput(
                f"At {mark} stands “{there[0]['title'] or mark}” already. Give this disc another "
                "mark."
            )
        tracks = numbered(disc.tracks) or (TypedTrack(disc.title),)
        guessed = frozenset({"year"} if disc.tracks else {"year", "title"})
        entries = _entries(disc, mark, tracks, source, guessed)
        found = _take(store, entries, who, now)
        filed = store.rows(
            "SELECT id FROM discs WHERE carrier = ? AND shelf_mark = ?", (disc.carrier, mark)
        )
        return Filed(int(filed[0]["id"]), found)


def add_tracks(
    store: Store, disc_id: int, artist: str, tracks: Sequence[TypedTrack], source: str, who: str,
    now: datetime,
) -> Filed:  # fmt: skip
    """Type the tracks of a disc that is filed. Its entry as a whole goes, if it has one: as a
    single's first side it becomes that track.

    Raises NotFound, or BadInput for a place on the disc where another track is.
    """
    held = rows.disc(store, disc_id)
    disc = TypedDisc(
        held.title, artist, held.carrier, held.shelf_mark, held.place, held.condition,
        held.label, tracks=tuple(tracks),
    )  # fmt: skip
    _check(disc)
    if not tracks:
        raise BadInput("There are no tracks to keep. Write a title at least.")
    with undo.action(store, who, f"typed the tracks of {held.carrier} {held.shelf_mark}", now):
        placed = numbered(tracks)
        whole = _whole(store, held)
        for track in placed:
            if whole and plain(track.title) == plain(whole["title"]):
                rows.change_holding(store, whole["id"], side=track.side, track=track.track)
                whole = None
            else:
                _refuse_taken(store, held, track)
        entries = _entries(disc, held.shelf_mark, placed, source, frozenset({"year"}))
        found = _take(store, entries, who, now)
        if whole:
            _remove(store, int(whole["id"]), int(whole["recording_id"]))
        return Filed(disc_id, found)


def free_mark(store: Store, carrier: Carrier, wanted: str, *, counted: bool = False) -> str:
    """A shelf mark that no disc of this kind has: the one wanted, or with a number after it."""
    number = 1
    mark = f"{wanted} {number}" if counted else wanted
    while store.rows(
        "SELECT 1 FROM discs WHERE carrier = ? AND shelf_mark = ? COLLATE NOCASE", (carrier, mark)
    ):
        number += 1
        mark = f"{wanted} {number}"
    return mark


def _check(disc: TypedDisc) -> None:
    if disc.carrier is Carrier.FILE:
        raise BadInput("It is a file, not a disc. Take files in with add-files.")
    if len(disc.tracks) > MOST_TRACKS:
        raise BadInput(f"That is more than {MOST_TRACKS} tracks. Is it one disc?")
    texts = [disc.title, disc.artist, disc.shelf_mark, disc.place, disc.label, disc.number]
    texts += [part for t in disc.tracks for part in (t.title, t.artist, t.side, t.track)]
    if long := next((text for text in texts if len(text) > LONGEST), ""):
        raise BadInput(f"“{long[:40]}…” is too long: {LONGEST} characters at most.")
    for place, track in enumerate(disc.tracks, 1):
        if not track.title.strip():
            raise BadInput(f"Track {place} has no title. Write one, or clear its line.")


def _entries(
    disc: TypedDisc, mark: str, tracks: Sequence[TypedTrack], source: str, guessed: frozenset[str]
) -> list[Entry]:
    """What is wrong with the barcode is said once, not of every track."""
    made = [_entry(disc, mark, track, source, guessed) for track in tracks]
    wrong = number_read(disc.number)[2]
    return [replace(made[0], notes=(wrong,)), *made[1:]] if wrong else made


def _entry(
    disc: TypedDisc, mark: str, track: TypedTrack, source: str, guessed: frozenset[str]
) -> Entry:
    barcode, number, _ = number_read(disc.number)
    artist = track.artist or disc.artist
    raw = {
        "title": track.title, "artist": artist, "album": disc.title, "label": disc.label,
        "number": disc.number, "year": str(disc.year or ""),
    }  # fmt: skip
    recording = NewRecording(
        track.title.strip(), artist.strip(), year=disc.year, length_s=track.length_s,
        album=disc.title.strip(), label=disc.label.strip(),
    )  # fmt: skip
    copy = Copy(
        disc.carrier, shelf_mark=mark, side=track.side, track=track.track,
        disc_title=disc.title.strip(), place=disc.place.strip(), condition=disc.condition,
        label=disc.label.strip(), number=number, barcode=barcode,
    )  # fmt: skip
    place = f"{track.side}{track.track}"
    said = {name: text for name, text in raw.items() if text}
    return Entry(
        f"{source}, {mark} {place}".strip(), said, recording, copy, guessed,
        (), {name: name for name in said},
    )  # fmt: skip


def _take(store: Store, entries: Sequence[Entry], who: str, now: datetime) -> dict[str, int]:
    """All of the entries, or none; which recording each title became."""
    found: dict[str, int] = {}
    with Batch(store, who, "", now) as batch:
        for entry in entries:
            batch.take(entry)
            if batch.report.refused:
                raise BadInput(batch.report.refused[0].text)
    for entry in entries:
        copy = entry.copy
        assert copy is not None
        there = store.rows(
            """SELECT h.recording_id AS id FROM holdings h JOIN discs d ON d.id = h.disc_id
            WHERE d.carrier = ? AND d.shelf_mark = ? AND h.side = ? AND h.track = ?
            ORDER BY h.id DESC LIMIT 1""",
            (copy.carrier, copy.shelf_mark, copy.side, copy.track),
        )
        found[plain(entry.recording.title)] = int(there[0]["id"])
    return found


def _whole(store: Store, disc: Disc) -> Row | None:
    """The copy that stands for the disc as a whole: without a place on it, and of its title."""
    held = store.rows(
        """SELECT h.id, h.recording_id, r.title FROM holdings h
        JOIN recordings r ON r.id = h.recording_id
        WHERE h.disc_id = ? AND h.side = '' AND h.track = '' ORDER BY h.id""",
        (disc.id,),
    )
    return next((row for row in held if plain(row["title"]) == plain(disc.title)), None)


def _refuse_taken(store: Store, disc: Disc, track: TypedTrack) -> None:
    held = store.rows(
        """SELECT r.title FROM holdings h JOIN recordings r ON r.id = h.recording_id
        WHERE h.disc_id = ? AND h.side = ? AND h.track = ? AND h.track <> ''""",
        (disc.id, track.side, track.track),
    )
    if held and all(plain(row["title"]) != plain(track.title) for row in held):
        raise BadInput(
            f"Track {track.side}{track.track} is “{held[0]['title']}” already. Correct it on its "
            "own page, or give this one another place."
        )


def _remove(store: Store, holding_id: int, recording_id: int) -> None:
    """Take out the copy of the whole, and its recording if nothing else stands on it."""
    with suppress(sqlite3.IntegrityError), store.transaction():
        merged_rows.remove_copy(store, holding_id)
    if store.rows("SELECT 1 FROM holdings WHERE recording_id = ?", (recording_id,)):
        return
    with suppress(sqlite3.IntegrityError), store.transaction():
        merged_rows.remove_recording(store, recording_id)
