"""How well songs are told apart from recordings, on pairs of real names.

    python -m tests.benchmarks.song_identity [--fit] [--write] [--quick] [--json]

`tests/cases/song_variants.csv` holds pairs of titles with artists and, here and there, writers:
one song, or two. Prints precision and recall of "one song" beside the plain alternatives, equal
titles and equal titles without a bracketed version; and the same for the pairs with two artists
alone, where the title is nearly all there is to go by. The chance for those is fitted on these
pairs: its figures are cross-validated, with folds by title. `--fit` prints the numbers to put
into `catalogue/song_identity.py`, `--write` counts the words of titles anew. `--json` prints
{"tellers": {NAME: {...}}}.
"""

from __future__ import annotations

import argparse
import csv
import json
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from catalogue import song_identity
from catalogue.records import Recording
from catalogue.song_identity import one_title, same_main_artist, title_keys
from catalogue.spelling import plain, without_version
from tests.benchmarks.stand_in_data import songs

CASES = Path(__file__).resolve().parents[1] / "cases" / "song_variants.csv"
FOLDS = 5
SHARED_PRIOR = 0.5
"""Ridge on the two numbers: a few hundred pairs must not make the chance certain."""

Pair = tuple[Recording, Recording, bool]


def pairs() -> list[Pair]:
    """The cases as recordings, artists of one plain name being one."""
    found: list[Pair] = []
    with CASES.open(encoding="utf-8", newline="") as file:
        for number, row in enumerate(csv.DictReader(file)):
            artists = [plain(row["artist_a"]), plain(row["artist_b"])]
            ids = (1, 1 if artists[0] == artists[1] else 2)
            a, b = (
                Recording(2 * number + n, row[f"title_{s}"], row[f"artist_{s}"], ids[n], 0,
                          composer=row[f"composer_{s}"])
                for n, s in enumerate("ab")
            )  # fmt: skip
            found.append((a, b, row["same"] == "yes"))
    return found


def by_title_alone(a: Recording, b: Recording) -> bool:
    """Whether the fitted chance is what decides: one title, two artists, writers not known."""
    return (
        one_title(a.title, b.title)
        and not same_main_artist(a.artist, b.artist)
        and not (a.composer and b.composer)
    )


def fitted(cases: Sequence[Pair]) -> tuple[float, float]:
    """Constant and slope of the logistic regression, with a little ridge on the slope."""
    told = [
        (song_identity.information(a.title, b.title), same)
        for a, b, same in cases if by_title_alone(a, b)
    ]  # fmt: skip
    x = np.array([one for one, _ in told])
    y = np.array([float(same) for _, same in told])

    def loss(w: np.ndarray) -> float:
        z = w[0] + w[1] * x
        return float(np.sum(np.logaddexp(0, z) - y * z) + SHARED_PRIOR * w[1] ** 2)

    best = minimize(loss, np.zeros(2)).x
    return round(float(best[0]), 2), round(float(best[1]), 2)


def crossed(cases: Sequence[Pair]) -> list[bool]:
    """What the program says of each pair, the chance fitted without pairs of its title."""
    titles = sorted({title_keys(a.title).whole for a, _, _ in cases})
    fold = {title: number % FOLDS for number, title in enumerate(titles)}
    said = [False] * len(cases)
    shipped = song_identity._CONSTANT, song_identity._PER_DOUBLING
    try:
        for number in range(FOLDS):
            own = [fold[title_keys(a.title).whole] == number for a, _, _ in cases]
            song_identity._CONSTANT, song_identity._PER_DOUBLING = fitted(
                [case for case, mine in zip(cases, own, strict=True) if not mine]
            )
            for at, (a, b, _) in enumerate(cases):
                if own[at]:
                    said[at] = song_identity.is_one_song(a, b)
    finally:
        song_identity._CONSTANT, song_identity._PER_DOUBLING = shipped
    return said


def scores(said: Sequence[bool], truth: Sequence[bool]) -> dict[str, float]:
    """Precision and recall of "one song", and the share told right."""
    right = sum(s and t for s, t in zip(said, truth, strict=True))
    return {
        "precision": round(right / max(1, sum(said)), 4),
        "recall": round(right / max(1, sum(truth)), 4),
        "accuracy": round(sum(s == t for s, t in zip(said, truth, strict=True)) / len(truth), 4),
        "pairs": len(truth),
    }


PLAIN: dict[str, Callable[[Recording, Recording], bool]] = {
    "equal titles": lambda a, b: plain(a.title) == plain(b.title),
    "equal without brackets": lambda a, b: (
        plain(without_version(a.title)) == plain(without_version(b.title))
    ),
    "one title by our keys": lambda a, b: one_title(a.title, b.title),
}


def measured(cases: Sequence[Pair]) -> dict[str, dict[str, float]]:
    """Every teller on all pairs, and ours and the plain ones on those with two artists."""
    truth = [same for _, _, same in cases]
    told = {name: [rule(a, b) for a, b, _ in cases] for name, rule in PLAIN.items()}
    told["ours"] = crossed(cases)
    two = [not same_main_artist(a.artist, b.artist) for a, b, _ in cases]
    found = {name: scores(said, truth) for name, said in told.items()}
    for name, said in told.items():
        found[f"{name}, two artists"] = scores(
            [s for s, t in zip(said, two, strict=True) if t],
            [s for s, t in zip(truth, two, strict=True) if t],
        )
    return found


def write_words() -> None:
    """Count in how many different titles of the reference songs each word is, and ship those of
    three titles or more; no pair and no judgement is looked at."""
    titles = {title_keys(song.title).whole for song in songs()}
    counts = Counter(word for title in titles for word in set(title.split()))
    kept = sorted(
        (w for w, n in counts.items() if n >= FEWEST_TITLES), key=lambda w: (-counts[w], w)
    )
    lines = [f",{len(titles)}", *(f"{word},{counts[word]}" for word in kept)]
    song_identity._WORDS.write_text("\n".join(lines) + "\n", encoding="utf-8")


FEWEST_TITLES = 3


def main() -> None:
    """Print the table; with --fit the numbers for the program, with --json one object."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--fit", action="store_true", help="print the numbers of the chance")
    parser.add_argument("--write", action="store_true", help="write the words of titles anew")
    parser.add_argument("--quick", action="store_true", help="the same: it takes a second")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    cases = pairs()
    found = measured(cases)
    print(f"{'':<38} {'precision':>9} {'recall':>7} {'right':>6} {'pairs':>6}")
    for name, row in found.items():
        print(f"{name:<38} {row['precision']:>9.3f} {row['recall']:>7.3f} "
              f"{row['accuracy']:>6.3f} {row['pairs']:>6}")  # fmt: skip
    if options.fit:
        print("constant and per doubling of information:", *fitted(cases))
    if options.write:
        write_words()
    if options.json:
        print(json.dumps({"tellers": found}))


if __name__ == "__main__":
    main()
