"""What is to be looked for on the shelf, in the order in which one walks along it."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import gaps, shelf_looks
from catalogue.catalogue_rows import disc
from catalogue.filing import mark_order
from catalogue.records import Disc
from catalogue.shelf_looks import Look, Seen
from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class Errand:
    """A disc to look for: because it is missing, or because of tracks that are not in the list,
    (side, numbers) of each side. `looked` is who looked for it in vain; `alone` are recordings
    of which we have no other copy that plays."""

    disc: Disc
    tracks: tuple[tuple[str, tuple[int, ...]], ...] = ()
    looked: Look | None = None
    alone: tuple[int, ...] = ()


def to_look_for(store: Store) -> list[Errand]:
    """Discs to look for; first those that nobody has looked for, then those looked for in vain."""
    looks = shelf_looks.every(store)
    found = [
        Errand(disc(store, row["id"]), looked=_in_vain(looks, row["id"]),
               alone=only_on(store, row["id"]))
        for row in store.rows("SELECT id FROM discs WHERE missing ORDER BY id")
    ]  # fmt: skip
    gone = {errand.disc.id for errand in found}
    tracks: dict[int, list[tuple[str, tuple[int, ...]]]] = {}
    for album in gaps.albums_with_tracks_missing(store):
        if album.disc_id is not None and album.disc_id not in gone:
            tracks.setdefault(album.disc_id, []).append((album.side, album.missing))
    found += [
        Errand(disc(store, disc_id), tuple(sorted(sides))) for disc_id, sides in tracks.items()
    ]
    return sorted(
        found,
        key=lambda one: (
            one.looked is not None, one.disc.place.casefold(), one.disc.carrier.value,
            mark_order(one.disc.shelf_mark),
        ),
    )  # fmt: skip


def only_on(store: Store, disc_id: int) -> tuple[int, ...]:
    """The recordings of a disc of which we have no other copy that plays."""
    rows = store.rows(
        """SELECT DISTINCT h.recording_id AS id FROM holdings h WHERE h.disc_id = ?1
        AND NOT EXISTS (SELECT 1 FROM holdings o LEFT JOIN discs d ON d.id = o.disc_id
            WHERE o.recording_id = h.recording_id AND coalesce(o.disc_id, 0) <> ?1
            AND NOT o.missing AND NOT coalesce(d.missing, 0)
            AND coalesce(d.condition, '') <> 'damaged') ORDER BY 1""",
        (disc_id,),
    )
    return tuple(row["id"] for row in rows)


def _in_vain(looks: dict[int, Look], disc_id: int) -> Look | None:
    look = looks.get(disc_id)
    return look if look is not None and look.seen is Seen.NOT_THERE else None
