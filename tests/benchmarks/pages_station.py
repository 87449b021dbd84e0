"""A station of many years, made up, for the benchmark of pages: `build` fills a folder.

Three of five records stand on discs, twelve to a disc, on shelves of several schemes and rooms; a
quarter are files; the rest is known and not held. There are plays, requests, loans, wants, other
names, gone and damaged copies, a programme tonight with its list, and slips that wait; boxes,
stock-takes and a long edit (`pages_shelves.py`).
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from catalogue import (
    callers,
    catalogue_rows,
    duplicate_search,
    filed_order,
    filing,
    lessons,
    listing,
    loans,
    places,
    play_log,
    programmes,
    request_slips,
    rounds,
    running_order,
    settings,
    staff,
    undo,
    wants,
)
from catalogue.records import Carrier, Condition, NewDisc, NewHolding, NewRecording, Voice
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.benchmarks import pages_shelves
from tests.benchmarks.decoys import decoys

NOW = datetime(2026, 11, 25, 20, 10)
SEED = 23
PEOPLE = {"Alice": "searcher", "Bob": "presenter", "Charlie": "librarian", "Dora": "keeper"}
PASSPHRASE = "four plain words"

_AT_ONCE = 5_000
_GENRES = ("pop", "rock", "soul", "country", "jazz", "folk", "film", "dance band", "hymn", "")
_ON_A_DISC = 12
_ROOMS = ("", "Store room", "Studio 1", "Studio 2", "Van", "Corridor")
_UNKNOWN_ARTIST = 0.01
"""Records of one artist without a name, as tags have it."""


def build(folder: Path, size: int) -> None:
    """Fill the folder with a station of `size` recordings."""
    folder.mkdir(parents=True, exist_ok=True)
    store = Store(folder / "asheard.db")
    store.db.execute("PRAGMA synchronous = OFF")  # a benchmark's folder need not survive a cut
    chance = random.Random(SEED)
    for name, role in PEOPLE.items():
        staff.add(store, name, role, PASSPHRASE, "benchmark", NOW)
    settings.put(store, "station_name", "Saltmarsh Radio", "benchmark", NOW)
    for place in ("Saltings House", "Cottage Hospital", "Ferry crew", "Mill Lane Home"):
        places.add(store, place, place, True, "benchmark", NOW)
    _records(store, chance, size)
    _copies(store, chance, size)
    _names(store, chance, size)
    filing.keep(store, "mark", "S", filing.ALA_1968, "Charlie", NOW)
    for rules in listing.rules_in_use(store):
        filed_order.rule_set(store, rules)
    while filed_order.go_on(store, listing.rules_in_use(store)):
        pass
    _years(store, chance, size)
    _tonight(store, chance, size)
    pages_shelves.fill(store, chance, size, NOW)
    duplicate_search.search(store)
    index = SoundIndex(folder / "sound_index", store)
    index.catch_up()
    index.close()
    store.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    store.close()


def add(store: Store, size: int, seed: int) -> None:
    """Put so many more records in, in one action, as a taking-in does."""
    with undo.action(store, "benchmark", "took in", NOW):
        for artist, title, year in decoys(size, seed):
            catalogue_rows.add_recording(store, NewRecording(f"{title} Again", artist, year=year))


def _records(store: Store, chance: random.Random, size: int) -> None:
    for batch in _batches(decoys(size, SEED)):
        with undo.action(store, "benchmark", "took in", NOW - timedelta(days=900)):
            for artist, title, year in batch:
                new = NewRecording(
                    title,
                    "Unknown artist" if chance.random() < _UNKNOWN_ARTIST else artist,
                    year=year if chance.random() < 0.9 else None,
                    tempo=float(chance.randint(60, 180)) if chance.random() < 0.7 else None,
                    genre=chance.choice(_GENRES),
                    language=chance.choice(("English", "German", "")),
                    voice=chance.choice(list(Voice)),
                    length_s=float(chance.randint(120, 300)),
                )
                if chance.random() < 0.1:
                    new = replace(new, composer=f"Composer {chance.randint(1, 300)}")
                catalogue_rows.add_recording(store, new)


def _batches(names: Iterator[tuple[str, str, int]]) -> Iterator[list[tuple[str, str, int]]]:
    batch = []
    for name in names:
        batch.append(name)
        if len(batch) == _AT_ONCE:
            yield batch
            batch = []
    yield batch


def _copies(store: Store, chance: random.Random, size: int) -> None:
    marks = count(1)
    discs: list[int] = []
    on_disc = 0
    for first in range(1, size + 1, _AT_ONCE):
        with undo.action(store, "benchmark", "shelved", NOW - timedelta(days=899)):
            for recording in range(first, min(first + _AT_ONCE, size + 1)):
                kind = chance.random()
                if kind < 0.6:
                    if on_disc % _ON_A_DISC == 0:
                        discs.append(_disc(store, chance, next(marks)))
                    track = on_disc % _ON_A_DISC + 1
                    on_disc += 1
                    if chance.random() < 0.02:
                        continue  # a track that nobody wrote down
                    copy = NewHolding(recording, disc_id=discs[-1], side="1", track=str(track))
                elif kind < 0.85:
                    copy = NewHolding(recording, path=f"/music/{recording // 500}/{recording}.flac")
                else:
                    continue
                number = catalogue_rows.add_holding(store, copy)
                if chance.random() < 0.002:
                    catalogue_rows.change_holding(store, number, missing=1)


def _disc(store: Store, chance: random.Random, number: int) -> int:
    carrier, mark = chance.choice(
        (
            (Carrier.LP, f"C {number}"),
            (Carrier.CD, f"CD {number:05d}"),
            (Carrier.SINGLE_45, f"S {number}"),
            (Carrier.LP, f"780.{number}"),
        )
    )
    condition = chance.choice((Condition.UNKNOWN,) * 98 + (Condition.GOOD, Condition.DAMAGED))
    place = chance.choice(_ROOMS)
    return catalogue_rows.shelve_disc(store, NewDisc(carrier, mark, f"Disc {number}", place,
                                                     condition))  # fmt: skip


def _names(store: Store, chance: random.Random, size: int) -> None:
    with undo.action(store, "Charlie", "wrote other names", NOW - timedelta(days=30)):
        for number in range(size // 60):
            one = chance.randint(1, size)
            kind = ("also known as", "refrain", lessons.HEARING)[number % 3]
            catalogue_rows.add_other_name(store, kind, f"the other song {number}", recording=one)


def _years(store: Store, chance: random.Random, size: int) -> None:
    """Two years of programmes, plays, requests, loans and wants."""
    held = [row["recording_id"] for row in store.rows("SELECT DISTINCT recording_id FROM holdings")]
    discs = [row["id"] for row in store.rows("SELECT id FROM discs")]
    chosen = chance.sample(held, min(len(held), 3_000))
    days = min(730, size // 100)
    for day in range(days, 0, -1):
        evening = (NOW - timedelta(days=day)).replace(hour=19, minute=0)
        with undo.action(store, "benchmark", "an evening", evening):
            programme = programmes.add(
                store, "Requests", "Bob", evening, evening + timedelta(hours=3), "Dora", evening
            )
            for n in range(40):
                at = evening + timedelta(minutes=4 * n)
                one = chance.choice(chosen)
                if n % 2:
                    play_log.record(store, one, None, "Studio 1", None, "Bob", at,
                                    programme_id=programme)  # fmt: skip
                else:
                    _request(store, chance, one, at)
            for _ in range(4):
                wants.add(store, f"Wanted {chance.randint(1, 1_500)}", "Nobody Yet", None, "Alice",
                          evening)  # fmt: skip
        for disc in chance.sample(discs, 3):
            if not loans.out(store, [disc]):
                loans.lend(store, disc, "the north studio", None, "Charlie", evening)
                if chance.random() < 0.9:
                    loans.bring_back(store, disc, "Charlie", evening + timedelta(days=2))
        callers.erase_due(store, evening)


def _request(store: Store, chance: random.Random, recording: int, at: datetime) -> int:
    slip = request_slips.start(store, "request", "Alice", at)
    callers.write(store, slip, {"caller_name": "Maureen", "heard": "a song"}, "Alice", at)
    copies = catalogue_rows.holdings_of(store, [recording])[recording]
    copy = copies[0].id if copies else None
    request_slips.choose(store, slip, recording, copy, "Alice", at)
    request_slips.hand_over(store, slip, "Studio 1", "Alice", at)
    if chance.random() < 0.1:
        request_slips.not_used(store, slip, "no time", "Bob", at)
    else:
        request_slips.played(store, slip, "Bob", at)
    return slip


def _tonight(store: Store, chance: random.Random, size: int) -> None:
    """What is open: a programme with its list, slips that wait, a round, a slip being written."""
    begun = NOW.replace(hour=19, minute=0)
    programme = programmes.add(
        store, "Requests tonight", "Bob", begun, begun + timedelta(hours=4), "Dora", begun
    )
    held = [r["recording_id"] for r in store.rows("SELECT recording_id FROM holdings LIMIT 400")]
    for one in chance.sample(held, 30):
        running_order.put_in(store, programme, one, None, "Bob", begun)
    for n in range(25):
        at = begun + timedelta(minutes=2 * n)
        slip = request_slips.start(store, "request", "Alice", at)
        callers.write(store, slip, {"caller_name": "Bryn"}, "Alice", at)
        request_slips.choose(store, slip, chance.choice(held), None, "Alice", at)
        if n < 20:
            request_slips.hand_over(store, slip, "Studio 1", "Alice", at)
    rounds.start(store, "Alice", NOW)
