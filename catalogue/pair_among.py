"""What is known of a larger collection, where only some of its records are compared at once.

A weigher counts how common names and words are among the records it has. Where these are a part
of many more, the counts are given from outside, so that a pair is worth the same in every part.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from catalogue.pair_weights import Floats
from catalogue.word_lists import Ints


@dataclass(frozen=True, slots=True)
class Among:
    """The larger collection. `records` is how many it has.

    `frequency` tells for values of a column ("title", "artist", "album") how many records have
    each; `word_counts` how many records have each of these words in their names; `us` is u of each
    level of the claims that are not names (`claimed.Claimed.counted_us`).
    """

    records: int
    frequency: Callable[[str, Sequence[str]], Floats]
    word_counts: Callable[[Sequence[str]], Ints]
    us: Mapping[str, Floats]
