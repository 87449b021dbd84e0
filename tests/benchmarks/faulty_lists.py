"""How well duplicates are found whatever the fault is, and whatever columns there are.

    python -m tests.benchmarks.faulty_lists [--size 3000] [--quick] [--json]

For each fault of `faults.py` a list is made of which one record in ten is entered a second time
with that fault, and one in ten has a near-namesake that is not the same: live, remix, another
singer's, another song or record that differs in a word, volume two. Then lists with several
faults at once, of several columns, with labels and without. Recordings are real songs and names
made of their words (`decoys`); discs are made of such songs, ten to a disc. Each line stands
beside equal names and the token-set ratio. Seeded; nothing is fitted here.
"""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Iterator, Sequence
from itertools import islice

from catalogue.pair_finding import find
from tests.benchmarks.damaged import _plain_name
from tests.benchmarks.decoys import decoys
from tests.benchmarks.duplicate_lists import Labels, described_of
from tests.benchmarks.duplicates import scores
from tests.benchmarks.faults import FAULTS, Row
from tests.benchmarks.plain_duplicates import exact_key, token_set

DOUBLED = NAMESAKES = 0.1
_SONGS_ON_A_DISC = 10
EVERY_COLUMN = ("title", "artist", "album", "year", "length")
SOME_COLUMNS = (
    ("title", "artist"), ("title",), ("title", "artist", "year"), ("title", "length"),
    ("title", "artist", "length"), ("artist", "title", "album"),
)  # fmt: skip
DISC_COLUMNS = (("artist", "title", "year", "tracks"), ("artist", "title"), ("title", "tracks"),
                ("tracks",))  # fmt: skip
OF_DISCS_ONLY = frozenset(name for name in FAULTS if "tracks" in name)
OF_SONGS_ONLY = frozenset({"another length", "length written otherwise", "another album",
                           "a number before", "a note"})  # fmt: skip


def songs(count: int, seed: int) -> Iterator[Row]:
    """Different recordings with every column; one value in seven is not there."""
    chance = random.Random(seed)
    names = ((a, t) for a, t, _ in decoys(2 * count, seed) if _plain_name(a) and _plain_name(t))
    for artist, title in islice(names, count):
        row = {
            "title": title,
            "artist": artist,
            "album": f"{title.split()[0]} and {artist.split()[-1]}",
            "year": str(chance.randint(1930, 2020)),
            "length": f"{chance.uniform(110, 330):.1f}",
        }
        yield row | {n: "" for n in ("album", "year", "length") if chance.random() < 1 / 7}


def discs(count: int, seed: int) -> Iterator[Row]:
    """Different discs with ten songs each."""
    chance = random.Random(seed)
    some = songs(count * (_SONGS_ON_A_DISC + 1), seed)
    while first := next(some, None):
        tracks = " | ".join(song["title"] for song in islice(some, _SONGS_ON_A_DISC))
        year = str(chance.randint(1960, 2020))
        yield {"title": first["title"], "artist": first["artist"], "year": year, "tracks": tracks}


def namesake(row: Row, chance: random.Random, stranger: Row) -> Row:
    """Another recording, or disc, with much the same name."""
    other = row | {n: stranger[n] for n in ("length", "tracks") if n in row}
    other["year"] = stranger["year"]
    words = row["title"].split()
    kind = chance.randrange(6)
    if kind < 3:
        return other | {"title": row["title"] + (" (Live)", " (Club Remix)", " Vol. 2")[kind]}
    if kind == 3:
        words[chance.randrange(len(words))] = chance.choice("Harbour Lantern Marsh".split())
        return other | {"title": " ".join(words)}
    if kind == 4:
        return other | {"artist": stranger["artist"], "album": ""}
    return other | {"title": stranger["title"]}


def made(
    originals: Sequence[Row], faults: Sequence[str], many: bool, columns: Sequence[str], seed: int
) -> tuple[list[Row], Labels, Labels]:
    """A list in a shuffled order, its true pairs, and labels of true pairs and near-namesakes.

    The last eighth of the originals are not in it: near-namesakes take from them what differs.
    """
    chance = random.Random(seed)
    kept_back = len(originals) // 8
    originals, strangers = originals[:-kept_back], list(originals[-kept_back:])
    rows: list[tuple[Row, int]] = []
    for number, row in enumerate(originals):
        rows.append((row, number))
        if chance.random() < DOUBLED:
            other = row
            for name in chance.sample(list(faults), chance.choice((2, 3)) if many else 1):
                other = FAULTS[name](other, chance)
            rows.append((other, number))
        if strangers and chance.random() < NAMESAKES:
            rows.append((namesake(row, chance, strangers.pop()), -1 - number))
    chance.shuffle(rows)
    first: dict[int, int] = {}
    true, unlike = set(), set()
    place = {number: at for at, (_, number) in enumerate(rows) if number < 0}
    for at, (_, number) in enumerate(rows):
        if number < 0:
            continue
        if number in first:
            true.add((first[number], at))
        elif -1 - number in place:
            unlike.add(tuple(sorted((at, place[-1 - number]))))
        first.setdefault(number, at)
    kept = [
        {"id": str(at)} | {name: row.get(name, "") for name in columns}
        for at, (row, _) in enumerate(rows)
    ]
    return kept, Labels(true, set()), Labels(true, true | unlike)


def measure(rows: list[Row], labels: Labels) -> dict[str, dict[str, float]]:
    """Scores of this program and of the alternatives."""
    described = described_of(rows)
    found = {"this program": find(described).in_groups()}
    for name, predict in (("exact key", exact_key), ("token-set ratio", token_set)):
        found[name] = predict(rows, found_candidates=described, quick=True)[0]
    return {name: scores(pairs, labels) for name, pairs in found.items()}


def _line(name: str, told: dict[str, dict[str, float]]) -> None:
    ours, exact, token = told["this program"], told["exact key"], told["token-set ratio"]
    print(
        f"{name:44}{ours['precision']:9.3f}{ours['recall']:8.3f}{ours['f1']:8.3f}"
        f"{exact['f1']:11.3f}{token['f1']:11.3f}",
        flush=True,
    )


def main() -> None:
    """Measure every fault, and lists of several columns."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--size", type=int, default=3_000, help="records before they are doubled")
    parser.add_argument("--only", help="faults to measure, with commas between")
    parser.add_argument("--quick", action="store_true", help="500 records")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    size = 500 if options.quick else options.size
    every_song, every_disc = list(songs(size, 11)), list(discs(size // 3, 12))
    print(f"{'':44}{'precision':>9}{'recall':>8}{'F1':>8}{'exact F1':>11}{'token F1':>11}")
    told: dict[str, dict[str, dict[str, float]]] = {}
    for what, originals, columns, left_out in (
        ("songs", every_song, EVERY_COLUMN, OF_DISCS_ONLY),
        ("discs", every_disc, DISC_COLUMNS[0], OF_SONGS_ONLY),
    ):
        names = [name for name in FAULTS if name not in left_out]
        for fault in options.only.split(",") if options.only else names:
            rows, labels, _ = made(originals, [fault], False, columns, 5)
            told[f"{what}, {fault}"] = measure(rows, labels)
            _line(f"{what}: {fault}", told[f"{what}, {fault}"])
        for some in (columns, *(SOME_COLUMNS if what == "songs" else DISC_COLUMNS[1:])):
            rows, labels, with_not = made(originals, names, True, some, 6)
            for how, these in (("", labels), (", labels 0 and 1", with_not)):
                name = f"{what}, several faults, {' '.join(some)}{how}"
                told[name] = measure(rows, these)
                _line(name[:44], told[name])
    if options.json:
        print(json.dumps({name: found["this program"] for name, found in told.items()}))


if __name__ == "__main__":
    main()
