"""What the collection lacks: empty fields, unmet wants, recordings with no copy that plays."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import wants
from catalogue.catalogue_rows import recordings_where
from catalogue.records import Recording
from catalogue.store import Store
from catalogue.wants import Want

_EMPTY: dict[str, str] = {
    "year": "year IS NULL",
    "tempo": "tempo IS NULL",
    "composer": "composer = ''",
    "length": "length_s IS NULL",
    "genre": "genre = ''",
    "language": "language = ''",
    "voice": "voice = 'unknown'",
    "isrc": "isrc = ''",
}
_HELD = "EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id)"
_NO_COPY_PLAYS = f"""{_HELD} AND NOT EXISTS (
    SELECT 1 FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
    WHERE h.recording_id = r.id AND h.missing = 0 AND coalesce(d.missing, 0) = 0
        AND coalesce(d.condition, '') <> 'damaged')"""


@dataclass(frozen=True, slots=True)
class MissingField:
    """How many of the recordings held lack one field."""

    name: str
    missing: int
    of: int


def missing_fields(store: Store) -> list[MissingField]:
    """For each field: how many of the recordings we hold lack it, worst first."""
    counts = ", ".join(f"sum({test}) AS [{name}]" for name, test in _EMPTY.items())
    row = store.rows(f"SELECT count(*) AS [all], {counts} FROM recordings r WHERE {_HELD}")[0]
    found = [MissingField(name, int(row[name] or 0), int(row["all"])) for name in _EMPTY]
    return sorted(found, key=lambda field: (-field.missing, field.name))


def lacking(store: Store, name: str, limit: int = 200) -> list[Recording]:
    """The recordings we hold that lack this field. A KeyError for an unknown name."""
    return recordings_where(store, f"r.{_EMPTY[name]} AND {_HELD}", (), limit)


def unmet(store: Store) -> list[Want]:
    """What callers asked for and could not have, most asked for first."""
    return wants.all_wants(store)


def unplayable(store: Store, limit: int = 200) -> list[Recording]:
    """The recordings whose every copy is missing or damaged."""
    return recordings_where(store, _NO_COPY_PLAYS, (), limit)
