"""The history of a record: who did what to it when, with every value before and after.

To a record belong its own row, its copies and the discs they are on, the loans of those discs,
its other names and its artist's. Plays and the requests that it went out for are read from their
own tables, where nothing of a caller is.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from catalogue import undo, who_changed
from catalogue.errors import CannotTakeBack
from catalogue.store import Store
from catalogue.undo import Action
from catalogue.who_changed import Change

LOOKED_AT_MOST = 200
"""Changed rows of an action up to which it is looked whether it can be taken back: a whole
taking-in has its own page for that."""

_OF_RECORD = """
    SELECT 'recordings' AS tbl, ?1 AS id
    UNION SELECT 'holdings', id FROM holdings WHERE recording_id = ?1
    UNION SELECT 'discs', disc_id FROM holdings WHERE recording_id = ?1 AND disc_id IS NOT NULL
    UNION SELECT 'loans', l.id FROM holdings h JOIN loans l ON l.disc_id = h.disc_id
        WHERE h.recording_id = ?1
    UNION SELECT 'artists', artist_id FROM recordings WHERE id = ?1
    UNION SELECT 'other_names', id FROM other_names WHERE recording_id = ?1
    UNION SELECT 'other_names', o.id FROM recordings r JOIN other_names o
        ON o.artist_id = r.artist_id WHERE r.id = ?1
    UNION SELECT 'other_names', c.row_id FROM recordings r JOIN changes c
        ON c.table_name = 'other_names' AND c.kind = 'delete'
        AND (json_extract(c.before, '$.recording_id') = r.id
            OR json_extract(c.before, '$.artist_id') = r.artist_id) WHERE r.id = ?1"""
"""The rows that belong to a record; of other names those too that were taken out."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that was done: the action, of a work in parts the first, and its changes to rows
    that belong to the record. `take_back_id` is the number by which it is taken back, and
    `may_take_back` whether it can be, as far as can be told; `why_not` says why it cannot.
    """

    action: Action
    changes: tuple[Change, ...]
    take_back_id: int
    may_take_back: bool
    why_not: str


@dataclass(frozen=True, slots=True)
class Outing:
    """A play: when, in which studio and programme, and what was asked for in its place, if it
    was a stand-in (None if it was not, or if nobody knows)."""

    at: str
    studio: str
    programme: str
    instead_of: str | None


def events(store: Store, recording_id: int, before: int | None, limit: int) -> list[Event]:
    """What was done to a record, latest first; with `before` only actions of a smaller number."""
    rows = store.rows(
        f"""SELECT c.id, coalesce(a.part_of, a.id) AS head, c.table_name, c.row_id, c.kind,
            c.before, c.after
        FROM ({_OF_RECORD}) own JOIN changes c ON c.table_name = own.tbl AND c.row_id = own.id
            JOIN actions a ON a.id = c.action_id
        WHERE head IN (
            SELECT DISTINCT coalesce(b.part_of, b.id) AS number FROM ({_OF_RECORD}) mine
            JOIN changes d ON d.table_name = mine.tbl AND d.row_id = mine.id
            JOIN actions b ON b.id = d.action_id
            WHERE ?2 IS NULL OR coalesce(b.part_of, b.id) < ?2 ORDER BY number DESC LIMIT ?3)
        ORDER BY head DESC, c.id""",
        (recording_id, before, limit),
    )
    changes: dict[int, list[Change]] = defaultdict(list)
    for row in rows:
        changes[row["head"]].append(who_changed.change_of(store, row))
    return [_event(store, number, tuple(made)) for number, made in changes.items()]


def _event(store: Store, number: int, changes: tuple[Change, ...]) -> Event:
    row = store.rows("SELECT id, at, who, what, takes_back FROM actions WHERE id = ?", (number,))[0]
    action = Action(**row)
    size = store.rows(
        "SELECT count(*) AS n FROM (SELECT 1 FROM changes WHERE action_id = ? LIMIT ?)",
        (number, LOOKED_AT_MOST + 1),
    )[0]["n"]
    if action.takes_back is not None or size > LOOKED_AT_MOST or _taken_in(action):
        return Event(action, changes, number, False, "")
    try:
        undo.refuse_if_stood_upon(store, action)
    except CannotTakeBack as problem:
        return Event(action, changes, number, False, problem.message)
    return Event(action, changes, number, True, "")


def _taken_in(action: Action) -> bool:
    """Whether it is a taking-in, which is taken back as a whole from its own page."""
    return action.what.startswith("took in ")


def outings(store: Store, recording_id: int, limit: int) -> list[Outing]:
    """When it went out, latest first."""
    rows = store.rows(
        """SELECT p.at, p.studio, coalesce(g.name, '') AS programme,
            CASE WHEN r.id IS NULL THEN NULL ELSE r.title || ' · ' || a.name END AS instead_of
        FROM plays p LEFT JOIN programmes g ON g.id = p.programme_id
        LEFT JOIN slips s ON s.id = p.slip_id LEFT JOIN recordings r ON r.id = s.stand_in_for
        LEFT JOIN artists a ON a.id = r.artist_id
        WHERE p.recording_id = ? ORDER BY p.at DESC, p.id DESC LIMIT ?""",
        (recording_id, limit),
    )
    return [Outing(**row) for row in rows]


def stood_in_by(store: Store, recording_id: int, limit: int) -> list[tuple[str, str]]:
    """(when, what went out) each time something else stood in for it, latest first."""
    rows = store.rows(
        """SELECT coalesce(s.done_at, s.started_at) AS at, r.title || ' · ' || a.name AS name
        FROM slips s JOIN recordings r ON r.id = s.recording_id JOIN artists a ON a.id = r.artist_id
        WHERE s.stand_in_for = ? AND s.state = 'played' ORDER BY s.id DESC LIMIT ?""",
        (recording_id, limit),
    )
    return [(row["at"], row["name"]) for row in rows]
