"""Plausible names of records that do not exist, as many as are wanted.

Titles are walks over the word pairs of real titles, artists are recombined first and last parts
of real artists; one decoy in five is by a real artist and one in twenty-five bears a real
title, so that decoys share words, artists and titles with real songs. Seeded: the same `seed`
gives the same names in the same order.
"""

from __future__ import annotations

import csv
import random
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

REFERENCE = Path(__file__).resolve().parents[1] / "reference"
_END = ""
_REAL_ARTIST = 0.20
_REAL_TITLE = 0.04
_LONGEST_WALK = 9


def _real_names() -> list[tuple[str, str, int]]:
    names: list[tuple[str, str, int]] = []
    for name in ("year_tempo.csv", "year_tags.csv"):
        with (REFERENCE / "songs" / name).open(encoding="utf-8", newline="") as file:
            names += [(r["artist"], r["title"], int(r["year"])) for r in csv.DictReader(file)]
    return names


def decoys(count: int, seed: int = 1) -> Iterator[tuple[str, str, int]]:
    """Yield `count` different (artist, title, year)."""
    chance = random.Random(seed)
    real = _real_names()
    titles = sorted({title for _, title, _ in real})
    artists = sorted({artist for artist, _, _ in real})
    follows: dict[str, list[str]] = defaultdict(list)
    for title in titles:
        words = title.split()
        for before, after in zip([_END, *words], [*words, _END], strict=True):
            follows[before].append(after)
    heads = [a.rsplit(" ", 1)[0] for a in artists if " " in a]
    tails = [a.rsplit(" ", 1)[1] for a in artists if " " in a]
    seen: set[tuple[str, str]] = set()
    pool: list[str] = []
    while len(seen) < count:
        artist = _artist(chance, artists, heads, tails, pool)
        title = chance.choice(titles) if chance.random() < _REAL_TITLE else _walk(chance, follows)
        if (artist, title) in seen:
            continue
        seen.add((artist, title))
        yield artist, title, chance.randint(1930, 2020)


def _artist(
    chance: random.Random, artists: list[str], heads: list[str], tails: list[str], pool: list[str]
) -> str:
    """A real artist, one made earlier (artists have several records), or a new one."""
    if chance.random() < _REAL_ARTIST:
        return chance.choice(artists)
    if pool and chance.random() < 0.75:
        return chance.choice(pool)
    pool.append(f"{chance.choice(heads)} {chance.choice(tails)}")
    return pool[-1]


def _walk(chance: random.Random, follows: dict[str, list[str]]) -> str:
    words: list[str] = []
    word = chance.choice(follows[_END])
    while word != _END and len(words) < _LONGEST_WALK:
        words.append(word)
        word = chance.choice(follows[word])
    return " ".join(words)
