"""How likely one phoneme is heard as another: learnt weights for comparing sounds.

`data/confusion_weights.csv` holds one row for each pair: `heard`, `held`, and `weight`, the
natural logarithm of how much more often the pair occurs in aligned mishearings than by chance.
An empty `heard` is a phoneme that was not heard, an empty `held` one that was put in. Learnt by
`python -m tests.benchmarks.learn_confusions` from the English Consistent Confusion Corpus
(Marxer et al. 2016, JASA 140(5), EL458, CC BY 4.0) and from requests spoken through a telephone
band and written down by recognisers (`tests/reference/mishearings`).
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from catalogue.sound import CODE_OF

FILE = Path(__file__).with_name("data") / "confusion_weights.csv"
_CODES = 128
"""Phones are ASCII letters, so a table indexed by code point needs 128 rows."""


@dataclass(frozen=True, slots=True)
class ConfusionWeights:
    """Weights by code point of the phones' letters.

    `pair[heard, held]`, `missed[held]`, `added[heard]`: float32, in natural log odds.
    """

    pair: NDArray[np.float32]
    missed: NDArray[np.float32]
    added: NDArray[np.float32]

    def turned(self) -> ConfusionWeights:
        """The weights for asking the other way: what is said, of many things that may be heard."""
        return ConfusionWeights(self.pair.T.copy(), self.added, self.missed)


def from_rows(rows: list[tuple[str, str, float]]) -> ConfusionWeights:
    """Tables from (heard, held, weight) rows, phonemes by their CMUdict names."""
    pair = np.zeros((_CODES, _CODES), np.float32)
    missed = np.zeros(_CODES, np.float32)
    added = np.zeros(_CODES, np.float32)
    for heard, held, weight in rows:
        if heard and held:
            pair[ord(CODE_OF[heard]), ord(CODE_OF[held])] = weight
        elif held:
            missed[ord(CODE_OF[held])] = weight
        else:
            added[ord(CODE_OF[heard])] = weight
    return ConfusionWeights(pair, missed, added)


@lru_cache(maxsize=1)
def shipped() -> ConfusionWeights:
    """The weights that come with the program."""
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = [(row["heard"], row["held"], float(row["weight"])) for row in csv.DictReader(file)]
    return from_rows(rows)
