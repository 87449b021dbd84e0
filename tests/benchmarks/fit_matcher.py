"""Fit the matcher's weights, and say how well they do on songs and voices not fitted on.

    python -m tests.benchmarks.fit_matcher [--decoys N] [--write] [--json] [--quick]

Songs and voices are dealt into three groups each. What is scored in (song group i, voice group
j) was fitted on requests of the other song groups and the other voice groups, confusion weights
included; typed requests are grouped by song alone. `--write` then fits on everything and writes
`catalogue/data/matcher_weights.json`; the lowest chances of *certain* and *likely* are those of the
held-out rows.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from catalogue import comparisons, confusion_weights, matcher, weighed
from catalogue.candidates import asked_for
from catalogue.confusion_weights import ConfusionWeights, from_rows
from catalogue.first_lines import titles_in_turn
from catalogue.sound_index import SoundIndex
from tests.benchmarks import fitting, hearing_data, learn_confusions
from tests.benchmarks.fitting import Case, Row, Told

ANSWERED = 20
_CLAIMS = len(comparisons.CLAIMS)
Answer = dict[str, object]


def fit_on(
    shortlists: fitting.Shortlists, rows: Sequence[Row], confusion: ConfusionWeights
) -> tuple[np.ndarray, np.ndarray, Told]:
    """Weights of claims and "none", of signs, and the chances told, fitted on these rows."""
    cases = [shortlists.gather(row, confusion) for row in rows]
    claims = fitting.fit_claims(cases)
    signs, told = fitting.signs_and_truth(cases, claims)
    certainty = fitting.fit_signs(signs, told.truth)
    return claims, certainty, replace(told, chances=fitting.chances_of(signs, certainty))


def confusions_of(rows: Sequence[Row]) -> ConfusionWeights:
    """Confusion weights from the corpus and these rows."""
    pairs = [*learn_confusions.corpus_pairs(), *learn_confusions.spoken_pairs(rows)]
    return from_rows(learn_confusions.learn(pairs))


def held_out(shortlists: fitting.Shortlists, rows: Sequence[Row]) -> tuple[Told, dict]:
    """Chances told about held-out rows, and the rank of the right answer for each listener."""
    parts: list[Told] = []
    ranks: dict[str, list[int]] = {}
    for others, held in fitting.folds(rows):
        if not held:
            continue
        confusion = confusions_of(others)
        claims, certainty, _ = fit_on(shortlists, others, confusion)
        cases = [shortlists.gather(row, confusion) for row in held]
        signs, told = fitting.signs_and_truth(cases, claims)
        chances = fitting.chances_of(signs, certainty)
        parts.append(Told(chances, told.truth, told.cases, told.absent))
        for case in cases:
            ranks.setdefault(case.row["listener"], []).append(_rank(case, claims))
        print(f"{len(others)} requests fitted on, {len(held)} held out", flush=True)
    return _together(parts), ranks


def held_out_answers(
    index: SoundIndex, rows: Sequence[Row], ids: dict[str, int]
) -> tuple[list[Answer], list[Answer]]:
    """Answers to all rows as asked, and with their songs taken away, by `held_out` weights.

    The lowest chance of *certain* in a fold is that of the rows fitted on.
    """
    answers: dict[bool, dict[str, Answer]] = {False: {}, True: {}}
    shortlists = fitting.Shortlists(index, ids)
    for others, held in fitting.folds(rows):
        confusion = confusions_of(others)
        claims, certainty, told = fit_on(shortlists, others, confusion)
        certain = fitting.lowest_certain(told)
        weights = weighed.Weights(
            claims[:_CLAIMS].astype(np.float32), claims[_CLAIMS:], certainty[:-1],
            float(certainty[-1]), certain, fitting.lowest_likely(told, certain),
        )  # fmt: skip
        for row in held:
            gone = frozenset(ids[song] for song in row["accept_ids"].split("|"))
            for absent, left_out in ((False, frozenset[int]()), (True, gone)):
                answers[absent][row["row_id"]] = answer_of(index, row, left_out, weights, confusion)
    return [answers[False][r["row_id"]] for r in rows], [answers[True][r["row_id"]] for r in rows]


def answer_of(
    index: SoundIndex,
    row: Row,
    left_out: frozenset[int] = frozenset(),
    weights: weighed.Weights | None = None,
    confusion: ConfusionWeights | None = None,
) -> Answer:
    """One answer: recording ids, band and chance of the first."""
    wanted = fitting.understand(fitting.asked_by(row))
    told = matcher.weigh(index, wanted, weights, confusion, keep_hopeless=True, left_out=left_out)
    found = titles_in_turn(asked_for(wanted), told)[:ANSWERED]
    return {
        "row_id": row["row_id"],
        "ids": [w.recording_id for w in found],
        "band": str(found[0].band) if found else "",
        "chance": found[0].probability if found else 0.0,
    }


def report(told: Told, ranks: dict[str, list[int]]) -> dict[str, Any]:
    """First and first five by listener, how the bands hold, and what certain covers."""
    certain = fitting.lowest_certain(told)
    likely = fitting.lowest_likely(told, certain)
    bands = np.where(told.chances >= certain, 2, np.where(told.chances >= likely, 1, 0))
    present = ~told.absent
    typed = np.array([case.row["listener"] == "typed" for case in told.cases]) & present
    return {
        "listeners": {
            name: {
                "n": len(found),
                "first": round(sum(r == 1 for r in found) / len(found), 4),
                "in_five": round(sum(0 < r <= 5 for r in found) / len(found), 4),
            }
            for name, found in ranks.items()
        },
        "bands": {
            name: {
                "n": int((present & (bands == number)).sum()),
                "right": int((told.truth & present & (bands == number)).sum()),
            }
            for number, name in enumerate(("possible", "likely", "certain"))
        },
        "absent_certain": round(float((bands[told.absent] == 2).mean()), 4),
        "typed_certain": round(float((bands[typed] == 2).mean()), 4),
        "lowest": {"certain": round(certain, 4), "likely": round(likely, 4)},
    }


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
    decoy_count = 3_000 if options.quick else options.decoys
    rows = rows[::11] if options.quick else rows
    ids = {name.song_id: number for number, name in enumerate(names, 1)}
    with hearing_data.station(hearing_data.with_decoys(names, decoy_count)) as (_, index):
        print(f"{len(index)} names filed, {len(rows)} requests", flush=True)
        shortlists = fitting.Shortlists(index, ids)
        result = report(*held_out(shortlists, rows))
        for name, figures in result.items():
            print(f"{name}: {figures}", flush=True)
        if options.write:
            write_shipped(shortlists, rows, result["lowest"])
    if options.json:
        print(json.dumps(result))


def write_shipped(
    shortlists: fitting.Shortlists, rows: Sequence[Row], lowest: dict[str, float]
) -> None:
    """Fit confusions and weights on all rows, and write both files."""
    learn_confusions.main()
    confusion_weights.shipped.cache_clear()
    claims, certainty, _ = fit_on(shortlists, rows, confusion_weights.shipped())
    data = {
        "about": "Fitted by python -m tests.benchmarks.fit_matcher --write; see there.",
        "claims": _named(comparisons.CLAIMS, claims[:_CLAIMS]),
        "none": _named(weighed.NONE_CLAIMS, claims[_CLAIMS:]),
        "signs": _named((*weighed.SIGNS, "constant"), certainty),
        "bands": lowest,
    }
    weighed.FILE.write_text(json.dumps(data, indent=2) + "\n", encoding="utf-8")
    print(f"written to {weighed.FILE.name}")


def _named(names: Sequence[str], weights: np.ndarray) -> dict[str, float]:
    return {name: round(float(weight), 4) for name, weight in zip(names, weights, strict=True)}


def _rank(case: Case, claims: np.ndarray) -> int:
    """At which place the first right recording comes; 0 if it is not there."""
    accepted = {i for i, r in zip(case.ids, case.right, strict=True) if r}
    order = [w.recording_id for w in fitting.ordered_of(case, claims, False)]
    return next((place for place, i in enumerate(order, 1) if i in accepted), 0)


def _together(parts: Sequence[Told]) -> Told:
    return Told(
        np.concatenate([part.chances for part in parts]),
        np.concatenate([part.truth for part in parts]),
        [case for part in parts for case in part.cases],
        np.concatenate([part.absent for part in parts]),
    )


if __name__ == "__main__":
    main()
