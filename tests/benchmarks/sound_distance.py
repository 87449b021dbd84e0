"""Does the learnt sound distance rank what listeners really heard above random words?

    python -m tests.benchmarks.sound_distance [--quick] [--json]

The English Consistent Confusion Corpus (Marxer et al. 2016): for each word said, the word that
many listeners reported, against random words of the same number of phonemes from the corpus.
Weights are learnt from the other folds, grouped by the word said. Area under the curve: the
chance that the heard word scores above a random one, ties half. Beside it unit-cost edit
distance on phonemes.
"""

from __future__ import annotations

import argparse
import csv
import json
import random
from collections import defaultdict

from rapidfuzz.distance import Levenshtein

from catalogue.alignment import align_whole
from catalogue.confusion_weights import from_rows
from tests.benchmarks import learn_confusions
from tests.benchmarks.learn_confusions import REFERENCE, phones_of

FOLDS = 5
RANDOM_WORDS = 50
SEED = 17
NOT_ALL_DIFFERENT = 1e-9


def rows() -> list[tuple[str, str, str]]:
    """(word said, its phones, phones heard)."""
    path = REFERENCE / "confusions" / "consistent.csv"
    with path.open(encoding="utf-8", newline="") as file:
        found = [
            (row["said"], phones_of(row["said_arpabet"]), phones_of(row["heard_arpabet"]))
            for row in csv.DictReader(file)
        ]
    return [row for row in found if row[1] and row[2]]


def area(wins: float, losses: float) -> float:
    """Area under the curve from counts of wins (ties half) and losses."""
    return wins / (wins + losses)


def main() -> None:
    """Learn on four folds, rank on the fifth."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    data = rows()
    words = sorted({said for said, _, _ in data})
    random.Random(SEED).shuffle(words)
    fold = {word: place % FOLDS for place, word in enumerate(words)}
    by_size: dict[int, list[str]] = defaultdict(list)
    for _, said, heard in data:
        by_size[len(heard)].append(heard)
        by_size[len(said)].append(said)
    chance = random.Random(SEED)
    totals = {"learnt": [0.0, 0.0], "edit distance": [0.0, 0.0]}
    for number in range(1 if options.quick else FOLDS):
        others = [(heard, said, 1.0) for word, said, heard in data if fold[word] != number]
        responses = learn_confusions.response_pairs({w for w in words if fold[w] == number})
        weights = from_rows(learn_confusions.learn([*others, *responses]))
        for word, said, heard in data:
            if fold[word] != number or not (pool := set(by_size[len(heard)]) - {heard, said}):
                continue
            rivals = chance.sample(sorted(pool), min(RANDOM_WORDS, len(pool)))
            scores = align_whole(said, [heard, *rivals], weights.turned())
            edits = [-Levenshtein.distance(said, other) for other in [heard, *rivals]]
            for name, told in (("learnt", list(scores)), ("edit distance", edits)):
                for other in told[1:]:
                    gap = told[0] - other
                    win = 0.5 if abs(gap) < NOT_ALL_DIFFERENT else float(gap > 0)
                    totals[name][0] += win
                    totals[name][1] += 1 - win
    result = {name: round(area(*counts), 4) for name, counts in totals.items()}
    for name, value in result.items():
        print(f"{name:16} area under the curve {value:.4f}")
    if options.json:
        print(json.dumps({"learnt": result["learnt"], "edit_distance": result["edit distance"]}))


if __name__ == "__main__":
    main()
