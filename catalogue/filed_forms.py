"""Every form under which recordings are filed, read from the store, for the sound index."""

from __future__ import annotations

import json
from collections.abc import Iterator

from catalogue.filed_names import Filed, forms_of
from catalogue.search_keys import Form, form_of
from catalogue.store import Store

_BASE = """SELECT r.id, r.title, a.name, r.composer, r.work, r.movement, r.soloist, r.conductor
    FROM recordings r JOIN artists a ON a.id = r.artist_id"""
_OTHERS = """SELECT r.id, o.kind, r.title, o.name FROM other_names o
    JOIN recordings r ON r.artist_id = o.artist_id {where}
    UNION ALL SELECT r.id, o.kind, o.name, CASE WHEN o.kind = 'hearing' THEN '' ELSE a.name END
    FROM other_names o JOIN recordings r ON r.id = o.recording_id
    JOIN artists a ON a.id = r.artist_id {where}"""


def filed_forms(store: Store, ids: list[int] | None) -> Iterator[tuple[int, Form]]:
    """Every name of these recordings, or of all: its own, its parts, and its other names."""
    where, chosen = "", []
    if ids is not None:
        where, chosen = "WHERE r.id IN (SELECT value FROM json_each(?))", [json.dumps(ids)]
    for recording_id, *filed in store.db.execute(f"{_BASE} {where}", chosen):
        for form in forms_of(Filed(*filed)):
            yield recording_id, form
    for recording_id, kind, title, artist in store.db.execute(
        _OTHERS.format(where=where), chosen * 2
    ):
        yield recording_id, form_of(title, artist, kind)
