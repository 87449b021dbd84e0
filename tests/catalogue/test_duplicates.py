"""Pairs that may be one, what is none, and what a librarian says of them."""

import pytest

from catalogue import disc_doubles, duplicate_search, duplicates, undo
from catalogue.catalogue_rows import add_holding, change_recording, shelve_disc
from catalogue.duplicates import Kind
from catalogue.errors import BadInput, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding
from catalogue.verdicts import Verdict


def _ids(pairs):
    return [(pair.a.id, pair.b.id) for pair in pairs]


def test_equal_artist_and_title_are_a_pair_with_what_agrees_and_differs(store, add):
    one = add("Tide", "Ann Oke", year=1961, length_s=181.0)
    two = add("TIDE!", "ann oke", year=1961, length_s=183.5, album="Best")
    add("Tide", "Bo Quay")
    add("Lamp", "Ann Oke")
    (pair,) = duplicates.likely_pairs(store)
    assert (pair.a.id, pair.b.id) == (one, two)
    assert pair.agrees == ("artist", "title", "length", "year")
    assert pair.differs == ()
    assert 0.9 < pair.likelihood < 1
    assert {claim.name for claim in pair.evidence} >= {"title", "artist", "length", "year"}
    assert duplicates.pair(store, two, one) == pair


TIDE = {"title": "The Far Tide", "artist": "Ann Oke", "year": 1961, "length_s": 181.0}

ONE_AND_THE_SAME = {
    "a slip of the pen": {"title": "The Far Tied"},
    "sounds the same": {"title": "The Phar Tide"},
    "letters changed places": {"title": "The Fra Tide", "artist": "Ann Oek"},
    "a track's number": {"title": "07 - The Far Tide"},
    "no article, all capitals": {"title": "FAR TIDE", "artist": "ANN OKE"},
    "name turned round": {"artist": "Oke, Ann"},
    "a guest": {"artist": "Ann Oke feat. Bo Quay"},
    "changed places": {"title": "Ann Oke", "artist": "The Far Tide"},
    "run together": {"title": "Ann Oke - The Far Tide", "artist": ""},
    "a new mastering": {"title": "The Far Tide (2009 Remaster)"},
    "no year": {"year": None},
    "a compilation years later": {"year": 1988, "album": "Best of the Sixties"},
}

NOT_ONE = {
    "live": {"title": "The Far Tide (Live at the Quay)", "length_s": 214.0},
    "a remix": {"title": "The Far Tide (Harbour Remix)", "length_s": 302.0},
    "an edit": {"title": "The Far Tide (Radio Edit)", "length_s": 150.0},
    "karaoke": {"title": "The Far Tide (Karaoke Version)"},
    "recorded again": {"year": 1979, "length_s": 205.0},
    "recorded again, and said so": {"title": "The Far Tide (Re-recorded)", "length_s": 190.0},
    "another song of the same title": {"artist": "Bo Quay", "length_s": 240.0, "year": 1974},
    "part two": {"title": "The Far Tide, Part 2", "length_s": 160.0},
    "another song": {"title": "The Near Lamp", "length_s": 181.0},
    "live in another language": {"title": "The Far Tide (En Vivo)", "length_s": 230.0},
}


@pytest.mark.parametrize("change", ONE_AND_THE_SAME.values(), ids=ONE_AND_THE_SAME)
def test_one_and_the_same(store, add, change):
    one, other = add(**TIDE), add(**(TIDE | change))
    assert _ids(duplicates.likely_pairs(store)) == [(one, other)]


MOVEMENTS = (
    ("A Book of Hours for the Marsh: Prime (The Float)", "A Book of Hours for the Marsh: Compline"),
    ("Violin Concerto in E flat: I. Allegro", "Violin Concerto in E flat: II. Largo (Fog)"),
    ("Estuary Symphony in D minor: I. Allegro maestoso", "Estuary Symphony in D minor: II. Adagio"),
)


@pytest.mark.parametrize(("one", "other"), MOVEMENTS)
def test_movements_of_one_work_are_not_one(store, add, one, other):
    """Neither title, nor album, nor players tell them apart: only the words that are left."""
    known = {"artist": "Marsh Players", "album": "At the Quay", "conductor": "Cy Reed"}
    slip = one.replace("for", "fro").replace("flat", "flta").replace("minor", "mnior")
    first, twin = add(one, **known), add(slip, **known)
    add(other, **known)
    assert _ids(duplicates.likely_pairs(store)) == [(first, twin)]


def test_places_on_an_album_are_compared_on_one_sort_of_carrier(store, now, add):
    ids = [add("The Far Tide", "Ann Oke", album="Quay Songs", file=False) for _ in range(3)]
    for number, carrier, side, track in zip(
        ids, (Carrier.CD, Carrier.CASSETTE, Carrier.CD), ("", "1", ""), ("6", "1", "7"), strict=True
    ):
        with undo.action(store, "Liv", "filed", now):
            disc = shelve_disc(store, NewDisc(carrier, f"X {number}"))
            add_holding(store, NewHolding(number, disc_id=disc, side=side, track=track))
    duplicate_search.search(store)
    told = {
        (a, b): {c.name: c.level for c in duplicates.pair(store, a, b).evidence}.get("position")
        for a, b in ((ids[0], ids[1]), (ids[0], ids[2]))
    }
    assert list(told.values()) == [None, "different"]


@pytest.mark.parametrize("change", NOT_ONE.values(), ids=NOT_ONE)
def test_not_one(store, add, change):
    add(**TIDE)
    add(**(TIDE | change))
    assert duplicates.likely_pairs(store) == []


def test_another_conductor_is_another_recording(store, add):
    work = {"title": "Lantern Suite", "artist": "Marsh Players", "composer": "Cy Reed"}
    add(**work, conductor="Liv Sand", length_s=600.0)
    add(**work, conductor="Ned Wharf", length_s=640.0)
    assert duplicates.likely_pairs(store) == []


def test_likeliest_come_first_and_no_more_than_asked(store, add):
    add("Tide", "Ann Oke", length_s=200.0)
    add("Tide", "Ann Oke")
    add("Lamp", "Bo Quay", length_s=200.0, year=1960)
    add("Lamp", "Bo Quay", length_s=200.0, year=1960)
    pairs = duplicates.likely_pairs(store)
    assert _ids(pairs) == [(3, 4), (1, 2)]
    assert pairs[0].likelihood > pairs[1].likelihood
    assert _ids(duplicates.likely_pairs(store, limit=1)) == [(3, 4)]


def test_an_unknown_artist_is_nobody(store, add):
    add("Untitled", "")
    add("Untitled", "")
    assert duplicates.likely_pairs(store) == []


def test_only_what_is_new_or_changed_is_compared(store, now, add):
    for number in range(30):
        add(f"{number} {'lantern' * (number % 3)} song", f"Singer {number}")
    first = duplicate_search.search(store)
    assert (first.new, duplicate_search.uncompared(store)) == (30, 0)
    assert duplicate_search.search(store).new == 0
    one, two = add("Tide", "Ann Oke"), add("Tied", "Ann Oke", length_s=100.0)
    assert duplicate_search.uncompared(store) == 2
    steps = []
    assert duplicate_search.search(store, lambda done, total: steps.append((done, total))).new == 2
    assert steps and steps[-1][0] == steps[-1][1]
    with undo.action(store, "Liv", "corrected", now):
        change_recording(store, two, title="Quite Another", artist="Somebody Else")
    assert duplicate_search.search(store).new == 1
    assert (one, two) not in _ids(duplicates.likely_pairs(store))
    again = duplicate_search.search(store, again=True)
    assert again.new == 32


# The four kinds


def test_the_same_file_twice(store, now, add):
    one, two = add("Tide", "Ann Oke", file=False), add("Tide", "Ann Oke", file=False)
    with undo.action(store, "Liv", "copied", now):
        files = [
            add_holding(store, NewHolding(number, path=f"/a/{number}.ogg", audio="abc"))
            for number in (one, two)
        ]
    (pair,) = duplicates.likely_pairs(store)
    assert pair.kind is Kind.SAME_FILE
    assert duplicates.same_files(store) == [tuple(files)]


def test_two_spellings_and_two_copies(store, add):
    add("The Far Tide", "Ann Oke", length_s=180.0, disc="C 1")
    add("The Far Tied", "Ann Oke", length_s=180.0)
    assert [p.kind for p in duplicates.likely_pairs(store)] == [Kind.TWO_SPELLINGS]
    add("My Lamp", "Bo Quay", length_s=200.0, disc="C 2")
    add("My Lamp", "Bo Quay", length_s=200.0)
    assert {p.kind for p in duplicates.likely_pairs(store)} == {
        Kind.TWO_SPELLINGS,
        Kind.TWO_COPIES,
    }


def test_the_same_disc_shelved_twice(store, now, add):
    songs = ("Tide", "My Lamp", "Far Harbour Song")
    with undo.action(store, "Liv", "shelved", now):
        discs = [shelve_disc(store, NewDisc(Carrier.LP, mark)) for mark in ("C 1", "C 9")]
        other = shelve_disc(store, NewDisc(Carrier.LP, "C 5"))
    for disc in discs:
        for number, title in enumerate(songs):
            recording = add(title, "Ann Oke", file=False, length_s=100.0 + 40 * number)
            with undo.action(store, "Liv", "filed", now):
                add_holding(store, NewHolding(recording, disc_id=disc, side="1", track=str(number)))
    recording = add("Elsewhere", "Bo Quay", file=False)
    with undo.action(store, "Liv", "filed", now):
        add_holding(store, NewHolding(recording, disc_id=other, side="1", track="1"))
    assert {p.kind for p in duplicates.likely_pairs(store)} == {Kind.SAME_DISC}
    assert disc_doubles.same_discs(store) == [tuple(discs)]


def test_groups_hold_what_is_alike_and_not_what_was_judged_different(store, now, add):
    ids = [add("Tide", "Ann Oke", length_s=180.0, year=1961) for _ in range(3)]
    assert duplicates.groups(store) == [tuple(ids)]
    for other in ids[1:]:
        duplicates.judge(store, ids[0], other, "different", "Liv", now)
    assert duplicates.groups(store) == [tuple(ids[1:])]


# Judgements


def test_a_pair_is_asked_about_once(store, now, add):
    one, two = add("Tide", "Ann Oke"), add("Tide", "Ann Oke")
    first = duplicates.judge(store, two, one, "cannot tell", "Liv", now)
    assert duplicates.likely_pairs(store) == []
    assert duplicates.judge(store, one, two, Verdict.SAME, "Ned", now) == first
    said = duplicates.judgement(store, two, one)
    assert (said.verdict, said.signed_by) == (Verdict.SAME, "Ned")
    undo.take_back(store, undo.recent(store)[0].id, "Liv", now)
    assert duplicates.judgement(store, one, two).verdict is Verdict.CANNOT_TELL


def test_bad_judgements_are_refused(store, now, add):
    one = add("Tide", "Ann Oke")
    with pytest.raises(BadInput):
        duplicates.judge(store, one, one + 1, "maybe", "Liv", now)
    with pytest.raises(BadInput):
        duplicates.judge(store, one, one, "same", "Liv", now)
    with pytest.raises(NotFound):
        duplicates.judge(store, one, 99, "same", "Liv", now)
    assert duplicates.judgement(store, one, 99) is None
