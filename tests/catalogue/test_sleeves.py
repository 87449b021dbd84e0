"""What a sleeve in the hand is to us: held in which state, wanted, or not held."""

from __future__ import annotations

from datetime import datetime

import pytest

from catalogue import demand, undo, wants
from catalogue.catalogue_rows import add_holding, add_recording, change_disc, shelve_disc
from catalogue.disc_names import DiscNames
from catalogue.records import Carrier, Condition, NewDisc, NewHolding, NewRecording
from catalogue.sleeves import Look, Sleeve, Standing, look
from catalogue.store import Store

GOOD, WORN, UNKNOWN = Condition.GOOD, Condition.WORN, Condition.UNKNOWN


def _disc(store: Store, now: datetime, condition: Condition, title: str = "Harbour Songs") -> int:
    with undo.action(store, "Test", "a disc", now):
        disc = shelve_disc(store, NewDisc(Carrier.LP, "C 1", title, condition=condition))
        for number, song in enumerate(("Lantern on the Quay", "Low Water"), 1):
            new = NewRecording(song, "Marsha Herron", album=title)
            add_holding(
                store, NewHolding(add_recording(store, new), disc_id=disc, track=str(number))
            )
    return disc


def _look(store: Store, now: datetime, sleeve: Sleeve, meant: int | None = None) -> Look:
    unmet = demand.asked_and_not_met(store, now)
    return look(store, DiscNames(), sleeve, unmet, lambda _title, _artist: meant)


def _harbour(condition: Condition = GOOD, **more: object) -> Sleeve:
    given = {"title": "Harber Songs", "artist": "Marsha Heron", "carrier": Carrier.LP}
    return Sleeve(**{**given, "condition": condition, **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ours", "theirs", "standing", "keep"),
    [
        (GOOD, WORN, Standing.OURS_BETTER, False),
        (GOOD, GOOD, Standing.OURS_SAME, False),
        (WORN, GOOD, Standing.OURS_WORSE, True),
        (Condition.DAMAGED, Condition.SCRATCHED, Standing.OURS_WORSE, True),
        (UNKNOWN, GOOD, Standing.OURS_UNKNOWN, False),
        (GOOD, UNKNOWN, Standing.OURS_UNKNOWN, False),
    ],
)
def test_held_in_better_or_worse_state(
    store: Store, now: datetime, ours: Condition, theirs: Condition, standing: Standing, keep: bool
) -> None:
    disc = _disc(store, now, ours)
    found = _look(store, now, _harbour(theirs))
    assert (found.standing, found.worth_keeping) == (standing, keep)
    assert [one.id for one in found.discs] == [disc]
    assert [one.tracks for one in found.known] == [2]


def test_a_disc_that_is_missing_is_not_held(store: Store, now: datetime) -> None:
    disc = _disc(store, now, GOOD)
    with undo.action(store, "Test", "missing", now):
        change_disc(store, disc, missing=1)
    found = _look(store, now, _harbour())
    assert (found.standing, found.worth_keeping) == (Standing.GONE, True)


def test_the_number_tells_it_whatever_is_written(store: Store, now: datetime) -> None:
    disc = _disc(store, now, GOOD)
    with undo.action(store, "Test", "number", now):
        change_disc(store, disc, number="SAL 1001")
    found = _look(store, now, _harbour(title="", artist="", number="sal1001"))
    assert [one.id for one in found.discs] == [disc]


def test_wanted_how_often_whatever_its_spelling(store: Store, now: datetime) -> None:
    for _ in range(4):
        wants.add(store, "Ferry to Samphire", "Bo Quay", None, "Test", now)
    found = _look(store, now, _harbour(title="The Fery to Samfire", artist="Bo Quay"))
    assert (found.standing, [one.times for one in found.wanted]) == (Standing.WANTED, [4])
    assert found.worth_keeping


def test_wanted_for_a_track_and_perhaps_by_the_same_artist(store: Store, now: datetime) -> None:
    wants.add(store, "Low Lamp", "Bo Quay", None, "Test", now)
    wants.add(store, "Far Tide", "Bo Key", None, "Test", now)
    wants.add(store, "Far Away", "Ann Oke", None, "Test", now)
    found = _look(
        store, now, _harbour(title="Best of", artist="Bo Quay", tracks=(("Low Lamp", ""),))
    )
    assert [(one.title, one.on_disc) for one in found.wanted] == [("Low Lamp", "Low Lamp")]
    assert [one.title for one in found.perhaps] == ["Far Tide"]


def test_a_song_held_elsewhere_is_told_and_a_single_of_it_is_held(
    store: Store, now: datetime
) -> None:
    disc = _disc(store, now, GOOD)
    (song,) = store.rows("SELECT id FROM recordings WHERE title = 'Low Water'")
    album = _look(store, now, _harbour(title="Low Water", artist="Marsha Herron"), song["id"])
    assert album.standing is Standing.NOT_HELD
    assert album.song is not None and album.song[1].disc_id == disc
    single = _harbour(title="Low Water", artist="Marsha Herron", carrier=Carrier.SINGLE_45)
    found = _look(store, now, single, song["id"])
    assert (found.standing, found.song) == (Standing.OURS_SAME, None)


def test_what_the_matcher_takes_for_another_song_is_not_held(store: Store, now: datetime) -> None:
    _disc(store, now, GOOD)
    (song,) = store.rows("SELECT id FROM recordings WHERE title = 'Low Water'")
    single = _harbour(title="Thunder", artist="Bo Quay", carrier=Carrier.SINGLE_45)
    assert _look(store, now, single, song["id"]).standing is Standing.NOT_HELD
