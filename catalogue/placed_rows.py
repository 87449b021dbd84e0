"""Where discs are, as their rows have it: counted, and moved from one place to another.

Beside `catalogue_rows.py`, which owns the same table. Writes happen inside `undo.action`.
"""

from __future__ import annotations

from catalogue.store import Store


def counts(store: Store) -> list[tuple[str, int]]:
    """Every place that discs are at, as it is written most, and how many discs are there."""
    rows = store.rows(
        "SELECT trim(place) AS name, count(*) AS n FROM discs WHERE trim(place) <> '' "
        "GROUP BY trim(place) COLLATE NOCASE ORDER BY 1 COLLATE NOCASE"
    )
    return [(row["name"], row["n"]) for row in rows]


def move(store: Store, old: str, new: str) -> int:
    """Every disc at one place is at another; returns how many were."""
    cursor = store.db.execute(
        "UPDATE discs SET place = ?1 WHERE trim(place) = ?2 COLLATE NOCASE AND place <> ?1",
        (new, old),
    )
    return int(cursor.rowcount)
