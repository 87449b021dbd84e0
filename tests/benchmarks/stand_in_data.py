"""Songs and pairs for the benchmark of stand-ins."""

from __future__ import annotations

import csv
import math
import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from catalogue.song_identity import title_keys
from catalogue.spelling import plain, without_article, without_featured
from tests.benchmarks.decoys import REFERENCE

CASES = Path(__file__).resolve().parents[1] / "cases" / "song_variants.csv"
SEED = 7


@dataclass(frozen=True, slots=True)
class Song:
    """One row: tempo in beats a minute, length in seconds, `pos` the place in a year's chart."""

    song_id: str
    artist: str
    title: str
    year: int | None = None
    tempo: float | None = None
    length_s: float | None = None
    genre: str = ""
    tags: frozenset[str] = frozenset()
    pos: int | None = None

    @property
    def artist_key(self) -> str:
        """The artist without guests and article: who counts as one and the same."""
        return artist_key(self.artist)


def artist_key(artist: str) -> str:
    """The artist without guests and article."""
    return without_article(plain(without_featured(artist)))


def songs(path: Path | None = None) -> list[Song]:
    """The songs of a file, or of both reference sets joined on artist and title; rows without a
    song_id are numbered.

    Raises SystemExit for a file without the columns that are needed.
    """
    if path is None:
        return _joined()
    rows = _rows(path)
    missing = {"artist", "title"} - set(rows[0] if rows else {})
    if missing:
        raise SystemExit(f"{path} has no column {', '.join(sorted(missing))}.")
    return [_song(row, row.get("song_id") or str(n)) for n, row in enumerate(rows, start=1)]


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def _song(row: dict[str, str], song_id: str) -> Song:
    year, pos = _number(row.get("year")), _number(row.get("pos"))
    return Song(
        song_id,
        row["artist"],
        row["title"],
        int(year) if year else None,
        _number(row.get("tempo_bpm")),
        _number(row.get("duration_s")),
        (row.get("genre") or "").strip(),
        frozenset(t.strip() for t in (row.get("tags") or "").split(";") if t.strip()),
        int(pos) if pos else None,
    )


def _number(text: str | None) -> float | None:
    try:
        value = float(text or "")
    except ValueError:
        return None
    return value if math.isfinite(value) and value > 0 else None


def _joined() -> list[Song]:
    """Each song once; the two sets are joined on the main artist and the title's keys."""
    found: dict[tuple[str, str], Song] = {}
    for name in ("year_tempo.csv", "year_tags.csv"):
        for row in _rows(REFERENCE / "songs" / name):
            song = _song(row, "")
            first = artist_key(song.artist).split(" and ")[0]
            keys = title_keys(song.title)
            places = [(first, key.replace(" ", "")) for key in (keys.whole, keys.short)]
            here = next((p for p in places if p in found), places[0])
            found[here] = _both(found[here], song) if here in found else song
    return [replace(song, song_id=str(n)) for n, song in enumerate(found.values(), start=1)]


def _both(one: Song, two: Song) -> Song:
    return replace(
        one,
        year=min(y for y in (one.year, two.year) if y) if one.year or two.year else None,
        tempo=one.tempo or two.tempo,
        length_s=one.length_s or two.length_s,
        tags=one.tags | two.tags,
        pos=min((p for p in (one.pos, two.pos) if p), default=None),
    )


def pairs(path: Path | None, known: Sequence[Song]) -> list[tuple[int, int]]:
    """Places in `known` of paired songs: of a file with id1 and id2, or, without one, songs of
    the cases that different artists recorded (`tests/cases/song_variants.csv`)."""
    if path is not None:
        at = {song.song_id: n for n, song in enumerate(known)}
        rows = _rows(path)
        return [(at[r["id1"]], at[r["id2"]]) for r in rows if r["id1"] in at and r["id2"] in at]
    named = {(artist_key(s.artist), title_keys(s.title).whole): n for n, s in enumerate(known)}
    found = set()
    for row in _rows(CASES):
        one, two = (
            named.get((artist_key(row[f"artist_{s}"]), title_keys(row[f"title_{s}"]).whole))
            for s in "ab"
        )
        if row["same"] == "yes" and one is not None and two is not None and one != two:
            found.add((min(one, two), max(one, two)))
    return sorted(found)


def tag_vectors(known: Sequence[Song]) -> NDArray[np.float64]:
    """Idf-weighted tags, one row for each song, of length 1; zeros for songs without tags."""
    tagged = [song for song in known if song.tags]
    count = Counter(tag for song in tagged for tag in song.tags)
    tags = sorted(count)
    vectors = np.zeros((len(known), max(1, len(tags))))
    for n, song in enumerate(known):
        for tag in song.tags:
            vectors[n, tags.index(tag)] = math.log(len(tagged) / count[tag])
    norms = np.linalg.norm(vectors, axis=1, keepdims=True)
    return vectors / np.where(norms > 0, norms, 1.0)


def folds(known: Iterable[Song], count: int) -> list[int]:
    """A fold for each song; all songs of an artist, with or without guests, are in one."""
    known = list(known)
    artists = sorted({song.artist_key for song in known})
    random.Random(SEED).shuffle(artists)
    fold = {artist: n % count for n, artist in enumerate(artists)}
    return [fold[song.artist_key] for song in known]
