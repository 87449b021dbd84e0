"""Editing many records at once: what would change, then the change, in parts that are one action.

What is chosen are recordings. Fields of a recording are set to one value, or one wording is
replaced by another; the room and the condition are those of the discs that the recordings are on.
Nothing is written for what has the value already, and whatever is passed over is told.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from catalogue import catalogue_rows, undo
from catalogue.errors import BadInput
from catalogue.store import Store
from catalogue.work_in_parts import Progress, Stop, never, no_progress

AT_ONCE = 500
"""Records changed in one transaction: a tenth of a second, so that a desk hardly waits."""

MOST = 200_000
"""Records that can be chosen at once."""

OF_RECORDING = ("artist", "album", "year", "genre", "language", "voice", "composer", "label")
OF_DISC = ("place", "condition")
WORDED = ("title", "artist", "version", "album", "composer", "label")
"""Fields in which one wording can be replaced by another."""

SAMPLES = 8
"""Changes shown before they are made."""

AS_IT_IS, DISC_AS_IT_IS, NO_DISC = "as it is", "disc as it is", "no disc"
NO_NAME, NOT_THERE = "no name", "not there"
WHY = (AS_IT_IS, DISC_AS_IT_IS, NO_DISC, NO_NAME, NOT_THERE)
"""Why something is passed over: the record or the disc has the value already; the room or the
condition was to be set and the record is on no disc; nothing would be left of its title or
artist; it is gone."""

_NEVER_EMPTY = ("title", "artist")


@dataclass(frozen=True, slots=True)
class Wording:
    """A wording to be replaced: `old` by `new` in a field; only as whole words, if `whole`."""

    field: str
    old: str
    new: str
    whole: bool = True

    def applied(self, text: str) -> str:
        """The text with the wording replaced, and no double blanks left.

        >>> Wording("title", "Teh", "The").applied("Teh Tehran Song")
        'The Tehran Song'
        """
        found = re.escape(self.old)
        if self.whole:
            found = rf"(?<!\w){found}(?!\w)"
        return " ".join(re.sub(found, lambda _: self.new, text).split())


@dataclass(frozen=True, slots=True)
class Edit:
    """What is to be changed: values by the names of fields, and wordings to be replaced."""

    values: Mapping[str, Any] = field(default_factory=dict)
    wording: Wording | None = None

    def check(self) -> None:
        """Raise BadInput for what cannot be done to any record."""
        if not self.values and self.wording is None:
            raise BadInput("Say what is to be changed. Nothing was changed.")
        if unknown := set(self.values) - {*OF_RECORDING, *OF_DISC}:
            raise BadInput(f"{', '.join(sorted(unknown))} cannot be set for many records at once.")
        if "artist" in self.values and not str(self.values["artist"]).strip():
            raise BadInput("An artist needs a name. Nothing was changed.")
        if self.wording and (self.wording.field not in WORDED or not self.wording.old.strip()):
            raise BadInput("Write the wording that is to be replaced. Nothing was changed.")
        if self.wording and self.wording.field in self.values:
            raise BadInput("A field can be set, or its wording replaced, not both at once.")


@dataclass(frozen=True, slots=True)
class Change:
    """One change: of a recording or a disc, the columns as (field, before, after)."""

    kind: str
    id: int
    name: str
    values: tuple[tuple[str, Any, Any], ...]


@dataclass(slots=True)
class Outcome:
    """What an edit changes, or has changed: how many recordings and discs, how many recordings
    that were not chosen are on those discs, the first changes, and what is passed over and why."""

    recordings: int = 0
    discs: int = 0
    beside: int = 0
    samples: list[Change] = field(default_factory=list)
    passed_over: Counter[str] = field(default_factory=Counter)
    action_id: int | None = None
    stopped: bool = False

    def count(self, changes: Sequence[Change]) -> None:
        """Count changes in, and keep the first as samples."""
        self.recordings += sum(change.kind == "recording" for change in changes)
        self.discs += sum(change.kind == "disc" for change in changes)
        self.samples += changes[: SAMPLES - len(self.samples)]


def look(store: Store, ids: Sequence[int], edit: Edit) -> Outcome:
    """What the edit would change, without changing it. Raises BadInput."""
    outcome, chosen = Outcome(), _checked(ids, edit)
    for part in _parts(chosen):
        outcome.count(_of_recordings(store, part, edit, outcome))
    discs = _discs(store, chosen, edit, outcome)
    for part in _parts(discs):
        outcome.count(_of_discs(store, part, edit, outcome))
    outcome.beside = _beside(store, discs, chosen)
    return outcome


def run(
    store: Store,
    ids: Sequence[int],
    edit: Edit,
    who: str,
    what: str,
    now: datetime,
    progress: Progress = no_progress,
    stop: Stop = never,
) -> Outcome:
    """Change what the edit says, in parts, each of them whole or not done. Raises BadInput.

    Every part reads what it changes within its own transaction, so that of what another desk
    writes meanwhile nothing is overwritten but the fields that are set here.
    """
    outcome, chosen = Outcome(), _checked(ids, edit)
    discs = _discs(store, chosen, edit, outcome)
    total, done = len(chosen) + len(discs), 0
    for kind, parts in ((_of_recordings, _parts(chosen)), (_of_discs, _parts(discs))):
        for part in parts:
            if stop():
                outcome.stopped = True
                return outcome
            with store.transaction():
                changes = kind(store, part, edit, outcome)
                _write(store, changes, outcome, who, what, now)
            outcome.count(changes)
            done += len(part)
            progress(done, total)
    outcome.beside = _beside(store, discs, chosen)
    return outcome


def _write(
    store: Store, changes: Sequence[Change], outcome: Outcome, who: str, what: str, now: datetime
) -> None:
    if not changes:
        return  # a part in which nothing changes leaves no action behind
    with undo.action(store, who, what, now, outcome.action_id) as action_id:
        for change in changes:
            values = {name: after for name, _, after in change.values}
            if change.kind == "recording":
                catalogue_rows.change_recording(store, change.id, **values)
            else:
                catalogue_rows.change_disc(store, change.id, **values)
    outcome.action_id = outcome.action_id or action_id


def _checked(ids: Sequence[int], edit: Edit) -> list[int]:
    edit.check()
    unique = list(dict.fromkeys(ids))
    if not unique:
        raise BadInput("Choose the records that are to be changed. Nothing was changed.")
    if len(unique) > MOST:
        raise BadInput(f"{MOST:,} records can be changed at once. Choose fewer of them.")
    return unique


def _parts(ids: Sequence[int]) -> list[list[int]]:
    return [list(ids[start : start + AT_ONCE]) for start in range(0, len(ids), AT_ONCE)]


def _of_recordings(store: Store, ids: Sequence[int], edit: Edit, outcome: Outcome) -> list[Change]:
    if edit.wording is None and not set(edit.values) & set(OF_RECORDING):
        return []
    changes, found = [], catalogue_rows.recordings(store, ids)
    for number in ids:
        held = found.get(number)
        if held is None:
            outcome.passed_over[NOT_THERE] += 1
            continue
        values = [
            (name, getattr(held, name), value)
            for name, value in edit.values.items()
            if name in OF_RECORDING
        ]
        if edit.wording is not None:
            before = str(getattr(held, edit.wording.field))
            after = edit.wording.applied(before)
            if not after and edit.wording.field in _NEVER_EMPTY:
                outcome.passed_over[NO_NAME] += 1
                continue
            # Blanks alone are no change that anybody asked for.
            if after != " ".join(before.split()):
                values.append((edit.wording.field, before, after))
        differing = tuple(value for value in values if value[1] != value[2])
        if differing:
            changes.append(Change("recording", number, f"{held.title} · {held.artist}", differing))
        else:
            outcome.passed_over[AS_IT_IS] += 1
    return changes


def _discs(store: Store, ids: Sequence[int], edit: Edit, outcome: Outcome) -> list[int]:
    """The discs that the recordings are on, if anything of discs is to be set."""
    if not set(edit.values) & set(OF_DISC):
        return []
    rows = store.rows(
        """SELECT j.value AS id, h.disc_id FROM json_each(?) j
        LEFT JOIN holdings h ON h.recording_id = j.value AND h.disc_id IS NOT NULL""",
        (json.dumps(list(ids)),),
    )
    outcome.passed_over[NO_DISC] += sum(row["disc_id"] is None for row in rows)
    return sorted({row["disc_id"] for row in rows if row["disc_id"] is not None})


def _of_discs(store: Store, ids: Sequence[int], edit: Edit, outcome: Outcome) -> list[Change]:
    rows = store.rows(
        "SELECT d.* FROM json_each(?) j JOIN discs d ON d.id = j.value", (json.dumps(list(ids)),)
    )
    changes = []
    for row in rows:
        values = tuple(
            (name, row[name], value)
            for name, value in edit.values.items()
            if name in OF_DISC and row[name] != value
        )
        if values:
            name = f"{row['shelf_mark']} · {row['title']}".strip(" ·")
            changes.append(Change("disc", row["id"], name, values))
        else:
            outcome.passed_over[DISC_AS_IT_IS] += 1
    return changes


def _beside(store: Store, discs: Sequence[int], chosen: Sequence[int]) -> int:
    """Recordings on these discs that were not chosen."""
    if not discs:
        return 0
    rows = store.rows(
        """SELECT DISTINCT h.recording_id AS id FROM json_each(?) j
        JOIN holdings h ON h.disc_id = j.value""",
        (json.dumps(list(discs)),),
    )
    return len({row["id"] for row in rows} - set(chosen))
