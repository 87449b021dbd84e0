"""What the candidate stage loses, beside comparing with every name of the catalogue.

    python -m tests.benchmarks.candidate_loss [--decoys N] [--every N] [--quick] [--json]

The same requests are asked twice with the same weights: through the index, which fetches some
names of which some are compared closely, and with every name compared closely, the slow way.
Kept is the share of the requests found among the first five the slow way that are found among
the first five through the index. Both know the truth only when the answers are there.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter

import numpy as np

from catalogue import comparisons, matcher
from catalogue.candidates import RAREST_KEYS, Asked, asked_for
from catalogue.comparisons import exactly
from catalogue.confusion_weights import shipped
from catalogue.heard import understand
from catalogue.search_keys import Form, keys_of_heard
from catalogue.shortlist import Shortlist
from catalogue.sound_index import SoundIndex
from catalogue.weighed import shipped_weights
from tests.benchmarks import fitting, hearing_data

IN_FIVE = 5
_AT_ONCE = 4_000
"""Names aligned at once, of about the same lengths."""
_ORDERED = 300
"""Names of the best scores that are put into the matcher's own order."""


class Everything:
    """Every filed name, in order of length, so that those aligned at once are alike in it."""

    def __init__(self, index: SoundIndex) -> None:
        """Read all names."""
        self.index = index
        names = sorted(index.forms(), key=lambda one: len(one[1].title) + len(one[1].artist))
        self.ids = [recording_id for recording_id, _ in names]
        self.forms = [form for _, form in names]
        self._place = {
            (recording_id, form): place for place, (recording_id, form) in enumerate(names)
        }

    def first(self, asked: Asked) -> list[int]:
        """The first recordings when every name is compared closely."""
        ranks = self._ranks(asked)
        claims = np.vstack([
            comparisons.compare(
                asked, self.forms[start : start + _AT_ONCE], ranks[start : start + _AT_ONCE],
                shipped(), self.index.rarities,
            )
            for start in range(0, len(self.forms), _AT_ONCE)
        ])  # fmt: skip
        scores = claims @ shipped_weights().claims
        spelt = np.array(exactly(asked, self.forms))
        best = np.argsort(-scores - 1000 * spelt, kind="stable")[:_ORDERED]
        short = Shortlist([self.ids[k] for k in best], [self.forms[k] for k in best], ranks[best])
        told = matcher.ordered(asked, short, claims[best], shipped_weights(), keep_hopeless=True)
        return [match.recording_id for match in told[:IN_FIVE]]

    def _ranks(self, asked: Asked) -> np.ndarray:
        """Each name's place in the index's order; those that share no key come last."""
        ranks = np.full(len(self.forms), len(self.forms), np.intp)
        keys = keys_of_heard(asked.words, asked.sound)
        found: list[tuple[int, Form]] = self.index.search(keys, len(self.forms), RAREST_KEYS)
        for rank, name in enumerate(found):
            ranks[self._place[name]] = rank
        return ranks


def main() -> None:
    """Ask both ways and print what is kept, by listener and of all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--decoys", type=int, default=70_000)
    parser.add_argument("--every", type=int, default=10, help="one request in so many")
    parser.add_argument("--quick", action="store_true", help="3,000 decoys, one request in 20")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    decoys, every = (3_000, 20) if options.quick else (options.decoys, options.every)
    names = hearing_data.songs()
    ids = {name.song_id: number for number, name in enumerate(names, 1)}
    rows = [r for r in hearing_data.read_rows(hearing_data.REQUESTS) if r["heard"].strip()][::every]
    count: Counter[tuple[str, str]] = Counter()
    spent: Counter[str] = Counter()
    with hearing_data.station(hearing_data.with_decoys(names, decoys)) as (_, index):
        everything = Everything(index)
        print(f"{len(index)} names filed, {len(rows)} requests", flush=True)
        for row in rows:
            accepted = {ids[song] for song in row["accept_ids"].split("|")}
            asked = asked_for(understand(fitting.asked_by(row)))
            started = time.perf_counter()
            found = matcher.weigh(index, understand(fitting.asked_by(row)), keep_hopeless=True)
            spent["index"] += time.perf_counter() - started
            started = time.perf_counter()
            all_first = everything.first(asked)
            spent["every name"] += time.perf_counter() - started
            by_index = any(w.recording_id in accepted for w in found[:IN_FIVE])
            by_all = any(recording_id in accepted for recording_id in all_first)
            listed = any(w.recording_id in accepted for w in found)
            for who in (row["listener"], "all"):
                count[who, "n"] += 1
                count[who, "every name"] += by_all
                count[who, "index"] += by_index
                count[who, "kept"] += by_all and by_index
                count[who, "listed"] += by_all and listed
    _print(count, spent, len(rows), options.json)


def _print(count: Counter[tuple[str, str]], spent: Counter[str], asked: int, as_json: bool) -> None:
    told: dict[str, dict[str, float]] = {}
    print(f"{'listener':14}{'n':>6}{'every name':>12}{'index':>8}{'kept':>8}{'listed':>8}")
    for who in sorted({who for who, _ in count}):
        found = max(1, count[who, "every name"])
        told[who] = {
            "n": count[who, "n"],
            "every_name": count[who, "every name"],
            "index": count[who, "index"],
            "kept": round(count[who, "kept"] / found, 4),
            "listed": round(count[who, "listed"] / found, 4),
        }
        print(f"{who:14}" + "{n:>6}{every_name:>12}{index:>8}{kept:>8.3f}{listed:>8.3f}".format(
            **told[who]))  # fmt: skip
    for way, seconds in spent.items():
        print(f"{way}: {1000 * seconds / asked:.0f} ms a request")
    if as_json:
        print(json.dumps({"listeners": told, "kept": told["all"]["kept"]}))


if __name__ == "__main__":
    main()
