"""Fitting the matcher: conditional logit for the claims, logistic for the signs, bands last.

Used by `fit_matcher.py`, which writes the shipped weights, and by `hearing.py --folds`, which
scores requests with weights that were fitted on other songs and other voices.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from catalogue import comparisons, matcher, weighed
from catalogue.candidates import Asked, asked_for
from catalogue.confusion_weights import ConfusionWeights
from catalogue.heard import Heard, understand
from catalogue.search_keys import Form
from catalogue.shortlist import Shortlist, shortlist
from catalogue.sound_index import SoundIndex

GROUPS = 3
RIDGE_CLAIMS = 0.0002
RIDGE_SIGNS = 0.0005
"""Penalties on squared weights, chosen on the folds; the results hardly depend on them."""

NONE_WEIGHT = 0.1
"""What a case in which none is right counts, beside 1 for the others: with more, telling "none"
costs the order of the rest (first found: pocketsphinx .46 at 1, .49 at 0.1); the signs make good
for it."""

CERTAIN_RIGHT = 0.98
CERTAIN_LOWER = 0.965
ABSENT_CERTAIN = 0.006
"""What *certain* promises, with a little in hand: the share right, the lower end of its 95 %
interval, and the share of absent songs of which it may be said."""

LIKELY_FROM = 0.5
"""*Likely* means more likely right than not, at the least."""

LIKELY_RIGHT = 0.82
"""Share right that *likely* promises, with a little in hand."""

Row = dict[str, str]
Groups = dict[str, int]


@dataclass(frozen=True, slots=True)
class Case:
    """One request with its candidates' claims, and which of them are right."""

    row: Row
    asked: Asked
    ids: list[int]
    forms: list[Form]
    claims: np.ndarray
    right: np.ndarray


@dataclass(frozen=True, slots=True)
class Told:
    """Signs about first matches: chance told, whether right, and of which case, song absent?"""

    chances: np.ndarray
    truth: np.ndarray
    cases: list[Case]
    absent: np.ndarray


def groups_of(values: Iterable[str], seed: int) -> dict[str, int]:
    """Each value's group, dealt at random."""
    ordered = sorted(set(values))
    random.Random(seed).shuffle(ordered)
    return {value: number % GROUPS for number, value in enumerate(ordered)}


def asked_by(row: Row) -> Heard:
    """A row as the desk would ask it."""
    if row.get("heard_title") or row.get("heard_artist"):
        return Heard(title=row["heard_title"], artist=row["heard_artist"])
    return Heard(row["heard"])


class Shortlists:
    """The shortlists of requests, each sought once: they do not depend on what is fitted."""

    def __init__(self, index: SoundIndex, ids: dict[str, int]) -> None:
        """`ids` are the recordings' ids by song id."""
        self.index = index
        self.ids = ids
        self._kept: dict[str, tuple[Asked, Shortlist]] = {}

    def gather(self, row: Row, confusion: ConfusionWeights) -> Case:
        """What the matcher would compare for one request."""
        if row["row_id"] not in self._kept:
            asked = asked_for(understand(asked_by(row)))
            self._kept[row["row_id"]] = asked, shortlist(self.index, asked)
        asked, short = self._kept[row["row_id"]]
        claims = np.zeros((0, len(comparisons.CLAIMS)), np.float32)
        if short.ids:
            claims = matcher.claims_of(self.index, asked, short, confusion)
        accepted = {self.ids[song] for song in row["accept_ids"].split("|")}
        right = np.array([i in accepted for i in short.ids], bool)
        return Case(row, asked, short.ids, short.forms, claims, right)


def fit_claims(cases: Sequence[Case]) -> np.ndarray:
    """Conditional logit over each case's candidates and "none of these".

    Every case counts twice: as asked, and with the right ones taken away, when "none" is right.
    The weights of the claims come first, those of "none of these" last.
    """
    count, none_count = len(comparisons.CLAIMS), len(weighed.NONE_CLAIMS)
    rows_of = Counter(case.row["listener"] for case in cases)
    claims, right, shares, sizes = [], [], [], []
    for case in cases:
        none = np.append(np.zeros(count), matcher.none_claims(case.asked))
        # Each listener counts the same, however many rows it has.
        share = 1 / rows_of[case.row["listener"]] / len(rows_of)
        for absent in (False, True):
            kept = ~case.right if absent else np.ones(len(case.right), bool)
            found = np.zeros((int(kept.sum()), none_count))
            claims.append(np.vstack([np.hstack([case.claims[kept], found]), none]))
            right.append(np.append(case.right[kept], not case.right[kept].any()))
            shares.append(share if case.right[kept].any() else share * NONE_WEIGHT)
            sizes.append(len(right[-1]))
    table, hits = np.vstack(claims).astype(np.float32), np.concatenate(right)
    ends, weight = np.cumsum([0, *sizes[:-1]]), np.array(shares)

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        scores = (table @ weights.astype(np.float32)).astype(float)
        best = np.maximum.reduceat(scores, ends)
        chances = np.exp(scores - np.repeat(best, sizes))
        chances /= np.repeat(np.add.reduceat(chances, ends), sizes)
        hit = np.add.reduceat(chances * hits, ends) + 1e-12
        pull = np.repeat(weight, sizes) * (chances * hits / np.repeat(hit, sizes) - chances)
        slope = -(table.T @ pull.astype(np.float32)).astype(float)
        value = -float(weight @ np.log(hit))
        return value + RIDGE_CLAIMS * weights @ weights, slope + 2 * RIDGE_CLAIMS * weights

    start = np.zeros(count + len(weighed.NONE_CLAIMS))
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 300})
    return np.asarray(found.x)


def ordered_of(case: Case, weights: np.ndarray, without_right: bool) -> list[weighed.Weighed]:
    """The case's matches as the matcher orders them, or with the right ones taken away."""
    best: dict[int, weighed.Weighed] = {}
    scores = case.claims @ weights[: len(comparisons.CLAIMS)]
    for place in np.argsort(-scores, kind="stable"):
        if (without_right and case.right[place]) or case.ids[place] in best:
            continue
        form = case.forms[place]
        best[case.ids[place]] = weighed.Weighed(
            case.ids[place],
            form,
            case.claims[place],
            float(scores[place]),
            exact=comparisons.exactly(case.asked, [form])[0],
        )
    return sorted(best.values(), key=weighed.in_order)


def signs_and_truth(cases: Sequence[Case], weights: np.ndarray) -> tuple[np.ndarray, Told]:
    """Signs of each case's first match, once as asked, once with its songs taken away."""
    signs: list[np.ndarray] = []
    truth: list[bool] = []
    which: list[Case] = []
    gone: list[bool] = []
    for case in cases:
        accepted = {i for i, r in zip(case.ids, case.right, strict=True) if r}
        none = float(matcher.none_claims(case.asked) @ weights[len(comparisons.CLAIMS) :])
        for absent in (False, True):
            ordered = ordered_of(case, weights, absent)
            if ordered:
                signs.append(matcher.signs_of(case.asked, ordered, none))
                truth.append(not absent and ordered[0].recording_id in accepted)
                which.append(case)
                gone.append(absent)
    told = Told(np.zeros(len(which)), np.array(truth), which, np.array(gone))
    return np.array(signs), told


def fit_signs(signs: np.ndarray, truth: np.ndarray) -> np.ndarray:
    """Logistic regression; the constant comes last."""
    full = np.hstack([signs, np.ones((len(signs), 1))])
    sign = np.where(truth, 1.0, -1.0)

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        margin = sign * (full @ weights)
        value = np.logaddexp(0, -margin).mean() + RIDGE_SIGNS * weights[:-1] @ weights[:-1]
        slope = -(sign / (1 + np.exp(margin))) @ full / len(full)
        slope[:-1] += 2 * RIDGE_SIGNS * weights[:-1]
        return value, slope

    start = np.zeros(full.shape[1])
    return np.asarray(minimize(loss, start, jac=True, method="L-BFGS-B").x)


def chances_of(signs: np.ndarray, certainty: np.ndarray) -> np.ndarray:
    """The chance of being right that fitted signs tell."""
    return np.asarray(1 / (1 + np.exp(-signs @ certainty[:-1] - certainty[-1])))


def wilson_lower(right: int, count: int) -> float:
    """Lower end of the 95 % interval of a share (Wilson 1927)."""
    if not count:
        return 0.0
    z, share = 1.96, right / count
    middle = share + z * z / (2 * count)
    spread = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    return (middle - spread) / (1 + z * z / count)


def lowest_certain(told: Told) -> float:
    """The lowest chance at which *certain* keeps its promises.

    Right often enough on the rows as asked, and hardly ever said when the songs asked for are
    not there.
    """
    present = ~told.absent
    order = np.argsort(-told.chances[present])
    chances, right = told.chances[present][order], told.truth[present][order]
    absent = np.sort(told.chances[told.absent])
    hits = np.cumsum(right)
    certain = 1.0
    for count, chance in enumerate(chances, 1):
        if len(absent) - np.searchsorted(absent, chance) > ABSENT_CERTAIN * len(absent):
            break
        share = hits[count - 1] / count
        if share >= CERTAIN_RIGHT and wilson_lower(int(hits[count - 1]), count) >= CERTAIN_LOWER:
            certain = float(chance)
    return certain


def lowest_likely(told: Told, certain: float) -> float:
    """The lowest chance at which *likely*, below `certain`, keeps its promise."""
    below = ~told.absent & (told.chances < certain)
    order = np.argsort(-told.chances[below])
    shares = np.cumsum(told.truth[below][order]) / np.arange(1, len(order) + 1)
    kept = np.flatnonzero(shares >= LIKELY_RIGHT)
    found = float(told.chances[below][order][kept[-1]]) if len(kept) else certain
    return min(certain, max(found, LIKELY_FROM))


def folds(rows: Sequence[Row]) -> Iterator[tuple[list[Row], list[Row]]]:
    """(rows of other songs and other voices, rows held out), for every pair of groups.

    Typed rows have no voice: they are grouped by song, and scored once.
    """
    songs = groups_of((r["song_id"] for r in rows), 3)
    voices = groups_of((r["voice"] for r in rows if r["listener"] != "typed"), 4)
    for i in range(GROUPS):
        for j in range(GROUPS):
            others = [
                r for r in rows if songs[r["song_id"]] != i and voices.get(r["voice"], -1) != j
            ]
            held = [r for r in rows if songs[r["song_id"]] == i and voices.get(r["voice"], 0) == j]
            yield others, held
