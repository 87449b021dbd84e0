"""The whole catalogue from A to Z, for paper: by title or by artist, with every place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.errors import BadInput
from catalogue.store import Store

ORDERS = ("title", "artist")

_FILED = "CASE WHEN {0} LIKE 'the %' THEN substr({0}, 5) ELSE {0} END"
"""A leading "the" is passed over in filing (ALA Filing Rules 1980)."""


@dataclass(frozen=True, slots=True)
class Line:
    """A recording on paper; `letter` is that under which it is filed, "0–9" for digits.

    `places` are (carrier, shelf mark or path, side, track) of each copy that is not missing.
    """

    letter: str
    title: str
    artist: str
    version: str
    year: int | None
    places: tuple[tuple[str, str, str, str], ...]


def lines(store: Store, order: str) -> Iterator[Line]:
    """Every recording that is held, in order, one at a time. Raises BadInput."""
    if order not in ORDERS:
        raise BadInput("The list is by title or by artist.")
    title, artist = _FILED.format("s.plain"), _FILED.format("a.plain")
    by = f"{title}, {artist}" if order == "title" else f"{artist}, {title}"
    cursor = store.db.execute(
        f"""SELECT {title if order == "title" else artist}, r.title, a.name, r.version, r.year,
            group_concat(coalesce(d.carrier, 'file') || char(31)
                || coalesce(d.shelf_mark, h.path) || char(31) || h.side || char(31) || h.track,
                char(30))
        FROM recordings r JOIN songs s ON s.id = r.song_id JOIN artists a ON a.id = r.artist_id
            JOIN holdings h ON h.recording_id = r.id AND NOT h.missing
            LEFT JOIN discs d ON d.id = h.disc_id
        WHERE d.id IS NULL OR NOT d.missing
        GROUP BY r.id ORDER BY {by}, r.year, r.id"""
    )
    for filed, title_, artist_, version, year, places in cursor:
        parts = (place.split(chr(31)) for place in places.split(chr(30)))
        first = str(filed)[:1].upper()
        yield Line(
            first if first.isalpha() else "0–9",
            title_,
            artist_,
            version,
            year,
            tuple((p[0], p[1], p[2], p[3]) for p in parts),
        )
