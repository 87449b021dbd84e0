"""What speaks for and against pairs of records, one row a pair: what `pair_evidence` gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue.pair_weights import Floats
from catalogue.word_lists import Ints

Levels = NDArray[np.int8]


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for and against pairs: one row a pair.

    `first` and `second` are places in the records; `levels` and `bits` have a column for each of
    `CLAIMS`; `reading` is how title and artist were read; `total` is log2 odds with the prior.
    """

    first: Ints
    second: Ints
    levels: Levels
    bits: Floats
    reading: Levels
    total: Floats

    def __len__(self) -> int:
        return len(self.first)

    def only(self, keep: NDArray[np.bool_] | Ints) -> Evidence:
        """Some of the pairs."""
        return Evidence(
            self.first[keep], self.second[keep], self.levels[keep], self.bits[keep],
            self.reading[keep], self.total[keep],
        )  # fmt: skip


def joined(parts: Sequence[Evidence]) -> Evidence:
    """Parts one after another."""
    return Evidence(
        *(
            np.concatenate([getattr(part, name) for part in parts])
            for name in ("first", "second", "levels", "bits", "reading", "total")
        )
    )
