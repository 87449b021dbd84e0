"""What is held of a sort or in a language, and others every day."""

from datetime import datetime

from catalogue import sorts_held
from catalogue.basis import Basis
from catalogue.stand_ins import offer


def test_the_sorts_and_languages_written_here(store, add):
    for genre, language in (("Hymn", "Welsh"), ("hymn", "English"), ("Jazz", ""), ("", "welsh")):
        add(f"{genre} {language}", "Ann Oke", genre=genre, language=language)
    assert sorts_held.sorts(store) == ["hymn", "jazz"]
    assert sorts_held.languages(store) == ["English", "Welsh"]


def test_a_rare_sort_is_found_among_many_without_a_year_or_a_tempo(store, now, add):
    for n in range(120):
        add(f"Plain {n}", f"Singer {n}", year=1950 + n % 40, tempo=80.0 + n, genre="pop")
    hymns = {add(f"Hymn {n}", f"Choir {n}", genre="Welsh hymns") for n in range(4)}
    offered = {one.recording.id for one in offer(store, Basis(genre="hymn"), now)}
    assert hymns <= offered
    add("Lullaby", "Di Fenn", genre="lullaby")
    first = offer(store, Basis(mood="gentle"), now)[0]
    assert first.recording.genre in ("lullaby", "Welsh hymns")


def test_what_only_shares_little_turns_with_the_day_and_not_in_the_evening(store, add):
    for n in range(300):
        add(f"Song {n}", f"Singer {n}", genre="pop", year=1960 + n % 30)

    def offered(day, hour):
        at = datetime(2026, 11, day, hour)
        return [one.recording.id for one in offer(store, Basis(), at)]

    evening = offered(25, 19)
    assert offered(25, 23) == offered(26, 2) == evening
    others = [set(offered(day, 19)) for day in range(10, 20)]
    assert len(set().union(*others)) > 25


def test_the_day_is_the_programmes(now):
    assert sorts_held.day_of(datetime(2026, 11, 26, 4, 59)) == sorts_held.day_of(
        datetime(2026, 11, 25, 5, 0)
    )
    shares = [sorts_held.turned(day) for day in range(1000)]
    assert all(0 <= share < 1 for share in shares)
    assert 450 < sum(share < 0.5 for share in shares) < 550
