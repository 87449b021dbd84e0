"""What was measured from the sound of files, beside what people typed. Owns `measures`.

A measured value never takes the place of one that somebody wrote: both are kept, this one with
how it was come by. It is not tracked: measuring again brings it back.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from catalogue.store import Store

OUTCOME = "outcome"
"""Name of the row that says a file was measured, or why it could not be."""

FINGERPRINT = "fingerprint"
"""Name of the acoustic fingerprint, as text."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One value of one file. `other` is a second reading, such as half the tempo; `confidence`
    is from 0 to 1; `how` names the method."""

    name: str
    value: str
    other: float | None = None
    confidence: float | None = None
    how: str = ""

    @property
    def number(self) -> float | None:
        """The value as a number, or None."""
        try:
            return float(self.value)
        except ValueError:
            return None


@dataclass(frozen=True, slots=True)
class Unmeasured:
    """A file that waits to be measured."""

    holding_id: int
    recording_id: int
    path: str
    audio: str


def keep(
    store: Store, file: Unmeasured, found: Iterable[Measure], problem: str, now: datetime
) -> None:
    """Keep what was measured in place of what was measured before; `problem` says why not."""
    at = now.isoformat(timespec="seconds")
    rows = [*found, Measure(OUTCOME, problem or "measured")]
    with store.transaction() as db:
        db.execute("DELETE FROM measures WHERE holding_id = ?", (file.holding_id,))
        for one in rows:
            db.execute(
                "INSERT INTO measures (holding_id, name, value, other, confidence, audio, how, at) "
                "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                (file.holding_id, one.name, one.value, one.other, one.confidence, file.audio,
                 one.how, at),
            )  # fmt: skip


def of(store: Store, holding_ids: Sequence[int]) -> dict[int, dict[str, Measure]]:
    """The measures of these copies by name, without the outcome."""
    found: dict[int, dict[str, Measure]] = {holding_id: {} for holding_id in holding_ids}
    for row in store.rows(
        """SELECT holding_id, name, value, other, confidence, how FROM measures
        WHERE holding_id IN (SELECT value FROM json_each(?)) AND name <> ?""",
        (json.dumps(list(holding_ids)), OUTCOME),
    ):
        holding_id = row.pop("holding_id")
        found[holding_id][row["name"]] = Measure(**row)
    return found


_WAITING = """FROM holdings h WHERE h.path NOT NULL AND NOT h.missing AND NOT EXISTS (
    SELECT 1 FROM measures m WHERE m.holding_id = h.id AND m.name = 'outcome'
    AND m.audio = h.audio)"""


def waiting(store: Store, after: int = 0, limit: int = 100) -> list[Unmeasured]:
    """The next files that were not measured, or whose sound changed since, by their ids."""
    rows = store.rows(
        f"""SELECT h.id AS holding_id, h.recording_id, h.path, h.audio {_WAITING}
        AND h.id > ? ORDER BY h.id LIMIT ?""",
        (after, limit),
    )
    return [Unmeasured(**row) for row in rows]


def how_many_wait(store: Store) -> int:
    """How many files wait to be measured."""
    return int(store.rows(f"SELECT count(*) AS n {_WAITING}")[0]["n"])


def forget_outcomes(store: Store) -> None:
    """Let every file be measured again."""
    with store.transaction() as db:
        db.execute("DELETE FROM measures WHERE name = ?", (OUTCOME,))
