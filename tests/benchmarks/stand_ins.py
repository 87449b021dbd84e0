"""How good the stand-ins are, beside plain rankings of the same songs, and how fast.

    python -m tests.benchmarks.stand_ins [--songs SONGS.csv] [--pairs PAIRS.csv] [--quick] [--json]
    python -m tests.benchmarks.stand_ins --speed [--sizes 10000,100000,1000000] [--quick] [--json]

SONGS.csv has song_id, artist, title and, where known, year, tempo_bpm, duration_s, genre, pos and
tags (separated by ";"); without it, both sets of `tests/reference/songs` joined. PAIRS.csv has id1
and id2 of songs that people put together or that are one song; without it, songs that several
artists recorded (`tests/cases/song_variants.csv`). Every song is held; each song asked for is then
not to be had, and seven stand-ins are asked for.

Two runs. In the first all is known, and the same song and artist, distances, diversity, empty
lists and pairs are counted. In the second nobody is told a sort of music or a tag, all records of
the same artist are left out, and the tags of what is offered are compared with those of the song
asked for. "ours" is fitted, for each fifth of the artists, to the other four; "ours as shipped" has
the weights that come with the program, which were fitted to the reference songs. The ablation
takes one part away at a time. `--json` prints {"rankers": {NAME: {...}}} as the last line.
"""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from catalogue.store import Store
from catalogue.worth import FITTED, Worth
from tests.benchmarks import stand_in_scores, stand_in_speed
from tests.benchmarks.fit_stand_ins import fitted
from tests.benchmarks.stand_in_data import SEED, Song, folds, pairs, songs, tag_vectors
from tests.benchmarks.stand_in_rankers import LISTED, Plain, Ranker, program, shipped, station

FOLDS = 5
ASKED, ASKED_QUICK, ABLATED, ABLATED_QUICK = 1500, 150, 400, 30
TAGGED_QUICK = 500
"""Tags agree by little and scatter widely: with 150 songs the error is as large as what is told
apart, so that the quick run asks for more of these."""
"""Songs asked for in each run, drawn with a seed; all that are in pairs are asked for as well."""

FEWEST_TAGGED = 300
"""Songs with tags from which weights can be fitted at all; with fewer, ours is as shipped."""

PARTS = (*FITTED, "same_song", "same_artist")
Lists = dict[int, list[int]]


FITTED_BY, FITTED_BY_QUICK = 2, 8
"""Every so manieth song is asked for in fitting."""


def fitted_worths(known: Sequence[Song], every: int) -> Callable[[int], Worth]:
    """For each song, worths fitted without any song of its artist."""
    fold = folds(known, FOLDS)
    by_fold = []
    for number in range(FOLDS):
        model, worth = fitted([s for s, f in zip(known, fold, strict=True) if f != number], every)
        by_fold.append(replace(shipped(0), feel_model=model, **worth))
    return lambda asked: by_fold[fold[asked]]


def lists(ranker: Ranker, asked: Sequence[int], out: Mapping[int, frozenset[int]]) -> Lists:
    """What a ranker offers for each."""
    return {n: ranker(n, out.get(n, frozenset())) for n in asked}


def own_artist(known: Sequence[Song], asked: Sequence[int]) -> dict[int, frozenset[int]]:
    """For each song all songs of its artist, with or without guests."""
    by: dict[str, set[int]] = {}
    for n, song in enumerate(known):
        by.setdefault(song.artist_key, set()).add(n)
    return {n: frozenset(by[known[n].artist_key]) for n in asked}


class Run:
    """The songs, who is asked for in which run, and the scores."""

    def __init__(
        self, known: Sequence[Song], paired: Sequence[tuple[int, int]], count: int, tags: int = 0
    ):
        chance = random.Random(SEED)
        every = list(range(len(known)))
        tagged = [n for n in every if known[n].tags]
        in_pairs = sorted({n for pair in paired for n in pair})
        self.known, self.paired = known, paired
        self.asked = sorted(chance.sample(every, min(count, len(every))))
        self.with_pairs = chance.sample(in_pairs, min(count, len(in_pairs)))
        self.with_tags = sorted(chance.sample(tagged, min(tags or count, len(tagged))))
        self.tags = tag_vectors(known)
        self.out = own_artist(known, self.with_tags)

    def scores(self, all_known: Ranker, untold: Ranker) -> dict[str, float | None]:
        """All measures of one ranker."""
        first = lists(all_known, self.asked, {})
        second = lists(untold, self.with_tags, self.out)
        third = lists(all_known, self.with_pairs, {})
        return {
            **stand_in_scores.of_tags(self.tags, second, self.out),
            **stand_in_scores.of_pairs(self.paired, third),
            **stand_in_scores.of_lists(self.known, first),
        }


COLUMNS = {
    "tag_agreement": ("tags", 3), "tag_error": ("±", 3), "pairs_in_seven": ("pairs", 3),
    "same_song_hits": ("song", 2), "same_artist_hits": ("artist", 2),
    "year_distance": ("years", 1), "tempo_distance": ("tempo", 1),
    "artist_diversity": ("divers", 2), "empty_lists": ("empty", 2),
}  # fmt: skip
"""Measures in the table, with their headings and digits; tempo is in per cent."""


def table(rows: Mapping[str, Mapping[str, float | None]]) -> None:
    """Print the measures, one ranker a line, in 80 columns."""
    print(f"{'':<24} " + " ".join(f"{heading:>5}" for heading, _ in COLUMNS.values()))
    for name, row in rows.items():
        shown = [
            f"{'–':>{max(5, len(heading))}}" if row[key] is None
            else f"{row[key]:>{max(5, len(heading))}.{digits}f}"
            for key, (heading, digits) in COLUMNS.items()
        ]  # fmt: skip
        print(f"{name:<24} " + " ".join(shown))


def measure(options: argparse.Namespace) -> None:
    """The two runs and the ablation."""
    known = songs(options.songs)
    paired = pairs(options.pairs, known)
    quick = options.quick
    run = Run(known, paired, ASKED_QUICK if quick else ASKED, TAGGED_QUICK if quick else 0)
    print(f"{len(known)} songs, {sum(bool(s.tags) for s in known)} with tags; "
          f"{len(paired)} pairs; {len(run.asked)} asked for; lists of {LISTED}")  # fmt: skip
    own = shipped
    if sum(bool(s.tags) for s in known) >= FEWEST_TAGGED:
        own = fitted_worths(known, FITTED_BY_QUICK if options.quick else FITTED_BY)
    with station(known) as store:
        rows = {}
        for name, worths in (("ours", own), ("ours as shipped", shipped)):
            rows[name] = run.scores(program(store, worths), program(store, worths, False))
        for name, ranker in Plain(known).rankers().items():
            rows[name] = run.scores(ranker, ranker)
        table(rows)
        ablation = ablated(store, run, own, ABLATED_QUICK if options.quick else ABLATED)
    print("\nwithout one part (on fewer songs)")
    table(ablation)
    if options.json:
        print(json.dumps({"rankers": rows, "ablation": ablation}))


def ablated(
    store: Store, run: Run, own: Callable[[int], Worth], count: int
) -> dict[str, dict[str, float | None]]:
    """The measures with each part worth nothing in turn."""
    fewer = Run(run.known, run.paired, count)
    rows = {}
    for part in ("", *PARTS):

        def less(asked: int, part: str = part) -> Worth:
            return own(asked).without(part) if part else own(asked)

        rows[f"without {part}" if part else "all"] = fewer.scores(
            program(store, less), program(store, less, False)
        )
    return rows


def main() -> None:
    """Quality, or with --speed the time one offer takes."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--songs", type=Path, help="default: both reference sets, joined")
    parser.add_argument("--pairs", type=Path, help="default: songs with several recordings")
    parser.add_argument("--speed", action="store_true", help="time, at several sizes")
    parser.add_argument("--sizes", default="10000,100000,1000000")
    parser.add_argument("--step", nargs=3, metavar=("WHAT", "FOLDER", "SIZE"))
    parser.add_argument("--quick", action="store_true", help="fewer songs, within a minute")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    if options.speed or options.step:
        stand_in_speed.main(options.sizes, options.step, options.quick, options.json)
    else:
        measure(options)


if __name__ == "__main__":
    main()
