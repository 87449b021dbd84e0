"""Learn how phonemes are confused, and write `catalogue/data/confusion_weights.csv`.

    python -m tests.benchmarks.learn_confusions

Viterbi training of pair weights: align said and heard phonemes, count pairs, repeat. Starts
from a phonetic prior (manner, place and voice of consonants; height and backness of vowels,
after the IPA chart), which also smooths the counts. Data: the English Consistent Confusion
Corpus (CC BY 4.0, Marxer et al. 2016) and the spoken rows of `misheard_dev.csv`.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Collection, Sequence
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz

from catalogue.alignment import packed
from catalogue.confusion_weights import FILE, ConfusionWeights, from_rows
from catalogue.pronunciations import PHONEMES
from catalogue.sound import CODE_OF, VOWELS, sound_of
from catalogue.spelling import plain, without_featured, without_version

REFERENCE = Path(__file__).resolve().parents[1] / "reference"
Pair = tuple[str, str, float]

PRIOR_COUNT = 600.0
"""Weight of the prior in pairs: about a fiftieth of all that is counted."""

SPOKEN_WEIGHT = 3.0
"""A spoken row counts three times: it has passed a telephone, the corpus has not."""

RESPONSE_WEIGHT = 0.3
"""Single listeners' responses are noisier than what many agreed on."""

LEAST_ALIKE = 50
"""Spoken rows less alike than this (plain ratio of phones) are rubbish, not mishearing."""

ROUNDS = 3

_AT_ONCE = 500
"""Pairs aligned at once, of about the same lengths."""

_MANNER = {
    **dict.fromkeys("P B T D K G".split(), "stop"),
    **dict.fromkeys("F V TH DH S Z SH ZH HH".split(), "fricative"),
    **dict.fromkeys("CH JH".split(), "affricate"),
    **dict.fromkeys("M N NG".split(), "nasal"),
    **dict.fromkeys("L R".split(), "liquid"),
    **dict.fromkeys("W Y".split(), "glide"),
}
_PLACE = {
    **dict.fromkeys("P B M".split(), 0.0),
    **dict.fromkeys("F V".split(), 0.5),
    **dict.fromkeys("TH DH".split(), 1.0),
    **dict.fromkeys("T D S Z N L".split(), 1.5),
    **dict.fromkeys("R SH ZH CH JH".split(), 2.0),
    "Y": 2.5, **dict.fromkeys("K G NG W".split(), 3.0), "HH": 4.0,
}  # fmt: skip
_VOICED = frozenset("B D G V DH Z ZH JH M N NG L R W Y".split())
_VOWEL_AT = {
    "IY": (0, 0), "IH": (0.5, 0.5), "EY": (1, 0.5), "EH": (1.5, 0.6), "AE": (2.2, 0.8),
    "AA": (3, 2), "AO": (2.2, 2.5), "AH": (2, 1.5), "ER": (1.5, 1.5), "UH": (0.7, 2.3),
    "UW": (0, 2.5), "OW": (1.3, 2.5), "AW": (2.7, 1.8), "AY": (2.3, 1.2), "OY": (1.7, 2),
}  # fmt: skip


def unlikeness(heard: str, held: str) -> float:
    """A rough phonetic distance, 0 for the same phoneme, up to about 4."""
    if heard == held:
        return 0.0
    if (heard in VOWELS) != (held in VOWELS):
        return 3.5
    if heard in VOWELS:
        (h1, b1), (h2, b2) = _VOWEL_AT[heard], _VOWEL_AT[held]
        return 0.5 + 0.6 * math.hypot(h1 - h2, b1 - b2)
    manner = 0.0 if _MANNER[heard] == _MANNER[held] else 1.0
    voice = 0.0 if (heard in _VOICED) == (held in _VOICED) else 0.5
    return 0.4 + 0.6 * (0.5 * abs(_PLACE[heard] - _PLACE[held]) + manner + voice)


def corpus_pairs() -> list[Pair]:
    """(heard, said, weight) as phones, from the confusion corpus."""
    pairs: list[Pair] = []
    folder = REFERENCE / "confusions"
    with (folder / "consistent.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            pairs.append((phones_of(row["heard_arpabet"]), phones_of(row["said_arpabet"]), 1.0))
    return [*(pair for pair in pairs if pair[0] and pair[1]), *response_pairs(frozenset())]


def response_pairs(without: Collection[str]) -> list[Pair]:
    """(heard, said, weight) as phones, of single responses to words not in `without`."""
    path = REFERENCE / "confusions" / "all_responses.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [
            row
            for row in csv.DictReader(file)
            if row["said"] != row["heard"] and row["said"] not in without
        ]
    pairs = [
        (sound_of(plain(r["heard"])).phones, sound_of(plain(r["said"])).phones, RESPONSE_WEIGHT)
        for r in rows
    ]
    return [pair for pair in pairs if pair[0] and pair[1]]


def spoken_pairs(rows: Sequence[dict[str, str]]) -> list[Pair]:
    """(heard, said, weight) as phones, from the spoken rows that are not mere rubbish."""
    pairs: list[Pair] = []
    for row in rows:
        if row["listener"] == "typed":
            continue
        title, artist = without_version(row["title"]), without_featured(row["artist"])
        said = {
            "title_by_artist": f"{title} by {artist}",
            "artist_title": f"{artist} {title}",
            "title_only": title,
            "title_surname": row["said"],
        }.get(row["phrasing"], f"{title} {artist}")
        heard_phones, said_phones = (sound_of(plain(t)).phones for t in (row["heard"], said))
        if heard_phones and fuzz.ratio(heard_phones, said_phones) >= LEAST_ALIKE:
            pairs.append((heard_phones, said_phones, SPOKEN_WEIGHT))
    return pairs


def learn(pairs: Sequence[Pair]) -> list[tuple[str, str, float]]:
    """(heard, held, weight) rows from aligned pairs."""
    chance = _background(pairs)
    prior = np.array(
        [[math.exp(-unlikeness(a, b)) * chance[i] * chance[j] for j, b in enumerate(PHONEMES)]
         for i, a in enumerate(PHONEMES)]
    )  # fmt: skip
    prior = 0.8 * (0.5 * np.diag(chance) + 0.5 * prior / prior.sum())
    joint, missed, added = prior, 0.1 * chance, 0.1 * chance
    for _ in range(ROUNDS):
        weights = from_rows(_rows(joint, missed, added, chance))
        counts = [PRIOR_COUNT * prior, PRIOR_COUNT * 0.1 * chance, PRIOR_COUNT * 0.1 * chance]
        _count(pairs, weights, counts)
        total = sum(float(c.sum()) for c in counts)
        joint, missed, added = (c / total for c in counts)
    return _rows(joint, missed, added, chance)


def main() -> None:
    """Learn from all the data and write the shipped file."""
    path = REFERENCE / "mishearings" / "misheard_dev.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    learnt = learn([*corpus_pairs(), *spoken_pairs(rows)])
    with FILE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["heard", "held", "weight"])
        writer.writerows((a, b, f"{w:.3f}") for a, b, w in learnt)
    print(f"{len(learnt)} weights written to {FILE.name}.")


def phones_of(arpabet: str) -> str:
    """The corpus's phonemes as phones."""
    named = {"AX": "AH"}  # the corpus writes schwa apart
    phonemes = (named.get(p, p) for p in arpabet.replace("!", " ").replace(".", " ").split())
    return "".join(CODE_OF[p] for p in phonemes if p in CODE_OF)


def _background(pairs: Sequence[Pair]) -> np.ndarray:
    counts = np.ones(len(PHONEMES))
    number = {code: i for i, code in enumerate(CODE_OF.values())}
    for heard, said, weight in pairs:
        for code in heard + said:
            counts[number[code]] += weight
    return counts / counts.sum()


def _rows(
    joint: np.ndarray, missed: np.ndarray, added: np.ndarray, chance: np.ndarray
) -> list[tuple[str, str, float]]:
    rows = [
        (a, b, math.log(joint[i, j] / (chance[i] * chance[j])))
        for i, a in enumerate(PHONEMES)
        for j, b in enumerate(PHONEMES)
    ]
    rows += [("", b, math.log(missed[j] / chance[j])) for j, b in enumerate(PHONEMES)]
    rows += [(a, "", math.log(added[i] / chance[i])) for i, a in enumerate(PHONEMES)]
    return rows


def _count(pairs: Sequence[Pair], weights: ConfusionWeights, counts: list[np.ndarray]) -> None:
    """Add the pairs of the best whole alignment of every two phone strings to the counts."""
    ordered = sorted(pairs, key=lambda pair: (len(pair[0]), len(pair[1])))
    for start in range(0, len(ordered), _AT_ONCE):
        batch = ordered[start : start + _AT_ONCE]
        heard, heard_sizes = packed([pair[0] for pair in batch])
        said, said_sizes = packed([pair[1] for pair in batch])
        came = _ways(heard, said, weights)
        _walk_back(came, heard, said, heard_sizes, said_sizes,
                   np.array([pair[2] for pair in batch]), counts)  # fmt: skip


def _ways(heard: np.ndarray, said: np.ndarray, weights: ConfusionWeights) -> np.ndarray:
    """For each cell of each alignment what came last: 0 a pair, 1 added, 2 missed."""
    count, rows, columns = len(heard), heard.shape[1], said.shape[1]
    came = np.zeros((rows + 1, columns + 1, count), np.int8)
    above = np.zeros((columns + 1, count))
    for j in range(1, columns + 1):
        above[j] = above[j - 1] + weights.missed[said[:, j - 1]]
        came[0, j] = 2
    for i in range(1, rows + 1):
        added = weights.added[heard[:, i - 1]]
        row = np.empty_like(above)
        row[0], came[i, 0] = above[0] + added, 1
        for j in range(1, columns + 1):
            options = np.stack(
                [
                    above[j - 1] + weights.pair[heard[:, i - 1], said[:, j - 1]],
                    above[j] + added,
                    row[j - 1] + weights.missed[said[:, j - 1]],
                ]
            )
            came[i, j] = options.argmax(axis=0)
            row[j] = options.max(axis=0)
        above = row
    return came


def _walk_back(
    came: np.ndarray,
    heard: np.ndarray,
    said: np.ndarray,
    heard_sizes: np.ndarray,
    said_sizes: np.ndarray,
    amounts: np.ndarray,
    counts: list[np.ndarray],
) -> None:
    """Follow every alignment from its end, and count what it did on the way."""
    i, j, first = heard_sizes.copy(), said_sizes.copy(), ord("A")
    which = np.arange(len(heard))
    while (going := (i > 0) | (j > 0)).any():
        way = np.where(going, came[i, j, which], -1)
        one, other = heard[which, i - 1] - first, said[which, j - 1] - first
        for kind, places in ((0, (one, other)), (1, (one,)), (2, (other,))):
            taken = way == kind
            table = counts[(0, 2, 1)[kind]]
            np.add.at(table, tuple(place[taken] for place in places), amounts[taken])
        i -= (way == 0) | (way == 1)
        j -= (way == 0) | (way == 2)


if __name__ == "__main__":
    main()
