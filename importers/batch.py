"""One batch of a taking-in: one transaction, one action, its own counts.

The action is opened with the first write, so that a second run, which has nothing to write,
leaves no empty action behind.
"""

from __future__ import annotations

import json
from contextlib import ExitStack
from dataclasses import asdict, fields, replace
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import BadInput
from catalogue.records import NewDisc, NewHolding, NewRecording
from catalogue.spelling import plain
from catalogue.store import Row, Store
from importers import same_recording
from importers.entries import Copy, Entry, Refused, Taken, Unchanged
from importers.report import Remark, Report

_FIELDS = tuple(f.name for f in fields(NewRecording))
_IDENTITY = ("title", "artist", "version")
_BLANK: tuple[object, ...] = ("", None, "unknown")
_DISC_FIELDS = ("title", "place", "condition", "label", "number", "note")


class Batch:
    """Takes entries in within one transaction; leaves nothing if it ends in an error."""

    def __init__(self, store: Store, who: str, what: str, now: datetime) -> None:
        self._store, self._who, self._now = store, who, now
        self._stack = ExitStack()
        self._action_id: int | None = None
        self.report = Report(what)

    def __enter__(self) -> Batch:
        self._stack.enter_context(self._store.transaction())
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> bool | None:
        return self._stack.__exit__(kind, problem, trace)

    def take(self, taken: Taken) -> None:
        """Take one file or row in, and count it."""
        if isinstance(taken, Unchanged):
            self.report.already_held += 1
        elif isinstance(taken, Refused):
            self.report.refused.append(Remark(taken.source, taken.why, taken.raw))
        else:
            try:
                self._take_entry(taken)
            except BadInput as problem:
                self.report.refused.append(Remark(taken.source, problem.message, taken.raw))

    def _act(self) -> int:
        """The action of this batch, opened when it is first needed."""
        if self._action_id is None:
            self._action_id = self._stack.enter_context(
                undo.action(self._store, self._who, self.report.what, self._now)
            )
            self.report.action_ids.append(self._action_id)
        return self._action_id

    def _take_entry(self, entry: Entry) -> None:
        if not entry.recording.title.strip():
            raise BadInput("There is no title. Write what is on the label, or “Untitled”.")
        held = self._held(entry)
        if held:
            self._again(entry, held)
            return
        known = same_recording.find(self._store, entry.recording, entry.guessed)
        if known is None:
            self._act()
            recording_id = self._add_recording(entry.recording)
            self._keep(entry, recording_id, self._file_copy(entry, recording_id), "added")
            self.report.added += 1
        elif entry.copy is None:
            self._fill(entry, known, None)
        elif moved := self._moved_file(entry.copy, known):
            self._act()
            rows.change_holding(self._store, moved, path=entry.copy.path, missing=0,
                                file_time=entry.copy.mtime)  # fmt: skip
            self._keep(entry, known, moved, "moved")
            self.report.changed += 1
        else:
            self._act()
            changes = self._blanks(entry, known)
            if changes:
                rows.change_recording(self._store, known, **changes)
            self._keep(entry, known, self._file_copy(entry, known), "new copy")
            self.report.new_copies += 1

    # Finding what is there

    def _held(self, entry: Entry) -> Row | None:
        """The copy that this entry is about, if it is in the catalogue already."""
        copy = entry.copy
        if copy is None:
            return None
        if copy.path:
            found = self._store.rows(
                "SELECT id, recording_id, file_size, file_time, missing FROM holdings "
                "WHERE path = ?",
                (copy.path,),
            )
            return found[0] if found else None
        found = self._store.rows(
            """SELECT h.id, h.recording_id, r.title, r.version, a.name AS artist FROM discs d
            JOIN holdings h ON h.disc_id = d.id JOIN recordings r ON r.id = h.recording_id
            JOIN artists a ON a.id = r.artist_id
            WHERE d.carrier = ? AND d.shelf_mark = ? AND h.side = ? AND h.track = ?""",
            (copy.carrier, copy.shelf_mark.strip(), copy.side, copy.track),
        )
        new = entry.recording
        for row in found:
            if _same_name(row, new):
                return row
        return next((row for row in found if copy.track and self._said_before(entry, row)), None)

    def _said_before(self, entry: Entry, row: Row) -> bool:
        """Whether the same row of the same list named this copy before: it was corrected since."""
        return bool(
            self._store.rows(
                "SELECT 1 FROM raw_entries WHERE recording_id = ? AND holding_id = ? "
                "AND source = ? LIMIT 1",
                (row["recording_id"], row["id"], entry.source),
            )
        )

    def _moved_file(self, copy: Copy, recording_id: int) -> int | None:
        """A file of the same recording and size that is no longer where it was."""
        if not copy.path:
            return None
        for row in self._store.rows(
            "SELECT id, path FROM holdings WHERE recording_id = ? AND file_size = ?",
            (recording_id, copy.size),
        ):
            if row["path"] and not Path(row["path"]).exists():
                return int(row["id"])
        return None

    # Writing

    def _again(self, entry: Entry, held: Row) -> None:
        """A copy that is known: bring up to date what only an earlier reading has said."""
        copy, recording_id = entry.copy, int(held["recording_id"])
        if copy and copy.path:
            self._renew_file(copy, held)
        old = rows.recording(self._store, recording_id)
        if not _same_name(asdict(old), entry.recording) and self._is_shared(recording_id, held):
            self._repoint(entry, held)
            return
        self._fill(entry, recording_id, int(held["id"]))

    def _renew_file(self, copy: Copy, held: Row) -> None:
        """The size and the time of a file as it is now; one that was missed is there again."""
        there = {"file_size": copy.size, "file_time": copy.mtime, "missing": 0}
        if any(held[name] != value for name, value in there.items()):
            self._act()
            rows.change_holding(self._store, held["id"], **there)

    def _is_shared(self, recording_id: int, held: Row) -> bool:
        return bool(
            self._store.rows(
                "SELECT 1 FROM holdings WHERE recording_id = ? AND id <> ? LIMIT 1",
                (recording_id, held["id"]),
            )
        )

    def _repoint(self, entry: Entry, held: Row) -> None:
        """A copy whose name was corrected, while other copies keep the old name."""
        self._act()
        known = same_recording.find(self._store, entry.recording, entry.guessed)
        recording_id = known or self._add_recording(entry.recording)
        rows.change_holding(self._store, held["id"], recording_id=recording_id)
        self._keep(entry, recording_id, int(held["id"]), "changed")
        self.report.changed += 1

    def _fill(self, entry: Entry, recording_id: int, holding_id: int | None) -> None:
        """Blanks filled and untouched readings renewed; counts as changed or already held."""
        old = rows.recording(self._store, recording_id)
        changes, notes = self._blanks(entry, recording_id), []
        before = self._before(recording_id, holding_id)
        for name in _FIELDS if before else ():
            new, now = getattr(entry.recording, name), getattr(old, name)
            if new in _BLANK or new == now or before is None:
                continue
            if before.values.get(name) == new:  # It said so before, and was overruled since.
                changes.pop(name, None)
                continue
            if name in changes:
                continue
            if before.values.get(name) == now and (
                name not in entry.guessed or name in before.guessed
            ):
                changes[name] = new
            else:
                notes.append(f"the {name} stays “{now}”, as was written before; this says “{new}”")
        disc_changed = self._renew_disc(entry)
        if changes:
            self._act()
            rows.change_recording(self._store, recording_id, **changes)
        if changes or notes or disc_changed:
            self._act()
            self._keep(entry, recording_id, holding_id, "changed", notes)
        if changes or disc_changed:
            self.report.changed += 1
        else:
            self.report.already_held += 1

    def _before(self, recording_id: int, holding_id: int | None) -> same_recording.Reading | None:
        """What this copy said when it was last read."""
        if holding_id is None:
            return None
        said = same_recording.readings(self._store, recording_id)
        return next((reading for reading in said if reading.holding_id == holding_id), None)

    def _blanks(self, entry: Entry, recording_id: int) -> dict[str, Any]:
        """What the entry knows and the recording does not; and a year nearer the first release."""
        old, new = rows.recording(self._store, recording_id), entry.recording
        changes = {
            name: getattr(new, name)
            for name in _FIELDS
            if name not in _IDENTITY
            and getattr(old, name) in _BLANK
            and getattr(new, name) not in _BLANK
        }
        if old.year and new.year and old.year != new.year:
            better = "year" not in entry.guessed or new.year < old.year
            if better and same_recording.year_was_guessed(self._store, recording_id, old.year):
                changes["year"] = new.year
        return changes

    def _add_recording(self, new: NewRecording) -> int:
        """A new recording, its artist under the name that is known with or without an article."""
        artist = same_recording.known_artist(self._store, new.artist)
        return rows.add_recording(self._store, replace(new, artist=artist))

    def _file_copy(self, entry: Entry, recording_id: int) -> int | None:
        """The entry's copy as a holding, its disc shelved; None where nothing is held."""
        copy = entry.copy
        if copy is None:
            return None
        disc_id = None
        if not copy.path:
            disc_id = rows.shelve_disc(self._store, _disc_of(copy))
            self._renew_disc(entry)
        return rows.add_holding(
            self._store,
            NewHolding(
                recording_id, path=copy.path, disc_id=disc_id, side=copy.side, track=copy.track,
                speed=copy.speed, file_size=copy.size, file_time=copy.mtime,
            ),
        )  # fmt: skip

    def _renew_disc(self, entry: Entry) -> bool:
        """Blanks of the disc filled from the row; a title that disagrees is a thing to look at."""
        copy = entry.copy
        if copy is None or copy.path:
            return False
        found = self._store.rows(
            "SELECT id FROM discs WHERE carrier = ? AND shelf_mark = ?",
            (copy.carrier, copy.shelf_mark.strip()),
        )
        if not found:
            return False
        disc = rows.disc(self._store, found[0]["id"])
        new = _disc_of(copy)
        blank = {
            name: getattr(new, name)
            for name in _DISC_FIELDS
            if getattr(disc, name) in _BLANK and getattr(new, name) not in _BLANK
        }
        if new.title and disc.title and plain(disc.title) != plain(new.title):
            self._look(entry, f"{disc.shelf_mark} is “{disc.title}” here, but “{new.title}” "
                              "there; one shelf mark is for one disc")  # fmt: skip
        if blank:
            self._act()
            rows.change_disc(self._store, disc.id, **blank)
        return bool(blank)

    def _keep(
        self, entry: Entry, recording_id: int, holding_id: int | None, outcome: str,
        notes: list[str] | None = None,
    ) -> None:  # fmt: skip
        """Keep the raw values beside what they were read as, and pass on what was noted."""
        remarks = [*entry.notes, *(notes or [])]
        for note in remarks:
            self._look(entry, note)
        kept = {
            "said": dict(entry.raw),
            "read_as": {name: getattr(entry.recording, name) for name in _FIELDS},
            "guessed": sorted(entry.guessed),
        }
        self._store.db.execute(
            "INSERT INTO raw_entries (action_id, source, recording_id, holding_id, outcome, note, "
            "raw) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (self._act(), entry.source, recording_id, holding_id, outcome, "; ".join(remarks),
             json.dumps(kept)),
        )  # fmt: skip

    def _look(self, entry: Entry, note: str) -> None:
        self.report.needs_a_look.append(Remark(entry.source, note, entry.raw))


def _same_name(row: Row, new: NewRecording) -> bool:
    return (
        plain(row["title"]) == plain(new.title)
        and same_recording.same_artist(row["artist"], new.artist)
        and same_recording.same_version(row["version"], new.version)
    )


def _disc_of(copy: Copy) -> NewDisc:
    return NewDisc(
        copy.carrier, copy.shelf_mark.strip(), copy.disc_title, copy.place, copy.condition,
        copy.label, copy.number, copy.note,
    )  # fmt: skip
