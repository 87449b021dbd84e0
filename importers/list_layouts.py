"""What the columns of lists of one making mean, as a person said. Owns `list_layouts`."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime

from catalogue.store import Store


def remembered(store: Store) -> dict[str, tuple[str, ...]]:
    """Shape of a list (`columns.shape`) to the fields of its columns."""
    rows = store.rows("SELECT shape, layout FROM list_layouts")
    return {row["shape"]: tuple(json.loads(row["layout"])) for row in rows}


def remember(store: Store, said: Mapping[str, Sequence[str]], who: str, now: datetime) -> None:
    """Keep what was said for the next list of each shape, in place of what was said before."""
    with store.transaction() as db:
        for shape, fields in said.items():
            db.execute(
                "INSERT OR REPLACE INTO list_layouts (shape, layout, who, at) VALUES (?, ?, ?, ?)",
                (shape, json.dumps(list(fields)), who, now.isoformat(timespec="seconds")),
            )
