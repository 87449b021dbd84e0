"""Two records made one, and undone: nothing is lost on the way."""

from __future__ import annotations

import json
import re
import tempfile
from datetime import datetime, timedelta
from itertools import permutations
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
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
    stand_in_lessons,
    undo,
    wants,
)  # fmt: skip
from catalogue import settings as station_settings
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store
from importers import same_recording

from .conftest import tracked_rows

NOW = datetime(2026, 11, 25, 19, 30)
POINTING = ("holdings", "plays", "slips", "wants", "other_names", "judgements")


def _studio(store):
    return station_settings.lines(store, "studios")[0]


@pytest.fixture
def two(store, now, add):
    """Two entries of one record, with something of every owner on the second."""
    kept = add("The Far Tide", "Ann Oke", year=1961)
    gone = add("The Far Tied", "Ann Oak", disc="C 7", length_s=181.0, year=1962)
    third = add("Lamp", "Bo Quay")
    copy = rows.holdings_of(store, [gone])[gone][0].id
    slip = request_slips.start(store, "request", "Kit", now)
    request_slips.choose(store, slip, gone, copy, "Kit", now)
    request_slips.hand_over(store, slip, _studio(store), "Kit", now)
    request_slips.played(store, slip, "Kit", now)
    other = request_slips.start(store, "request", "Kit", now)
    request_slips.choose(store, other, third, None, "Kit", now, stand_in_for=gone)
    wants.add(store, "", "", gone, "Kit", now)
    wants.add(store, "", "", kept, "Kit", now)
    lessons.learn(store, "the far tight ann oak please", gone, "Kit", now)
    duplicates.judge(store, gone, third, "different", "Liv", now)
    return kept, gone


def test_everything_of_the_one_is_the_others(store, now, two):
    kept, gone = two
    before = {t: len(store.rows(f"SELECT id FROM [{t}]")) for t in POINTING}
    merging.merge(store, kept, gone, "Liv", now)
    with pytest.raises(NotFound):
        rows.recording(store, gone)
    stays = rows.recording(store, kept)
    assert (stays.title, stays.year, stays.length_s) == ("The Far Tide", 1961, 181.0)
    assert len(rows.holdings_of(store, [kept])[kept]) == 3
    assert play_log.times_played(store, [kept]) == {kept: 1}
    assert [lesson.heard for lesson in lessons.of(store, kept)]
    slips = store.rows("SELECT recording_id, stand_in_for FROM slips ORDER BY id")
    assert [(s["recording_id"], s["stand_in_for"]) for s in slips] == [(kept, None), (3, kept)]
    assert {want.recording_id for want in wants.all_wants(store)} == {kept}
    assert duplicates.judgement(store, kept, 3).verdict == "different"
    assert duplicates.judgement(store, kept, gone).verdict == "same"
    assert merging.stands_for(store, gone) == kept and merging.stands_for(store, kept) == kept
    after = {t: len(store.rows(f"SELECT id FROM [{t}]")) for t in POINTING}
    assert after == before | {"judgements": 2}


def test_fields_are_kept_as_chosen(store, now, two):
    kept, gone = two
    a, b = (rows.recording(store, n) for n in two)
    offered = {c.field: (c.stays, c.goes, c.take) for c in merging.choices(a, b)}
    assert offered == {
        "title": ("The Far Tide", "The Far Tied", False),
        "artist": ("Ann Oke", "Ann Oak", False),
        "year": (1961, 1962, False),
        "length_s": (None, 181.0, True),
    }
    merging.merge(store, kept, gone, "Liv", now, take=["artist", "year"])
    stays = rows.recording(store, kept)
    assert (stays.title, stays.artist, stays.year, stays.length_s) == (
        "The Far Tide", "Ann Oak", 1962, None,
    )  # fmt: skip


def test_it_is_undone_whole(store, now, two):
    before = tracked_rows(store)
    action = merging.merge(store, *two, "Liv", now, take=["artist", "title"])
    assert tracked_rows(store) != before
    undo.take_back(store, action, "Ned", now)
    assert tracked_rows(store) == before


def test_it_is_undone_after_later_work_on_the_same_records(store, now, two):
    """A week later the moved file was scanned anew, the record got its tempo and was played."""
    kept, gone = two
    action = merging.merge(store, kept, gone, "Liv", now)
    later = now + timedelta(days=7)
    moved = rows.holdings_of(store, [kept])[kept]
    with undo.action(store, "Ned", "looked", later):
        for holding in moved:
            rows.change_holding(store, holding.id, missing=1)
        rows.change_recording(store, kept, tempo=120.0)
    play_log.record(store, kept, None, "north", None, "Ned", later)
    undo.take_back(store, action, "Liv", later)
    assert rows.recording(store, gone).title == "The Far Tied"
    assert len(rows.holdings_of(store, [gone])[gone]) == 2
    assert all(holding.missing for holding in rows.holdings_of(store, [gone])[gone])
    assert rows.recording(store, kept).tempo == 120.0
    assert rows.recording(store, kept).length_s is None
    assert play_log.times_played(store, [kept, gone]) == {kept: 1, gone: 1}


def test_the_name_it_had_is_not_lost_to_a_slip_that_is_played_later(store, now, two):
    kept, gone = two
    slip = request_slips.start(store, "request", "Kit", now)
    request_slips.choose(store, slip, gone, None, "Kit", now)
    request_slips.hand_over(store, slip, _studio(store), "Kit", now)
    action = merging.merge(store, kept, gone, "Liv", now)
    request_slips.played(store, slip, "Kit", now)
    undo.take_back(store, action, "Liv", now)
    slip_now = request_slips.get(store, slip)
    assert (slip_now.recording_id, slip_now.state) == (gone, "played")


def test_what_was_corrected_since_stays_when_it_is_undone(store, now, two):
    """The year came from the other record and was then put right: it is the librarian's."""
    kept, gone = two
    action = merging.merge(store, kept, gone, "Liv", now, take=["title", "year", "length_s"])
    with undo.action(store, "Ned", "corrected", now):
        rows.change_recording(store, kept, year=1963, composer="Cy Reed")
    with pytest.raises(CannotTakeBack):
        undo.take_back(store, action, "Liv", now)
    merging.unmerge(store, action, "Liv", now)
    stays, back = rows.recording(store, kept), rows.recording(store, gone)
    assert (stays.title, stays.year, stays.length_s) == ("The Far Tide", 1963, None)
    assert (back.title, back.year, back.length_s) == ("The Far Tied", 1962, 181.0)
    (song,) = store.rows("SELECT title, composer FROM songs WHERE id = ?", (stays.song_id,))
    assert song == {"title": "The Far Tide", "composer": "Cy Reed"}


def test_discs_are_made_one_with_their_recordings_and_undone_whole(store, now):
    """Entered twice under two spellings: six entries, three records, one disc."""
    with undo.action(store, "Liv", "shelved", now):
        discs = [rows.shelve_disc(store, NewDisc(Carrier.LP, mark)) for mark in ("C 1", "C 9")]
        made = []
        for track, (one, other) in enumerate((("Tide", "Tied"), ("My Lamp", "My Lmap")), 1):
            pair = [rows.add_recording(store, NewRecording(t, "Ann Oke")) for t in (one, other)]
            for disc, number in zip(discs, pair, strict=True):
                rows.add_holding(store, NewHolding(number, disc_id=disc, track=str(track)))
            made.append((pair[0], pair[1]))
    before = tracked_rows(store)
    action = merging.merge_discs(store, *discs, "Liv", now, made)
    assert [r["title"] for r in store.rows("SELECT title FROM recordings ORDER BY id")] == [
        "Tide", "My Lamp",
    ]  # fmt: skip
    assert len(store.rows("SELECT id FROM holdings")) == 2
    assert disc_doubles.judgement(store, *discs).verdict == "same"
    merging.unmerge(store, action, "Liv", now)
    assert tracked_rows(store) == before


def test_a_second_merge_on_top_is_taken_back_first(store, now, two):
    kept, gone = two
    first = merging.merge(store, kept, gone, "Liv", now)
    second = merging.merge(store, 3, kept, "Liv", now)
    assert merging.stands_for(store, gone) == 3
    before = tracked_rows(store)
    with pytest.raises(CannotTakeBack, match="made recording 1 one with recording 3"):
        undo.take_back(store, first, "Liv", now)
    assert tracked_rows(store) == before
    undo.take_back(store, second, "Liv", now)
    undo.take_back(store, first, "Liv", now)


def test_bad_merges_are_refused(store, now, two):
    kept, gone = two
    before = tracked_rows(store)
    with pytest.raises(BadInput):
        merging.merge(store, kept, kept, "Liv", now)
    with pytest.raises(BadInput):
        merging.merge(store, kept, gone, "Liv", now, take=["colour"])
    with pytest.raises(NotFound):
        merging.merge(store, kept, 99, "Liv", now)
    assert tracked_rows(store) == before


def test_no_table_that_points_at_recordings_is_forgotten(store, now, two):
    """Whatever refers to a recording by its number is pointed elsewhere, by any column."""
    kept, gone = two
    merging.merge(store, kept, gone, "Liv", now)
    for table in (row["name"] for row in store.rows("SELECT name FROM sqlite_master")):
        sql = store.rows("SELECT sql FROM sqlite_master WHERE name = ?", (table,))[0]["sql"] or ""
        if not sql.startswith("CREATE TABLE"):
            continue
        for column in re.findall(r"(\w+) INTEGER(?: NOT NULL)? REFERENCES recordings\(id\)", sql):
            there = store.rows(f"SELECT 1 FROM [{table}] WHERE [{column}] = ?", (gone,))
            assert there == [], f"{table}.{column}"


def test_a_disc_shelved_twice_is_one(store, now):
    with undo.action(store, "Liv", "shelved", now):
        song, only = (
            rows.add_recording(store, NewRecording(t, "Ann Oke")) for t in ("Tide", "Lamp")
        )
        kept = rows.shelve_disc(store, NewDisc(Carrier.CD, "C 1"))
        gone = rows.shelve_disc(store, NewDisc(Carrier.CD, "C 9", barcode="6291041500213"))
        first = rows.add_holding(store, NewHolding(song, disc_id=kept, track="1"))
        twin = rows.add_holding(store, NewHolding(song, disc_id=gone, track="1"))
        rows.add_holding(store, NewHolding(only, disc_id=gone, track="2"))
    play = play_log.record(store, song, twin, "north", None, "Kit", now)
    loans.lend(store, gone, "north studio", None, "Kit", now)
    before = tracked_rows(store)
    action = merging.merge_discs(store, kept, gone, "Liv", now)
    assert rows.disc(store, kept).barcode == "6291041500213"
    assert [h.disc_id for h in rows.holdings_of(store, [only])[only]] == [kept]
    assert [h.id for h in rows.holdings_of(store, [song])[song]] == [first]
    assert play_log.get(store, play).holding_id == first
    assert set(loans.out(store)) == {kept}
    undo.take_back(store, action, "Liv", now)
    assert tracked_rows(store) == before
    with pytest.raises(BadInput):
        merging.merge_discs(store, kept, kept, "Liv", now)


# Any series


def _station(store: Store) -> None:
    """Six records with copies, plays, slips, wants, lessons and judgements between them."""
    chance = Random(4)
    with undo.action(store, "Dilys", "a station", NOW):
        for n in range(6):
            number = rows.add_recording(
                store,
                NewRecording(f"Tide {n % 3}", f"Singer {n % 2}", year=1960 + n if n % 2 else None),
            )
            copy = rows.add_holding(store, NewHolding(number, path=f"/music/{n}"))
            rows.add_other_name(store, "hearing", f"tied {n % 2}", recording=number)
            play_log.record(store, number, copy, "north", None, "Kit", NOW)
            want = wants.add(store, f"Tide {n}", "", number if n % 2 else None, "Kit", NOW)
            wants.is_not(store, want, chance.randint(1, number), "Liv", NOW)
            slip = request_slips.start(store, "request", "Kit", NOW)
            request_slips.choose(
                store, slip, number, copy, "Kit", NOW, chance.randint(1, number) if n else None
            )
        for _ in range(6):
            a, b = chance.sample(range(1, 7), 2)
            duplicates.judge(store, a, b, chance.choice(["different", "cannot tell"]), "Liv", NOW)
    for asked, offered in permutations(range(1, 7), 2):
        for _ in range((asked + offered) % 3):
            stand_in_lessons.refuse(store, asked, offered)


def _told(store: Store) -> tuple[list[int], set[str], tuple[int, int]]:
    """What no merge may lose: copies, plays and slips by number, lessons by their words, and
    what was taken and refused in place of what."""
    counts = [len(store.rows(f"SELECT id FROM [{t}]")) for t in ("holdings", "plays", "slips")]
    names = {row["name"] for row in store.rows("SELECT name FROM other_names")}
    lines = stand_in_lessons.lessons(store)
    return counts, names, (sum(line.taken for line in lines), sum(line.refused for line in lines))


def _tallies(store: Store) -> list[dict[int, stand_in_lessons.Tally]]:
    return [stand_in_lessons.tallies(store, number) for number in range(7)]


@given(st.lists(st.tuples(st.booleans(), st.integers(1, 6), st.integers(1, 6)), max_size=14))
@settings(max_examples=40, deadline=None)
def test_any_series_of_merges_and_undos_ends_where_it_began(steps) -> None:
    """Undos in any order, some of them refused; at the end the rest is undone, latest first."""
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        _station(store)
        start, told, tallies = tracked_rows(store), _told(store), _tallies(store)
        standing: list[int] = []
        for is_merge, one, other in steps:
            before = tracked_rows(store)
            if is_merge:
                try:
                    fields = [f for f in ("title", "artist", "year") if (one + other) % 2]
                    standing.append(merging.merge(store, one, other, "Liv", NOW, take=fields))
                except (BadInput, NotFound):
                    assert tracked_rows(store) == before
            elif standing:
                action = standing[one % len(standing)]
                try:
                    merging.unmerge(store, action, "Ned", NOW)
                    standing.remove(action)
                except CannotTakeBack:
                    assert tracked_rows(store) == before
            assert _told(store) == told
            assert store.rows("PRAGMA foreign_key_check") == []
        for action in reversed(standing):
            undo.take_back(store, action, "Ned", NOW)
        assert (tracked_rows(store), _tallies(store)) == (start, tallies)
        store.close()


def test_what_files_and_lists_said_of_the_one_is_said_of_the_other(store, now, two):
    """A row of a list that made the record that is gone still tells where its year is from."""
    kept, gone = two
    raw = json.dumps({"read_as": {"year": 1962}, "guessed": ["year"]})
    with undo.action(store, "Liv", "list", now) as action:
        store.db.execute(
            "INSERT INTO raw_entries (action_id, source, recording_id, outcome, raw) "
            "VALUES (?, 'list.csv', ?, 'added', ?)",
            (action, gone, raw),
        )
    assert same_recording.readings(store, kept) == []
    merged = merging.merge(store, kept, gone, "Liv", now)
    assert [r.values for r in same_recording.readings(store, kept)] == [{"year": 1962}]
    undo.take_back(store, merged, "Liv", now)
    assert same_recording.readings(store, kept) == []
