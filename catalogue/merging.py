"""Making one recording of two, and one disc of two, when a librarian has said that they are.

Every owner points its rows at the record that stays: copies, plays, slips, wants, other names,
lessons, judgements. Files are never touched. It is one action, so that `undo.take_back` undoes it
whole at any time; work done since on other columns stays.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, fields
from datetime import datetime

from catalogue import (
    catalogue_rows,
    disc_doubles,
    duplicates,
    loans,
    merged_rows,
    play_log,
    pull_list,
    request_slips,
    running_order,
    shelf_looks,
    stocktake,
    undo,
    wants,
)
from catalogue.errors import BadInput
from catalogue.records import NewRecording, Recording, Voice
from catalogue.spelling import plain, without_version
from catalogue.store import Store
from catalogue.verdicts import Verdict

FIELDS = tuple(field.name for field in fields(NewRecording))
"""What can be kept from either record, by name."""

OWNERS: tuple[Callable[[Store, int, int], None], ...] = (
    merged_rows.point_at,
    play_log.point_at,
    request_slips.point_at,
    running_order.point_at,
    wants.point_at,
    duplicates.point_at,
)
"""Whoever has rows that point at recordings; a test holds this against the tables."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One field in which two records differ: both values, and whether the other's is better to
    keep as far as a program can tell, since only it is known."""

    field: str
    stays: object
    goes: object
    take: bool


def choices(stays: Recording, goes: Recording) -> list[Choice]:
    """The fields that differ, for the librarian to choose from."""
    found = []
    for name in FIELDS:
        ours, theirs = getattr(stays, name), getattr(goes, name)
        if ours != theirs:
            found.append(Choice(name, ours, theirs, not _said(ours) and _said(theirs)))
    return found


def merge(
    store: Store,
    kept: int,
    gone: int,
    who: str,
    now: datetime,
    take: Collection[str] | None = None,
) -> int:
    """Make two recordings one; returns the number of the action, by which it is undone.

    `kept` stays, with the fields named in `take` from the other; without `take` those that only
    the other knows. The pair is judged "same" in the same action. Raises NotFound for an unknown
    recording, BadInput for one recording twice or an unknown field.
    """
    if kept == gone:
        raise BadInput("That is one recording, not two.")
    if unknown := set(take or ()) - set(FIELDS):
        raise BadInput(f"A recording has no field {', '.join(sorted(unknown))}.")
    stays = catalogue_rows.recording(store, kept)
    goes = catalogue_rows.recording(store, gone)
    if take is None:
        take = [choice.field for choice in choices(stays, goes) if choice.take]
    what = f"made recording {gone} one with recording {kept}"
    with undo.action(store, who, what, now) as action_id:
        duplicates.judge(store, kept, gone, Verdict.SAME, who, now)
        for point_at in OWNERS:
            point_at(store, gone, kept)
        at = now.isoformat(timespec="seconds")
        store.db.execute("UPDATE merged_recordings SET kept = ? WHERE kept = ?", (kept, gone))
        store.db.execute(
            "INSERT INTO merged_recordings (gone, kept, taken, signed_by, at) "
            "VALUES (?, ?, ?, ?, ?)",
            (gone, kept, " ".join(sorted(take)), who, at),
        )
        changes = {name: getattr(goes, name) for name in take}
        catalogue_rows.change_recording(
            store, kept, **{n: v for n, v in changes.items() if v != getattr(stays, n)}
        )
        merged_rows.remove_recording(store, gone)
    return action_id


def stands_for(store: Store, recording_id: int) -> int:
    """The recording that stands for this one now: itself, or what it was merged into."""
    rows = store.rows("SELECT kept FROM merged_recordings WHERE gone = ?", (recording_id,))
    return int(rows[0]["kept"]) if rows else recording_id


def merge_discs(
    store: Store,
    kept: int,
    gone: int,
    who: str,
    now: datetime,
    recordings: Iterable[tuple[int, int]] = (),
) -> int:
    """Make one of a disc that was shelved twice on paper; returns the number of the action.

    `recordings` are pairs of recordings that are made one in the same action, the one that stays
    first. What is on both discs at the same place is there once; what only the other's list has
    comes to the disc that stays. The discs are judged "same". Raises NotFound for an unknown disc,
    BadInput for one disc twice.
    """
    if kept == gone:
        raise BadInput("That is one disc, not two.")
    stays, goes = catalogue_rows.disc(store, kept), catalogue_rows.disc(store, gone)
    if stays.carrier != goes.carrier:
        raise BadInput(f"A {stays.carrier} and a {goes.carrier} are not one disc.")
    what = f"made disc {goes.shelf_mark} one with disc {stays.shelf_mark}"
    with undo.action(store, who, what, now) as action_id:
        disc_doubles.judge(store, kept, gone, Verdict.SAME, who, now)
        for one, other in recordings:
            merge(store, stands_for(store, one), stands_for(store, other), who, now)
        for copy_gone, copy_kept in merged_rows.twin_copies(store, gone, kept):
            play_log.point_at_copy(store, copy_gone, copy_kept)
            request_slips.point_at_copy(store, copy_gone, copy_kept)
            running_order.point_at_copy(store, copy_gone, copy_kept)
            merged_rows.remove_copy(store, copy_gone)
        disc_doubles.point_at(store, gone, kept)
        shelf_looks.forget(store, gone)
        loans.point_at(store, gone, kept)
        pull_list.point_at_disc(store, gone, kept)
        stocktake.point_at_disc(store, gone, kept)
        known = {
            name: getattr(goes, name)
            for name in ("title", "label", "number", "barcode", "note")
            if getattr(goes, name) and not getattr(stays, name)
        }
        catalogue_rows.change_disc(store, kept, **known)
        merged_rows.move_disc(store, gone, kept)
    return action_id


def unmerge(store: Store, action_id: int, who: str, now: datetime) -> None:
    """Undo a merge whole: every copy, play, slip, want, lesson and judgement goes back.

    What somebody corrected since in the record that stayed is kept as it is. Raises NotFound or
    CannotTakeBack, as when one of the two was made one with a third since.
    """
    with store.transaction():
        undo.take_back(store, action_id, who, now, later_stays=("recordings",))
        rows = store.rows(
            "SELECT DISTINCT row_id AS id FROM changes WHERE action_id = ? "
            "AND table_name = 'recordings'",
            (action_id,),
        )
        for recording in catalogue_rows.recordings(store, [row["id"] for row in rows]).values():
            _put_song_right(store, recording, who, now)


def _put_song_right(store: Store, recording: Recording, who: str, now: datetime) -> None:
    """Title and composer may be of two minds by now, and the song is known by both."""
    (song,) = store.rows(
        "SELECT plain, composer_plain FROM songs WHERE id = ?", (recording.song_id,)
    )
    title = plain(without_version(recording.title))
    if (title, plain(recording.composer)) == (song["plain"], song["composer_plain"]):
        return
    with undo.action(store, who, f"put the song of recording {recording.id} right", now):
        catalogue_rows.change_recording(
            store, recording.id, title=recording.title, composer=recording.composer
        )


def _said(value: object) -> bool:
    return value not in (None, "", Voice.UNKNOWN)
