"""What was played, corrected with a trace, and the return of music used."""

import csv
import io
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue import catalogue_rows, plain_csv, play_log, programmes, undo, usage_return
from catalogue import request_slips as slips
from catalogue import settings as rules
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

NOVEMBER = (date(2026, 11, 1), date(2026, 11, 30))


def _read(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_a_month_against_one_made_by_hand(store, now, add):
    rules.put(store, "station_name", "Saltmarsh Radio", "Dora", now)
    rules.put(store, "territory", "United Kingdom", "Dora", now)
    show = programmes.add(store, "Evening Requests", "", now, now.replace(hour=22), "Dora", now)
    tide = add("=Tide", "Ann Oke", composer="B. Tarn", isrc="AA6Q72000047", album="Estuary")
    with undo.action(store, "Test", "a disc", now):
        disc = catalogue_rows.shelve_disc(
            store, NewDisc(Carrier.LP, "C 114", label="Mudlark", number="ML 7")
        )
        copy = catalogue_rows.add_holding(store, NewHolding(tide, disc_id=disc))
    mud = add("Mud", "The Tides", version="live")
    play_log.record(store, tide, copy, "Studio 1", None, "Ada", now, programme_id=show)
    play_log.add_by_hand(
        store, mud, None, datetime(2026, 11, 3, 9, 5, 7), "Studio 2", "Ada", now, heard_s=219
    )
    play_log.add_by_hand(store, mud, None, datetime(2026, 10, 31, 23, 59, 59), "", "Ada", now)
    # Written by hand from the field list, beside what was played above.
    by_hand = """\
Station,Programme,Date,Start time,Title,Version,Featured performer,Composer,Publisher,Label,\
Catalogue number,ISRC,Album title,Duration used,Number of plays,Music origin,Usage,Territory
Saltmarsh Radio,,2026-11-03,09:05:07,Mud,live,The Tides,,,,,,,03:39,1,,,United Kingdom
Saltmarsh Radio,Evening Requests,2026-11-25,19:30:00,'=Tide,,Ann Oke,B. Tarn,,Mudlark,ML 7,\
AA6Q72000047,Estuary,,1,,,United Kingdom
"""
    made = usage_return.as_csv(store, *NOVEMBER).decode("utf-8-sig")
    assert made.splitlines() == by_hand.splitlines()
    found = usage_return.uses(store, *NOVEMBER)
    assert usage_return.missing(found) == usage_return.Missing(2, 1, 1, 1)


def test_nothing_of_a_caller_is_in_it(store, now, add):
    from catalogue import callers

    slip = slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"caller_name": "Elsie Quayle", "why": "ninety"}, "Kit", now)
    slips.choose(store, slip, add("Tide", "Ann Oke"), None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now)
    made = usage_return.as_csv(store, *NOVEMBER).decode("utf-8-sig")
    assert "Tide" in made
    for word in ("Elsie", "Quayle", "ninety", "Kit", "Ada"):
        assert word not in made


def test_days_that_make_no_sense_are_refused(store):
    with pytest.raises(BadInput, match="before the first"):
        usage_return.uses(store, date(2026, 11, 2), date(2026, 11, 1))
    with pytest.raises(BadInput, match="a year at most"):
        usage_return.uses(store, date(2024, 1, 1), date(2026, 1, 1))


PLAYS = st.lists(
    st.tuples(st.datetimes(datetime(2026, 10, 30), datetime(2026, 12, 2)), st.booleans()),
    max_size=12,
)


@given(PLAYS)
@settings(max_examples=30)
def test_every_play_is_in_the_return_once(tmp_path_factory, plays):
    store = Store(tmp_path_factory.mktemp("plays") / "asheard.db")
    now = datetime(2027, 1, 1)
    with undo.action(store, "Test", "a record", now):
        tide = catalogue_rows.add_recording(store, NewRecording("Tide", "Ann Oke"))
    expected = []
    for at, struck in plays:
        play = play_log.add_by_hand(store, tide, None, at, "Studio 1", "Ada", now)
        if struck:
            play_log.strike(store, play, "Ada", now)
        elif at.month == 11:
            expected.append(play)
    found = usage_return.uses(store, *NOVEMBER)
    assert sorted(use.play_id for use in found) == expected
    assert len(_read(usage_return.as_csv(store, *NOVEMBER))) == len(expected)
    store.close()


def test_a_correction_leaves_a_trace_and_can_be_taken_back(store, now, add):
    tide, mud = add("Tide", "Ann Oke"), add("Mud", "Ben Tarn")
    play = play_log.record(store, tide, None, "Studio 1", None, "Ada", now)
    seen = undo.row_number(store, "plays", play)
    at = now - timedelta(minutes=3)
    fields = {"at": at, "recording_id": mud, "holding_id": None, "programme_id": None}
    play_log.correct(store, play, "Walter", now, heard_s=200.0, seen=seen, **fields)
    assert play_log.get(store, play).recording_id == mud
    assert [(a.who, kind) for a, kind in undo.history(store, "plays", play)] == [
        ("Ada", "insert"), ("Walter", "update"),
    ]  # fmt: skip
    with pytest.raises(ChangedMeanwhile, match="Walter changed this meanwhile"):
        play_log.correct(store, play, "Ada", now, heard_s=None, seen=seen, **fields)
    undo.take_back(store, undo.recent(store)[0].id, "Ada", now)
    assert play_log.get(store, play).recording_id == tide


def test_a_play_that_met_a_request_is_not_struck_out(store, now, add):
    slip = slips.start(store, "request", "Kit", now)
    slips.choose(store, slip, add("Tide", "Ann Oke"), None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    play = slips.played(store, slip, "Ada", now)
    with pytest.raises(BadInput, match="met a request"):
        play_log.strike(store, play, "Ada", now)


def test_impossible_plays_are_refused(store, now, add):
    tide, mud = add("Tide", "Ann Oke"), add("Mud", "Ann Oke")
    copy = catalogue_rows.holdings_of(store, [mud])[mud][0].id
    for wrong, words in (
        ({"at": now + timedelta(minutes=1)}, "still to come"),
        ({"heard_s": 0}, "longer than nothing"),
        ({"heard_s": 90_000}, "less than a day"),
        ({"holding_id": copy}, "not of this recording"),
    ):
        fields = {"at": now, "heard_s": None, "holding_id": None, **wrong}
        at, holding = fields.pop("at"), fields.pop("holding_id")
        with pytest.raises(BadInput, match=words):
            play_log.add_by_hand(store, tide, holding, at, "Studio 1", "Ada", now, **fields)
    with pytest.raises(NotFound):
        play_log.add_by_hand(store, 99, None, now, "Studio 1", "Ada", now)
    assert store.rows("SELECT 1 FROM plays") == []


@given(st.lists(st.lists(st.text(max_size=12), min_size=2, max_size=2), max_size=5))
def test_no_cell_is_a_formula_and_nothing_is_lost(rows):
    made = list(csv.reader(io.StringIO(plain_csv.text(("a", "b"), rows), newline="")))[1:]
    cells = [cell for row in made for cell in row]
    typed = [cell for row in rows for cell in row]
    assert len(cells) == len(typed)
    for cell, as_typed in zip(cells, typed, strict=True):
        assert cell in (as_typed, f"'{as_typed}")
        if len(cell) > 1 and cell[0] in "=@\t\r":
            raise AssertionError(cell)
