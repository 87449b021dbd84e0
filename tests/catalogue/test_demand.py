"""What was asked for and not met, the list for a fair, a donor's list, and what arrives."""

from __future__ import annotations

from datetime import timedelta

import pytest

from catalogue import callers, demand, merging, places, request_slips, undo, waiting, wants
from catalogue.catalogue_rows import add_holding, change_holding, holdings_of
from catalogue.meaning import meant_by
from catalogue.records import NewHolding
from catalogue.sound_index import SoundIndex


def _unmet(store, now, **given):
    return [(u.title, u.artist, u.times) for u in demand.asked_and_not_met(store, now, **given)]


def test_what_was_misheard_is_one_thing_with_how_often_lately_and_where(store, now):
    ward = places.add(store, "Ward 7", "", True, "Kit", now)
    home = places.add(store, "Saltings House", "", True, "Kit", now)
    for _ in range(4):
        wants.add(store, "The Far Tide", "Ann Oke", None, "Kit", now, place_id=ward)
        wants.add(store, "The Far Tide", "Ann Oke", None, "Kit", now, place_id=home)
    wants.add(store, "the far tied", "ann oak", None, "Kit", now + timedelta(1), place_id=ward)
    wants.add(store, "Lamp", "Bo Quay", None, "Kit", now)
    first, second = demand.asked_and_not_met(store, now + timedelta(1))
    assert (first.title, first.artist, first.times) == ("The Far Tide", "Ann Oke", 9)
    assert first.last_asked == "2026-11-26T19:30:00"
    assert first.places == (("Ward 7", 5),), "four of one place are too few to be named"
    assert (second.title, second.times, second.places) == ("Lamp", 1, ())


def test_a_title_alone_is_grouped_by_its_sound(store, now):
    wants.add(store, "Lantern on the Quay", "", None, "Kit", now)
    wants.add(store, "lantern on the key", "", None, "Kit", now)
    wants.add(store, "Herring Gull Morning", "", None, "Kit", now)
    assert _unmet(store, now) == [("Lantern on the Quay", "", 2), ("Herring Gull Morning", "", 1)]


def test_the_catalogue_says_what_was_meant(store, now, add, tmp_path):
    known = add("The Last Boat to Samphire", "Marsha Herron", file=False)
    add("Grey Heron Standing", "Ada Sluice")
    wants.add(store, "the last goat to sam fire", "marsha heron", None, "Kit", now)
    wants.add(store, "", "", known, "Kit", now)
    index = SoundIndex(tmp_path / "sound_index", store)
    (one,) = demand.asked_and_not_met(store, now, meant_by(index))
    index.close()
    assert (one.title, one.times, one.recording_id) == ("The Last Boat to Samphire", 2, known)


def test_lately_asked_for_goes_before_often_long_ago(store, now):
    old = now - timedelta(days=900)
    for _ in range(3):
        wants.add(store, "Old Lamp", "Bo Quay", None, "Kit", old)
    wants.add(store, "New Tide", "Ann Oke", None, "Kit", now)
    unmet = demand.asked_and_not_met(store, now)
    assert [u.title for u in unmet] == ["New Tide", "Old Lamp"]
    assert unmet[0].priority == 1.0 and 0 < unmet[1].priority < 0.01


def test_a_donors_list_is_marked(store, now, add):
    add("My Lamp", "Bo Quay")
    wants.add(store, "The Far Tide", "Ann Oke", None, "Kit", now)
    unmet = demand.asked_and_not_met(store, now)
    offered = [("Far Tide, The", "Anne Oke"), ("My Lamp", "Bo Quay"), ("Other", "Somebody"),
               ("THE FAR TIED", "Oke, Ann"), ("", "")]  # fmt: skip
    offers = demand.marked(store, unmet, offered)
    assert [(o.title, o.artist) for o in offers] == offered
    assert [o.meets is not None for o in offers] == [True, False, False, True, False]
    assert [o.held for o in offers] == [False, True, False, False, False]


def test_what_is_held_is_never_wanted(store, now, add, tmp_path):
    """However it was misheard; unless somebody says that it is another."""
    held = add("The Last Boat to Samphire", "Marsha Herron")
    add("Grey Heron Standing", "Ada Sluice")
    want = wants.add(store, "the last goat to sam fire", "marsha heron", None, "Kit", now)
    named = wants.add(store, "Grey Heron Standing", "", None, "Kit", now)
    index = SoundIndex(tmp_path / "sound_index", store)
    meant = meant_by(index)
    assert demand.asked_and_not_met(store, now, meant) == []
    assert {a.want.id for a in demand.arrivals(store, meant)} == {want, named}
    wants.is_not(store, want, held, "Liv", now)
    (unmet,) = demand.asked_and_not_met(store, now, meant)
    assert unmet.want_ids == (want,)
    assert [a.want.id for a in demand.arrivals(store, meant)] == [named]
    with undo.action(store, "Liv", "looked", now):
        change_holding(store, holdings_of(store, [held])[held][0].id, missing=1)
        change_holding(store, holdings_of(store, [held + 1])[held + 1][0].id, missing=1)
    assert demand.arrivals(store, meant) == []
    index.close()


def test_what_slips_asked_for_is_a_gap_until_it_is_put_on_the_list(store, now, add):
    known, taken = add("The Far Tide", "Ann Oke", file=False), add("Lamp", "Bo Quay")
    slips = [request_slips.start(store, "request", "Kit", now + timedelta(n)) for n in range(3)]
    for slip in slips:
        request_slips.choose(store, slip, taken, None, "Kit", now, stand_in_for=known)
    (gap,) = demand.asked_and_not_met(store, now + timedelta(3))
    assert (gap.title, gap.times, gap.want_ids, gap.recording_id) == ("The Far Tide", 3, (), known)
    demand.put_on_list(store, known, "Liv", now + timedelta(3))
    (want,) = demand.asked_and_not_met(store, now + timedelta(3))
    assert (want.times, len(want.want_ids), want.priority) == (3, 1, gap.priority)
    assert waiting.of(store, want.want_ids) == slips
    waiting.forget_all_but(store, [])
    assert demand.asked_and_not_met(store, now + timedelta(3)) == [want], "not counted twice"
    again = request_slips.start(store, "request", "Kit", now + timedelta(4))
    request_slips.choose(store, again, taken, None, "Kit", now, stand_in_for=known)
    assert demand.asked_and_not_met(store, now + timedelta(4))[0].times == 4


def test_which_slip_waited_goes_with_the_callers_details(store, now):
    slip = request_slips.start(store, "request", "Kit", now)
    want = wants.add(store, "Lamp", "Bo Quay", None, "Kit", now, slip_id=slip)
    callers.erase_due(store, now)
    assert waiting.of(store, [want]) == [slip]
    callers.erase_due(store, now + timedelta(30))
    assert waiting.of(store, [want]) == []
    assert store.rows("SELECT slip_id FROM want_asks") == [{"slip_id": None}]


def test_what_arrives_shows_who_waited(store, now, add):
    known = add("The Far Tide", "Ann Oke", file=False)
    slip = request_slips.start(store, "request", "Kit", now)
    want = wants.add(store, "", "", known, "Kit", now, slip_id=slip)
    by_name = wants.add(store, "My Lamp", "Bo Quay", None, "Kit", now)
    assert demand.arrivals(store) == []
    with undo.action(store, "Liv", "arrived", now):
        add_holding(store, NewHolding(known, path="/music/tide.ogg"))
    lamp = add("My Lamp", "Bo Quay")
    first, second = sorted(demand.arrivals(store), key=lambda arrival: arrival.want.id)
    assert (first.want.id, first.recording.id) == (want, known)
    assert [ask.at for ask in first.waited] == [now.isoformat()] and first.slips == (slip,)
    assert (second.want.id, second.recording.id) == (by_name, lamp)
    wants.close(store, want, "Liv", now)
    assert [arrival.want.id for arrival in demand.arrivals(store)] == [by_name]


def test_merging_keeps_every_asking(store, now, add):
    one, two = add("Tide", "Ann Oke", file=False), add("Tied", "Ann Oke", file=False)
    for number in (one, two, two):
        wants.add(store, "", "", number, "Kit", now)
    action = merging.merge(store, one, two, "Liv", now)
    (unmet,) = demand.asked_and_not_met(store, now)
    assert unmet.times == 3 and len(wants.asks(store, unmet.want_ids)) == 3
    undo.take_back(store, action, "Liv", now)
    assert sorted(w.times for w in wants.all_wants(store)) == [1, 2]


def test_nobody_is_named_by_an_asking(store, now):
    """Numbers of slips and places on the station's list, and nothing else."""
    (row,) = store.rows("SELECT group_concat(name) AS names FROM pragma_table_info('want_asks')")
    assert row["names"] == "id,want_id,slip_id,place_id,at"


@pytest.mark.parametrize("days", [0, 90, 180])
def test_an_asking_halves_each_season(now, days):
    assert demand.priority([(now - timedelta(days)).isoformat()], now) == 0.5 ** (days / 90)


def test_many_wants_are_looked_up_as_one_by_one(store, now, add):
    """With and without an artist, another artist's song, held twice, and held by nobody."""
    held = ("Far Tide", "Ann Oke"), ("Far Tide", "Bo Quay"), ("My Lamp", "Bo Quay")
    for title, artist in held:
        add(title, artist)
    add("Not Here", "Ann Oke", file=False)
    asked = [("Far Tide", ""), ("Far Tide (live)", "Bo Quay"), ("My Lamp", "Ann Oke"),
             ("Not Here", ""), ("", "Ann Oke"), ("MY LAMP", "bo quay")]  # fmt: skip
    for title, artist in asked:
        wants.add(store, title, artist, None, "Kit", now)
    every = wants.all_wants(store)
    together = demand._held_by_name(store, every)
    assert together == {n: one[n] for w in every for n in [w.id]
                        if (one := demand._held_by_name(store, [w]))}  # fmt: skip
    assert {w.title: together.get(w.id) for w in every} == {
        "Far Tide": 1, "Far Tide (live)": 2, "My Lamp": None, "Not Here": None, "": None,
        "MY LAMP": 3,
    }  # fmt: skip


def test_what_is_kept_of_names_is_asked_anew_when_one_changes(store, now):
    wants.add(store, "The Far Tide", "Ann Oke", None, "Kit", now)
    assert [u.times for u in demand.asked_and_not_met(store, now)] == [1]
    wants.add(store, "Far Tide", "Anne Oke", None, "Kit", now)
    assert [u.times for u in demand.asked_and_not_met(store, now)] == [2]
    wants.add(store, "Other", "Somebody", None, "Kit", now)
    assert [u.times for u in demand.asked_and_not_met(store, now)] == [2, 1]
