"""A union of many stations' catalogues in shards on several nodes, beside one index over it all.

    python -m tests.benchmarks.union [--size N] [--ten-million | --large N] [--folder FOLDER]
        [--quick] [--json]

A union of generated recordings is built once and cut into 1, 2 and 4 shards. For each a Ray
cluster of as many nodes, two at least, is started on this machine's loopback, every shard an actor
of its own, and asked: half of the requests are names of the union with words lost, joined and
garbled, half are what real recognisers wrote down. Beside it the same requests are put to one
index over everything in this process, as a station asks its own. Then, with two replicas of two
shards on three nodes, a node is killed in mid-load; and again with one replica.

Prints the share of requests whose record is found first and among the first five, p50 and p95 of
finding in milliseconds, of the whole answer (holders and stand-ins too), and answers a second with
four asking at once; build seconds and bytes per recording. `--ten-million` adds 10,000,000
recordings in 8 shards. All traffic stays on 127.0.0.1.
"""

from __future__ import annotations

# isort: off
from tests.benchmarks import union_loopback  # noqa: F401  before Ray is imported
# isort: on

import argparse
import json
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from catalogue.candidates import Names
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.union_actors import RayShards
from catalogue.union_layout import UnionLayout
from catalogue.union_ray import connected
from catalogue.union_search import Searching
from catalogue.union_service import Limits, UnionService
from catalogue.union_terms import UnionTerms
from tests.benchmarks import union_built, union_cluster, union_loss, union_one
from tests.benchmarks.union_built import Request

MILLION = 1_000_000
ASKED = 300
LOADED_S = 20.0
CLIENTS = 4
_KILLED = 2
"""Shards of the cut of which a node is killed."""

_PATIENT = Limits(at_once=2 * CLIENTS, seconds=30.0)
"""While measuring nothing is cut off, so that every answer counts."""


def found(names: Callable[[], Names], asked: Sequence[Request]) -> dict[str, float]:
    """Recall and times of finding, without holders and stand-ins."""
    first = five = 0
    spent: list[float] = []
    for request in asked:
        started = time.perf_counter()
        ids = [w.recording_id for w in weigh(names(), understand(Heard(request.heard)),
                                             keep_hopeless=True)[:5]]  # fmt: skip
        spent.append((time.perf_counter() - started) * 1000)
        first += ids[:1] == [request.meant]
        five += request.meant in ids
    return {"first": round(first / len(asked), 3), "five": round(five / len(asked), 3),
            "p50_ms": percentile(spent, 50), "p95_ms": percentile(spent, 95)}  # fmt: skip


def loaded(ask: Callable[[str], object], asked: Sequence[Request], seconds: float) -> float:
    """Answers a second with several asking at once, one after another each."""
    until = time.monotonic() + seconds
    counts = [0] * CLIENTS

    def client(own: int) -> None:
        place = own
        while time.monotonic() < until:
            ask(asked[place % len(asked)].heard)
            counts[own] += 1
            place += CLIENTS

    threads = [threading.Thread(target=client, args=(n,)) for n in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return round(sum(counts) / seconds, 1)


def one_index(
    layout: UnionLayout, folder: Path, asked: Sequence[Request], seconds: float
) -> dict[str, float]:
    """The plain alternative: everything in one index, in this process."""
    one = union_one.opened(layout, folder)
    found(lambda: one, asked[:3])  # so that files are mapped
    told = found(lambda: one, asked)
    told["segments"] = len(one.starts)
    told["a_second"] = loaded(
        lambda heard: weigh(one, understand(Heard(heard)), keep_hopeless=True), asked, seconds
    )
    return told


def sharded(layout: UnionLayout, asked: Sequence[Request], seconds: float) -> dict[str, float]:
    """The union on the cluster that is connected."""
    started = time.perf_counter()
    shards = RayShards(layout, replicas=1)
    opened = time.perf_counter() - started
    service = UnionService(layout, shards, _PATIENT)
    terms = UnionTerms(layout.terms)
    union_cluster.warm(service)
    told = found(lambda: Searching(terms, shards), asked)
    whole: list[float] = []
    for request in asked:
        started = time.perf_counter()
        service.ask(Heard(request.heard))
        whole.append((time.perf_counter() - started) * 1000)
    told["answer_p50_ms"] = percentile(whole, 50)
    told["answer_p95_ms"] = percentile(whole, 95)
    finding = union_cluster.per_thread(lambda: UnionTerms(layout.terms))
    told["a_second"] = loaded(
        lambda heard: weigh(Searching(finding(), shards), understand(Heard(heard)),
                            keep_hopeless=True),
        asked, seconds,
    )  # fmt: skip
    told["opened_s"] = round(opened, 1)
    told |= union_cluster.memory(shards)
    terms.close()
    service.close()
    shards.close()
    return told


@dataclass(frozen=True, slots=True)
class Plan:
    """What is measured: recordings, into how many shards they are cut, which of these cuts are
    put on a cluster, how many requests, seconds of each load, and seconds before a node is
    killed."""

    size: int
    cuts: tuple[int, ...]
    clusters: tuple[int, ...]
    asked: int = ASKED
    loaded_s: float = LOADED_S
    before_kill_s: float = 5.0


FULL = Plan(MILLION, (1, 2, 4), (1, 2, 4))
QUICK = Plan(20_000, (2,), (2,), 30, 2.0, 1.5)
"""Within a minute on a quiet machine, building included."""


def measure(folder: Path, plan: Plan) -> dict[str, object]:
    """Build, cut and ask; the fewest shards there are make the one index over everything."""
    told: dict[str, object] = {"recordings": plan.size}
    print(f"\n{plan.size:,} recordings", flush=True)
    layouts = {}
    for shards in plan.cuts:
        layout = union_built.built(folder, plan.size, shards, max(plan.cuts))
        layouts[shards] = layout
        spent, sizes = union_built.spent(folder), union_built.bytes_of(layout)
        told[f"built_{shards}"] = {
            "names_s": spent.get("names", (0.0,))[0],
            "forms_s": spent["forms"][0], "forms_cpu_s": spent["forms"][1],
            "index_s": spent[f"in-{shards}"][0], "index_cpu_s": spent[f"in-{shards}"][1],
            "bytes_per_recording": round(sum(sizes.values()) / plan.size, 1),
            "names": layout.names, **sizes,
        }  # fmt: skip
        _print(f"built, {shards} shards", told[f"built_{shards}"])
    asked = union_built.requests(folder, plan.size, plan.asked)
    told["one_index"] = one_index(layouts[min(layouts)], folder / "as-one", asked, plan.loaded_s)
    _print("one index, no Ray", told["one_index"])
    for shards in plan.clusters:
        told |= _on_a_cluster(layouts[shards], asked, plan)
    return told


def _on_a_cluster(layout: UnionLayout, asked: Sequence[Request], plan: Plan) -> dict[str, object]:
    """One cut on a cluster of as many nodes; with two shards one more, and nodes are killed."""
    count = len(layout.shards)
    killed = count == _KILLED
    told: dict[str, object] = {}
    with (
        union_cluster.cluster_of(count + 1 if killed else max(2, count)) as cluster,
        connected(cluster.address),
    ):
        told[f"shards_{count}"] = sharded(layout, asked, plan.loaded_s)
        _print(f"{count} shards", told[f"shards_{count}"])
        for replicas in (2, 1) if killed else ():
            name = f"node_killed_{replicas}"
            told[name] = union_loss.measure(cluster, layout, replicas, asked, plan.before_kill_s)
            _print(f"killed, {replicas} replicas", told[name])
            union_cluster.add_node(cluster)
    return told


def percentile(values: Sequence[float], percent: int) -> float:
    """A percentile, to a tenth."""
    ordered = sorted(values)
    return round(ordered[min(len(ordered) - 1, len(ordered) * percent // 100)], 1)


def _print(what: str, told: object) -> None:
    assert isinstance(told, dict)
    print(
        f"  {what:18} " + "  ".join(f"{name} {value}" for name, value in told.items()), flush=True
    )


def main() -> None:
    """Measure, and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=MILLION)
    parser.add_argument("--ten-million", dest="large", action="store_const", const=10 * MILLION,
                        help="also 10,000,000 in 8 shards")  # fmt: skip
    parser.add_argument("--large", type=int, default=0,
                        help="also so many in 8 shards; with --size 0 these alone")  # fmt: skip
    parser.add_argument("--quick", action="store_true", help="20,000 recordings, within a minute")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--folder", type=Path, help="keep what is built here, and use it again")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        folder = options.folder or Path(place)
        plans = [QUICK if options.quick else replace(FULL, size=options.size)]
        plans = [plan for plan in plans if plan.size]
        if options.large:
            plans.append(Plan(options.large, (8,), (8,)))
        told = {str(plan.size): measure(folder / str(plan.size), plan) for plan in plans}
    if options.json:
        print(json.dumps(told))


if __name__ == "__main__":
    main()
