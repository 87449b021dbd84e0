"""Where stand-ins come from."""

from catalogue import undo
from catalogue.basis import Basis
from catalogue.catalogue_rows import change_holding, holdings_of
from catalogue.stand_in_sources import any_held, gather


def test_only_recordings_with_a_copy_are_gathered(store, now, add):
    held = add("Tide", "Ann Oke", year=1960)
    lost = add("Lamp", "Ann Oke", year=1960)
    add("Known only", "Ann Oke", file=False, year=1960)
    with undo.action(store, "Liv", "looked", now):
        change_holding(store, holdings_of(store, [lost])[lost][0].id, missing=1)
    assert gather(store, Basis(artist_id=1, year=1960)).every() == {held}


def test_the_nearest_tempos_of_a_crowded_year_are_among_them(store, now, add):
    with undo.action(store, "Liv", "many", now):
        ids = {n: add(f"Song {n}", f"Singer {n}", year=1960, tempo=60.0 + n) for n in range(120)}
    assert {ids[39], ids[40]} <= gather(store, Basis(year=1960, tempo=100.0)).every()


def test_half_and_double_of_the_tempo_are_among_them(store, add):
    for n in range(60):
        add(f"Song {n}", f"Singer {n}", year=1960, tempo=90.0 + n / 10)
    half = add("Half", "Bo Quay", year=1960, tempo=50.5)
    double = add("Double", "Di Fenn", year=1961, tempo=199.0)
    assert {half, double} <= gather(store, Basis(year=1960, tempo=100.0)).every()


def test_the_genre_is_preferred_within_a_year(store, add):
    for n in range(20):
        add(f"Song {n}", f"Singer {n}", year=1960, tempo=100.0 + n, genre="pop")
    jazz = add("Jazz", "Di Fenn", year=1960, tempo=125.0, genre="Jazz")
    assert jazz in gather(store, Basis(year=1960, tempo=100.0, genre="jazz")).every()


def test_any_held_goes_through_all_of_them_once(store, now, add):
    with undo.action(store, "Liv", "many", now):
        ids = [add(f"Song {n}", "Ann Oke", disc="C 1") for n in range(410)]
    add("Known only", "Ann Oke", file=False)
    batches = list(any_held(store))
    assert [one for batch in batches for one in batch] == ids
    assert len(batches) > 1


def test_an_empty_store_gives_nothing(store):
    assert gather(store, Basis()).every() == set()
    assert list(any_held(store)) == []
