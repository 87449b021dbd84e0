"""Songs, requests and catalogues for the benchmarks of hearing."""

from __future__ import annotations

import csv
import random
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path

from rapidfuzz import process
from rapidfuzz.fuzz import ratio

from catalogue import catalogue_rows, undo
from catalogue.records import NewHolding, NewRecording
from catalogue.song_identity import title_keys
from catalogue.sound_index import SoundIndex
from catalogue.spelling import plain, without_version
from catalogue.store import Store
from tests.benchmarks.decoys import REFERENCE, decoys

SONGS = REFERENCE / "mishearings" / "songs.csv"
REQUESTS = REFERENCE / "mishearings" / "misheard_dev.csv"
_NOW = datetime(2026, 1, 1)
_BATCH = 20_000
_NONE: list[int] = []


@dataclass(frozen=True, slots=True)
class Name:
    """A record of the benchmark's catalogue; song_id is empty for decoys."""

    artist: str
    title: str
    year: int | None
    song_id: str = ""


def read_rows(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV file."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def songs(path: Path = SONGS) -> list[Name]:
    """The songs that the requests are about."""
    return [
        Name(r["artist"], r["title"], int(r["year"]) if r.get("year") else None, r["song_id"])
        for r in read_rows(path)
    ]


SAME_SONG_ALIKE = 75
"""Plain ratios of titles and of artists from which a decoy is the wanted song itself under
another spelling ("Tubular Bells, Pt. I", "He Loves You Not"), and no decoy."""


def with_decoys(wanted: Sequence[Name], count: int, seed: int = 1) -> Iterator[Name]:
    """The songs, then `count` decoys: real songs first, then made-up ones.

    A decoy never bears a wanted song's title, under any spelling of it ("He Loves You Not", "The
    Time of My Life" without its bracket), for it could not be told from a right answer to a
    request by title alone; nor is it a wanted song under another spelling.
    """
    yield from wanted
    titles = [plain(without_version(name.title)) for name in wanted]
    artists = [plain(name.artist) for name in wanted]
    taken, near = _spellings(wanted), dict[str, list[int]]()
    left = count
    others = ((o, plain(without_version(o.title))) for o in _others(seed)
              if title_keys(o.title).whole.replace(" ", "") not in taken)  # fmt: skip
    while left:
        batch = list(islice(others, min(left, _BATCH)))
        new = list({o.artist for o, _ in batch} - near.keys())
        alike = process.cdist([plain(name) for name in new], artists, score_cutoff=SAME_SONG_ALIKE)
        for name, some in zip(new, alike, strict=True):
            near[name] = some.nonzero()[0].tolist() or _NONE
        for other, title in batch:
            if any(ratio(title, titles[n]) >= SAME_SONG_ALIKE for n in near[other.artist]):
                continue
            left -= 1
            yield other


def _spellings(wanted: Sequence[Name]) -> set[str]:
    """The titles of these songs, whole, without a bracket, and the bracket alone; no gaps."""
    keys = [title_keys(name.title) for name in wanted]
    every = {key.replace(" ", "") for one in keys for key in (one.whole, one.short, one.inner)}
    return every - {""}


def _others(seed: int) -> Iterator[Name]:
    seen: set[tuple[str, str]] = set()
    for file in ("year_tempo.csv", "year_tags.csv"):
        for row in read_rows(REFERENCE / "songs" / file):
            key = (plain(row["artist"]), plain(without_version(row["title"])))
            if key not in seen:
                seen.add(key)
                yield Name(row["artist"], row["title"], int(row["year"]))
    for artist, title, year in decoys(sys.maxsize, seed):  # as many as are asked for
        yield Name(artist, title, year)


@contextmanager
def station(names: Iterable[Name], holdings: bool = False) -> Iterator[tuple[Store, SoundIndex]]:
    """A store and index in a temporary folder with these names, in order from id 1.

    With `holdings` each has a file, so that it is ready to go to air.
    """
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        # Only for filling: a benchmark's folder need not survive a power cut.
        store.db.execute("PRAGMA synchronous = OFF")
        fill(store, names, holdings)
        store.db.execute("PRAGMA synchronous = FULL")
        index = SoundIndex(Path(folder) / "sound_index", store)
        try:
            yield store, index
        finally:
            index.close()
            store.close()


def fill(
    store: Store, names: Iterable[Name], holdings: bool, seed: int = 5, held_share: float = 1.0
) -> None:
    """Put the names into the store, with a tempo and a genre made up from the seed.

    With `holdings` a share of them, `held_share`, gets a file each.
    """
    chance = random.Random(seed)
    genres = ("pop", "rock", "soul", "country", "jazz", "folk", "film", "dance band", "hymn", "")
    batch: list[Name] = []

    def write() -> None:
        with undo.action(store, "benchmark", "filled", _NOW):
            for name in batch:
                recording = catalogue_rows.add_recording(
                    store,
                    NewRecording(
                        name.title,
                        name.artist,
                        year=name.year,
                        tempo=float(chance.randint(60, 180)),
                        genre=chance.choice(genres),
                        length_s=float(chance.randint(120, 300)),
                    ),
                )
                if holdings and chance.random() < held_share:
                    catalogue_rows.add_holding(
                        store, NewHolding(recording, path=f"/music/{recording}.flac")
                    )
        batch.clear()

    for name in names:
        batch.append(name)
        if len(batch) == _BATCH:
            write()
    write()
