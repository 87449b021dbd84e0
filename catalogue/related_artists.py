"""Artists who belong together: members and bands, duets, guests, albums shared, and swapped here.

"Ann Oke & Bo Quay", "Ann Oke feat. Bo Quay" and "Ann Oke and the Reeds" have parts, which the
store files with every artist (`artist_parts`); two artists with a part in common are related. So
are those on one various-artists disc or album, and those whose records callers took in place of
one another.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from catalogue import stand_in_lessons
from catalogue.spelling import plain
from catalogue.store import Store


class Tie(StrEnum):
    """What ties two artists together, closest first."""

    SINGS_WITH = "sings with"
    SWAPPED_HERE = "swapped here"
    SHARED_ALBUM = "shared album"


@dataclass(frozen=True, slots=True)
class Related:
    """A tie and how close it is, 0 to 1."""

    tie: Tie
    closeness: float


NOBODY = frozenset({"unknown artist", "unknown", "various", "various artists"})
"""Names of nobody in particular; their plain form (common practice, no source)."""

_SECOND_HAND = 0.9
"""Closeness of those who share a partner only ("A & B", "C & B"), against 1 for a shared name. The
tags of the first agree by 0.68, of the second by 0.61, of any two of a year by 0.23
(`python -m tests.benchmarks.fit_stand_ins --ties`): much the same, but harder to explain."""

_OF_SHARED_ALBUM = 0.4
"""By judgement: a various-artists disc has one subject, but no data of ours says how much."""

_OFTEN_SWAPPED = 3
"""Times after which artists swapped here are as close as partners: half as close at once."""

_JOINS = re.compile(r"\b(?:featuring|feat|ft|with|vs|and)\b\.?|[&+,/]", re.IGNORECASE)
_MOST_PARTS = 6
_MOST_ARTISTS = 40
_MOST_OF_ALBUM = 60
_LOOKED_AT = 200
"""Bounds of the queries: partners, artists found, tracks of a disc, records looked at."""

_ANY_ALBUM = frozenset({
    "greatest hits", "the greatest hits", "hits", "best of", "the best of", "gold", "singles",
    "the singles", "the collection", "collection", "anthology", "live", "christmas", "single",
    "unknown album", "unknown", "untitled", "the very best of", "the essential", "number ones",
})  # fmt: skip
"""Album titles that many artists have: they bring nobody together (common practice, no source)."""


def parts(name: str) -> tuple[str, ...]:
    """The plain names joined in an artist's name; only itself where there is nothing to part.

    >>> parts("Ann Oke & The Reeds feat. Bo Quay"), parts("The Sands")
    (('ann oke', 'the reeds', 'bo quay'), ('the sands',))
    """
    found = [plain(part) for part in _JOINS.split(name) if part and part.strip()]
    return tuple(dict.fromkeys(p for p in found if p))[:_MOST_PARTS] or (plain(name),)


def related(store: Store, artist_id: int, name: str, album: str = "") -> dict[int, Related]:
    """Other artists tied to this one, each with its closest tie.

    `album` is the one of the record asked for, if known.
    """
    if plain(name) in NOBODY:
        return {}
    found: dict[int, Related] = {}
    direct = _sharing(store, parts(name), name)
    for other in direct:
        found[other] = Related(Tie.SINGS_WITH, 1.0)
    for other in _sharing(store, _partners(store, [artist_id, *direct]), name):
        found.setdefault(other, Related(Tie.SINGS_WITH, _SECOND_HAND))
    for other, times in stand_in_lessons.artists_swapped(store, artist_id).items():
        swapped = Related(Tie.SWAPPED_HERE, min(1.0, 0.5 + 0.5 * (times - 1) / _OFTEN_SWAPPED))
        if other not in found or found[other].closeness < swapped.closeness:
            found[other] = swapped
    for other in _on_shared_albums(store, artist_id, album):
        found.setdefault(other, Related(Tie.SHARED_ALBUM, _OF_SHARED_ALBUM))
    found.pop(artist_id, None)
    return found


def _sharing(store: Store, names: Iterable[str], whole: str) -> list[int]:
    """Artists that are one of these names, or have one of them as a part."""
    listed = _trusted(names, whole)
    if not listed:
        return []
    marks = ", ".join("?" for _ in listed)
    return _ids(
        store,
        f"""SELECT id FROM (SELECT id FROM artists WHERE plain IN ({marks})
            UNION SELECT artist_id FROM artist_parts WHERE part IN ({marks})) LIMIT ?""",
        [*listed, *listed, _MOST_ARTISTS],
    )


def _trusted(names: Iterable[str], whole: str) -> list[str]:
    """Names that stand for somebody: "Fire" in "Earth, Wind & Fire" does not.

    A single word in a list with commas is a surname or a word; "the Reeds" is sought as "Reeds".
    """
    kept: list[str] = []
    for name in names:
        if name in NOBODY or ("," in whole and " " not in name):
            continue
        kept += [name, name.removeprefix("the ") if name.startswith("the ") else f"the {name}"]
    return list(dict.fromkeys(kept))


def _partners(store: Store, artist_ids: Sequence[int]) -> list[str]:
    marks = ", ".join("?" for _ in artist_ids)
    rows = store.db.execute(
        f"SELECT DISTINCT part FROM artist_parts WHERE artist_id IN ({marks}) LIMIT ?",
        [*artist_ids, _MOST_ARTISTS],
    ).fetchall()
    # A partner known by one word may be anybody at second hand.
    return [row[0] for row in rows if " " in row[0].removeprefix("the ")]


def _on_shared_albums(store: Store, artist_id: int, album: str) -> list[int]:
    """Artists on the same disc as a record of this artist, or on the album asked for."""
    found = _ids(
        store,
        """SELECT DISTINCT r.artist_id FROM (
            SELECT DISTINCT h.disc_id FROM (SELECT id FROM recordings WHERE artist_id = ? LIMIT ?) o
            JOIN holdings h ON h.recording_id = o.id WHERE h.disc_id IS NOT NULL LIMIT ?) d
        JOIN holdings t ON t.disc_id = d.disc_id JOIN recordings r ON r.id = t.recording_id
        LIMIT ?""",
        [artist_id, _LOOKED_AT, _MOST_PARTS, _MOST_OF_ALBUM],
    )
    if album and plain(album) not in _ANY_ALBUM:
        found += _ids(
            store,
            "SELECT DISTINCT artist_id FROM recordings WHERE album = ? LIMIT ?",
            [album, _MOST_OF_ALBUM],
        )
    return found


def _ids(store: Store, sql: str, parameters: Sequence[Any]) -> list[int]:
    return [int(row[0]) for row in store.db.execute(sql, parameters).fetchall()]
