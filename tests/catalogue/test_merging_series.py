"""Any series of merges of records and of discs, and of undos, ends where it began."""

from __future__ import annotations

import tempfile
from datetime import datetime
from pathlib import Path
from random import Random

from hypothesis import example, given, settings
from hypothesis import strategies as st

from catalogue import catalogue_rows as rows
from catalogue import (
    disc_doubles,
    duplicates,
    lessons,
    loans,
    merging,
    play_log,
    request_slips,
    undo,
    wants,
)
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

from .conftest import tracked_rows

NOW = datetime(2026, 11, 25, 19, 30)
DISCS, TRACKS = 4, 3
RECORDS = DISCS * TRACKS


def _station(store: Store) -> None:
    """Four discs of three records each, two and two alike; with everything that points at them."""
    chance = Random(7)
    numbers = []
    with undo.action(store, "Dilys", "a station", NOW):
        for n in range(DISCS):
            disc = NewDisc(
                Carrier.LP, f"C {n}", title=f"Quay {n % 2}", label="Marsh" if n else "",
                barcode="6291041500213" if n == 3 else "",
            )  # fmt: skip
            rows.shelve_disc(store, disc)
            for track in range(TRACKS):
                record = NewRecording(f"Tide {track}", f"Singer {n % 2}", year=1960 + n)
                numbers.append(rows.add_recording(store, record))
                holding = NewHolding(numbers[-1], disc_id=n + 1, side="1", track=str(track + 1))
                copy = rows.add_holding(store, holding)
                rows.add_holding(store, NewHolding(numbers[-1], path=f"/music/{n}/{track}"))
                rows.add_other_name(store, "hearing", f"tied {track}", recording=numbers[-1])
                play_log.record(store, numbers[-1], copy, "north", None, "Kit", NOW)
                wants.add(store, f"Tide {track}", "", numbers[-1], "Kit", NOW)
                slip = request_slips.start(store, "request", "Kit", NOW)
                request_slips.choose(store, slip, numbers[-1], copy, "Kit", NOW)
        for number in numbers[:3]:
            lessons.learn(store, f"the far tight {number}", number, "Kit", NOW)
        for disc_id in (1, 2, 3):
            loans.lend(store, disc_id, "north studio", None, "Kit", NOW)
        loans.bring_back(store, 3, "Kit", NOW)
        disc_doubles.judge(store, 1, 2, "different", "Liv", NOW)
        disc_doubles.judge(store, 2, 4, "cannot tell", "Liv", NOW)
        for _ in range(4):
            duplicates.judge(store, *chance.sample(numbers, 2), "different", "Liv", NOW)


def _told(store: Store) -> tuple[object, ...]:
    """What no merge may lose, by number: plays, slips, loans, wants, and what each is of in the
    end; files and labels; names by their words."""
    played = store.rows("SELECT id, recording_id, holding_id FROM plays ORDER BY id")
    there = {row["id"] for row in store.rows("SELECT id FROM holdings")}
    assert {row["holding_id"] for row in played} <= there
    files = store.rows("SELECT path FROM holdings WHERE path IS NOT NULL ORDER BY path")
    return (
        [row["id"] for row in played],
        [row["id"] for row in store.rows("SELECT id FROM slips ORDER BY id")],
        [(r["id"], r["back"]) for r in store.rows("SELECT id, back FROM loans ORDER BY id")],
        sum(want.times for want in wants.all_wants(store)),
        [row["path"] for row in files],
        {row["name"] for row in store.rows("SELECT name FROM other_names")},
        {row["label"] for row in store.rows("SELECT label FROM discs")} - {""},
        {row["barcode"] for row in store.rows("SELECT barcode FROM discs")} - {""},
    )


def _every_record_has_its_copy(store: Store) -> None:
    """Whatever was on a disc is on a disc, at its side and track."""
    for row in store.rows("SELECT id FROM recordings"):
        assert store.rows(
            "SELECT 1 FROM holdings WHERE recording_id = ? AND disc_id IS NOT NULL", (row["id"],)
        )


_RECORD, _DISC = st.integers(1, RECORDS), st.integers(1, DISCS)
_STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("records"), _RECORD, _RECORD),
        st.tuples(st.just("discs"), _DISC, _DISC),
        st.tuples(st.just("discs and records"), _DISC, _DISC),
        st.tuples(st.just("undo"), st.integers(0, 20), st.just(0)),
    ),
    max_size=12,
)


def _tracks_of(one: int, other: int) -> list[tuple[int, int]]:
    """The records of two discs, track by track, as they were at first."""
    return [((one - 1) * TRACKS + n, (other - 1) * TRACKS + n) for n in range(1, TRACKS + 1)]


def _merge(store: Store, step: tuple[str, int, int]) -> int:
    what, one, other = step
    if what == "records":
        return merging.merge(store, one, other, "Liv", NOW)
    too = _tracks_of(one, other) if what == "discs and records" and one != other else []
    too = [pair for pair in too if len({merging.stands_for(store, n) for n in pair}) == 2]
    return merging.merge_discs(store, one, other, "Liv", NOW, too)


@given(_STEPS)
@example([("records", 1, 10), ("discs", 4, 1), ("undo", 0, 0)])  # its copy was dropped as a double
@settings(max_examples=30, deadline=None)
def test_any_series_of_merges_of_discs_and_records_ends_where_it_began(steps) -> None:
    """Undos in any order, some of them refused; at the end the rest is undone, latest first."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        _station(store)
        start, told = tracked_rows(store), _told(store)
        standing: list[int] = []
        for step in steps:
            before = tracked_rows(store)
            try:
                if step[0] != "undo":
                    standing.append(_merge(store, step))
                elif standing:
                    action = standing[step[1] % len(standing)]
                    merging.unmerge(store, action, "Ned", NOW)
                    standing.remove(action)
            except (BadInput, NotFound, CannotTakeBack):
                assert tracked_rows(store) == before
            assert _told(store) == told
            _every_record_has_its_copy(store)
            assert store.rows("PRAGMA foreign_key_check") == []
        for action in reversed(standing):
            merging.unmerge(store, action, "Ned", NOW)
        assert tracked_rows(store) == start
        store.close()
