"""Looking on the shelf: what is to be looked for, and what somebody saw."""

from __future__ import annotations

import pytest

from catalogue import catalogue_rows as rows
from catalogue import gaps, merging, missing_copies, shelf_errands, shelf_looks, undo
from catalogue.errors import NotFound
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.shelf_looks import Seen


@pytest.fixture
def shelf(store, now):
    """Three discs: C 2 is missing, of C 10 track 2 is not in the list, B 1 is as it should be."""
    discs = []
    with undo.action(store, "Liv", "shelved", now):
        for mark in ("C 10", "C 2", "B 1"):
            discs.append(rows.shelve_disc(store, NewDisc(Carrier.LP, mark, title=f"On {mark}")))
            for track in ("1", "2", "3", "4"):
                if (mark, track) == ("C 10", "2"):
                    continue
                number = rows.add_recording(store, NewRecording(f"{mark} {track}", "Ann Oke"))
                holding = NewHolding(number, disc_id=discs[-1], side="1", track=track)
                rows.add_holding(store, holding)
    return discs


def test_the_list_is_in_the_order_of_the_shelf(store, now, shelf):
    ten, two, _ = shelf
    copy = store.rows("SELECT id FROM holdings WHERE disc_id = ?", (two,))[0]["id"]
    missing_copies.mark(store, copy, "Kit", now)
    first, second = shelf_errands.to_look_for(store)
    assert (first.disc.id, len(first.alone), first.tracks) == (two, 4, ())
    assert (second.disc.id, second.tracks) == (ten, (("1", (2,)),))


def test_what_was_looked_for_in_vain_comes_last_and_may_turn_up(store, now, shelf):
    ten, two, _ = shelf
    shelf_looks.note(store, two, Seen.NOT_THERE, "Liv", now)
    assert rows.disc(store, two).missing
    *_, last = shelf_errands.to_look_for(store)
    assert last.disc.id == two and last.looked is not None and last.looked.signed_by == "Liv"
    shelf_looks.found(store, two, "Ned", now)
    assert not rows.disc(store, two).missing and shelf_looks.every(store) == {}
    assert [errand.disc.id for errand in shelf_errands.to_look_for(store)] == [ten]
    with pytest.raises(NotFound):
        shelf_looks.found(store, 99, "Ned", now)


def test_a_list_that_is_right_is_no_gap(store, now, shelf):
    ten, *_ = shelf
    (album,) = gaps.albums_with_tracks_missing(store)
    assert (album.disc_id, album.action) == (ten, gaps.Action.LOOK)
    shelf_looks.note(store, ten, Seen.ALL_LISTED, "Liv", now)
    assert gaps.albums_with_tracks_missing(store) == []
    action = undo.recent(store)[0]
    undo.take_back(store, action.id, "Liv", now)
    assert len(gaps.albums_with_tracks_missing(store)) == 1


def test_a_disc_that_is_made_one_with_another_may_have_been_looked_for(store, now, shelf):
    ten, two, _ = shelf
    shelf_looks.note(store, two, Seen.NOT_THERE, "Liv", now)
    action = merging.merge_discs(store, ten, two, "Liv", now)
    assert shelf_looks.every(store) == {}
    merging.unmerge(store, action, "Liv", now)
    assert set(shelf_looks.every(store)) == {two}
