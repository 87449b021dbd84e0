"""One batch of a taking-in: one transaction, one action, its own counts.

The action is opened with the first write, so that a second run, which has nothing to write,
leaves no empty action behind.
"""

from __future__ import annotations

import json
from contextlib import ExitStack
from dataclasses import fields, replace
from datetime import datetime
from types import TracebackType
from typing import Any

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import BadInput
from catalogue.records import NewDisc, NewHolding, NewRecording
from catalogue.store import Row, Store
from importers import known_copies, same_recording
from importers.entries import LONGEST_TEXT, Copy, Entry, Refused, Taken, Unchanged
from importers.reach import Reach
from importers.report import Remark, Report
from importers.words import plain

_FIELDS = tuple(f.name for f in fields(NewRecording))


_IDENTITY = ("title", "artist", "version")
_BLANK: tuple[object, ...] = ("", None, "unknown")
_DISC_FIELDS = ("title", "place", "condition", "label", "number", "note", "barcode")
_SOUNDS_LIKE = "it sounds exactly as {path} does, which is called “{title}” by {artist}"


class Batch:
    """Takes entries in within one transaction; leaves nothing if it ends in an error."""

    def __init__(self, store: Store, who: str, what: str, now: datetime) -> None:
        self._store, self._who, self._now, self._reach = store, who, now, Reach(store)
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
            self.report.refused.append(Remark(taken.source, taken.why, taken.raw, taken.mend))
        else:
            try:
                self._take_entry(taken)
            except BadInput as problem:
                self.report.refused.append(
                    Remark(taken.source, problem.message, taken.raw, taken.raw)
                )

    def _act(self) -> int:
        """The action of this batch, opened when it is first needed."""
        if self._action_id is None:
            self._action_id = self._stack.enter_context(
                undo.action_within(self._store, self._who, self.report.what, self._now)
            )
            self.report.action_ids.append(self._action_id)
        return self._action_id

    def _take_entry(self, entry: Entry) -> None:
        if not entry.recording.title.strip():
            raise BadInput("There is no title. Write what is on the label, or “Untitled”.")
        for name in _FIELDS:
            text = getattr(entry.recording, name)
            if isinstance(text, str) and len(text) > LONGEST_TEXT:
                raise BadInput(
                    f"Its {name.replace('_', ' ')} is {len(text):,} letters long. Look whether "
                    "line ends or quotes were lost, and mend it."
                )
        if held := known_copies.at_its_place(self._store, entry):
            self._again(entry, held)
            return
        twins = known_copies.of_this_sound(self._store, entry.copy) if entry.copy else []
        if moved := known_copies.moved_from(twins, entry.recording, self._reach):
            self._move(entry, moved)
            return
        known = self._known(entry, twins)
        if known is None:
            self._act()
            recording_id = self._add_recording(entry.recording)
            notes = [_SOUNDS_LIKE.format(**twins[0])] if twins else []
            self._keep(entry, recording_id, self._file_copy(entry, recording_id), "added", notes)
            self.report.added += 1
        elif entry.copy is None:
            self._fill(entry, known, None)
        else:
            self._act()
            changes = self._blanks(entry, known)
            if changes:
                rows.change_recording(self._store, known, **changes)
            self._keep(entry, known, self._file_copy(entry, known), "new copy")
            self.report.new_copies += 1

    def _known(self, entry: Entry, twins: list[Row]) -> int | None:
        """The recording of this name; without a name of its own, the one that sounds the same."""
        if twins and entry.guessed >= {"title", "artist"}:
            return int(twins[0]["recording_id"])
        for twin in twins:
            if known_copies.same_name(twin, entry.recording):
                return int(twin["recording_id"])
        return same_recording.find(self._store, entry.recording, entry.guessed)

    # Writing

    def _again(self, entry: Entry, held: Row) -> None:
        """A copy that is known: bring up to date what only an earlier reading has said."""
        copy, recording_id = entry.copy, int(held["recording_id"])
        other_sound = False
        if copy and copy.path:
            self._renew_file(copy, held)
            other_sound = bool(held["audio"]) and held["audio"] != copy.audio
        if not known_copies.same_name(held, entry.recording):
            if other_sound:
                self._repoint(entry, held, ["another recording has this file’s name now"])
                return
            if self._is_shared(recording_id, held):
                self._repoint(entry, held)
                return
        self._fill(entry, recording_id, int(held["id"]))

    def _move(self, entry: Entry, held: Row) -> None:
        """A file that is elsewhere now: its copy goes with it, and keeps its history."""
        copy = entry.copy
        assert copy is not None
        self._act()
        rows.change_holding(self._store, held["id"], path=copy.path)
        self._renew_file(copy, held)
        recording_id = int(held["recording_id"])
        if not known_copies.same_name(held, entry.recording) and self._is_shared(
            recording_id, held
        ):
            self._repoint(entry, held)
        else:
            self._fill(entry, recording_id, int(held["id"]), f"was {held['path']}")
        self.report.moved += 1

    def _renew_file(self, copy: Copy, held: Row) -> None:
        """The size and the time of a file as it is now; one that was missed is there again."""
        there = {"file_size": copy.size, "file_time": copy.mtime, "missing": 0,
                 "missing_since": None, "audio": copy.audio}  # fmt: skip
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

    def _repoint(self, entry: Entry, held: Row, notes: list[str] | None = None) -> None:
        """A copy whose name was corrected, while other copies keep the old name; or a place where
        another recording is now."""
        self._act()
        twins = known_copies.of_this_sound(self._store, entry.copy) if entry.copy else []
        recording_id = self._known(entry, twins) or self._add_recording(entry.recording)
        rows.change_holding(self._store, held["id"], recording_id=recording_id)
        self._keep(entry, recording_id, int(held["id"]), "changed", notes)
        self.report.changed += 1

    def _fill(
        self, entry: Entry, recording_id: int, holding_id: int | None, moved: str = ""
    ) -> None:
        """Blanks filled and untouched readings renewed; counts as changed or already held.

        `moved` says where a file was before.
        """
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
        if changes or notes or disc_changed or moved:
            self._act()
            self._keep(entry, recording_id, holding_id, "moved" if moved else "changed", notes,
                       moved)  # fmt: skip
        if changes or disc_changed or moved:
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
        if (
            new.tempo
            and old.tempo
            and new.tempo != old.tempo
            and same_recording.tempo_was_measured(self._store, recording_id, old.tempo)
        ):
            changes["tempo"] = new.tempo
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
                speed=copy.speed, file_size=copy.size, file_time=copy.mtime, audio=copy.audio,
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
        notes: list[str] | None = None, aside: str = "",
    ) -> None:  # fmt: skip
        """Keep the raw values beside what they were read as, and pass on what was noted; what is
        said `aside` is only kept."""
        remarks = [*entry.notes, *(notes or [])]
        for note in remarks:
            self._look(entry, note)
        remarks += [aside] if aside else []
        kept = {
            "said": dict(entry.raw),
            "read_as": {name: getattr(entry.recording, name) for name in _FIELDS},
            "guessed": sorted(entry.guessed),
            "came_from": dict(entry.came_from),
            "numbers": dict(entry.numbers),
        }
        self._store.db.execute(
            "INSERT INTO raw_entries (action_id, source, recording_id, holding_id, outcome, note, "
            "raw) VALUES (?, ?, ?, ?, ?, ?, ?)",
            (self._act(), entry.source, recording_id, holding_id, outcome, "\n".join(remarks),
             json.dumps(kept)),
        )  # fmt: skip

    def _look(self, entry: Entry, note: str) -> None:
        self.report.needs_a_look.append(Remark(entry.source, note))


def _disc_of(copy: Copy) -> NewDisc:
    return NewDisc(
        copy.carrier, copy.shelf_mark.strip(), copy.disc_title, copy.place, copy.condition,
        copy.label, copy.number, copy.note, copy.barcode,
    )  # fmt: skip
