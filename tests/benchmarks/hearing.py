"""How often misheard requests are found, beside plain alternatives on the same rows.

    python -m tests.benchmarks.hearing [--songs SONGS.csv] [--requests REQUESTS.csv]
        [--decoys N | FILE] [--folds] [--every N] [--alone] [--quick] [--json] [--plot FILE.svg]

Three steps that share nothing but files: a catalogue is built from the songs and the decoys;
each listener answers `questions.csv`, which has only what `asheard find --batch` takes; the
answers are scored by the one step that reads the truth. Every row is asked once more with its
accepted songs taken away (`absent`).

Without --folds the shipped weights answer; they were fitted on `misheard_dev.csv`, so on that
file use --folds: weights and confusions are then fitted on the other songs and voices.
"""

from __future__ import annotations

import argparse
import csv
import json
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from catalogue.records import Band
from catalogue.sound_index import SoundIndex
from tests.benchmarks import fit_matcher, fitting, hearing_data, plain_listeners, reliability
from tests.benchmarks.fit_matcher import Answer
from tests.benchmarks.hearing_data import Name

ROWS = ("row_id", "heard", "heard_title", "heard_artist")


def write_questions(rows: Sequence[dict[str, str]], path: Path) -> None:
    """What a matcher may see, and no more."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, ROWS, extrasaction="ignore")
        writer.writeheader()
        writer.writerows({name: row.get(name) or "" for name in ROWS} for row in rows)


def answer(index: SoundIndex, questions: Path, left_out: dict[str, set[int]]) -> list[Answer]:
    """The matcher's answers: recording ids, band and chance of the first."""
    return [
        fit_matcher.answer_of(index, row, frozenset(left_out.get(row["row_id"], ())))
        for row in hearing_data.read_rows(questions)
    ]


def ranks(answers: Sequence[Answer], accepted: dict[str, set[int]]) -> Iterator[tuple[str, int]]:
    """(row id, rank of the first right answer; 0 if there is none)."""
    for one in answers:
        row_id = str(one["row_id"])
        right = [n for n, i in enumerate(one["ids"], 1) if i in accepted[row_id]]  # type: ignore[arg-type,var-annotated]
        yield row_id, right[0] if right else 0


def scored(found: Sequence[int]) -> dict[str, float]:
    """First, first five and mean reciprocal rank of ranks, 0 being none."""
    count = len(found)
    return {
        "n": count,
        "first": round(sum(r == 1 for r in found) / count, 4),
        "in_five": round(sum(0 < r <= 5 for r in found) / count, 4),
        "mrr": round(sum(1 / r for r in found if r) / count, 4),
    }


def by_listener(
    rows: Sequence[dict[str, str]], answers: Sequence[Answer], accepted: dict[str, set[int]]
) -> dict[str, dict[str, float]]:
    """The scores for each listener of the requests."""
    listener = {row["row_id"]: row.get("listener") or "all" for row in rows}
    found: dict[str, list[int]] = {}
    for row_id, rank in ranks(answers, accepted):
        found.setdefault(listener[row_id], []).append(rank)
    return {name: scored(values) for name, values in sorted(found.items())}


def bands(answers: Sequence[Answer], accepted: dict[str, set[int]]) -> dict[str, dict[str, float]]:
    """For each band how many rows have it, how many of them are right, and the 95 % bound."""
    rank = dict(ranks(answers, accepted))
    told: dict[str, dict[str, float]] = {}
    for band in Band:
        inside = [str(a["row_id"]) for a in answers if a["band"] == band]
        right = sum(rank[row_id] == 1 for row_id in inside)
        lower = fitting.wilson_lower(right, len(inside))
        told[str(band)] = {"n": len(inside), "right": right, "lower": round(lower, 4)}
    return told


def decoys_from(text: str, songs: Sequence[Name]) -> Iterator[Name]:
    """The catalogue: songs, then N decoys or those of a CSV with artist and title."""
    if text.isdigit():
        yield from hearing_data.with_decoys(songs, int(text))
        return
    yield from songs
    for row in hearing_data.read_rows(Path(text)):
        yield Name(row["artist"], row["title"], None)


def main() -> None:
    """Build, ask, score and print."""
    options = _options()
    rows = hearing_data.read_rows(options.requests)
    songs = hearing_data.songs(options.songs)
    if options.quick:
        options.every, options.decoys = 11, "3000"
    rows = rows[:: options.every]
    number = {song.song_id: place for place, song in enumerate(songs, 1)}
    accepted = {
        row["row_id"]: {number[s] for s in row["accept_ids"].split("|") if s in number}
        for row in rows
    }
    with (
        tempfile.TemporaryDirectory() as folder,
        hearing_data.station(decoys_from(options.decoys, songs)) as (store, index),
    ):
        questions = Path(folder) / "questions.csv"
        write_questions(rows, questions)
        print(f"{len(rows)} requests, {len(index)} names filed", flush=True)
        if options.folds:
            answers, absent = fit_matcher.held_out_answers(index, rows, number)
        else:
            answers, absent = answer(index, questions, {}), answer(index, questions, accepted)
        others = (
            {}
            if options.alone
            else plain_listeners.answer_all(store, questions, fit_matcher.ANSWERED)
        )
    _print_and_write(options, rows, answers, absent, others, accepted)


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--songs", type=Path, default=hearing_data.SONGS)
    parser.add_argument("--requests", type=Path, default=hearing_data.REQUESTS)
    parser.add_argument("--decoys", default="70000", help="a number, or a CSV of artist and title")
    parser.add_argument("--folds", action="store_true")
    parser.add_argument("--every", type=int, default=1, help="one request in so many")
    parser.add_argument("--alone", action="store_true", help="without the plain alternatives")
    parser.add_argument("--quick", action="store_true", help="200 requests, 3,000 decoys")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--plot", type=Path, default=Path("reliability.svg"))
    return parser.parse_args()


def _print_and_write(
    options: argparse.Namespace,
    rows: Sequence[dict[str, str]],
    answers: Sequence[Answer],
    absent: Sequence[Answer],
    others: dict[str, list[Answer]],
    accepted: dict[str, set[int]],
) -> None:
    ours = by_listener(rows, answers, accepted)
    print(f"{'':22}{'listener':14}{'n':>6}{'first':>8}{'in five':>9}{'mrr':>7}")
    for method, given in {"asheard": answers, **others}.items():
        for name, figures in by_listener(rows, given, accepted).items():
            print(f"{method:22}{name:14}{figures['n']:>6}{figures['first']:>8.3f}"
                  f"{figures['in_five']:>9.3f}{figures['mrr']:>7.3f}")  # fmt: skip
    told = bands(answers, accepted)
    for band, figures in told.items():
        share = figures["right"] / figures["n"] if figures["n"] else 0.0
        print(f"{band:10} {figures['n']:>5} rows, {share:.3f} right, "
              f"at least {figures['lower']:.3f}")  # fmt: skip
    typed = {row["row_id"] for row in rows if row.get("listener") == "typed"}
    sure = [a for a in answers if a["row_id"] in typed and a["band"] == Band.CERTAIN]
    absent_certain = sum(a["band"] == Band.CERTAIN for a in absent) / len(absent)
    print(f"certain of {len(sure)} of {len(typed)} typed rows; "
          f"of {absent_certain:.4f} of all rows with their songs taken away")  # fmt: skip
    rank = dict(ranks(answers, accepted))
    reliability.plot(
        [(float(str(a["chance"])), rank[str(a["row_id"])] == 1) for a in answers], options.plot
    )
    print(f"reliability plot: {options.plot}")
    if options.json:
        print(
            json.dumps(
                {
                    "listeners": ours,
                    "bands": told,
                    "absent_certain": round(absent_certain, 5),
                    "others": {m: by_listener(rows, g, accepted) for m, g in others.items()},
                }
            )
        )


if __name__ == "__main__":
    main()
