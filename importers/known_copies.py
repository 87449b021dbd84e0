"""Which copy of the catalogue an entry is about: by its place, or by its sound."""

from __future__ import annotations

from catalogue.records import NewRecording
from catalogue.store import Row, Store
from importers import same_recording
from importers.entries import Copy, Entry
from importers.reach import Reach
from importers.words import plain

_TWINS = 24
"""Files of one sound that are looked at: of an empty clip there may be thousands."""

_COPY = """SELECT h.id, h.recording_id, h.path, h.file_size, h.file_time, h.missing,
    h.missing_since, h.audio, r.title, r.version, a.name AS artist FROM holdings h
    JOIN recordings r ON r.id = h.recording_id JOIN artists a ON a.id = r.artist_id"""


def at_its_place(store: Store, entry: Entry) -> Row | None:
    """The copy at the path, or at the place on the shelf, that an entry names."""
    copy = entry.copy
    if copy is None:
        return None
    if copy.path:
        found = store.rows(f"{_COPY} WHERE h.path = ?", (copy.path,))
        return found[0] if found else None
    found = store.rows(
        f"""{_COPY} JOIN discs d ON d.id = h.disc_id
        WHERE d.carrier = ? AND d.shelf_mark = ? AND h.side = ? AND h.track = ?""",
        (copy.carrier, copy.shelf_mark.strip(), copy.side, copy.track),
    )
    for row in found:
        if same_name(row, entry.recording):
            return row
    if not copy.track:
        return None
    return next((row for row in found if _said_before(store, entry, row)), None)


def _said_before(store: Store, entry: Entry, row: Row) -> bool:
    """Whether the same row of the same list named this copy before: it was corrected since."""
    return bool(
        store.rows(
            "SELECT 1 FROM raw_entries WHERE recording_id = ? AND holding_id = ? "
            "AND source = ? LIMIT 1",
            (row["recording_id"], row["id"], entry.source),
        )
    )


def of_this_sound(store: Store, copy: Copy) -> list[Row]:
    """The other files that sound as this one does, to the byte.

    The index holds only files whose sound is known, and is used only where the query says so.
    """
    if not copy.audio:
        return []
    return store.rows(
        f"{_COPY} WHERE h.audio = ? AND h.audio <> '' AND h.path <> ? ORDER BY h.id LIMIT ?",
        (copy.audio, copy.path, _TWINS),
    )


def moved_from(twins: list[Row], new: NewRecording, reach: Reach) -> Row | None:
    """Of the files that sound alike the one that is no longer at its place, if any.

    One of the same name comes first; a file may have been retagged on its way.
    """
    gone = [row for row in twins if reach.is_gone(row["path"])]
    return min(gone, key=lambda row: not same_name(row, new), default=None)


def same_name(row: Row, new: NewRecording) -> bool:
    """Whether title, artist and version of a copy are those of an entry."""
    return (
        plain(row["title"]) == plain(new.title)
        and same_recording.same_artist(row["artist"], new.artist)
        and same_recording.same_version(row["version"], new.version)
    )
