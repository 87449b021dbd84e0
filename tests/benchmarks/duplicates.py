"""How well duplicates are found, beside plain alternatives, and how long it takes.

    python -m tests.benchmarks.duplicates [--records RECORDS.csv --pairs PAIRS.csv]
        [--sizes 10000,100000,1000000] [--levels] [--quick] [--json]

RECORDS has `id` and any of artist, title, album, year, length, tracks; PAIRS has id1, id2 and,
where given, label (1 one and the same, 0 not): then only those pairs count. Without them the
discs of `tests/reference/discs` are read, and made catalogues of the given sizes after them,
each in a process of its own, whose peak memory is told.

Nothing is fitted here: the weights are the shipped ones. Folds are grouped by disc, so that all
entries of one disc are in one fold; beside the shipped line each fold is told with the line that
is best on the other folds. `--levels` prints how often true pairs are at each level: m.

With --json the last line is {"precision", "recall", "f1", "seconds"}, and "sizes" where those
were run.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from catalogue.described import Described
from catalogue.evidence import Evidence
from catalogue.no_collecting import no_collecting
from catalogue.pair_evidence import Weigher
from catalogue.pair_finding import Found, find
from catalogue.pair_groups import tangles
from catalogue.pair_weights import CLAIMS, LIKELY_BITS
from tests.benchmarks import damaged
from tests.benchmarks.duplicate_lists import Labels, Pair, described_of, read_pairs, read_records
from tests.benchmarks.plain_duplicates import exact_key, token_set

DISCS = Path(__file__).resolve().parents[1] / "reference" / "discs"
FOLDS = 5
SHOWN = 30
LINES = (2.0, 3.0, 4.0, 6.0, 8.0)


def scores(predicted: set[Pair], labels: Labels) -> dict[str, float]:
    """Precision, recall and F1 of the predicted pairs."""
    if labels.only:
        predicted = predicted & labels.only
    right = len(predicted & labels.true)
    precision = right / len(predicted) if predicted else 0.0
    recall = right / len(labels.true) if labels.true else 0.0
    f1 = 2 * precision * recall / (precision + recall) if right else 0.0
    return {"precision": round(precision, 4), "recall": round(recall, 4), "f1": round(f1, 4)}


def by_folds(count: int, labels: Labels, evidence: Evidence, predicted: set[Pair]) -> None:
    """F1 of each fold, with the shipped line and with the line best on the other folds."""
    fold = np.arange(count) % FOLDS
    for part in tangles(labels.true):
        fold[part] = part[0] % FOLDS
    found = list(zip(evidence.first.tolist(), evidence.second.tolist(), strict=True))
    bits = dict(zip(found, evidence.total.tolist(), strict=True))

    def here(pairs: set[Pair], folds: set[int]) -> set[Pair]:
        return {pair for pair in pairs if int(fold[pair[0]]) in folds}

    def f1(pairs: set[Pair], folds: set[int]) -> float:
        return scores(here(pairs, folds), labels.within(here(labels.true, folds)))["f1"]

    shipped, chosen = [], []
    for number in range(FOLDS):
        others = set(range(FOLDS)) - {number}
        at = {line: {pair for pair, b in bits.items() if b >= line} for line in LINES}
        best = max(LINES, key=lambda line: f1(at[line], others))
        shipped.append(f1(predicted, {number}))
        chosen.append(f1(at[best], {number}))
    print(f"  folds by disc: F1 {_row(shipped)}, mean {np.mean(shipped):.4f}")
    print(f"  line from the other folds: {_row(chosen)}, mean {np.mean(chosen):.4f}")


def _row(values: list[float]) -> str:
    return " ".join(f"{value:.3f}" for value in values)


def levels(described: Described, labels: Labels) -> None:
    """How often true pairs are at each level of each claim: m as counted here."""
    true = np.array(sorted(labels.true), np.int64).reshape(-1, 2)
    evidence = Weigher(described).weigh(true[:, 0], true[:, 1])
    print(f"\n{'claim':12}{'level':24}{'m here':>8}{'shipped':>9}")
    for place, (name, ladder) in enumerate(CLAIMS.items()):
        column = evidence.levels[:, place]
        known = int((column >= 0).sum())
        for number, level in enumerate(ladder if known else ()):
            share = float((column == number).sum()) / known
            print(f"{name:12}{level.name:24}{share:8.4f}{level.m:9.4f}")


def disagreements(
    described: Described, rows: list[dict[str, str]], labels: Labels, predicted: set[Pair]
) -> None:
    """The surest pairs on which program and labels differ, for a person to read."""
    if labels.only:
        predicted = predicted & labels.only
    differ = sorted(predicted ^ labels.true)
    if not differ:
        return
    places = np.array(differ, np.int64)
    total = Weigher(described).weigh(places[:, 0], places[:, 1]).total
    order = np.argsort(-np.abs(total - LIKELY_BITS))[:SHOWN]
    print(f"\nThe {len(order)} surest of {len(differ)} disagreements:")
    for number in order:
        a, b = differ[number]
        said = "one by us, not by the labels" if (a, b) in predicted else "one by the labels only"
        print(f"\n{total[number]:+.1f} bits: {said}")
        for place in (a, b):
            row = rows[place]
            parts = [row.get(name, "") for name in ("artist", "title", "year", "tracks")]
            print("   " + " | ".join([row["id"], *parts])[:110])


def measure_list(options: argparse.Namespace) -> dict[str, float]:
    """Precision, recall, F1 and seconds on a list with labels, beside the alternatives."""
    rows = read_records(Path(options.records))
    labels = read_pairs(Path(options.pairs), [row["id"] for row in rows])
    print(f"{len(rows):,} records, {len(labels.true):,} pairs that are one", flush=True)
    started = time.perf_counter()
    described = described_of(rows)
    found = find(described)
    seconds = round(time.perf_counter() - started, 2)
    predicted = found.in_groups()
    told = scores(predicted, labels) | {"seconds": seconds}
    print(f"\n{'':34}{'precision':>10}{'recall':>8}{'F1':>8}{'s':>8}")
    _line("this program", told)
    for name, predict in (("exact key", exact_key), ("token-set ratio", token_set)):
        started = time.perf_counter()
        pairs, how = predict(rows, found_candidates=described, quick=options.quick)
        other = scores(pairs, labels) | {"seconds": round(time.perf_counter() - started, 2)}
        _line(f"{name} ({how})", other)
    print()
    if not labels.only:
        _all_lines(found, labels)
        by_folds(len(rows), labels, found.evidence, predicted)
    if options.levels:
        levels(described, labels)
    disagreements(described, rows, labels, predicted)
    return told


def _all_lines(found: Found, labels: Labels) -> None:
    pairs = list(zip(found.evidence.first.tolist(), found.evidence.second.tolist(), strict=True))
    told = []
    for line in LINES:
        at = {pair for pair, b in zip(pairs, found.evidence.total, strict=True) if b >= line}
        told.append(f"{line:.0f}: {scores(at, labels)['f1']:.3f}")
    print(f"  F1 of pairs by the line in bits, before grouping: {', '.join(told)}")


def _line(name: str, told: dict[str, float]) -> None:
    print(
        f"{name:34}{told['precision']:10.4f}{told['recall']:8.4f}{told['f1']:8.4f}"
        f"{told['seconds']:8.2f}",
        flush=True,
    )


def measure_size(size: int) -> dict[str, float]:
    """Find the duplicates of a made catalogue."""
    rows, true = damaged.made(size)
    started, cpu = time.perf_counter(), time.process_time()
    described = Described()
    with no_collecting():  # as `duplicate_search` reads a catalogue
        for number, row in enumerate(rows):
            described.add(
                number, row.title, row.artist, album=row.album, year=row.year, length_s=row.length
            )
    found = find(described)
    told = scores(found.in_groups(), Labels(true, set()))
    return told | {
        "seconds": round(time.perf_counter() - started, 2),
        "cpu_seconds": round(time.process_time() - cpu, 2),
        "compared": found.compared,
        "rss_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
    }


def main() -> None:
    """Measure a list, and made catalogues."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--records")
    parser.add_argument("--pairs")
    parser.add_argument("--sizes", help="of made catalogues, with commas between")
    parser.add_argument("--levels", action="store_true")
    parser.add_argument("--quick", action="store_true", help="10,000 made records only")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--step", type=int, metavar="SIZE", help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.step:
        print(json.dumps(measure_size(options.step)))
        return
    if bool(options.records) != bool(options.pairs):
        parser.error("--records and --pairs go together")
    sizes = options.sizes or ("" if options.records else "10000,100000,1000000")
    if options.quick and not options.records:
        sizes = "10000"
    sizes = [size.strip().replace("_", "") for size in sizes.split(",")] if sizes else []
    if not all(size.isascii() and size.isdigit() and int(size) > 99 for size in sizes):
        parser.error("--sizes are whole numbers from 100 on, with commas between")
    if not options.records:
        options.records, options.pairs = DISCS / "discs.csv", DISCS / "duplicate_pairs.csv"
    told: dict[str, object] = dict(measure_list(options))
    if sizes:
        told["sizes"] = _sizes(sizes)
    if options.json:
        print(json.dumps(told))


def _sizes(sizes: list[str]) -> dict[str, dict[str, float]]:
    print("\nMade catalogues with known duplicates and near-namesakes:")
    heads = ("precision", "recall", "f1", "seconds", "cpu_seconds", "compared", "rss_mb")
    print(f"{'records':>10} " + " ".join(f"{head:>11}" for head in heads), flush=True)
    found = {}
    for size in sizes:
        command = [sys.executable, "-m", "tests.benchmarks.duplicates", "--step", size]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            raise SystemExit(f"The size {size} failed:\n{done.stderr}")
        told = json.loads(done.stdout.splitlines()[-1])
        found[size] = told
        print(f"{int(size):>10,} " + " ".join(f"{told[head]:>11,}" for head in heads), flush=True)
    return found


if __name__ == "__main__":
    main()
