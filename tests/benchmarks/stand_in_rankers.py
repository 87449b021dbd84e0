"""Who ranks stand-ins: the program, and the plain alternatives that it must beat."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from catalogue import catalogue_rows, stand_ins, undo, worth
from catalogue.basis import Basis
from catalogue.records import NewHolding, NewRecording
from catalogue.store import Store
from catalogue.worth import Worth
from tests.benchmarks.stand_in_data import SEED, Song

NOW = datetime(2026, 1, 1, 20, 0)
LISTED = 7

Ranker = Callable[[int, frozenset[int]], list[int]]
"""Place of the song asked for, places left out: places offered, best first, at most LISTED."""


@contextmanager
def station(known: Sequence[Song]) -> Iterator[Store]:
    """A store in a temporary folder that holds all these songs; place n is recording n + 1.

    Nothing in it is a tag: the sort of music is a file's own column, if it has one.
    """
    with TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        store.db.execute("PRAGMA synchronous = OFF")  # a benchmark's folder need not survive a cut
        with undo.action(store, "benchmark", "filled", NOW):
            for song in known:
                recording = catalogue_rows.add_recording(
                    store,
                    NewRecording(song.title, song.artist, year=song.year, tempo=song.tempo,
                                 length_s=song.length_s, genre=song.genre),
                )  # fmt: skip
                catalogue_rows.add_holding(
                    store, NewHolding(recording, path=f"/music/{recording}.flac")
                )
        try:
            yield store
        finally:
            store.close()


def program(store: Store, worth_for: Callable[[int], Worth], given_genre: bool = True) -> Ranker:
    """The program itself: the song asked for is known and not to be had. `worth_for` gives the
    worths for a place, so that none is fitted to the artist asked for."""

    def rank(asked: int, left_out: frozenset[int]) -> list[int]:
        basis = Basis.of(catalogue_rows.recording(store, asked + 1))
        if not given_genre:
            basis = Basis(basis.recording, basis.artist_id, basis.year, basis.tempo,
                          language=basis.language, voice=basis.voice,
                          length_s=basis.length_s)  # fmt: skip
        offered = stand_ins.offer(
            store, basis, NOW, limit=LISTED, worth=worth_for(asked),
            left_out=frozenset(place + 1 for place in left_out),
        )  # fmt: skip
        return [one.recording.id - 1 for one in offered]

    return rank


def shipped(_asked: int) -> Worth:
    """The worths that come with the program, whatever is asked for."""
    return worth.shipped()


@dataclass
class Plain:
    """The plain alternatives, each with the same songs and the same seed."""

    known: Sequence[Song]
    chance: random.Random = field(default_factory=lambda: random.Random(SEED))

    def __post_init__(self) -> None:
        count = Counter(song.artist_key for song in self.known)
        self.charted = sorted(
            range(len(self.known)),
            key=lambda n: (self.known[n].pos or 999, -count[self.known[n].artist_key], n),
        )
        self.by_artist: dict[str, list[int]] = {}
        for n in self.charted:
            self.by_artist.setdefault(self.known[n].artist_key, []).append(n)
        self.years = np.array([song.year or 0 for song in self.known], dtype=float)
        self.tempos = np.array([song.tempo or np.nan for song in self.known])

    def at_random(self, asked: int, out: frozenset[int]) -> list[int]:
        """Any."""
        return self._some(range(len(self.known)), asked, out)

    def same_decade(self, asked: int, out: frozenset[int]) -> list[int]:
        """Any of the same decade."""
        decade = (self.known[asked].year or 0) // 10
        return self._some(np.flatnonzero(self.years // 10 == decade).tolist(), asked, out)

    def same_artist(self, asked: int, out: frozenset[int]) -> list[int]:
        """The artist's most charted; then, so that the list is as long, anybody's."""
        own = self.by_artist[self.known[asked].artist_key]
        return self._first([*own, *self.charted[: 10 * LISTED]], asked, out)

    def nearest(self, asked: int, out: frozenset[int]) -> list[int]:
        """Nearest in year and tempo together: a year apart counts as much as 4 %."""
        song = self.known[asked]
        years = np.abs(self.years - (song.year or 0))
        apart = np.abs(np.log2(self.tempos / (song.tempo or np.nan)))
        score = years + np.nan_to_num(apart, nan=1.0) / np.log2(1.04)
        near = np.argsort(score, kind="stable")[: LISTED + len(out) + 1]
        return self._first(near.tolist(), asked, out)

    def _some(self, places: Sequence[int], asked: int, out: frozenset[int]) -> list[int]:
        drawn = self.chance.sample(places, min(len(places), LISTED + len(out) + 1))
        return self._first(drawn, asked, out)

    @staticmethod
    def _first(places: Sequence[int], asked: int, out: frozenset[int]) -> list[int]:
        kept = [n for n in dict.fromkeys(places) if n != asked and n not in out]
        return kept[:LISTED]

    def rankers(self) -> dict[str, Ranker]:
        """All of them by name."""
        return {
            "random": self.at_random,
            "same decade at random": self.same_decade,
            "same artist most charted": self.same_artist,
            "nearest year plus tempo": self.nearest,
        }
