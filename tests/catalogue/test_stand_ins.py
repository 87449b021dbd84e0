"""Stand-ins: what a good librarian would offer, always ready, always with the reason."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue import (
    availability,
    feel,
    loans,
    play_log,
    stand_ins,
    undo,
    worth,
)
from catalogue import request_slips as slips
from catalogue.catalogue_rows import holdings_of, recording
from catalogue.feel import Facts
from catalogue.reasons import ReasonKind, sentence
from catalogue.records import Readiness
from catalogue.stand_in_sources import records_of
from catalogue.stand_ins import Basis, offer


def played(store, recording_id, times, now, days=3):
    for n in range(times):
        at = now - timedelta(days=days, minutes=n)
        play_log.record(store, recording_id, None, "", None, "Ada", at)


@pytest.fixture
def asked(store, add):
    """The record asked for, known but not held."""
    known = {"year": 1961, "tempo": 120.0, "genre": "skiffle", "composer": "Cy Reed"}
    return recording(store, add("Harbour Light", "Ann Oke", file=False, **known))


@pytest.fixture
def cast(store, now, add, asked):
    """One good stand-in of each kind, and some that have nothing in common."""
    found = {
        "same song": add("Harbour Light", "Bo Quay", composer="Cy Reed", year=1999),
        "same artist": add("Slack Water", "Ann Oke", year=1985),
        "same writer": add("Marsh Road", "Di Fenn", composer="Cy Reed", year=1940),
        "same years": add("Lamp", "Ed Wharf", year=1962, tempo=122.0),
        "same feel": add("Quick Step", "Fay Weir", year=2001, genre="Skiffle"),
        "asked for here": add("Tern", "Gus Lode", year=1977),
    }
    played(store, found["asked for here"], 4, now)
    for n in range(30):
        add(f"Other {n}", f"Singer {n}", year=1910 + n)
    return found


def test_the_feel_of_an_artist_is_that_of_all_their_records(store, add):
    """As near as the mean of the guesses; of an artist whose last record went just now, nothing."""
    shipped = worth.shipped()
    first = recording(store, add("Harbour Light", "Ann Oke", year=1961, tempo=120.0))
    add("Slack Water", "Ann Oke", year=1999, tempo=70.0)
    other = recording(store, add("Marsh Road", "Bo Quay and Friends", year=1975, tempo=95.0))
    gone = replace(other, artist_id=10**6)
    asked = shipped.feel_model.guess([Facts(1980, 100.0, 180.0, "Lamp", "Di Fenn")]).mean(axis=0)
    near = stand_ins._feels(store, {1: first, 2: other, 3: gone}, asked, shipped)

    guesses = [
        shipped.feel_model.guess(records_of(store, [one.artist_id])[one.artist_id]).mean(axis=0)
        for one in (first, other)
    ]
    assert [near[1], near[2]] == pytest.approx(feel.alike(asked, np.array(guesses)))
    assert near[1] != pytest.approx(near[2])
    assert near[3] == 0.0


def test_one_of_each_kind_nearest_first_with_its_reason(store, now, asked, cast):
    offers = offer(store, Basis.of(asked), now, limit=6)
    assert {one.kind: one.recording.id for one in offers} == cast
    assert offers[0].kind == "same song"
    said = {one.kind: [sentence(reason) for reason in one.reasons] for one in offers}
    assert said["same song"][0] == "the same song, “Harbour Light”, by somebody else"
    assert said["same artist"] == ["also by Ann Oke"]
    assert said["same writer"] == ["also written by Cy Reed"]
    assert said["same years"] == [
        "from about the same time, 1962",
        "about as quick, 122 beats a minute",
    ]
    assert said["same feel"] == ["the same kind of music, Skiffle"]
    assert said["asked for here"] == ["our callers ask for it often"]


def test_only_what_is_ready(store, now, asked, cast, add):
    on_disc = add("Harbour Light", "Hal Roach", composer="Cy Reed", file=False, disc="C 1")
    taken = slips.start(store, "request", "Kit", now)
    slips.choose(store, taken, cast["same writer"], None, "Kit", now)
    play_log.record(store, cast["same song"], None, "", None, "Ada", now - timedelta(hours=2))
    loans.lend(store, holdings_of(store, [on_disc])[on_disc][0].disc_id, "Ned", None, "Liv", now)
    offers = offer(store, Basis.of(asked), now, limit=10)
    ids = {one.recording.id for one in offers}
    assert ids.isdisjoint({on_disc, cast["same writer"], cast["same song"], asked.id})
    assert all(one.available.readiness is Readiness.READY for one in offers)
    again = {
        one.recording.id for one in offer(store, Basis.of(asked), now, limit=10, slip_id=taken)
    }
    assert cast["same writer"] in again


def test_a_song_of_one_name_may_be_another_song(store, now, add):
    """A long title without writers is taken for the song, with a caution; two writers settle it."""
    title = "The Lantern at the Water Gate"
    unknown = recording(store, add(title, "Ann Oke", file=False))
    written = recording(store, add(title, "Ann Oke", file=False, composer="Cy Reed"))
    blank = add(title, "Bo Quay")
    theirs = add(f"{title} (Live)", "Di Fenn", composer="Someone Else")

    def reasons(basis):
        return {
            one.recording.id: [r.kind for r in one.reasons]
            for out in ([theirs], [blank])
            for one in offer(store, basis, now, left_out=frozenset(out))
            if one.kind == "same song"
        }

    # No composer: the other without one, and one with, may both be the same song.
    assert reasons(Basis.of(unknown)) == {
        blank: [ReasonKind.SAME_SONG_TITLE], theirs: [ReasonKind.SAME_SONG_TITLE],
    }  # fmt: skip
    # Two known composers are two songs.
    assert reasons(Basis.of(written)) == {blank: [ReasonKind.SAME_SONG_TITLE]}


def test_a_title_that_many_songs_share_is_not_called_the_same_song(store, now, add):
    """One word, two artists, no writers: the caution is said, the kind is not claimed."""
    asked = recording(store, add("Love", "Ann Oke", file=False))
    add("Love", "Bo Quay")
    (one,) = offer(store, Basis.of(asked), now)
    assert one.kind == "on our shelves"
    assert [reason.kind for reason in one.reasons] == [ReasonKind.SAME_SONG_TITLE]


def test_their_own_other_recording_is_not_said_to_be_by_somebody_else(store, now, add, asked):
    live = add("Harbour Light (Live)", "Ann Oke", composer="Cy Reed", version="live")
    (one,) = offer(store, Basis.of(asked), now)
    assert (one.recording.id, one.kind) == (live, "same song")
    kinds = [reason.kind for reason in one.reasons]
    assert ReasonKind.SAME_SONG not in kinds
    assert kinds[:2] == [ReasonKind.VERSION_AGREES, ReasonKind.BY_SAME_ARTIST]


def test_not_two_of_one_song_and_not_three_of_one_artist(store, now, add, asked):
    for n in range(6):
        add("Harbour Light", f"Cover {n}", composer="Cy Reed")
        add(f"Song {n}", "Ann Oke", year=1961)
    for n in range(4):
        add(f"Thing {n}", f"Singer {n}", year=1961)
    offers = offer(store, Basis.of(asked), now, limit=8)
    titles = [one.recording.title for one in offers]
    assert titles.count("Harbour Light") == 1
    assert [one.recording.artist for one in offers].count("Ann Oke") == 2
    assert len(titles) == len(set(titles)) == 7


def test_a_nearer_year_is_offered_first(store, now, add):
    far, near = add("Far", "Bo Quay", year=1966), add("Near", "Di Fenn", year=1961)
    offers = offer(store, Basis(year=1960), now)
    assert [one.recording.id for one in offers] == [near, far]


def test_relevance_leads_and_variety_follows(store, now, add):
    """The nearer of two is taken although the farther one is more unlike the first."""
    first = add("First", "Bo Quay", year=1961, genre="folk", language="Welsh")
    near = add("Near", "Di Fenn", year=1962, genre="folk")
    add("Far", "Ed Wharf", year=1967)
    basis = Basis(year=1961, genre="folk", language="welsh")
    assert [one.recording.id for one in offer(store, basis, now, limit=2)] == [first, near]


def test_once_is_not_often(store, now, add):
    once = add("Once", "Bo Quay")
    played(store, once, 1, now)
    (one,) = offer(store, Basis(), now)
    assert (one.recording.id, one.kind, one.reasons) == (once, "on our shelves", ())


def test_half_the_tempo_counts_but_its_figure_is_not_said(store, now, add):
    half = add("Half", "Bo Quay", tempo=60.5)
    (one,) = offer(store, Basis(tempo=120.0), now)
    assert (one.recording.id, one.kind, one.reasons) == (half, "same feel", ())


def test_you_choose_is_what_is_asked_for_varied_in_years(store, now, add):
    for n in range(12):
        played(store, add(f"Hit {n}", f"Singer {n}", year=1965), 3, now)
    old = add("Old Hit", "Di Fenn", year=1932)
    played(store, old, 2, now)
    offers = offer(store, Basis(), now)
    assert len(offers) == 5
    assert {one.kind for one in offers} == {"asked for here"}
    assert old in {one.recording.id for one in offers}


def test_on_the_first_day_something_is_offered(store, now, add):
    only = add("Only", "Ann Oke")
    (one,) = offer(store, Basis(), now)
    assert (one.recording.id, one.kind, one.reasons) == (only, "on our shelves", ())


def test_empty_only_when_nothing_is_ready(store, now, add):
    """Hundreds of copies out on loan, and one file in between: it is found."""
    assert offer(store, Basis(), now) == ()
    with undo.action(store, "Liv", "many", now):
        lent = [add(f"Lent {n}", "Ann Oke", file=False, disc="C 1") for n in range(437)]
    loans.lend(store, holdings_of(store, lent)[lent[0]][0].disc_id, "Ned", None, "Liv", now)
    assert offer(store, Basis(year=1960), now) == ()
    only = add("Here", "Bo Quay")
    with undo.action(store, "Liv", "more", now):
        for n in range(150):
            add(f"More {n}", "Ann Oke", file=False, disc="C 1")
    assert [one.recording.id for one in offer(store, Basis(), now)] == [only]
    assert offer(store, Basis(), now, left_out=frozenset({only})) == ()


def test_an_artist_just_heard_is_not_offered_unless_nobody_else_is_there(store, now, add, asked):
    first, second = add("One", "Ann Oke"), add("Two", "Ann Oke")
    play_log.record(store, first, None, "", None, "Ada", now - timedelta(minutes=30))
    assert [one.recording.id for one in offer(store, Basis.of(asked), now)] == [second]
    other = add("Three", "Bo Quay")
    assert [one.recording.id for one in offer(store, Basis.of(asked), now)] == [other]
    later = now + timedelta(hours=1)
    assert second in [one.recording.id for one in offer(store, Basis.of(asked), later)]


def test_nobody_in_particular_is_not_an_artist(store, now, add):
    one = recording(store, add("One", "Various Artists", file=False))
    add("Two", "Various Artists")
    (found,) = offer(store, Basis.of(one), now)
    assert found.kind == "on our shelves"


def test_traditional_is_not_a_writer(store, now, add):
    one = recording(store, add("One", "Ann Oke", file=False, composer="Trad."))
    add("Two", "Bo Quay", composer="Trad.")
    (found,) = offer(store, Basis.of(one), now)
    assert found.kind == "on our shelves"


def test_a_title_is_warned_about_and_still_offered(store, now, add, asked):
    add("The Day I Die", "Ann Oke")
    (one,) = offer(store, Basis.of(asked, "get well"), now)
    assert sentence(one.reasons[-1]) == "take care: “die” is in the title"


def test_what_others_took_in_its_place_and_for_the_occasion(store, now, add, asked):
    taken, plain = add("Taken", "Bo Quay", year=1961), add("Plain", "Di Fenn", year=1961)
    slip = slips.start(store, "request", "Kit", now - timedelta(days=9))
    slips.set_occasion(store, slip, "birthday", "Kit", now)
    slips.choose(store, slip, taken, None, "Kit", now, stand_in_for=asked.id)
    slips.hand_over(store, slip, "Studio 1", "Kit", now)
    slips.played(store, slip, "Ada", now - timedelta(days=9))
    offers = offer(store, Basis.of(asked, "birthday"), now)
    assert [one.recording.id for one in offers] == [taken, plain]
    assert ReasonKind.SUITS_OCCASION in [reason.kind for reason in offers[0].reasons]
    assert ReasonKind.SUITS_OCCASION not in [reason.kind for reason in offers[1].reasons]


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    year=st.none() | st.integers(-5, 3000),
    tempo=st.none() | st.floats(0, 1000, allow_nan=False),
    genre=st.text(max_size=5),
    limit=st.integers(0, 7),
    out=st.frozensets(st.integers(1, 40)),
)
def test_any_basis_gives_a_sound_list(store, now, add, asked, cast, year, tempo, genre, limit, out):
    offers = offer(
        store, Basis(year=year, tempo=tempo, genre=genre), now, limit=limit, left_out=out
    )
    ids = [one.recording.id for one in offers]
    assert len(ids) == len(set(ids)) <= limit
    assert out.isdisjoint(ids)
    assert all(one.kind in stand_ins.KINDS for one in offers)
    ready = availability.of(store, ids, now)
    assert all(ready[i][0].readiness is Readiness.READY for i in ids)
    held = set(cast.values()) - out
    assert bool(offers) or not limit or not held
