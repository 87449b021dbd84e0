"""Counts m and u of the evidence about pairs, beside what `catalogue/pair_weights.py` ships.

    python -m tests.benchmarks.count_pair_weights [--quick] [--json]

m, how often two entries of one record are at a level, from three places, each weighing the same:

- charts: two lists of real songs that two people made (`tests/reference/songs`), nobody having said
  which songs are in both. The pairs worth comparing are taken apart by expectation maximisation
  into those that are one and those that are not (Winkler, Using the EM algorithm for weight
  computation in the Fellegi-Sunter model of record linkage, 1988; Jaro, Advances in
  record-linkage methodology, Journal of the American Statistical Association 84, 1989), from
  titles, artists and years; none is labelled.
- discs: the labelled pairs of `tests/reference/discs`. Of titles they tell only how often a disc
  whose tracks agree is called something else; of the rest, tracks, numbers and years.
- made: entries damaged as in `faults.py`, each fault as often as another: invented.

u of names: how many other names are as near by chance. Titles are counted among titles of one
artist, as it is there that it matters; artists among all artists. u of tracks in common among
discs of one artist. Labelled pairs, and pairs that EM takes for one, are left out.

Nothing is written: what is shipped is rounded; where it is otherwise, by judgement, its ladder in
`pair_weights.py` says why (titles that are different, albums, lengths). Claims that no list can
tell (version, identifier, digest, fingerprint, performers, position) are judged there as well.
"""

from __future__ import annotations

import argparse
import csv
import json
from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from catalogue.described import Described
from catalogue.pair_blocks import candidate_pairs
from catalogue.pair_evidence import Weigher
from catalogue.pair_weights import CLAIMS, LISTED_TITLE_LEAST
from tests.benchmarks import faulty_lists
from tests.benchmarks.decoys import REFERENCE
from tests.benchmarks.duplicate_lists import Labels, described_of, read_pairs, read_records
from tests.benchmarks.faults import FAULTS

Counts = dict[str, NDArray[np.float64]]
"""For each claim, how many pairs are at each of its levels."""

BY_EM = ("title", "artist", "year")
ROUNDS = 200
OF_RECORDINGS = ("title", "artist", "album", "length", "year")
OF_DISCS = ("tracks", "numbers", "year")
FEWEST = 30
"""Pairs below which a place tells nothing of a claim."""

AT_MOST = 40
"""Names of one artist, or discs, that are all compared with each other."""

_CLOSEST = 1e-5
"""The least share that is told of names near by chance: a few pairs in some million, and some of
those are one song that two people spelt."""


def _counted(weigher: Weigher, pairs: Sequence[tuple[int, int]]) -> Counts:
    places = np.array(sorted(pairs), np.int64).reshape(-1, 2)
    levels = weigher.weigh(places[:, 0], places[:, 1]).levels
    return {
        name: np.bincount(column[column >= 0], minlength=len(CLAIMS[name])).astype(float)
        for name, column in zip(CLAIMS, levels.T, strict=True)
    }


def charts() -> tuple[Counts, dict[str, float]]:
    """m by expectation maximisation over two lists of real songs, and how it went."""
    rows, source = [], []
    for number, name in enumerate(("year_tempo.csv", "year_tags.csv")):
        with (REFERENCE / "songs" / name).open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                rows.append({"id": str(len(rows))} | row)
                source.append(number)
    described, of_list = described_of(rows), np.array(source)
    pairs = candidate_pairs(described)
    first, second = pairs // len(rows), pairs % len(rows)
    across = of_list[first] != of_list[second]
    first, second = first[across], second[across]
    weigher = Weigher(described)
    keep = weigher.worth_weighing(first, second)
    evidence = weigher.weigh(first[keep], second[keep])
    columns = {name: evidence.levels[:, list(CLAIMS).index(name)] for name in BY_EM}
    chance, ms = _maximised(columns)
    found = {name: m * float(chance.sum()) for name, m in ms.items()}
    return found, {"pairs": len(chance), "one": float(chance.sum())}


def _maximised(columns: dict[str, NDArray[np.int8]]) -> tuple[NDArray[np.float64], Counts]:
    """The chance of each pair to be one, and m of each claim; claims are taken as independent."""
    size = len(next(iter(columns.values())))
    share, ms, us = 0.1, {}, {}
    for name, column in columns.items():
        ms[name] = np.array([level.m for level in CLAIMS[name]])
        us[name] = _shares(column, np.ones(size), len(CLAIMS[name]))
    chance = np.zeros(size)
    for _ in range(ROUNDS):
        odds = np.full(size, np.log(share / (1 - share)))
        for name, column in columns.items():
            ratio = np.append(np.log(ms[name] / us[name]), 0.0)
            odds += ratio[column]
        chance = 1 / (1 + np.exp(-odds))
        share = float(np.clip(chance.mean(), 1e-6, 1 - 1e-6))
        for name, column in columns.items():
            ms[name] = _shares(column, chance, len(CLAIMS[name]))
            us[name] = _shares(column, 1 - chance, len(CLAIMS[name]))
    return chance, ms


def _shares(
    column: NDArray[np.int8], weight: NDArray[np.float64], levels: int
) -> NDArray[np.float64]:
    known = column >= 0
    counts = np.bincount(column[known], weight[known], minlength=levels) + 0.5
    return np.asarray(counts / counts.sum())


def discs() -> tuple[Counts, list[float], list[float]]:
    """Counts of the labelled discs; and u of the levels of titles and tracks of one artist."""
    folder = REFERENCE / "discs"
    rows = read_records(folder / "discs.csv")
    labels = read_pairs(folder / "duplicate_pairs.csv", [row["id"] for row in rows])
    described = described_of(rows)
    weigher = Weigher(described)
    counts = _counted(weigher, sorted(labels.true))
    other = _of_one_artist(described, labels)
    apart = _counted(weigher, other)["tracks"]
    return counts, _smoothed(apart), [float(n) for n in counts["title"]]


def _of_one_artist(described: Described, labels: Labels) -> list[tuple[int, int]]:
    by: dict[str, list[int]] = defaultdict(list)
    for place, artist in enumerate(described.artist):
        if len(artist) > 4:
            by[artist].append(place)
    return [
        pair
        for places in by.values()
        for pair in combinations(places[:AT_MOST], 2)
        if pair not in labels.true
    ]


def made(size: int) -> Counts:
    """Counts of damaged entries: songs, each with two or three faults of any kind."""
    songs = list(faulty_lists.songs(size, 31))
    names = [name for name in FAULTS if name not in faulty_lists.OF_DISCS_ONLY]
    rows, labels, _ = faulty_lists.made(songs, names, True, faulty_lists.EVERY_COLUMN, 32)
    return _counted(Weigher(described_of(rows)), sorted(labels.true))


def near_by_chance() -> dict[str, list[float]]:
    """For titles of one artist and for all artists: the share of other names at each level."""
    titles: dict[str, set[str]] = defaultdict(set)
    rows = []
    for name in ("year_tempo.csv", "year_tags.csv"):
        with (REFERENCE / "songs" / name).open(encoding="utf-8", newline="") as file:
            rows += [(row["artist"], row["title"]) for row in csv.DictReader(file)]
    described = Described()
    for number, (artist, title) in enumerate(rows):
        described.add(number, title, artist)
        titles[described.artist[-1]].add(described.title[-1])
    found: dict[str, list[float]] = {}
    twos = [p for some in titles.values() for p in combinations(sorted(some)[:AT_MOST], 2)]
    found["title"] = _levels_of_names(twos)
    artists = sorted(set(described.artist) - {""})
    chance = np.random.default_rng(6)
    some = [artists[n] for n in chance.choice(len(artists), min(500, len(artists)), replace=False)]
    found["artist"] = _levels_of_names([(a, b) for a in some for b in artists if a != b])
    return found


def _levels_of_names(twos: Sequence[tuple[str, str]]) -> list[float]:
    """Shares of pairs of different names at each level, as the evidence has them."""
    names = sorted({name for two in twos for name in two})
    place = {name: number for number, name in enumerate(names)}
    described = Described()
    for number, name in enumerate(names):
        described.add(number, name, "somebody")
    counts = _counted(Weigher(described), [(place[a], place[b]) for a, b in twos])["title"]
    counts[0] = 0  # written differently, and one by plain words
    return [float(n) / max(1.0, float(counts.sum())) for n in counts]


def _smoothed(counts: NDArray[np.float64]) -> list[float]:
    """Shares, with half a pair more at every level."""
    more = counts + 0.5
    return [float(share) for share in more / more.sum()]


def pooled(places: dict[str, Counts], name: str) -> tuple[list[float], str]:
    """m of a claim, every place that tells of it weighing the same; and which those are."""
    told = {
        where: _smoothed(counts[name])
        for where, counts in places.items()
        if name in counts and counts[name].sum() >= FEWEST
    }
    mean = np.mean(list(told.values()), axis=0)
    return [float(f"{share:.2g}") for share in mean], " ".join(
        f"{where}:{int(places[where][name].sum())}" for where in told
    )


def count(size: int) -> list[dict[str, object]]:
    """One row for each level of the claims that can be counted."""
    by_em, how = charts()
    print(
        f"charts: {how['one']:,.0f} of {how['pairs']:,} pairs are one by expectation maximisation"
    )
    of_discs, tracks, _ = discs()
    near = near_by_chance()
    places = {
        "charts": {name: by_em[name] for name in BY_EM},
        "discs": {name: of_discs[name] for name in OF_DISCS},
        "made": {name: counts for name, counts in made(size).items() if name in OF_RECORDINGS},
    }
    rows: list[dict[str, object]] = []
    for name in dict.fromkeys((*OF_RECORDINGS, *OF_DISCS)):
        ms, where = pooled(places, name)
        for number, level in enumerate(CLAIMS[name]):
            row: dict[str, object] = {"claim": name, "level": level.name, "m": ms[number]}
            if name in near and 0 < number < len(CLAIMS[name]) - 1:
                row["by_chance"] = float(f"{max(near[name][number], _CLOSEST):.2g}")
            if name == "tracks":
                row["u_of_one_artist"] = float(f"{tracks[number]:.2g}")
            rows.append(row | {"counted_on": where})
    other = _smoothed(of_discs["title"])[-1]
    rows.append({"claim": "title of listed", "level": "different", "m": float(f"{other:.2g}"),
                 "counted_on": f"discs:{int(of_discs['title'].sum())}"})  # fmt: skip
    return rows


def main() -> None:
    """Count, and print beside what is shipped."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--quick", action="store_true", help="fewer made entries")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    rows = count(1_500 if options.quick else 6_000)
    print(f"\n{'claim':16}{'level':26}{'m':>8}{'shipped':>9}{'by chance':>11}  counted on")
    for row in rows:
        shipped = {level.name: level.m for level in CLAIMS.get(str(row["claim"]), ())}
        if row["claim"] == "title of listed":
            shipped = {"different": CLAIMS["title"][-1].u * 2**LISTED_TITLE_LEAST}  # type: ignore[operator]
        print(
            f"{row['claim']:16}{row['level']:26}{row['m']:8.3g}"
            f"{shipped.get(str(row['level']), float('nan')):9.3g}"
            f"{str(row.get('by_chance', row.get('u_of_one_artist', ''))):>11}  {row['counted_on']}"
        )
    if options.json:
        print(json.dumps({f"{row['claim']}: {row['level']}": row["m"] for row in rows}))


if __name__ == "__main__":
    main()
