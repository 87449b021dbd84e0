"""Fit what a shared trait is worth to how far the tags of real songs agree.

    python -m tests.benchmarks.fit_stand_ins [--write] [--ties] [--quick] [--json]

Two fits. The *feel* model is a ridge regression, from year, tempo, length and the form of names to
a song's tags. The worth of each part is then found by coordinate ascent on the very thing wanted:
how far the tags of a list of seven agree with those of the song asked for, its own artist left
out; each song's feel is guessed by a model that has not seen its artist. Prints the worths, as
fitted to everything and without each fifth of the artists, and what each adds. `--write` writes
`catalogue/data/stand_in_weights.json`. `--ties` prints how far the tags of related artists agree.
`--json` prints {"worth": {...}, "agreement": A}.
"""

from __future__ import annotations

import argparse
import json
import math
import random
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue import feel, related_artists
from catalogue.feel import Facts, FeelModel
from catalogue.likeness import lengths_alike, tempos_alike, years_alike
from catalogue.worth import FITTED
from tests.benchmarks.stand_in_data import SEED, Song, folds, songs, tag_vectors

FOLDS = 5
RIDGE_OF_FEEL = 10.0
"""In songs: as if ten songs without any tendency had been seen along every sign."""

LISTED, PER_ARTIST, LOOKED_AT = 7, 2, 60
"""Lists as the program gives them: seven, two of an artist; and songs looked at for each."""

STEPS = {
    "feel": (0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0),
    "related": (0.0, 0.5, 1.0, 1.5, 2.0, 3.0),
    "tempo": (0.0, 0.1, 0.2, 0.3, 0.4, 0.6),
    "length": (0.0, 0.1, 0.2, 0.3, 0.4, 0.6),
}
"""Worths tried, in units of an equal year."""

EVERY = 2
"""For the benchmark's own folds every second song is asked, to save time."""

Numbers = NDArray[np.float64]


def facts(song: Song) -> Facts:
    """What the feel model may know of a song: no tags, no genre."""
    return Facts(song.year, song.tempo, song.length_s, song.title, song.artist)


def feel_model(known: Sequence[Song], tags: Numbers) -> FeelModel:
    """A ridge regression of the tags on the signs, of the songs that have tags."""
    tagged = [n for n, song in enumerate(known) if song.tags]
    seen, told = feel.signs([facts(known[n]) for n in tagged]), tags[tagged]
    middle, mean = np.nanmean(seen, axis=0), told.mean(axis=0)
    x = np.nan_to_num(seen - middle)
    weights = np.linalg.solve(x.T @ x + RIDGE_OF_FEEL * np.eye(x.shape[1]), x.T @ (told - mean))
    return FeelModel(mean, middle, weights)


def by_artist(known: Sequence[Song], guessed: Numbers) -> Numbers:
    """Each song's guess replaced by the mean of its artist's."""
    found = np.empty_like(guessed)
    at: dict[str, list[int]] = {}
    for n, song in enumerate(known):
        at.setdefault(song.artist_key, []).append(n)
    for places in at.values():
        found[places] = guessed[places].mean(axis=0)
    return found


def out_of_fold(known: Sequence[Song], tags: Numbers, fold: Sequence[int]) -> Numbers:
    """Each song's feel, by a model that has seen none of its artist's."""
    found = np.zeros_like(tags)
    for number in sorted(set(fold)):
        model = feel_model([s for s, f in zip(known, fold, strict=True) if f != number],
                           tags[[f != number for f in fold]])  # fmt: skip
        own = [n for n, f in enumerate(fold) if f == number]
        found[own] = model.guess([facts(known[n]) for n in own])
    return by_artist(known, found)


def ties(known: Sequence[Song]) -> dict[tuple[int, int], float]:
    """Pairs of songs by artists with a name in common (1) or a partner in common (less)."""
    named: dict[str, set[int]] = {}
    parts = [set(related_artists.parts(song.artist)) for song in known]
    for n, names in enumerate(parts):
        for name in names - related_artists.NOBODY:
            named.setdefault(name, set()).add(n)
    found: dict[tuple[int, int], float] = {}
    for n, names in enumerate(parts):
        first = {m for name in names for m in named.get(name, ())}
        second = {m for k in first for name in parts[k] if " " in name for m in named.get(name, ())}
        for others, closeness in ((second, related_artists._SECOND_HAND), (first, 1.0)):
            found.update({(n, m): closeness for m in others if m != n})
    return found


@dataclass(frozen=True, slots=True)
class Shared:
    """Parts shared by all pairs of tagged songs (N by N each), how far their tags agree, and who
    sings them; a song's own artist is ruled out."""

    parts: dict[str, Numbers]
    agreed: Numbers
    artists: NDArray[np.int64]
    asked: NDArray[np.int64]

    def agreement(self, worth: Mapping[str, float], queries: NDArray[np.int64]) -> float:
        """Mean agreement of the lists that these worths give, at most two of an artist."""
        total = sum(worth[name] * part for name, part in self.parts.items())
        found = []
        for n in queries:
            score = np.where(self.artists == self.artists[n], -np.inf, total[n])
            best = np.argpartition(-score, LOOKED_AT)[:LOOKED_AT]
            picked: list[int] = []
            count: Counter[int] = Counter()
            for m in best[np.argsort(-score[best], kind="stable")]:
                if count[self.artists[m]] < PER_ARTIST:
                    count[self.artists[m]] += 1
                    picked.append(m)
                if len(picked) == LISTED:
                    break
            found.append(self.agreed[n, picked].mean())
        return float(np.mean(found))


def shared(known: Sequence[Song], tags: Numbers, felt: Numbers) -> Shared:
    """What every two tagged songs share."""
    at = [n for n, song in enumerate(known) if song.tags]
    some = [known[n] for n in at]
    feels = np.array([feel.alike(felt[n], felt[at]) for n in at])
    tied, place = np.zeros_like(feels), {n: k for k, n in enumerate(at)}
    for (n, m), closeness in ties(known).items():
        if n in place and m in place:
            tied[place[n], place[m]] = closeness
    artists = {key: n for n, key in enumerate(sorted({s.artist_key for s in some}))}
    return Shared(
        {
            "years": _kernel([s.year for s in some], years_alike),
            "tempo": _kernel([round(s.tempo) if s.tempo else None for s in some], tempos_alike),
            "length": _kernel([round(s.length_s) if s.length_s else None for s in some],
                              lengths_alike),
            "feel": feels,
            "related": tied,
        },
        tags[at] @ tags[at].T,
        np.array([artists[s.artist_key] for s in some]),
        np.array(at),
    )  # fmt: skip


def _kernel(
    values: Sequence[int | None], alike: Callable[[int | None, int | None], float]
) -> Numbers:
    """A kernel of all pairs; each two different values are compared once."""
    different = sorted(set(values), key=lambda v: v or 0)
    table = np.array([[alike(a, b) for b in different] for a in different])
    at = [different.index(value) for value in values]
    return table[np.ix_(at, at)]


def worths(told: Shared, queries: NDArray[np.int64]) -> dict[str, float]:
    """Coordinate ascent over `STEPS`, twice round: each worth in turn takes its best step, and of
    equals the smallest. Years are the unit."""
    worth = dict.fromkeys(FITTED, 0.0) | {"years": 1.0}
    for _ in range(2):
        for name in ("feel", "related", "tempo", "length"):
            tried = {step: told.agreement(worth | {name: step}, queries) for step in STEPS[name]}
            worth[name] = max(tried, key=lambda step: (round(tried[step], 4), -step))
    return worth


def fitted(known: Sequence[Song], every: int = EVERY) -> tuple[FeelModel, dict[str, float]]:
    """The feel model of all these songs, and the worth of each part by every so manieth song."""
    tags = tag_vectors(known)
    told = shared(known, tags, out_of_fold(known, tags, folds(known, FOLDS)))
    return feel_model(known, tags), worths(told, np.arange(0, len(told.asked), every))


def write(model: FeelModel, worth: dict[str, float]) -> None:
    """Write the shipped file."""
    told = {
        "fitted_by": "python -m tests.benchmarks.fit_stand_ins --write",
        "worth": {name: round(value, 3) for name, value in worth.items()},
        "feel": {
            name: np.round(getattr(model, name), 4).tolist()
            for name in ("mean", "middle", "weights")
        },
    }
    feel.FILE.write_text(json.dumps(told) + "\n", encoding="utf-8")


def tell_ties(known: Sequence[Song], tags: Numbers) -> None:
    """How far tags agree for each closeness, beside any two songs at most a year apart."""
    rows: dict[float, list[float]] = {}
    for (n, m), closeness in ties(known).items():
        one, two = known[n], known[m]
        if one.tags and two.tags and one.artist_key != two.artist_key:
            rows.setdefault(closeness, []).append(float(tags[n] @ tags[m]))
    chance = random.Random(SEED)
    tagged = [n for n, song in enumerate(known) if song.tags]
    drawn = [(chance.choice(tagged), chance.choice(tagged)) for _ in range(200_000)]
    rows[0.0] = [
        float(tags[n] @ tags[m]) for n, m in drawn
        if known[n].artist_key != known[m].artist_key
        and abs((known[n].year or 0) - (known[m].year or 9999)) <= 1
    ]  # fmt: skip
    for closeness, values in sorted(rows.items()):
        mean, error = np.mean(values), np.std(values) / math.sqrt(len(values))
        print(f"closeness {closeness:.1f}: tags agree by {mean:.3f} ± {error:.3f} "
              f"({len(values)} pairs)")  # fmt: skip


def main() -> None:
    """Fit, print, and write if asked."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--write", action="store_true", help="write the shipped weights")
    parser.add_argument("--ties", action="store_true", help="how far tags of related artists agree")
    parser.add_argument("--quick", action="store_true", help="half of the songs")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    known = songs()
    known = known[::2] if options.quick else known
    tags = tag_vectors(known)
    fold = folds(known, FOLDS)
    told = shared(known, tags, out_of_fold(known, tags, fold))
    by, everybody = np.array(fold)[told.asked], np.arange(len(told.asked))
    worth = worths(told, everybody)
    print(f"{len(everybody)} songs with tags; lists of {LISTED} agree by "
          f"{told.agreement(worth, everybody):.4f}")  # fmt: skip
    crossed, by_fold = [], []
    for number in range(FOLDS):
        by_fold.append(worths(told, everybody[by != number]))
        crossed.append(told.agreement(by_fold[-1], everybody[by == number]))
    print(f"with worths fitted to other artists: {np.mean(crossed):.4f}")
    for name in FITTED:
        others = ", ".join(f"{one[name]:g}" for one in by_fold)
        without = told.agreement(worth | {name: 0.0}, everybody)
        print(f"{name:<8} worth {worth[name]:>5g} (by fold {others}); without it {without:.4f}")
    if options.ties:
        tell_ties(known, tags)
    if options.write:
        write(feel_model(known, tags), worth)
        print(f"written: {feel.FILE}")
    if options.json:
        print(json.dumps({"worth": worth, "agreement": float(np.mean(crossed))}))


if __name__ == "__main__":
    main()
