"""Comparing the catalogue with itself, and what came of it. Owns the tables of likely pairs.

Only what is new or was changed since the last time is compared, with everything. What was found
is kept until it is judged, merged or changed.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any
from weakref import WeakKeyDictionary

import numpy as np

from catalogue.described import Described
from catalogue.evidence import Evidence
from catalogue.measures import FINGERPRINT
from catalogue.no_collecting import no_collecting
from catalogue.pair_finding import find
from catalogue.pair_weights import CLAIMS
from catalogue.spelling import plain
from catalogue.store import Row, Store

Progress = Callable[[int, int | None], None]

_searched: WeakKeyDictionary[Store, Row] = WeakKeyDictionary()
"""As of what each store was last compared on the spot: its last action, and what is known."""

_MOSTLY_NEW = 0.5
"""From this share of new records on everything is compared: masking would cost more."""

AT_ONCE_NEW, AT_ONCE_ALL = 2_000, 20_000
"""So many new recordings, in a catalogue of so many, are compared while a page is opened: about
a second or two. More wait for a search in the background."""

_COLUMNS = """r.id, r.title, a.name, r.album, r.year, r.length_s, r.version, r.isrc, r.work,
    r.movement, r.soloist, r.conductor"""
_FROM = "FROM recordings r JOIN artists a ON a.id = r.artist_id"


@dataclass(frozen=True, slots=True)
class Searched:
    """What a search did: recordings that were new, pairs compared, likely pairs now known."""

    new: int
    compared: int
    likely: int


def search(
    store: Store, progress: Progress = lambda _d, _t: None, *, again: bool = False
) -> Searched:
    """Compare what is new or changed with everything; with `again`, everything with itself.

    Progress counts pairs. What was found before about other recordings stays.
    """
    described, digests = _read(store)
    known = {} if again else _known(store)
    ids = [int(number) for number in described.ids]
    new = np.fromiter(
        (known.get(number) != digest for number, digest in zip(ids, digests, strict=True)),
        bool, count=len(ids),
    )  # fmt: skip
    if not new.any() and len(known) == len(ids):
        return Searched(0, 0, _count(store))
    only = None if again or new.mean() > _MOSTLY_NEW else new
    found = find(described, progress, only)
    changed = [number for number, is_new in zip(ids, new, strict=True) if is_new]
    with store.transaction() as db:
        _forget(store, changed, everything=only is None)
        for evidence in (found.evidence, found.between):
            db.conn.executemany(
                "INSERT OR REPLACE INTO likely_pairs VALUES (?, ?, ?, ?)",
                (_row(evidence, number, ids) for number in range(len(evidence))),
            )
        db.conn.executemany(
            "INSERT OR REPLACE INTO compared_recordings VALUES (?, ?)",
            ((n, d) for n, d, is_new in zip(ids, digests, new, strict=True) if is_new),
        )
    return Searched(int(new.sum()), found.compared, _count(store))


def search_if_quick(store: Store) -> None:
    """Compare what is new, if that takes no longer than opening a page may."""
    every = int(store.rows("SELECT count(*) AS n FROM recordings")[0]["n"])
    if every > AT_ONCE_ALL or (uncompared(store) > AT_ONCE_NEW and every > AT_ONCE_NEW):
        return
    # Reading twenty thousand records takes a second: not again before something was done.
    state = store.rows(
        """SELECT (SELECT max(id) FROM actions) AS actions,
            (SELECT count(*) FROM measures) AS sounds,
            (SELECT count(*) FROM compared_recordings) AS compared"""
    )[0]
    if _searched.get(store) == state:
        return
    search(store)
    state["compared"] = every
    _searched[store] = state


def uncompared(store: Store) -> int:
    """How many recordings were never compared: a trigger takes those away that are gone."""
    rows = store.rows(
        "SELECT (SELECT count(*) FROM recordings) - (SELECT count(*) FROM compared_recordings) AS n"
    )
    return int(rows[0]["n"])


def _count(store: Store) -> int:
    return int(store.rows("SELECT count(*) AS n FROM likely_pairs")[0]["n"])


def _known(store: Store) -> dict[int, int]:
    return dict(store.db.execute("SELECT recording_id, digest FROM compared_recordings"))


def _forget(store: Store, changed: list[int], *, everything: bool) -> None:
    """Take out what was found about these recordings, and about those that are gone."""
    if everything:
        store.db.execute("DELETE FROM likely_pairs")
        store.db.execute("DELETE FROM compared_recordings")
        return
    listed = (json.dumps(changed),)
    for side in ("recording_a", "recording_b"):
        store.db.execute(
            f"DELETE FROM likely_pairs WHERE {side} IN (SELECT value FROM json_each(?))", listed
        )
    gone = "(SELECT recording_id FROM compared_recordings EXCEPT SELECT id FROM recordings)"
    for side in ("recording_a", "recording_b"):
        store.db.execute(f"DELETE FROM likely_pairs WHERE {side} IN {gone}")
    store.db.execute(f"DELETE FROM compared_recordings WHERE recording_id IN {gone}")


def add_recording(
    described: Described, number: object, columns: Sequence[Any], position: str, sound: str,
    fingerprint: str = "",
) -> None:  # fmt: skip
    """Add a recording of a catalogue to what is compared. `columns` are title, artist, album, year,
    length in seconds, version, ISRC, work, movement, soloist and conductor."""
    title, artist, album, year, length, version, isrc, work, movement, *people = columns
    described.add(
        number,
        _with_movement(title, work, movement),
        "" if plain(artist) == "unknown artist" else artist,
        album=album, year=year, length_s=length, version=version, identifier=isrc,
        position=position, performers=" ".join(people), sound=sound, fingerprint=fingerprint,
    )  # fmt: skip


@no_collecting()
def _read(store: Store) -> tuple[Described, list[int]]:
    """All recordings as they are compared, and a digest of each to see what was changed."""
    described, digests = Described(), []
    on_disc, sounds, prints = _tracks(store), _sounds(store), _fingerprints(store)
    for row in store.db.execute(f"SELECT {_COLUMNS} {_FROM} ORDER BY r.id"):
        position, sound = on_disc.get(row[0], ""), sounds.get(row[0], "")
        heard = prints.get(row[0], "")
        add_recording(described, row[0], row[1:], position, sound, heard)
        said = (row, position, sound, heard) if heard else (row, position, sound)
        digests.append(zlib.crc32(repr(said).encode()))
    return described, digests


def _with_movement(title: str, work: str, movement: str) -> str:
    """A movement's title names its work too: "Allegro" alone is hundreds of records."""
    words = f" {plain(title)} "
    parts = [part for part in (work, movement) if part and f" {plain(part)} " not in words]
    return " ".join([title, *parts])


def _tracks(store: Store) -> dict[int, str]:
    """Carrier, side and track of recordings on discs: only of one sort can these be compared."""
    return dict(
        store.db.execute(
            """SELECT h.recording_id, min(coalesce(d.carrier, 'file') || ':' || h.side || '/' ||
                h.track) FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
            WHERE h.track <> '' GROUP BY h.recording_id"""
        )
    )


def _sounds(store: Store) -> dict[int, str]:
    """The digest of the sound of recordings that have a file."""
    return dict(
        store.db.execute(
            "SELECT recording_id, min(audio) FROM holdings WHERE audio <> '' GROUP BY recording_id"
        )
    )


def _fingerprints(store: Store) -> dict[int, str]:
    """The acoustic fingerprint of recordings that have a measured file, of the first such file."""
    return dict(
        store.db.execute(
            """SELECT h.recording_id, m.value FROM measures m JOIN holdings h
                ON h.id = m.holding_id WHERE m.name = ? AND m.audio = h.audio ORDER BY h.id DESC""",
            (FINGERPRINT,),
        )
    )


def _row(evidence: Evidence, number: int, ids: list[int]) -> tuple[int, int, float, str]:
    """One pair for the table; the evidence as {claim: [level, bits]}."""
    told = {
        name: [int(level), round(float(bits), 2)]
        for name, level, bits in zip(
            CLAIMS, evidence.levels[number], evidence.bits[number], strict=True
        )
        if level >= 0
    }
    told["reading"] = [int(evidence.reading[number]), 0.0]
    first, second = sorted((ids[evidence.first[number]], ids[evidence.second[number]]))
    return first, second, round(float(evidence.total[number]), 3), json.dumps(told)
