"""What callers here took and refused in place of what: counts alone, visible, and to be forgotten.

No time, no slip and no name is kept, so that nothing leads back to a call; for the same reason
nothing here is noted in the history of actions. A stand-in that went to air is counted by a
trigger when its slip is played (and discounted when that is taken back); what a caller refused is
counted here. `asked_id` 0 stands for a request that named no record.
"""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.errors import NotFound
from catalogue.store import Store

NO_RECORD = 0

_LOOKED_AT = 400
"""Records of one artist whose lessons are looked at: more than nearly any artist has."""

_NOW = "coalesce((SELECT kept FROM merged_recordings WHERE gone = {0}), {0})"
"""SQL for the recording that stands for one now. What was learnt of a recording that was merged
into another counts for the other; the rows stay as they are, so that a merger can be undone."""

_ARTISTS = 12
"""Artists that one artist's records were swapped for most often: more are never offered."""


@dataclass(frozen=True, slots=True)
class Tally:
    """How often a recording went to air in place of another, and how often it was refused."""

    taken: int = 0
    refused: int = 0


@dataclass(frozen=True, slots=True)
class Lesson:
    """One line for the station to look at; `asked` is "" for a request that named no record."""

    id: int
    asked: str
    offered: str
    taken: int
    refused: int


def refuse(store: Store, asked_id: int | None, offered_id: int) -> None:
    """Count that a caller would not have this one in place of that one (None: of no record).

    Raises NotFound for an unknown recording. The caller's own list is kept by leaving it out.
    """
    with store.transaction() as db:
        for wanted in {offered_id, asked_id} - {None, NO_RECORD}:
            if not store.rows("SELECT 1 FROM recordings WHERE id = ?", (wanted,)):
                raise NotFound(f"There is no recording number {wanted}; nothing was noted.")
        db.execute(
            "INSERT INTO stand_in_lessons (asked_id, offered_id, refused) VALUES (?, ?, 1) "
            "ON CONFLICT (asked_id, offered_id) DO UPDATE SET refused = refused + 1",
            (asked_id or NO_RECORD, offered_id),
        )


def unrefuse(store: Store, asked_id: int | None, offered_id: int) -> None:
    """Take one refusal back: the wrong key was pressed."""
    with store.transaction() as db:
        db.execute(
            "UPDATE stand_in_lessons SET refused = max(0, refused - 1) "
            "WHERE asked_id = ? AND offered_id = ?",
            (asked_id or NO_RECORD, offered_id),
        )


def tallies(store: Store, asked_id: int | None) -> dict[int, Tally]:
    """What was taken and refused in place of this recording (None: of no record), or of one that
    was merged into it."""
    rows = store.rows(
        f"""SELECT {_NOW.format("l.offered_id")} AS id, sum(taken) AS taken, sum(refused) AS refused
        FROM stand_in_lessons l
        WHERE l.asked_id = ? OR l.asked_id IN (SELECT gone FROM merged_recordings WHERE kept = ?)
        GROUP BY 1""",
        (asked_id or NO_RECORD, asked_id),
    )
    return {row["id"]: Tally(row["taken"], row["refused"]) for row in rows if row["id"] != asked_id}


def artists_swapped(store: Store, artist_id: int) -> dict[int, int]:
    """The artists whose records callers took in place of this one's or the other way round, with
    how often."""
    rows = store.rows(
        f"""WITH named AS (SELECT id FROM recordings WHERE artist_id = ? LIMIT ?),
        own AS (SELECT id FROM named UNION ALL
            SELECT m.gone FROM named JOIN merged_recordings m ON m.kept = named.id)
        SELECT r.artist_id AS id, sum(swap.taken) AS times FROM (
            SELECT l.offered_id AS other, l.taken FROM own JOIN stand_in_lessons l
                ON l.asked_id = own.id
            UNION ALL
            SELECT l.asked_id, l.taken FROM own JOIN stand_in_lessons l ON l.offered_id = own.id
        ) swap JOIN recordings r ON r.id = {_NOW.format("swap.other")}
        WHERE swap.taken > 0 AND r.artist_id <> ?
        GROUP BY r.artist_id ORDER BY times DESC, id LIMIT ?""",
        (artist_id, _LOOKED_AT, artist_id, _ARTISTS),
    )
    return {row["id"]: row["times"] for row in rows}


def lessons(store: Store, limit: int = 200) -> list[Lesson]:
    """All that was learnt, most often first, in words."""
    rows = store.rows(
        f"""SELECT l.id, coalesce('“' || a.title || '” by ' || aa.name, '') AS asked,
            '“' || o.title || '” by ' || oa.name AS offered, l.taken, l.refused
        FROM stand_in_lessons l
            JOIN recordings o ON o.id = {_NOW.format("l.offered_id")}
            JOIN artists oa ON oa.id = o.artist_id
            LEFT JOIN recordings a ON a.id = {_NOW.format("l.asked_id")}
            LEFT JOIN artists aa ON aa.id = a.artist_id
        WHERE l.taken + l.refused > 0
        ORDER BY l.taken + l.refused DESC, l.id LIMIT ?""",
        (limit,),
    )
    return [Lesson(**row) for row in rows]


def forget(store: Store, lesson_id: int) -> None:
    """Forget one line. Raises NotFound."""
    with store.transaction() as db:
        if not db.execute("DELETE FROM stand_in_lessons WHERE id = ?", (lesson_id,)).rowcount:
            raise NotFound("That line is gone already. Look at the list again.")


def forget_all(store: Store) -> int:
    """Begin anew; returns how many lines there were."""
    with store.transaction() as db:
        return int(db.execute("DELETE FROM stand_in_lessons").rowcount)
