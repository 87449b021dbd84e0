"""Stand-ins in the course of a call: what was said, refused, is too long or wants care."""

from datetime import timedelta

import pytest

from catalogue import play_log, programmes, stand_in_lessons, stand_ins, worth
from catalogue import settings as station_settings
from catalogue.basis import Pace
from catalogue.catalogue_rows import recording
from catalogue.narrowing import Question
from catalogue.reasons import sentence
from catalogue.records import Voice
from catalogue.stand_ins import Basis, offer


@pytest.fixture
def asked(store, add):
    """The record asked for, known but not held."""
    known = {"year": 1961, "tempo": 120.0, "genre": "skiffle", "composer": "Cy Reed"}
    return recording(store, add("Harbour Light", "Ann Oke", file=False, **known))


def test_a_short_programme_puts_what_does_not_fit_last_and_says_so(store, now, add):
    long = add("Long", "Bo Quay", year=1960, length_s=250)
    short = add("Short", "Di Fenn", year=1966, length_s=150)
    basis = Basis(year=1960)
    assert [one.recording.id for one in offer(store, basis, now)] == [long, short]
    offers = offer(store, basis, now, seconds_left=180)
    assert [one.recording.id for one in offers] == [short, long]
    assert "it lasts 4:10, and 3:00 is left of the programme" in map(sentence, offers[1].reasons)
    ends = now + timedelta(minutes=3)
    programmes.add(store, "Evening", "", now - timedelta(hours=1), ends, "Liv", now)
    assert [one.recording.id for one in offer(store, basis, now)] == [short, long]


def test_strong_language_is_left_out_unless_the_station_plays_it(store, now, add):
    mild, strong = add("Tide", "Bo Quay"), add("F**k the Tide", "Di Fenn")
    flagged = add("Lamp", "Ed Wharf", version="Explicit")
    assert [one.recording.id for one in offer(store, Basis(), now)] == [mild]
    assert offer(store, Basis(), now, left_out=frozenset({mild})) == ()
    station_settings.put(store, "strong_language", "yes", "Liv", now)
    assert {one.recording.id for one in offer(store, Basis(), now)} == {mild, strong, flagged}


def test_a_warning_on_a_tender_occasion_moves_down_and_never_away(store, now, add):
    sad, mild = add("Dying Tide", "Bo Quay", year=1960), add("Tide", "Di Fenn", year=1966)

    def offered(occasion):
        return [o.recording.id for o in offer(store, Basis(year=1960, occasion=occasion), now)]

    assert offered("birthday") == [sad, mild]
    assert offered("get well") == [mild, sad]


def test_what_was_refused_before_comes_later_and_says_so(store, now, add, asked):
    one, two = add("One", "Bo Quay", year=1961), add("Two", "Di Fenn", year=1962)
    assert [o.recording.id for o in offer(store, Basis.of(asked), now)] == [one, two]
    for _ in range(3):
        stand_in_lessons.refuse(store, asked.id, one)
    offers = offer(store, Basis.of(asked), now)
    assert [o.recording.id for o in offers] == [two, one]
    assert "callers here refused it in place of that one, 3 times" in map(
        sentence, offers[1].reasons
    )
    stand_in_lessons.forget_all(store)
    assert [o.recording.id for o in offer(store, Basis.of(asked), now)] == [one, two]


def test_a_partner_is_offered_as_one_who_belongs_together(store, now, add):
    duet = recording(store, add("One", "Ann Oke & Bo Quay", file=False))
    partner = add("Two", "Bo Quay", year=1999)
    offers = {o.recording.id: o for o in offer(store, Basis.of(duet), now)}
    assert offers[partner].kind == "related artist"
    assert sentence(offers[partner].reasons[0]) == (
        "by Bo Quay, who sings with people of the one asked for"
    )


def test_what_a_caller_can_say_is_gone_by(store, now, add):
    """Slow, a woman, Welsh, a hymn: each alone brings the right one to the top."""
    for n in range(8):
        add(f"Plain {n}", f"Singer {n}", year=1970, tempo=130.0, genre="disco", language="English")
    known = {"year": 1970, "tempo": 70.0, "genre": "hymn", "language": "Welsh"}
    meant = add("Meant", "Ann Oke", voice="woman", **known)
    said = [
        Basis(pace=Pace.SLOW), Basis(voice=Voice.WOMAN), Basis(language="welsh"),
        Basis(genre="Hymn"), Basis(genre="gospel"), Basis(mood="gentle"),
        Basis(year=1971, pace=Pace.SLOW),
    ]  # fmt: skip
    for basis in said:
        assert offer(store, basis, now)[0].recording.id == meant, basis


def test_what_is_said_joins_what_is_known(asked):
    said = Basis(year=1970, pace=Pace.SLOW, genre="hymn", occasion="birthday")
    joined = Basis.of(asked).with_said(said)
    assert (joined.recording, joined.genre, joined.tempo) == (asked, "skiffle", 120.0)
    assert (joined.year, joined.pace, joined.occasion) == (1970, Pace.SLOW, "birthday")
    assert Basis.of(asked).with_said(Basis()) == Basis.of(asked)


def test_the_question_asked_next_is_about_what_is_ready(store, now, add):
    for n in range(4):
        add(f"Song {n}", f"Singer {n}", voice=("man", "woman")[n % 2])
    basis = Basis()
    asks = stand_ins.questions(stand_ins.ready_now(store, basis, now), basis)
    assert asks[0].question is Question.VOICE
    assert asks[0].gained == pytest.approx(1)


def test_a_part_worth_nothing_changes_the_list(store, now, add):
    """What the ablation of the benchmark does."""
    near, far = add("Near", "Bo Quay", year=1960), add("Far", "Di Fenn", year=1963)
    basis, without = Basis(year=1960), worth.shipped().without("years").without("feel")
    assert [o.recording.id for o in offer(store, basis, now)] == [near, far]
    assert {o.recording.id for o in offer(store, basis, now, worth=without)} == {near, far}
    first = stand_ins.ready_now(store, basis, now, worth=without)
    assert first[0].relevance == first[1].relevance == 0


def test_what_was_asked_for_outright_leads_and_what_is_popular_does_not(store, now, add):
    for n in range(6):
        hit = add(f"Hit {n}", f"Star {n}", year=1999, tempo=130.0, genre="pop")
        for times in range(5):
            at = now - timedelta(days=3, minutes=times)
            play_log.record(store, hit, None, "", None, "Ada", at)
    both = [
        add(f"Both {n}", f"Choir {n}", genre="hymn", language="Welsh", tempo=70.0) for n in range(2)
    ]
    hymns = [add(f"Hymn {n}", f"Band {n}", genre="hymn", tempo=70.0) for n in range(4)]
    offers = [o.recording.id for o in offer(store, Basis(genre="hymn", language="Welsh"), now)]
    assert set(offers[:2]) == set(both)
    assert set(offers[2:]) <= set(hymns)


def test_a_title_says_its_sort_itself(store, now, add):
    meant = add("Quay Street Waltz", "Bo Quay", genre="pop")
    for n in range(60):
        add(f"Pop {n}", f"Singer {n}", genre="pop", year=1960 + n % 20)
    ready = stand_ins.ready_now(store, Basis(genre="waltz"), now, kindred=frozenset({meant}))
    assert ready[0].recording.id == meant
    assert "the same kind of music, waltz" in map(sentence, ready[0].reasons)


def test_anything_by_an_artist_is_mostly_by_that_artist(store, now, add):
    own = [add(f"Song {n}", "Ann Oke", year=1950 + 3 * n) for n in range(9)]
    for n in range(20):
        add(f"Other {n}", f"Singer {n}", year=1960)
    artist = recording(store, own[0]).artist_id
    offers = [o.recording.id for o in offer(store, Basis(artist_id=artist), now)]
    assert len(set(offers) & set(own)) >= 4


def test_a_jingle_is_no_record(store, now, add):
    jingle, tune = add("One", "Bo Quay", year=1960, length_s=9), add("Two", "Di Fenn", year=1964)
    offers = offer(store, Basis(year=1960), now)
    assert [o.recording.id for o in offers] == [tune, jingle]
    assert "it lasts only 0:09" in map(sentence, offers[1].reasons)
