"""Pairs that may be one, and what a librarian says of them."""

import pytest

from catalogue import duplicates, undo
from catalogue.duplicates import Verdict
from catalogue.errors import BadInput, NotFound


def test_equal_artist_and_title_are_a_pair_with_what_agrees_and_differs(store, add):
    one = add("Tide", "Ann Oke", year=1961, length_s=181.0)
    two = add("TIDE!", "ann oke", year=1961, length_s=183.5, album="Best")
    add("Tide", "Bo Quay")
    add("Lamp", "Ann Oke")
    (pair,) = duplicates.likely_pairs(store)
    assert (pair.a.id, pair.b.id) == (one, two)
    assert pair.agrees == ("artist", "title", "length", "year")
    assert pair.differs == ()


def test_a_version_is_a_difference_and_comes_later(store, add):
    one = add("Tide", "Ann Oke", composer="Cy Reed", year=1960)
    live = add("Tide (Live at the Quay)", "Ann Oke", composer="Cy Reed", year=1971)
    same = add("Tide", "Ann Oke")
    pairs = duplicates.likely_pairs(store)
    assert [(p.a.id, p.b.id) for p in pairs] == [(one, same), (live, same), (one, live)]
    assert pairs[2].differs == ("version", "year")
    assert len(duplicates.likely_pairs(store, limit=1)) == 1


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
