"""Learn the letter-to-sound model from CMUdict: `python -m catalogue.letter_to_sound_training`.

Writes the model that is shipped, from all of CMUdict, in about half a minute. Nothing is
drawn at random: the same dictionary gives the same file.

1. *Alignment*: expectation-maximisation finds which letter says which phonemes
   (0, 1 or 2 of them). Source: Jiampojamarn, Kondrak and Sherif, "Applying many-to-many
   alignments and hidden Markov models to letter-to-phoneme conversion" (2007).
2. *n-grams* of the aligned pairs, smoothed by interpolated modified Kneser-Ney.
   Source: Chen and Goodman, "An empirical study of smoothing techniques" (1998).
3. *Pruning*: an n-gram that hardly changes what its shorter ones would say is dropped.
   Source: Stolcke, "Entropy-based pruning of backoff language models" (1998), simplified.

What was tried. Learnt from nine tenths of CMUdict, scored on the held-out tenth of
`tests/benchmarks/letter_to_sound.py` (12,488 words; share of phonemes and of words wrong;
microseconds a word, cold, as measured on one machine; megabytes of the file):

    model                                                     PER     WER     µs   MB
    each letter its commonest phonemes (the baseline)       42.8 %  97.1 %     1    -
    back-off tables, 11 windows of letters and phonemes      8.7 %  36.4 %    64    -
    joint 8-gram, letters 1-2 : phonemes 0-2, first to last  6.4 %  26.6 %   740  2.5
      pruned at 2.0 nats                                     6.9 %  28.3 %   610  0.6
      from last letter to first                              6.2 %  25.9 %   630  2.5
    joint 8-gram, one letter : phonemes 0-2, first to last   6.4 %  26.4 %   670  2.6
      from last letter to first, quicker search              6.2 %  26.1 %   325  2.6
      rare graphones dropped, pruned at 0.5, narrower beam   6.3 %  26.4 %   187  1.7  kept
      six best guesses weighed again from first to last      6.2 %  26.1 %   280  2.7

Two-letter pairs cost twice the time for 0.2 % of words; reading in both directions gains
nothing, as both know the same pairs. The right saying is among the first six in 88 %.
These choices were made on that tenth; another tenth (remainder 3), looked at only
afterwards, gave 6.1 % and 25.8 %.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from catalogue import letter_to_sound, pronunciations
from catalogue.letter_to_sound import END, START, Graphone, ModelArrays, Phonemes

Aligned = list[Graphone]

ORDER = 8  # the longest n-gram; 9 gains nothing
# Nats that dropping an n-gram would cost over all its occurrences in the dictionary.
PRUNING = 0.5
# A graphone seen once is nearly always a slip of the dictionary or an abbreviation.
RAREST_GRAPHONE = 2

_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyz'")
_MOST_PHONEMES_A_LETTER = 2
_EM_ROUNDS = 8
_EM_EVERY = 5  # one word in five is enough for some 300 probabilities
_FIRST_GUESS = 0.1  # probability of a phoneme before anything is learnt
_NEGLIGIBLE = 1e-3  # expected count below which a pair is forgotten


def dictionary_words() -> Iterator[tuple[str, tuple[Phonemes, ...]]]:
    """Yield CMUdict's words of a-z and apostrophe with all their pronunciations.

    Left out: about 1,000 words with a hyphen, full stop, digit or other sign.
    """
    for word, raw in pronunciations.cmudict_entries().items():
        if _LETTERS.issuperset(word):
            yield word, pronunciations.parse_entry(raw)


def learn(words: Iterable[tuple[str, tuple[Phonemes, ...]]]) -> ModelArrays:
    """Learn a model from words and their pronunciations."""
    return arrays_from(align(words))


# Alignment


def align(words: Iterable[tuple[str, tuple[Phonemes, ...]]]) -> list[Aligned]:
    """Pair letters with phonemes in every pronunciation that allows it.

    Those with over two phonemes a letter somewhere ("aaa", TRIPLE A) are left out.
    """
    pairs = [(word, phonemes) for word, said in words for phonemes in said]
    chances = _pair_chances(pairs[::_EM_EVERY])
    costs = {pair: -math.log(chance) for pair, chance in chances.items()}
    aligned = (_best_alignment(word, phonemes, costs) for word, phonemes in pairs)
    return [graphones for graphones in aligned if graphones]


def _pair_chances(pairs: list[tuple[str, Phonemes]]) -> dict[Graphone, float]:
    """Estimate by expectation-maximisation how often a letter says these phonemes."""
    chances: dict[Graphone, float] = {}
    for _ in range(_EM_ROUNDS):
        counts: defaultdict[Graphone, float] = defaultdict(float)
        for word, phonemes in pairs:
            _add_expected_counts(counts, word, phonemes, chances)
        total = sum(counts.values())
        chances = {pair: n / total for pair, n in counts.items() if n > _NEGLIGIBLE}
    return chances


def _add_expected_counts(
    counts: defaultdict[Graphone, float],
    word: str,
    phonemes: Phonemes,
    chances: dict[Graphone, float],
) -> None:
    """One word's forward and backward pass over the grid of letters by phonemes."""
    width = len(phonemes) + 1
    forward = [0.0] * ((len(word) + 1) * width)
    forward[0] = 1.0
    edges: list[tuple[int, int, Graphone, float]] = []
    for origin, target, pair in _grid_edges(word, phonemes):
        if not forward[origin]:
            continue
        chance = chances.get(pair, 0.0) if chances else _FIRST_GUESS ** (1 + len(pair[1]))
        if chance:
            forward[target] += forward[origin] * chance
            edges.append((origin, target, pair, chance))
    if not forward[-1]:
        return
    backward = [0.0] * len(forward)
    backward[-1] = 1.0 / forward[-1]
    for origin, target, pair, chance in reversed(edges):
        if backward[target]:
            backward[origin] += chance * backward[target]
            counts[pair] += forward[origin] * chance * backward[target]


def _best_alignment(word: str, phonemes: Phonemes, costs: dict[Graphone, float]) -> Aligned:
    """The likeliest pairing of a word (Viterbi); empty when none is possible."""
    width = len(phonemes) + 1
    best = [math.inf] * ((len(word) + 1) * width)
    best[0] = 0.0
    came_by: dict[int, tuple[int, Graphone]] = {}
    for origin, target, pair in _grid_edges(word, phonemes):
        cost = best[origin] + costs.get(pair, math.inf)
        if cost < best[target]:
            best[target] = cost
            came_by[target] = (origin, pair)
    graphones: Aligned = []
    place = len(best) - 1
    while place in came_by:
        place, pair = came_by[place]
        graphones.append(pair)
    return graphones[::-1]


def _grid_edges(word: str, phonemes: Phonemes) -> Iterator[tuple[int, int, Graphone]]:
    """Every step of one letter and 0 to 2 phonemes: from place, to place, the pair."""
    width = len(phonemes) + 1
    for row, letter in enumerate(word):
        for column in range(width):
            for step in range(min(_MOST_PHONEMES_A_LETTER, len(phonemes) - column) + 1):
                pair = (letter, phonemes[column : column + step])
                yield row * width + column, (row + 1) * width + column + step, pair


def commonest_sayings(aligned: list[Aligned]) -> dict[str, Phonemes]:
    """Each letter's commonest phonemes: the naive baseline of the benchmark."""
    counts = Counter(graphone for word in aligned for graphone in word)
    return {letter: said for (letter, said), _ in reversed(counts.most_common())}


# n-grams


@dataclass
class _Level:
    """All n-grams of one length. Arrays have one entry for each n-gram."""

    parent: NDArray[np.int64]  # the n-gram without its last graphone, in the level above
    symbol: NDArray[np.int64]  # its last graphone
    suffix: NDArray[np.int64]  # the n-gram without its first graphone, in the level above
    starts: NDArray[np.bool_]  # whether it begins with the start of a word
    count: NDArray[np.float64]  # occurrences
    chance: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))
    backoff: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))
    kept: NDArray[np.bool_] = field(default_factory=lambda: np.empty(0, dtype=bool))


def arrays_from(aligned: list[Aligned]) -> ModelArrays:
    """Count, smooth, prune and pack the n-grams of aligned words, read backwards."""
    seen = Counter(graphone for word in aligned for graphone in word)
    usual = [
        word for word in aligned if all(seen[graphone] >= RAREST_GRAPHONE for graphone in word)
    ]
    graphones = [START, END, *sorted({graphone for word in usual for graphone in word})]
    number = {graphone: i for i, graphone in enumerate(graphones)}
    text: list[int] = []
    for word in usual:
        text.append(number[START])
        text += [number[graphone] for graphone in reversed(word)]
        text.append(number[END])
    levels = _count(np.array(text, dtype=np.int64), len(graphones))
    _smooth(levels)
    _prune(levels)
    return _pack(levels, graphones)


def _count(text: NDArray[np.int64], symbols: int) -> list[_Level]:
    """Count n-grams of every length up to ORDER; none crosses the start of a word."""
    places = np.arange(len(text))
    begins = np.flatnonzero(text == 0)
    depth = places - np.repeat(begins, np.diff(np.append(begins, len(text))))
    levels: list[_Level] = []
    ids = np.zeros(len(text), dtype=np.int64)  # at each place, the n-gram that ends there
    for length in range(1, ORDER + 1):
        whole = np.flatnonzero(depth >= length - 1)
        keys = ids[whole - 1] * symbols * (length > 1) + text[whole]
        found, first, which, count = np.unique(
            keys, return_index=True, return_inverse=True, return_counts=True
        )
        at = whole[first]
        levels.append(
            _Level(
                parent=found // symbols,
                symbol=found % symbols,
                suffix=ids[at],
                starts=depth[at] == length - 1,
                count=count.astype(np.float64),
            )
        )
        ids = np.full(len(text), -1, dtype=np.int64)
        ids[whole] = which
    return levels


def _smooth(levels: list[_Level]) -> None:
    """Interpolated modified Kneser-Ney: fill in chances, and back-offs of the level above.

    Shorter n-grams count by how many different graphones come before them, save those
    at the start of a word, before which nothing can come.
    """
    for index, level in enumerate(levels):
        counts = level.count
        if index + 1 < len(levels):
            variety = np.bincount(levels[index + 1].suffix, minlength=len(counts)).astype(float)
            counts = np.where(level.starts & (variety == 0), counts, variety)
        if index == 0:
            counts[0] = 0.0  # the start of a word never comes next
            # A twentieth of a count for each, so that nothing is impossible.
            level.chance = (counts + 0.05) / (counts + 0.05).sum()
            continue
        above = levels[index - 1]
        total = np.bincount(level.parent, weights=counts, minlength=len(above.count))
        discount = _discounts(counts)[np.minimum(counts, 3).astype(int)]
        freed = np.bincount(level.parent, weights=discount, minlength=len(above.count))
        above.backoff = freed / np.maximum(total, 1.0)
        level.chance = np.maximum(counts - discount, 0.0) / total[level.parent]
        level.chance += above.backoff[level.parent] * above.chance[level.suffix]


def _discounts(counts: NDArray[np.float64]) -> NDArray[np.float64]:
    """What is taken off n-grams counted 0, 1, 2, and 3 or more times.

    Source: Chen and Goodman 1998, equation 26.
    """
    once, twice, thrice, four = (max(float((counts == n).sum()), 1.0) for n in (1, 2, 3, 4))
    share = once / (once + 2 * twice)
    taken = (
        1 - 2 * share * twice / once,
        2 - 3 * share * thrice / twice,
        3 - 4 * share * four / thrice,
    )
    # Tiny dictionaries (in tests) can give a discount outside what makes sense.
    return np.array([0.0, *(min(max(d, 0.05), n) for n, d in enumerate(taken, start=1))])


def _prune(levels: list[_Level]) -> None:
    """Drop n-grams worth under PRUNING nats, longest first, and make the back-offs right."""
    needed = np.zeros(len(levels[-1].count), dtype=bool)
    for level, above in zip(levels[:0:-1], levels[-2::-1], strict=True):
        otherwise = above.backoff[level.parent] * above.chance[level.suffix]
        level.kept = needed | (level.count * np.log(level.chance / otherwise) > PRUNING)
        parents = level.parent[level.kept]
        needed = np.bincount(parents, minlength=len(above.count)) > 0
        size = len(above.count)
        said = np.bincount(parents, weights=level.chance[level.kept], minlength=size)
        shorter = above.chance[level.suffix[level.kept]]
        covered = np.bincount(parents, weights=shorter, minlength=size)
        above.backoff = np.maximum(1 - said, 1e-4) / np.maximum(1 - covered, 1e-4)
    levels[0].kept = np.ones(len(levels[0].count), dtype=bool)
    levels[-1].backoff = np.ones(len(levels[-1].count))


def _pack(levels: list[_Level], graphones: list[Graphone]) -> ModelArrays:
    """Number the kept nodes as `letter_to_sound` wants them, and round costs to bytes."""
    symbol, chance, backoff, children = [], [], [], []
    position = np.zeros(1, dtype=np.int64)  # of the level above's n-grams
    for index, level in enumerate(levels):
        kept = np.flatnonzero(level.kept)
        if index:
            kept = kept[np.lexsort((level.symbol[kept], position[level.parent[kept]]))]
        position = np.zeros(len(level.count), dtype=np.int64)
        position[kept] = np.arange(len(kept))
        below = levels[index + 1] if index + 1 < len(levels) else None
        parents = below.parent[below.kept] if below else np.empty(0, dtype=np.int64)
        children.append(np.bincount(parents, minlength=len(level.count))[kept])
        symbol.append(level.symbol[kept])
        chance.append(level.chance[kept])
        backoff.append(level.backoff[kept])
    return ModelArrays(
        graphones=np.array([f"{letter}:{' '.join(said)}" for letter, said in graphones]),
        levels=np.array([len(part) for part in symbol], dtype=np.int64),
        symbol=np.concatenate(symbol).astype(np.uint16),
        cost=_as_bytes(np.concatenate(chance), 0),
        backoff=_as_bytes(np.concatenate(backoff), letter_to_sound.BACKOFF_OFFSET),
        children=np.concatenate(children).astype(np.uint16),
    )


def _as_bytes(chance: NDArray[np.float64], offset: int) -> NDArray[np.uint8]:
    costs = np.round(-np.log(chance) * letter_to_sound.COST_SCALE) + offset
    filed: NDArray[np.uint8] = np.clip(costs, 0, letter_to_sound.DEAREST).astype(np.uint8)
    return filed


def main() -> None:
    """Learn from all of CMUdict and write the model that is shipped."""
    arrays = learn(dictionary_words())
    arrays.save(letter_to_sound.MODEL_FILE)
    size = letter_to_sound.MODEL_FILE.stat().st_size / 1e6
    print(f"{len(arrays.symbol):,} n-grams, {size:.2f} MB, in {letter_to_sound.MODEL_FILE}")


if __name__ == "__main__":
    main()
