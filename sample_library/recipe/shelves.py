"""From the songbook's discs to copies on shelves, each with its shelf mark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sample_library.recipe.songbook import DISC_CARRIERS, Disc, Track, songbook
from sample_library.recipe.tables import chance

MARK_LETTERS = {"CD": "C", "LP": "L", "45": "S", "78": "H", "Cassette": "K"}
# A gap is a disc long lost, or given away.
GAP_SHARE = 0.08
# Copies now at somebody's home. They are left off the list, as the station's own rule has it.
ON_LOAN = 24
# Who typed the list typed only the first songs of a second copy.
SONGS_OF_SECOND_COPY = 2
# The years in which singles came on each carrier.
LAST_YEAR_OF_78 = 1949
LAST_YEAR_OF_45 = 1989


@dataclass(frozen=True)
class Copy:
    """One disc in the hand: ``tracks`` are those the list names, on these places."""

    shelf_mark: str
    carrier: str
    disc: Disc
    tracks: tuple[Track, ...]
    places: tuple[tuple[str, str], ...]


def copies() -> list[Copy]:
    """Every copy on the list, in the order of shelf marks."""
    rng = chance("shelves")
    issued = [*_issues()]
    rng.shuffle(issued)
    away = set(rng.sample(range(len(issued)), ON_LOAN))
    last_number = dict.fromkeys(DISC_CARRIERS, 0)
    found: list[Copy] = []
    for order, (carrier, disc, tracks) in enumerate(issued):
        last_number[carrier] += 2 if rng.random() < GAP_SHARE else 1
        if order in away:
            continue
        mark = f"{MARK_LETTERS[carrier]} {last_number[carrier]:03d}"
        places = _places(carrier, len(tracks), mark)
        found.append(Copy(mark, carrier, disc, tracks, places))
    return sorted(found, key=lambda copy: copy.shelf_mark)


def _issues() -> Iterator[tuple[str, Disc, tuple[Track, ...]]]:
    """Carrier, disc and listed tracks of everything ever put on a shelf."""
    for disc in songbook().discs:
        on_shelves = [carrier for carrier in disc.carriers if carrier in DISC_CARRIERS]
        for order, carrier in enumerate(on_shelves):
            yield carrier, disc, disc.tracks if order == 0 else disc.tracks[:SONGS_OF_SECOND_COPY]
        for first in disc.singles:
            single = _single(disc, first)
            yield single.carriers[0], single, single.tracks


def _single(disc: Disc, first: int) -> Disc:
    """The single with one track of a disc, and the next one on the other side."""
    sides = (disc.tracks[first], disc.tracks[(first + 1) % len(disc.tracks)])
    if disc.year <= LAST_YEAR_OF_78:
        carrier = "78"
    else:
        carrier = "45" if disc.year <= LAST_YEAR_OF_45 else "CD"
    return Disc((carrier,), disc.artist, sides[0].title, disc.year, disc.label, sides)


def _places(carrier: str, count: int, mark: str) -> tuple[tuple[str, str], ...]:
    """Side and track of each song; a list names only the songs somebody cared to type."""
    rng = chance(f"places {mark}")
    if carrier in ("45", "78"):
        return tuple(("AB"[order], "") for order in range(count))
    if carrier == "CD":
        return tuple(("", str(number)) for number in sorted(rng.sample(range(1, 15), count)))
    first_side = count - count // 2
    sides = (("1", first_side), ("2", count - first_side))
    return tuple(
        (side, str(number))
        for side, songs in sides
        for number in sorted(rng.sample(range(1, 8), songs))
    )
