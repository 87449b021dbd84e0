"""What went out, and how it is counted."""

from datetime import timedelta

import pytest

from catalogue import play_log, undo
from catalogue.catalogue_rows import holdings_of
from catalogue.errors import BadInput, NotFound


def test_a_play_is_logged_with_its_copy(store, now, add):
    tide = add("Tide", "Ann Oke", file=False, disc="C 114")
    copy = holdings_of(store, [tide])[tide][0]
    play = play_log.record(store, tide, copy.id, "Studio 1", None, "Ada", now)
    assert play_log.get(store, play).at == "2026-11-25T19:30:00"
    (row,) = play_log.since(store, now)
    assert (row["title"], row["artist"], row["place"], row["side"], row["studio"]) == (
        "Tide", "Ann Oke", "C 114", "2", "Studio 1",
    )  # fmt: skip


def test_last_times_and_often(store, now, add):
    tide, lamp, never = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay"), add("Never", "Cy Reed")
    for hours, recording in ((3, tide), (2, lamp), (1, tide)):
        play_log.record(store, recording, None, "", None, "Ada", now - timedelta(hours=hours))
    asked = [tide, lamp, never, 999]
    assert play_log.last_played(store, asked) == {
        tide: "2026-11-25T18:30:00",
        lamp: "2026-11-25T17:30:00",
    }
    assert play_log.times_played(store, asked) == {tide: 2, lamp: 1}
    assert play_log.often_played(store, 2) == {tide: 1, lamp: 1}
    assert len(play_log.artists_since(store, now - timedelta(minutes=90))) == 1
    assert [r["title"] for r in play_log.since(store, now - timedelta(hours=2))] == ["Tide", "Lamp"]
    assert len(play_log.since(store, now - timedelta(hours=9), limit=1)) == 1


def test_bad_plays_are_refused_and_nothing_is_logged(store, now, add):
    tide, lamp = add("Tide", "Ann Oke"), add("Lamp", "Bo Quay")
    other = holdings_of(store, [lamp])[lamp][0]
    with pytest.raises(BadInput):
        play_log.record(store, tide, other.id, "", None, "Ada", now)
    with pytest.raises(NotFound):
        play_log.record(store, 999, None, "", None, "Ada", now)
    with pytest.raises(NotFound):
        play_log.get(store, 1)
    assert play_log.since(store, now - timedelta(days=1)) == []


def test_a_play_is_taken_back(store, now, add):
    tide = add("Tide", "Ann Oke")
    play_log.record(store, tide, None, "", None, "Ada", now)
    undo.take_back(store, undo.recent(store)[0].id, "Ada", now)
    assert play_log.times_played(store, [tide]) == {}
