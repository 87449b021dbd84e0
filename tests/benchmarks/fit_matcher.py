"""Fit the matcher's weights, and say how well they do on songs and voices not fitted on.

    python -m tests.benchmarks.fit_matcher [--decoys N] [--write] [--json] [--quick]

Songs and voices are dealt into three groups each. What is scored in (song group i, voice group
j) was fitted on requests of the other song groups and the other voice groups, confusion weights
included; typed requests are grouped by song alone. `--write` then fits on everything and writes
`catalogue/data/matcher_weights.json`.
"""

from __future__ import annotations

import argparse
import json
import math
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import minimize

from catalogue import comparisons, matcher
from catalogue.candidates import asked_for
from catalogue.confusion_weights import ConfusionWeights, from_rows
from catalogue.heard import Heard, understand
from catalogue.records import Band
from tests.benchmarks import hearing_data, learn_confusions

GROUPS = 3
NONE_WEIGHT = 0.1
"""What a case in which none is right counts, beside 1 for the others: with more, telling "none"
costs the order of the rest (first found: pocketsphinx .46 at 1, .49 at 0.1); the signs make good
for it."""

RIDGE_CLAIMS = 0.003
RIDGE_SIGNS = 0.0005
"""Penalties on squared weights, chosen on the folds; the results hardly depend on them."""

CERTAIN_RIGHT = 0.98
CERTAIN_LOWER = 0.965
LIKELY_RIGHT = 0.82
ABSENT_CERTAIN = 0.006
"""What the bands promise, with a little in hand; certain with the lower end of its 95 % interval
(Wilson 1927), and the share of absent songs of which it may be said."""


@dataclass
class Case:
    """One request with its candidates' claims, and which of them are right."""

    row: dict[str, str]
    song_group: int
    voice_group: int
    ids: list[int] = field(default_factory=list)
    forms: list[object] = field(default_factory=list)
    claims: np.ndarray = field(default_factory=lambda: np.zeros((0, 0), np.float32))
    right: np.ndarray = field(default_factory=lambda: np.zeros(0, bool))


def groups_of(values: Iterable[str], seed: int) -> dict[str, int]:
    """Each value's group, dealt at random."""
    ordered = sorted(set(values))
    random.Random(seed).shuffle(ordered)
    return {value: number % GROUPS for number, value in enumerate(ordered)}


def asked_by(row: dict[str, str]) -> Heard:
    """A row as the desk would ask it."""
    if row.get("heard_title") or row.get("heard_artist"):
        return Heard(title=row["heard_title"], artist=row["heard_artist"])
    return Heard(row["heard"])


def gather(
    index: object, row: dict[str, str], ids: dict[str, int], confusion: ConfusionWeights, case: Case
) -> Case:
    """Fill a case with what the matcher would compare."""
    asked = asked_for(understand(asked_by(row)))
    case.ids, case.forms, case.claims = matcher.compared(index, asked, confusion)
    accepted = {ids[song] for song in row["accept_ids"].split("|")}
    case.right = np.array([i in accepted for i in case.ids], bool)
    return case


def fit_claims(cases: Sequence[Case]) -> np.ndarray:
    """Conditional logit over each case's candidates and "none of these".

    Every case counts twice: as asked, and with the right ones taken away, when "none" is right.
    The weights of the claims come first, those of "none of these" last.
    """
    choices = []
    rows_of: dict[str, int] = {}
    for case in cases:
        rows_of[case.row["listener"]] = rows_of.get(case.row["listener"], 0) + 1
    for case in cases:
        none = matcher.none_claims(asked_for(understand(asked_by(case.row))))
        # Each listener counts the same, however many rows it has.
        share = 1 / rows_of[case.row["listener"]] / len(rows_of)
        for absent in (False, True):
            kept = ~case.right if absent else np.ones(len(case.right), bool)
            claims, right = case.claims[kept].astype(float), case.right[kept]
            weight = share if right.any() else share * NONE_WEIGHT
            choices.append((claims, none, np.append(right, not right.any()), weight))
    count = len(comparisons.CLAIMS)

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        value, slope = 0.0, np.zeros_like(weights)
        for claims, none, right, share in choices:
            scores = np.append(claims @ weights[:count], none @ weights[count:])
            chances = np.exp(scores - scores.max())
            chances /= chances.sum()
            hit = chances[right].sum() + 1e-12
            value -= share * math.log(hit)
            pull = share * (chances * right / hit - chances)
            slope[:count] -= pull[:-1] @ claims
            slope[count:] -= pull[-1] * none
        return value + RIDGE_CLAIMS * weights @ weights, slope + 2 * RIDGE_CLAIMS * weights

    start = np.zeros(count + len(matcher.NONE_CLAIMS))
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 300})
    return np.asarray(found.x)


def ordered_of(case: Case, weights: np.ndarray, without_right: bool) -> list[matcher.Weighed]:
    """The case's matches as the matcher orders them, or with the right ones taken away."""
    asked = asked_for(understand(asked_by(case.row)))
    best: dict[int, matcher.Weighed] = {}
    scores = case.claims @ weights[: len(comparisons.CLAIMS)]
    for place in np.argsort(-scores, kind="stable"):
        if (without_right and case.right[place]) or case.ids[place] in best:
            continue
        form = case.forms[place]
        best[case.ids[place]] = matcher.Weighed(
            case.ids[place],
            form,
            case.claims[place],
            float(scores[place]),
            exact=comparisons.exactly(asked, form),
        )
    return sorted(best.values(), key=lambda w: (not w.exact, -w.score, w.recording_id))


def signs_and_truth(
    cases: Sequence[Case], weights: np.ndarray
) -> tuple[np.ndarray, np.ndarray, list[tuple[Case, bool]]]:
    """Signs of each case's first match, once as asked, once with its songs taken away."""
    signs, truth, which = [], [], []
    for case in cases:
        accepted = {i for i, r in zip(case.ids, case.right, strict=True) if r}
        asked = asked_for(understand(asked_by(case.row)))
        for absent in (False, True):
            ordered = ordered_of(case, weights, absent)
            if ordered:
                none = float(matcher.none_claims(asked) @ weights[len(comparisons.CLAIMS) :])
                signs.append(matcher.signs_of(asked, ordered, none))
                truth.append(not absent and ordered[0].recording_id in accepted)
                which.append((case, absent))
    return np.array(signs), np.array(truth), which


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


def wilson_lower(right: int, count: int) -> float:
    """Lower end of the 95 % interval of a share (Wilson 1927)."""
    if not count:
        return 0.0
    z, share = 1.96, right / count
    middle = share + z * z / (2 * count)
    spread = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    return (middle - spread) / (1 + z * z / count)


def bands_from(chances: np.ndarray, truth: np.ndarray, present: np.ndarray) -> tuple[float, float]:
    """Lowest chances at which the bands keep their promises.

    Certain: right often enough on the rows as asked, and hardly ever said when the songs asked
    for are not there. Likely: the rows between are right often enough.
    """
    order = np.argsort(-chances[present])
    sorted_chances, right = chances[present][order], truth[present][order]
    absent = np.sort(chances[~present])
    hits = np.cumsum(right)
    certain = 1.0
    for count, chance in enumerate(sorted_chances, 1):
        said_absent = len(absent) - np.searchsorted(absent, chance)
        if said_absent > ABSENT_CERTAIN * len(absent):
            break
        share = hits[count - 1] / count
        if share >= CERTAIN_RIGHT and wilson_lower(int(hits[count - 1]), count) >= CERTAIN_LOWER:
            certain = float(chance)
    begin = int((sorted_chances >= certain).sum())
    likely = certain
    for count in range(begin + 1, len(right) + 1):
        if (hits[count - 1] - (hits[begin - 1] if begin else 0)) / (count - begin) >= LIKELY_RIGHT:
            likely = float(sorted_chances[count - 1])
    return certain, likely


def report(cases: Sequence[Case], found: dict[str, list[int]], chances, truth, which) -> dict:
    """First, first five and bands, as in the hearing benchmark."""
    out: dict = {"listeners": {}, "bands": {}}
    for name, ranks in found.items():
        out["listeners"][name] = {
            "n": len(ranks),
            "first": round(sum(r == 1 for r in ranks) / len(ranks), 4),
            "in_five": round(sum(r <= 5 for r in ranks) / len(ranks), 4),
            "mrr": round(sum(1 / r for r in ranks) / len(ranks), 4),
        }
    present = np.array([not absent for _, absent in which])
    certain, likely = bands_from(chances, truth, present)
    out["thresholds"] = {"certain": certain, "likely": likely}
    for band in Band:
        if band is Band.CERTAIN:
            inside = chances >= certain
        elif band is Band.LIKELY:
            inside = (chances < certain) & (chances >= likely)
        else:
            inside = chances < likely
        rows = inside & present
        out["bands"][band] = {"n": int(rows.sum()), "right": int((truth & rows).sum())}
    absent_certain = (chances >= certain) & ~present
    out["absent_certain"] = round(float(absent_certain.sum() / max(1, (~present).sum())), 4)
    typed = np.array([c.row["listener"] == "typed" for c, _ in which]) & present
    out["typed_certain"] = round(float((typed & (chances >= certain)).sum() / typed.sum()), 4)
    return out


def main() -> None:
    """Cross-validate; with --write fit on everything and write the shipped weights."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--decoys", type=int, default=70_000)
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--quick", action="store_true")
    options = parser.parse_args()
    rows = hearing_data.read_rows(hearing_data.REQUESTS)
    names = hearing_data.songs()
    decoy_count = 5_000 if options.quick else options.decoys
    rows = rows[::5] if options.quick else rows
    song_group = groups_of((r["song_id"] for r in rows), 3)
    voice_group = groups_of((r["voice"] for r in rows if r["listener"] != "typed"), 4)
    ids = {name.song_id: number for number, name in enumerate(names, 1)}
    with hearing_data.station(hearing_data.with_decoys(names, decoy_count)) as (_, index):
        print(f"{len(index)} names filed, {len(rows)} requests", flush=True)
        result = cross_validate(index, rows, ids, song_group, voice_group)
        for name, figures in result["listeners"].items():
            print(f"{name:14}", figures)
        print({k: v for k, v in result.items() if k != "listeners"}, flush=True)
        if options.write:
            write_shipped(index, rows, ids, song_group, result)
    if options.json:
        print(json.dumps(result))


def cross_validate(index, rows, ids, song_group, voice_group) -> dict:
    """Fit on the other groups, score the held-out, for every pair of groups."""
    corpus = learn_confusions.corpus_pairs()
    ranks: dict[str, list[int]] = {}
    all_chances, all_truth, all_which = [], [], []
    all_cases: list[Case] = []
    for i in range(GROUPS):
        for j in range(GROUPS):
            others = [r for r in rows if song_group[r["song_id"]] != i
                      and voice_group.get(r["voice"], -1) != j]  # fmt: skip
            held = [r for r in rows if song_group[r["song_id"]] == i
                    and voice_group.get(r["voice"], (j if j == 0 else -1)) == j]  # fmt: skip
            spoken = learn_confusions.spoken_pairs(others)
            confusion = from_rows(learn_confusions.learn([*corpus, *spoken]))
            train = [gather(index, r, ids, confusion, Case(r, i, j)) for r in others]
            test = [gather(index, r, ids, confusion, Case(r, i, j)) for r in held]
            weights = fit_claims(train)
            signs, truth, _ = signs_and_truth(train, weights)
            certainty = fit_signs(signs, truth)
            signs, truth, which = signs_and_truth(test, weights)
            all_chances.append(1 / (1 + np.exp(-signs @ certainty[:-1] - certainty[-1])))
            all_truth.append(truth)
            all_which += which
            all_cases += test
            for case in test:
                accepted = {n for n, r in zip(case.ids, case.right, strict=True) if r}
                order = [w.recording_id for w in ordered_of(case, weights, False)]
                rank = next((k for k, n in enumerate(order, 1) if n in accepted), 10**9)
                ranks.setdefault(case.row["listener"], []).append(rank)
            print(f"group {i}{j}: {len(train)} fitted, {len(test)} scored", flush=True)
    return report(
        all_cases, ranks, np.concatenate(all_chances), np.concatenate(all_truth), all_which
    )


def _named(names: Sequence[str], weights: np.ndarray) -> dict[str, float]:
    return {name: round(float(weight), 4) for name, weight in zip(names, weights, strict=True)}


def write_shipped(index, rows, ids, song_group, result) -> None:
    """Fit on all rows; the bands' thresholds are those of the held-out chances."""
    learn_confusions.main()
    from catalogue.confusion_weights import shipped

    cases = [gather(index, r, ids, shipped(), Case(r, 0, 0)) for r in rows]
    weights = fit_claims(cases)
    signs, truth, _ = signs_and_truth(cases, weights)
    certainty = fit_signs(signs, truth)
    data = {
        "about": "Fitted by python -m tests.benchmarks.fit_matcher --write; see there.",
        "claims": _named(comparisons.CLAIMS, weights[: len(comparisons.CLAIMS)]),
        "none": _named(matcher.NONE_CLAIMS, weights[len(comparisons.CLAIMS) :]),
        "signs": {
            **_named(matcher.SIGNS, certainty[:-1]),
            "constant": round(float(certainty[-1]), 4),
        },
        "bands": {k: round(v, 4) for k, v in result["thresholds"].items()},
    }
    matcher.FILE.write_text(json.dumps(data, indent=2) + "\n", encoding="utf-8")
    print(f"written to {matcher.FILE.name}")


if __name__ == "__main__":
    main()
