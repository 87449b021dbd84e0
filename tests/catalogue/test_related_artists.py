"""Who belongs together: by their names, by a disc, by what callers took."""

from catalogue import request_slips as slips
from catalogue import undo
from catalogue.catalogue_rows import artist_id
from catalogue.related_artists import Tie, parts, related
from catalogue.stand_in_tables import STAND_INS


def ids(store, now, *names):
    with undo.action(store, "Liv", "named", now):
        return [artist_id(store, name) for name in names]


def test_members_and_duets_are_related_either_way(store, now):
    duet, one, other, band, reeds = ids(
        store, now, "Ann Oke & Bo Quay", "Ann Oke", "Bo Quay", "Ann Oke and the Reeds", "Reeds"
    )
    found = related(store, one, "Ann Oke")
    assert {duet, band} <= set(found)
    assert found[duet].tie is Tie.SINGS_WITH
    assert found[duet].closeness == 1
    assert found[other].closeness < 1
    assert set(related(store, duet, "Ann Oke & Bo Quay")) >= {one, other, band}
    assert band in related(store, reeds, "Reeds")
    assert one not in found


def test_guests_are_related(store, now):
    guest, main = ids(store, now, "Ann Oke feat. Bo Quay", "Bo Quay")
    assert main in related(store, guest, "Ann Oke feat. Bo Quay")


def test_words_of_a_list_are_nobody(store, now):
    """From memory: "Fire" does not sing in "Earth, Wind & Fire"."""
    band, word = ids(store, now, "Earth, Wind & Fire", "Fire")
    assert word not in related(store, band, "Earth, Wind & Fire")
    assert related(store, ids(store, now, "Various Artists")[0], "Various Artists") == {}


def test_those_on_one_disc_are_related_and_those_on_any_greatest_hits_are_not(store, now, add):
    add("One", "Ann Oke", file=False, disc="C 1", album="Greatest Hits")
    add("Two", "Bo Quay", file=False, disc="C 1")
    add("Three", "Di Fenn", album="Greatest Hits")
    add("Four", "Ed Wharf", album="Songs of the Marsh")
    ann, bo, di, ed = ids(store, now, "Ann Oke", "Bo Quay", "Di Fenn", "Ed Wharf")
    found = related(store, ann, "Ann Oke", "Greatest Hits")
    assert found[bo].tie is Tie.SHARED_ALBUM
    assert di not in found
    assert found.keys() == {bo}
    assert ed in related(store, ann, "Ann Oke", "Songs of the Marsh")


def test_those_taken_in_place_of_one_another_are_related(store, now, add):
    asked, taken = add("One", "Ann Oke"), add("Two", "Bo Quay")
    slip = slips.start(store, "request", "Kit", now)
    slips.choose(store, slip, taken, None, "Kit", now, stand_in_for=asked)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now)
    ann, bo = ids(store, now, "Ann Oke", "Bo Quay")
    assert related(store, ann, "Ann Oke")[bo].tie is Tie.SWAPPED_HERE
    assert related(store, bo, "Bo Quay")[ann].tie is Tie.SWAPPED_HERE


def test_an_artist_renamed_or_taken_back_leaves_no_parts_behind(store, now):
    with undo.action(store, "Liv", "named", now) as action:
        artist_id(store, "Ann Oke & Bo Quay")
    assert store.rows("SELECT part FROM artist_parts ORDER BY part") == [
        {"part": "ann oke"},
        {"part": "bo quay"},
    ]
    undo.take_back(store, action, "Liv", now)
    assert store.rows("SELECT part FROM artist_parts") == []


def test_artists_of_a_station_that_was_there_before_get_their_parts(store, now):
    """The migration files them by the same SQL as the trigger."""
    ids(store, now, "Ann Oke & Bo Quay", "Di Fenn")
    before = store.rows("SELECT * FROM artist_parts ORDER BY part")
    store.db.execute("DELETE FROM artist_parts")
    filing = next(s for s in STAND_INS if s.startswith("INSERT"))
    store.db.execute(filing)
    assert store.rows("SELECT * FROM artist_parts ORDER BY part") == before != []


def test_names_are_parted_at_their_joints():
    assert parts("Ann Oke & The Reeds ft. Bo Quay") == ("ann oke", "the reeds", "bo quay")
    assert parts("&") == ("and",)
