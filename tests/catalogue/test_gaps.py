"""What the collection lacks."""

from catalogue import gaps, request_slips, settings, undo, wants
from catalogue.catalogue_rows import (
    add_holding,
    add_recording,
    change_holding,
    holdings_of,
    shelve_disc,
)
from catalogue.gaps import Action
from catalogue.records import Carrier, Condition, NewDisc, NewHolding, NewRecording


def test_fields_are_counted_over_what_is_held(store, add):
    add("Tide", "Ann Oke", year=1961)
    bare = add("Lamp", "Bo Quay")
    add("Known only", "Cy Reed", file=False)
    counts = {field.name: (field.missing, field.of) for field in gaps.missing_fields(store)}
    assert counts["year"] == (1, 2)
    assert counts["tempo"] == (2, 2)
    assert [recording.id for recording in gaps.lacking(store, "year")] == [bare]


def test_an_empty_store_lacks_nothing(store):
    assert {(f.missing, f.of) for f in gaps.missing_fields(store)} == {(0, 0)}
    assert gaps.unplayable(store) == []


def test_unplayable_is_when_no_copy_plays(store, now, add):
    lost, both = add("Lost", "Ann Oke"), add("Both", "Ann Oke", disc="C 1")
    broken = add("Broken", "Ann Oke", file=False, disc="C 2", condition=Condition.DAMAGED)
    add("Known only", "Cy Reed", file=False)
    with undo.action(store, "Liv", "looked", now):
        for recording in (lost, both):
            change_holding(store, holdings_of(store, [recording])[recording][0].id, missing=1)
    assert [recording.id for recording in gaps.unplayable(store)] == [lost, broken]


def test_albums_with_tracks_missing(store, now):
    with undo.action(store, "Liv", "filed", now):
        disc = shelve_disc(store, NewDisc(Carrier.LP, "C 7", title="Quay Songs"))
        for track in ("1", "2", "5/6", "A4"):
            number = add_recording(store, NewRecording(f"Song {track}", "Ann Oke"))
            add_holding(store, NewHolding(number, disc_id=disc, side="1", track=track))
        for track in (1, 9):
            number = add_recording(store, NewRecording(f"File {track}", "Bo Quay", album="Far"))
            add_holding(store, NewHolding(number, path=f"/{track}", track=str(track)))
    (found,) = gaps.albums_with_tracks_missing(store)
    assert (found.album, found.shelf_mark, found.side) == ("Quay Songs", "C 7", "1")
    assert (found.missing, found.held, found.action) == ((3,), 4, Action.LOOK)


def test_lost_copies_and_what_to_do(store, now, add):
    both = add("Both", "Ann Oke", disc="C 1")
    add("Broken", "Ann Oke", file=False, disc="C 2", condition=Condition.DAMAGED)
    with undo.action(store, "Liv", "looked", now):
        change_holding(store, holdings_of(store, [both])[both][0].id, missing=1)
    found = [(c.what, c.where, c.only_copy_of, c.action) for c in gaps.lost_copies(store)]
    assert gaps.count_lost(store) == len(found)
    assert found == [
        ("disc damaged", "LP C 2", 1, Action.MEND),
        ("file gone", f"/music/{both}.ogg", 0, Action.LOOK),
    ]


def test_only_on_what_the_studio_cannot_play(store, now, add):
    add("Both", "Ann Oke", disc="C 1")
    lp = add("Record", "Ann Oke", file=False, disc="C 2")
    assert gaps.only_on_what_we_cannot_play(store) == []
    settings.put(store, "carriers_played", "file\nCD", "Liv", now)
    assert [r.id for r in gaps.only_on_what_we_cannot_play(store)] == [lp]


def test_more_asked_than_held(store, now, add):
    old = add("Old", "Ann Oke", year=1952, genre="Waltz")
    known = add("Older", "Ann Oke", year=1955, genre="waltz", file=False)
    for year in range(1970, 1979):
        add(f"Song {year}", "Bo Quay", year=year, genre="pop")
    assert gaps.more_asked_than_held(store) == []
    for number in (old, old, known):
        slip = request_slips.start(store, "request", "Kit", now)
        request_slips.choose(store, slip, old, None, "Kit", now, stand_in_for=number)
    wants.add(store, "", "", known, "Kit", now)
    found = [(m.what, m.name, m.asked, m.asked_share, m.held_share)
             for m in gaps.more_asked_than_held(store)]  # fmt: skip
    assert found == [("decade", "1950s", 4, 1.0, 0.1), ("kind", "waltz", 4, 1.0, 0.1)]
