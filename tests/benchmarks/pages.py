"""How long every page takes to answer, with 300,000 records.

    python -m tests.benchmarks.pages [--size N] [--rounds N] [--only TEXT] [--keep FOLDER]
        [--quick] [--json]

A station of many years is generated (`pages_station.py`), then opened by another process, and
every page of the URL map is asked for through the real app, by each role that may see it, again
and again: warm, and different in each round where a page can differ (another recording, other
words, another page of the list). Told are p50 and p95 in milliseconds of each page and role, and
p95 of the processor's own time, which other programs on the same machine disturb less.
What makes a file or a paper of the whole catalogue, which a browser saves, is told apart.

Beside it, in the same run, is the plain alternative for the list: everything sorted each time and
cut with an offset (`catalogue/plain_order.py`). At the end a thousand records are added, beside
the same into a station without the order of the list.

With --json the last line is {"size", "pages": {PAGE: {ROLE: {"p50_ms", "p95_ms"}}},
"worst_page", "worst_p95_ms", "busiest_page", "busiest_cpu_p95_ms",
"plain_p95_ms", "add_1000_s", "add_1000_unfiled_s"}.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from flask import Flask, url_for
from flask.testing import FlaskClient

from catalogue import filing, listing, plain_order, stocktake
from catalogue.listing import Sought, Start
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.benchmarks import pages_station
from tests.benchmarks.pages_station import NOW, PASSPHRASE, PEOPLE, SEED
from tests.journeys.every_page import BESIDES, NO_PAGE
from web import create_app, gaps_view, roles
from web.opening import settled

SIZE, SIZE_QUICK = 300_000, 12_000
ROUNDS, ROUNDS_QUICK = 40, 8
WARM = 2
PROMISED_MS = 150
PLAIN_ROUNDS = 10

WHOLE = {"taking_in.whole_report", "taking_in.to_mend"}
"""What is made of the whole catalogue, to be saved or printed: no page to wait at."""

LEFT_OUT = {
    "static": "a file",
    "taking_in.report": "needs a taking-in", "taking_in.progress": "needs a taking-in",
    "taking_in.list_columns": "needs a list that was given",
    "taking_in.whole_report": "needs a taking-in", "taking_in.to_mend": "needs a taking-in",
    "phone_call.recording": "needs a recorded call", "studio_steps.recording": "needs one too",
    "phone_call.listen": "a sound", "doubles.listen": "a sound",
    "paper.a_to_z": "made at night, and sent as a file",
    "several.page": "asked with its choice below",
    "trust.certificate": "a file, where the station is served securely",
    "figures.csv": "counted as its page",
    "doubles.together": "leads on to the pair of entries",
}  # fmt: skip
"""Endpoints that are not asked, and why."""

WORDS = ("the", "love", "ferry", "night", "of the", "a", "xq", "blue moon", "unknown artist",
         "you", "john", "st", "99", "wilson", "nowhere to be found")  # fmt: skip
"""Searched for in the list: of all records and of none, short ones and an artist of thousands."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A page under the name it is told by, and how its address is made in each round."""

    name: str
    endpoint: str
    address: Callable[[random.Random], str]


def asks(app: Flask, store: Store, size: int) -> list[Ask]:
    """Every GET page of the map, and the list in all its orders."""
    pairs = store.rows(
        "SELECT recording_a, recording_b FROM likely_pairs ORDER BY bits DESC LIMIT 50"
    )
    one, other = (pairs[0]["recording_a"], pairs[0]["recording_b"]) if pairs else (1, 2)
    walks = {r["state"]: r["id"] for r in store.rows("SELECT id, state FROM stocktakes")}
    slips = [r["id"] for r in store.rows("SELECT id FROM slips ORDER BY id DESC LIMIT 20")]
    fixed = {
        "programme_id": store.rows("SELECT max(id) AS id FROM programmes")[0]["id"],
        "play_id": 1, "order": "title", "name": "data-protection-assessment", "one": one,
        "other": other, "gaps.lacking name": "composer",
        "round_id": 1, "doubles.discs one": 1, "doubles.discs other": 2, "slip_id": slips[0],
        "artist_id": 1, "disc_id": 1, "action_id": 1,
        "box_id": store.rows("SELECT max(id) AS id FROM donated_boxes")[0]["id"],
        "take_id": walks["open"], "stock_take.report take_id": walks["finished"],
        "job_id": store.rows("SELECT max(id) AS id FROM jobs WHERE kind = 'edit'")[0]["id"],
    }  # fmt: skip
    found = []
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()) or rule.endpoint in LEFT_OUT:
            continue
        if rule.endpoint in NO_PAGE and rule.endpoint not in WHOLE and rule.arguments:
            continue
        kinds: list[dict[str, object]] = [{}]
        if rule.endpoint == "gaps.kind":
            kinds = [{"name": name} for name in gaps_view.KINDS]
        for more in kinds:
            told = f"{rule.rule} {' '.join(map(str, more.values()))}".strip()
            found.append(Ask(told, rule.endpoint, _address(app, rule, {**fixed, **more}, size)))
    found += [Ask(path, "shelves.page", lambda _, path=path: path) for path in BESIDES  # type: ignore[misc]
              if path.startswith("/shelves?")]  # fmt: skip
    chosen = "/shelves/several?one=1&one=2&one=3"
    found.append(Ask(chosen, "several.page", lambda _: chosen))
    walk = walks["open"]
    last = stocktake.number(store, walk)
    path = f"/shelves/stock-take/{walk}/since?since={last - 3}"
    found.append(Ask("/shelves/stock-take/<take_id>/since, three ticks", "stock_take.since",
                     lambda _: path))  # fmt: skip
    return [*found, *_lists(app, store)]


def _address(
    app: Flask, rule: object, fixed: dict[str, object], size: int
) -> Callable[[random.Random], str]:
    endpoint, names = rule.endpoint, sorted(rule.arguments)  # type: ignore[attr-defined]

    def address(chance: random.Random) -> str:
        values = {n: fixed.get(f"{endpoint} {n}", fixed.get(n)) for n in names}
        if "recording_id" in names:
            values["recording_id"] = chance.randint(1, size)
        with app.test_request_context():
            return url_for(endpoint, **values)

    return address


def _lists(app: Flask, store: Store) -> list[Ask]:
    """The list: each order at its start, deep in it, of one shelf, and narrowed by words."""
    (shelf,) = filing.all_shelves(store)
    total = store.rows("SELECT count(*) AS n FROM recordings")[0]["n"]
    edges: dict[str, list[int]] = {}
    for order in ("title", "artist", "mark"):
        starts = [Start(share * total // 200) for share in range(0, 100, 7)]
        pages = [listing.page(store, Sought(order=order), start, 30) for start in starts]
        edges[order] = [page.last for page in pages if page.last is not None]
    found = []
    for order in ("title", "artist", "mark"):
        base = f"/shelves?order={order}"
        found += [
            Ask(f"{base} first", "shelves.page", lambda _, base=base: base),  # type: ignore[misc]
            Ask(
                f"{base} somewhere", "shelves.page",
                lambda chance, base=base, order=order: f"{base}&from=900&"  # type: ignore[misc]
                f"{chance.choice(('after', 'before'))}={chance.choice(edges[order])}",
            ),
            Ask(f"{base} of a shelf", "shelves.page",
                lambda _, base=base: f"{base}&shelf={shelf.id}"),  # type: ignore[misc]
        ]  # fmt: skip
    for order in ("title", "artist"):
        for words in WORDS:
            path = f"/shelves?order={order}&q={words.replace(' ', '+')}"
            found.append(Ask(path, "shelves.page", lambda _, path=path: path))  # type: ignore[misc]
    for words in ("C", "CD 0", "S 1", "780", "C 114", "none"):
        path = f"/shelves?order=mark&q={words.replace(' ', '+')}"
        found.append(Ask(path, "shelves.page", lambda _, path=path: path))  # type: ignore[misc]
    return found


def sign_in(app: Flask, name: str) -> FlaskClient:
    """A browser in which somebody has signed in."""
    client = app.test_client()
    page = client.get("/sign-in").get_data(as_text=True)
    token = re.search(r'X-CSRFToken": "([^"]+)"', page)
    assert token
    client.post("/sign-in", data={"name": name, "passphrase": PASSPHRASE,
                                  "csrf_token": token.group(1)})  # fmt: skip
    return client


def measure(folder: Path, size: int, rounds: int, only: str) -> dict[str, object]:
    """Ask for every page, by every role that may see it."""
    store = Store(folder / "asheard.db")
    index = SoundIndex(folder / "sound_index", store)
    app = create_app(store, index, lambda: NOW, {"SECRET_KEY": "benchmark"})
    # As threads beside the server do once it has started.
    app.extensions["asheard_meanings"].go_on(lambda: False)
    settled()
    clients = {name: sign_in(app, name) for name in PEOPLE}
    told: dict[str, dict[str, dict[str, float]]] = defaultdict(dict)
    for ask in asks(app, store, size):
        if only not in ask.name:
            continue
        for name, role in PEOPLE.items():
            if not _may(role, ask.endpoint):
                continue
            chance = random.Random(SEED)
            spent, worked = [], []
            times = (WARM + rounds) if ask.endpoint not in WHOLE else 1
            for _ in range(times):
                address = ask.address(chance)
                started, busy = time.perf_counter(), time.thread_time()
                answer = clients[name].get(address)
                answer.get_data()
                spent.append((time.perf_counter() - started) * 1000)
                worked.append((time.thread_time() - busy) * 1000)
                if answer.status_code not in (200, 302, 303):
                    raise SystemExit(f"{address}, {role}: {answer.status_code}")
            warm = spent[WARM:] or spent
            told[ask.name][role] = {
                "p50_ms": round(median(warm), 1), "p95_ms": _p95(warm),
                "cpu_p95_ms": _p95(worked[WARM:] or worked),
            }  # fmt: skip
        if told[ask.name]:
            worst = max(each["p95_ms"] for each in told[ask.name].values())
            print(f"{worst:8.1f}  {ask.name}", file=sys.stderr, flush=True)
    plain = _plain(store) if not only else 0.0
    app.extensions["asheard_workers"].close()
    index.close()
    store.close()
    return {"pages": told, "plain_p95_ms": plain}


def _may(role: str, endpoint: str) -> bool:
    access = roles.ACCESS[endpoint]
    if access == roles.ANYONE or access == roles.SIGNED_IN:
        return True
    from catalogue import staff

    return staff.may(staff.Role(role), access)


def _p95(values: list[float]) -> float:
    ordered = sorted(values)
    return round(ordered[min(len(ordered) - 1, len(ordered) * 95 // 100)], 1)


def _plain(store: Store) -> float:
    """The list sorted each time, and a page of it cut out with an offset."""
    spent = []
    for n in range(PLAIN_ROUNDS):
        started = time.perf_counter()
        order = ("title", "artist")[n % 2]
        ids = plain_order.by_words(store, "", order, filing.everywhere(store), None)
        _ = ids[n * 3_000 : n * 3_000 + 30]
        spent.append((time.perf_counter() - started) * 1000)
    return _p95(spent)


def added(folder: Path) -> dict[str, float]:
    """Seconds to add a thousand records, and to do so without the order of the list."""
    store = Store(folder / "asheard.db")
    started = time.perf_counter()
    pages_station.add(store, 1_000, SEED + 1)
    filed = time.perf_counter() - started
    for (trigger,) in store.db.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%to_file%'"
    ).fetchall():
        store.db.execute(f"DROP TRIGGER {trigger}")
    started = time.perf_counter()
    pages_station.add(store, 1_000, SEED + 2)
    unfiled = time.perf_counter() - started
    store.close()
    return {"add_1000_s": round(filed, 2), "add_1000_unfiled_s": round(unfiled, 2)}


def main() -> None:
    """Build and measure, each in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=0)
    parser.add_argument("--rounds", type=int, default=0)
    parser.add_argument("--only", default="", help="pages whose name has this in it")
    parser.add_argument("--keep", help="a folder for the station, used again where it is there")
    parser.add_argument("--quick", action="store_true", help="12,000 records, within a minute")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--step", choices=("build", "measure", "added"))
    options = parser.parse_args()
    size = options.size or (SIZE_QUICK if options.quick else SIZE)
    rounds = options.rounds or (ROUNDS_QUICK if options.quick else ROUNDS)
    if options.step:
        folder = Path(options.keep)
        if options.step == "build":
            pages_station.build(folder, size)
        elif options.step == "measure":
            print(json.dumps(measure(folder, size, rounds, options.only)))
        else:
            print(json.dumps(added(folder)))
        return
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(options.keep or Path(temporary) / "station")
        given = ["--keep", str(folder), "--size", str(size), "--rounds", str(rounds)]
        if not (folder / "asheard.db").exists():
            started = time.perf_counter()
            _step("build", given)
            print(f"a station of {size:,} made in {time.perf_counter() - started:.0f} s")
        told = json.loads(_step("measure", [*given, "--only", options.only]).splitlines()[-1])
        if not options.only and not options.keep:
            told |= json.loads(_step("added", given).splitlines()[-1])
    _print(told)
    if options.json:
        print(json.dumps({"size": size, **told}))


def _step(what: str, given: list[str]) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.pages", "--step", what, *given],
        stdout=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"The step {what} failed.")
    return done.stdout


def _print(told: dict[str, dict[str, dict[str, dict[str, float]]]]) -> None:
    lines = [
        (each["p95_ms"], each["p50_ms"], page, role, each["cpu_p95_ms"])
        for page, by_role in told["pages"].items()
        for role, each in by_role.items()
    ]
    lines.sort(reverse=True)
    print(f"{'p95 ms':>8}{'p50 ms':>8}{'cpu p95':>9}  page, role")
    for p95, p50, page, role, cpu in lines:
        print(f"{p95:8.1f}{p50:8.1f}{cpu:9.1f}  {page}, {role}")
    pages = [line for line in lines if not line[2].startswith(tuple(_whole()))]
    told["worst_page"], told["worst_p95_ms"] = pages[0][2], pages[0][0]  # type: ignore[assignment]
    slow = sum(line[0] > PROMISED_MS for line in pages)
    busiest = max(pages, key=lambda line: line[4])
    told["busiest_page"], told["busiest_cpu_p95_ms"] = busiest[2], busiest[4]  # type: ignore[assignment]
    print(f"\n{len(pages)} pages by role; the worst {pages[0][0]} ms at p95 ({pages[0][2]}); "
          f"{slow} over {PROMISED_MS} ms; of the processor's own time {busiest[4]} ms "
          f"({busiest[2]})")  # fmt: skip
    print(f"the list sorted each time, cut with an offset: p95 {told['plain_p95_ms']} ms")
    if "add_1000_s" in told:
        print(f"a thousand records added in {told['add_1000_s']} s, without the order of the list "
              f"in {told['add_1000_unfiled_s']} s")  # fmt: skip


def _whole() -> list[str]:
    return ["/paper/", "/station/held/"]


if __name__ == "__main__":
    main()
