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
        for heard, said, weight in pairs:
            _count(heard, said, weight, weights, counts)
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


def _count(
    heard: str, said: str, weight: float, weights: ConfusionWeights, counts: list[np.ndarray]
) -> None:
    """Add the pairs of the best whole alignment of two phone strings to the counts."""
    x, y = [ord(c) for c in heard], [ord(c) for c in said]
    pair, gone, new = weights.pair, weights.missed, weights.added
    score = np.full((len(x) + 1, len(y) + 1), -np.inf)
    came = np.zeros(score.shape, np.int8)
    score[0, 0] = 0.0
    for j, b in enumerate(y, 1):
        score[0, j], came[0, j] = score[0, j - 1] + gone[b], 2
    for i, a in enumerate(x, 1):
        score[i, 0], came[i, 0] = score[i - 1, 0] + new[a], 1
        for j, b in enumerate(y, 1):
            options = (
                score[i - 1, j - 1] + pair[a, b],
                score[i - 1, j] + new[a],
                score[i, j - 1] + gone[b],
            )
            came[i, j] = max(range(3), key=options.__getitem__)
            score[i, j] = options[came[i, j]]
    i, j, first = len(x), len(y), ord("A")
    while i or j:
        if came[i, j] == 0:
            i, j = i - 1, j - 1
            counts[0][x[i] - first, y[j] - first] += weight
        elif came[i, j] == 1:
            i -= 1
            counts[2][x[i] - first] += weight
        else:
            j -= 1
            counts[1][y[j] - first] += weight


if __name__ == "__main__":
    main()
