"""Unions made straight from recordings, without stations that publish: for tests and benchmarks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from catalogue import index_view, union_entries, union_layout, union_terms
from catalogue.filed_names import Filed, forms_of
from catalogue.records import NewRecording
from catalogue.search_keys import Form
from catalogue.sound_index import MAKE
from catalogue.union_entries import UnionCopy
from catalogue.union_layout import ShardFiles, UnionLayout, UnionStation
from catalogue.union_terms import TermTally

STATIONS = tuple(
    UnionStation(number, f"id{number}", name, place, north, east, "Ring the librarian.", 1,
                 "0f", "2026-11-25", 3)
    for number, (name, place, north, east) in enumerate([
        ("Quay Radio", "Wharf End", 51.9, 1.2),
        ("Radio Sallow", "Sallow Bridge", 52.4, 0.9),
        ("Fen Hospital Radio", "Fen Causeway", 52.6, 0.1),
        ("Lighthouse Sound", "The Ness", None, None),
    ])
)  # fmt: skip
"""Invented stations of an invented estuary; one does not say where it is."""

Numbered = tuple[int, NewRecording]


def forms_of_recordings(recordings: Iterable[Numbered]) -> Iterable[tuple[int, Form]]:
    """Every name of the recordings, as a station files them."""
    for number, one in recordings:
        filed = Filed(
            one.title, one.artist, one.composer, one.work, one.movement, one.soloist, one.conductor
        )
        for form in forms_of(filed):
            yield number, form


def numbered(recordings: Sequence[NewRecording]) -> list[Numbered]:
    """The recordings with their union ids, as if the first station held them all."""
    return [(union_layout.union_id("id0", n), one) for n, one in enumerate(recordings)]


def holders(entry: int, number: int) -> list[UnionCopy]:
    """One to three stations that hold an entry, by its number; the second lends nothing."""
    stations = len(STATIONS)
    return [
        UnionCopy(entry, station, number, "CD" if station % 2 else "LP", 1, int(station != 1))
        for station in sorted({number % stations, (number * 7 + 1) % stations})
    ]


def make(
    folder: Path,
    recordings: Sequence[Numbered],
    shards: int,
    held: Callable[[int, int], list[UnionCopy]] = holders,
) -> UnionLayout:
    """A whole union of these recordings in so many shards."""
    folder.mkdir(parents=True, exist_ok=True)
    tally = TermTally()
    files = []
    for number in range(shards):
        own = [one for one in recordings if union_layout.shard_of(one[0], shards) == number]
        path = folder / f"shard-{number:03}-ab"
        (path / "index").mkdir(parents=True)
        tallied = TermTally()
        index_view.made(path / "index", forms_of_recordings(own), tallied.see).forms.close()
        tally.add(tallied)
        union_entries.write(
            path / "entries.db", own,
            (copy for n, (entry, _) in enumerate(own) for copy in held(entry, n)),
        )  # fmt: skip
        files.append(ShardFiles(number, path, len(own), tallied.names, "ab"))
    terms = folder / "terms-ab.db"
    union_terms.write(terms, tally)
    layout = UnionLayout(folder, "2026-11-25T19:30", MAKE, tuple(files), terms, STATIONS)
    union_layout.write(layout)
    return layout
