"""Discs that are out: found by mark, lent once, home again whoever had them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalogue import catalogue_rows, loans, out_of_place, programmes, pull_list, undo
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, NewDisc
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "asheard.db")
    with undo.action(opened, "Liv", "took in", NOW):
        for carrier, mark, barcode in (
            (Carrier.LP, "C 114", "4006381333931"),
            (Carrier.CD, "C 114", ""),
            (Carrier.LP, "C 2", ""),
        ):
            catalogue_rows.shelve_disc(opened, NewDisc(carrier, mark, barcode=barcode))
    yield opened
    opened.close()


def _ids(store: Store, text: str) -> list[int]:
    return [disc.id for disc in out_of_place.marked(store, text)]


def test_a_disc_is_known_by_its_mark_however_it_is_typed(store: Store) -> None:
    assert _ids(store, "c-2") == _ids(store, " C  2 ") == _ids(store, "LP c2") == [3]
    assert _ids(store, "C 114") == [1, 2]
    assert _ids(store, "CD C 114") == [2]
    assert _ids(store, "4006381333931") == [1]


def test_letters_beyond_ascii_and_barcodes_of_both_lengths(store: Store) -> None:
    with undo.action(store, "Liv", "took in", NOW):
        for mark, barcode in (("Ä-9", "036000291452"), ("å 1", "0042100005264")):
            catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, mark, barcode=barcode))
    assert _ids(store, "Ä 9") == _ids(store, "ä9") == _ids(store, "0036000291452") == [4]
    assert _ids(store, "Å1") == _ids(store, "042100005264") == [5]


def test_a_disc_in_hand_is_missing_no_more(store: Store) -> None:
    for act in ("lend", "home"):
        with undo.action(store, "Liv", "lost", NOW):
            catalogue_rows.change_disc(store, 3, missing=1)
        if act == "lend":
            _lend(store, "C 2", "Ned")
        else:
            out_of_place.come_home(store, out_of_place.marked(store, "C 2"), "Liv", NOW)
        assert not catalogue_rows.disc(store, 3).missing
    undo.take_back(store, undo.recent(store, 1)[0].id, "Liv", NOW)
    assert catalogue_rows.disc(store, 3).missing
    assert list(loans.out(store)) == [3]


@pytest.mark.parametrize("text", ["C 999", "%", "_", "'", "LP", "CD C 2", "x" * 500, "-", "\x00"])
def test_a_mark_that_no_disc_has(store: Store, text: str) -> None:
    with pytest.raises(NotFound, match="No disc has"):
        out_of_place.marked(store, text)


def test_nothing_typed(store: Store) -> None:
    with pytest.raises(BadInput, match="Type or scan"):
        out_of_place.marked(store, "  ")


def _lend(store: Store, text: str, to: str, due: str | None = None, days_ago: int = 0) -> int:
    found = out_of_place.marked(store, text)
    return out_of_place.lend(store, found, to, due, "Liv", NOW - timedelta(days=days_ago)).id


def test_overdue_is_first_then_what_is_due_soonest(store: Store) -> None:
    _lend(store, "C 2", "Ned", None, days_ago=30)
    _lend(store, "CD C 114", "the north studio", "2024-05-09", days_ago=3)
    _lend(store, "LP C 114", "Una", "2024-05-05", days_ago=9)
    found = out_of_place.on_loan(store, NOW)
    assert [(out.loan.lent_to, out.overdue_days) for out in found] == [
        ("Una", 2), ("the north studio", 0), ("Ned", 0),
    ]  # fmt: skip


def test_of_two_discs_with_a_mark_the_one_that_can_be_meant_is_taken(store: Store) -> None:
    with pytest.raises(BadInput, match="Several discs .* LP, CD"):
        _lend(store, "C 114", "Ned")
    assert _lend(store, "LP C 114", "Ned") == 1
    assert _lend(store, "C 114", "Una") == 2
    with pytest.raises(ChangedMeanwhile, match="Ned"):
        _lend(store, "C 114", "Ola")
    with pytest.raises(BadInput, match="Several"):
        out_of_place.come_home(store, out_of_place.marked(store, "C 114"), "Liv", NOW)
    home = out_of_place.come_home(store, out_of_place.marked(store, "CD C 114"), "Liv", NOW)
    assert (home[0].id, home[1]) == (2, "Una")
    assert list(loans.out(store)) == [1]


def test_what_was_fetched_for_a_programme_is_not_lent_and_comes_home_too(store: Store) -> None:
    number = programmes.add(store, "Tea Time", "", NOW, NOW + timedelta(hours=1), "Liv", NOW)
    pull_list.pull(store, number, [3], "Liv", NOW)
    with pytest.raises(ChangedMeanwhile, match="fetched for Tea Time"):
        _lend(store, "C 2", "Ned")
    found = out_of_place.marked(store, "C 2")
    assert out_of_place.come_home(store, found, "Liv", NOW)[1] == "Tea Time"
    assert pull_list.to_put_away(store) == []
    with pytest.raises(ChangedMeanwhile, match="not noted as out"):
        out_of_place.come_home(store, found, "Liv", NOW)
