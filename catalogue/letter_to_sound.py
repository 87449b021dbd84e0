"""Letters to phonemes, for a word in no list: a joint n-gram model learnt from CMUdict.

Every letter of a word says none, one or two phonemes; a letter with what it says is a
*graphone*: `x:K S`, `e:` (silent). The model gives the chance of the next graphone after
up to seven others, and the guess is the likeliest row of graphones that spells the word.
Words are read from the last letter to the first, because in English the ending decides
more (silent e, -tion) than the beginning; three words in a thousand more come out right.

Sources: Bisani and Ney, "Joint-sequence models for grapheme-to-phoneme conversion",
Speech Communication 50 (2008); Novak, Minematsu and Hirose, "WFST-based
grapheme-to-phoneme conversion" (2012). What was tried, with figures, is in
`letter_to_sound_training.py`; the error on words never seen is measured by
`python -m tests.benchmarks.letter_to_sound`.

The n-grams are nodes of a tree: a node's children are the graphones that may follow it.
Nodes are numbered level by level (all 1-grams, then all 2-grams, ...), and within a level
by parent and then by graphone, so that the children of a node lie together and those for
one letter lie together among them.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Phonemes = tuple[str, ...]
Graphone = tuple[str, Phonemes]

MODEL_FILE = Path(__file__).with_name("data") / "letter_to_sound.npz"

# Costs are negative natural logarithms in sixteenths, so that one byte holds 0 to 16.
COST_SCALE = 16
# A back-off weight may be above 1, its cost below 0: the byte holds cost + 64.
BACKOFF_OFFSET = 64
DEAREST = 255

# The two symbols that are no letters; they come first and second among the graphones.
START: Graphone = ("", ())
END: Graphone = ("$", ())

# Readings kept after each letter, and how much dearer than the best one may be there.
# Found on the held-out tenth: 16 and 120 gain 0.3 % of words at nearly twice the time.
_BEAM = 8
_BEAM_WIDTH = 100
# How much dearer than the best one a single letter's saying may be.
_CHOICE_WIDTH = 90
# About 25 MB; past it all are forgotten and worked out again when needed.
_CACHED_CHOICES = 50_000

_NOWHERE = -1  # no context at all: only the chances of single graphones are left

# What one letter may say: cost, context afterwards, phonemes.
_Choices = tuple[tuple[int, int, Phonemes], ...]
# A reading so far: its cost, the reading it came from, what the last letter said.
_Reading = tuple[int, Any, Phonemes]


@dataclass(frozen=True)
class ModelArrays:
    """The model as it is filed. The four node arrays have one entry for each n-gram.

    `symbol`: number of the node's last graphone. `cost`: of that graphone after the
    others, in 1/COST_SCALE nats. `backoff`: cost plus BACKOFF_OFFSET of leaving the node
    for a shorter context. `children`: how many follow. `levels`: nodes in each level.
    `graphones`: "letter:PHONEME PHONEME", START and END first, the others sorted.
    """

    graphones: NDArray[np.str_]
    levels: NDArray[np.int64]
    symbol: NDArray[np.uint16]
    cost: NDArray[np.uint8]
    backoff: NDArray[np.uint8]
    children: NDArray[np.uint16]

    def save(self, path: Path) -> None:
        """Write a compressed .npz; equal arrays give equal bytes."""
        with path.open("wb") as file:
            np.savez_compressed(file, **vars(self))

    @classmethod
    def load(cls, path: Path) -> ModelArrays:
        """Read what `save` wrote."""
        with np.load(path, allow_pickle=False) as filed:
            return cls(**{name: filed[name] for name in filed.files})


class JointModel:
    """Guesses how words are said. Built in about a tenth of a second; safe with threads."""

    def __init__(self, arrays: ModelArrays) -> None:
        self._phonemes = [tuple(g.partition(":")[2].split()) for g in arrays.graphones.tolist()]
        self._range = _ranges_by_letter(arrays.graphones.tolist())
        # .data, a memoryview: reading one item is twice as fast as from a numpy array.
        self._symbol = arrays.symbol.data
        self._cost = arrays.cost.data
        self._backoff = arrays.backoff.data
        self._has_children = (arrays.children > 0).data
        self._first_child = _first_children(arrays).data
        self._shorter = _shorter_contexts(arrays).data
        self._choices: dict[tuple[int, str], _Choices] = {}

    def guesses(self, word: str, most: int = 1) -> tuple[Phonemes, ...]:
        """Return up to `most` different ways of saying `word`, the likeliest first.

        Characters other than a-z and apostrophe are dropped; with no letter left the only
        guess is silence, `((),)`.
        """
        letters = [letter for letter in reversed(word) if letter in self._range and letter != "$"]
        if set(letters) <= {"'"}:
            return ((),)
        said = (_phonemes_along(reading) for reading in self._read(letters))
        heard = tuple(dict.fromkeys(phonemes for phonemes in said if phonemes))[:most]
        return heard or (self._letter_by_letter(letters),)

    def _read(self, letters: list[str]) -> list[_Reading]:
        """Beam search from the last letter to the first; complete readings, best first."""
        known = self._choices
        readings: dict[int, _Reading] = {0: (0, None, ())}
        for letter in letters:
            ranked = sorted((reading[0], at) for at, reading in readings.items())
            dearest = ranked[0][0] + _BEAM_WIDTH
            longer: dict[int, _Reading] = {}
            for so_far, at in ranked[:_BEAM]:
                if so_far > dearest:
                    break
                before = readings[at]
                for cost, to, phonemes in known.get((at, letter)) or self._choose(at, letter):
                    total = so_far + cost
                    rival = longer.get(to)
                    if rival is None or total < rival[0]:
                        longer[to] = (total, before, phonemes)
            readings = longer
        ends = [
            ((known.get((at, "$")) or self._choose(at, "$"))[0][0] + reading[0], at)
            for at, reading in readings.items()
        ]
        return [readings[at] for _, at in sorted(ends)]

    def _choose(self, context: int, letter: str) -> _Choices:
        """Work out what `letter` may say in `context`, and keep it.

        The longest context that has seen a graphone gives its cost, plus the back-off
        of the longer ones that have not; the longest that goes on from it comes next.
        """
        low, high = self._range[letter]
        key = (context, letter)
        costs: dict[int, int] = {}
        nexts: dict[int, int] = {}
        leaving = 0
        while context != _NOWHERE:
            end = self._first_child[context + 1]
            node = bisect_left(self._symbol, low, self._first_child[context], end)
            while node < end and (symbol := self._symbol[node]) < high:
                costs.setdefault(symbol, leaving + self._cost[node])
                if self._has_children[node]:
                    nexts.setdefault(symbol, node)
                node += 1
            leaving += self._backoff[context] - BACKOFF_OFFSET
            context = self._shorter[context]
        for symbol in range(low, high):  # a 1-gram's node has the number of its graphone
            costs.setdefault(symbol, leaving + self._cost[symbol])
            if self._has_children[symbol]:
                nexts.setdefault(symbol, symbol)
        dearest = min(costs.values()) + _CHOICE_WIDTH
        choices = tuple(
            (cost, nexts.get(symbol, _NOWHERE), self._phonemes[symbol])
            for symbol, cost in costs.items()
            if cost <= dearest
        )
        if len(self._choices) >= _CACHED_CHOICES:
            self._choices.clear()
        self._choices[key] = choices
        return choices

    def _letter_by_letter(self, letters: list[str]) -> Phonemes:
        """Say each letter its commonest audible way: for "hh", of which nothing was heard."""
        said: list[str] = []
        for letter in reversed(letters):
            audible = [symbol for symbol in range(*self._range[letter]) if self._phonemes[symbol]]
            if letter != "'" and audible:
                said += self._phonemes[min(audible, key=lambda symbol: self._cost[symbol])]
        return tuple(said)


@lru_cache(maxsize=1)
def shipped_model() -> JointModel:
    """Load the model that came with the program, once."""
    return JointModel(ModelArrays.load(MODEL_FILE))


def phonemes_of(word: str) -> Phonemes:
    """Guess how `word` (lower case, a-z and apostrophe) is said, without stress.

    >>> phonemes_of("saltmarsh")
    ('S', 'AO', 'L', 'T', 'M', 'AA', 'R', 'SH')
    """
    return shipped_model().guesses(word)[0]


def _phonemes_along(reading: _Reading) -> Phonemes:
    """Walk a reading back to its beginning, which is the word's end."""
    phonemes: list[str] = []
    while reading is not None:
        phonemes += reading[2]
        reading = reading[1]
    return tuple(phonemes)


def _ranges_by_letter(graphones: list[str]) -> dict[str, tuple[int, int]]:
    """First and last-plus-one graphone number of each letter; graphones are sorted."""
    ranges: dict[str, tuple[int, int]] = {}
    for number, graphone in enumerate(graphones):
        letter = graphone.partition(":")[0]
        if letter:
            ranges[letter] = (ranges.get(letter, (number, 0))[0], number + 1)
    return ranges


def _first_children(arrays: ModelArrays) -> NDArray[np.int32]:
    """Number of each node's first child, and one entry more to end the last node's."""
    children = np.append(arrays.children, 0).astype(np.int64)
    first: NDArray[np.int32] = (arrays.levels[0] + np.cumsum(children) - children).astype(np.int32)
    return first


def _shorter_contexts(arrays: ModelArrays) -> NDArray[np.int32]:
    """For each node with children, the longest shorter context that has children too.

    The shorter context of "h w" is the child w of the shorter context of h, or of a yet
    shorter one. Worked out here rather than filed: it would double the file.
    """
    roots = int(arrays.levels[0])
    symbol = arrays.symbol.astype(np.int64)
    parent = np.repeat(np.arange(len(symbol)), arrays.children)  # of the nodes after the roots
    keys = parent * len(arrays.graphones) + symbol[roots:]  # rising, as the nodes are sorted
    shorter = np.full(len(symbol), _NOWHERE, dtype=np.int32)
    start = roots
    for size in arrays.levels[1:].tolist():
        nodes = start + np.flatnonzero(arrays.children[start : start + size])
        start += size
        context = shorter[parent[nodes - roots]].astype(np.int64)
        while len(nodes):
            key = context * len(arrays.graphones) + symbol[nodes]
            place = np.minimum(np.searchsorted(keys, key), len(keys) - 1)
            found = np.where(keys[place] == key, place + roots, _NOWHERE)
            at_root = context == _NOWHERE
            found[at_root] = symbol[nodes[at_root]]
            done = (found != _NOWHERE) & (arrays.children[found] > 0)
            shorter[nodes[done]] = found[done]
            left = ~done & ~at_root
            nodes, context = nodes[left], shorter[context[left]].astype(np.int64)
    return shorter
