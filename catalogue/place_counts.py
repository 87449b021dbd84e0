"""How many asked from where: counted as details are erased, so that no slip is tied to a place.

A count is of a month, a place and a way the requests came, one for each call or person, however
many records they asked for. It says nothing of who.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class PlaceCount:
    """So many requests in a month ("2026-11") from one place, by one way."""

    month: str
    place_id: int
    came_by: str
    requests: int


def add(store: Store, erased: Iterable[tuple[str, int, str]]) -> None:
    """Count erased details: for each the month, the place and the way it came.

    Inside the transaction that erases them, so that nothing is counted twice or lost.
    """
    for month, place_id, came_by in erased:
        store.db.execute(
            "INSERT INTO place_counts (month, place_id, came_by, requests) VALUES (?, ?, ?, 1) "
            "ON CONFLICT (month, place_id, came_by) DO UPDATE SET requests = requests + 1",
            (month, place_id, came_by),
        )


def since(store: Store, month: str) -> list[PlaceCount]:
    """What was counted from that month on, and what is not erased yet beside it.

    The rows are one for each month, place and way, in that order.
    """
    rows = store.rows(
        """SELECT month, place_id, came_by, sum(requests) AS requests FROM (
            SELECT month, place_id, came_by, requests FROM place_counts
            UNION ALL
            SELECT substr(c.written_at, 1, 7), c.place_id, s.came_by, 1
            FROM caller_details c JOIN slips s ON s.id = c.slip_id
            WHERE c.place_id IS NOT NULL AND s.same_call IS NULL)
        WHERE month >= ? GROUP BY month, place_id, came_by ORDER BY month, place_id, came_by""",
        (month,),
    )
    return [PlaceCount(**row) for row in rows]
