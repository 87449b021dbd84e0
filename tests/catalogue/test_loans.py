"""Lending discs and bringing them back."""

from datetime import date, timedelta

import pytest

from catalogue import loans, undo
from catalogue.catalogue_rows import holdings_of
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound


@pytest.fixture
def disc(store, add):
    tide = add("Tide", "Ann Oke", file=False, disc="C 114")
    return holdings_of(store, [tide])[tide][0].disc_id


def test_out_and_back(store, now, disc):
    loans.lend(store, disc, " the north studio ", date(2026, 12, 1), "Liv", now)
    assert loans.out(store)[disc].lent_to == "the north studio"
    assert loans.out(store, [disc + 1]) == {}
    assert loans.overdue(store, now) == []
    assert [x.disc_id for x in loans.overdue(store, now + timedelta(days=7))] == [disc]
    loans.bring_back(store, disc, "Liv", now + timedelta(hours=1))
    assert loans.out(store) == {}


def test_a_disc_is_lent_once(store, now, disc):
    loans.lend(store, disc, "Ned", None, "Liv", now)
    with pytest.raises(ChangedMeanwhile, match="Ned"):
        loans.lend(store, disc, "Una", None, "Liv", now)
    loans.bring_back(store, disc, "Liv", now)
    with pytest.raises(ChangedMeanwhile):
        loans.bring_back(store, disc, "Liv", now)


@pytest.mark.parametrize("due", ["soon", "2026-13-01", "1/12/2026"])
def test_a_date_nobody_can_read_is_refused(store, now, disc, due):
    with pytest.raises(BadInput, match="date"):
        loans.lend(store, disc, "Ned", due, "Liv", now)
    assert loans.out(store) == {}


def test_nobody_and_no_disc(store, now, disc):
    with pytest.raises(BadInput):
        loans.lend(store, disc, "  ", None, "Liv", now)
    for step in (
        lambda: loans.lend(store, 99, "Ned", None, "Liv", now),
        lambda: loans.bring_back(store, 99, "Liv", now),
    ):
        with pytest.raises(NotFound):
            step()


def test_bringing_back_is_taken_back(store, now, disc):
    loans.lend(store, disc, "Ned", "2026-12-01", "Liv", now)
    before = loans.out(store)
    loans.bring_back(store, disc, "Liv", now)
    undo.take_back(store, undo.recent(store)[0].id, "Liv", now)
    assert loans.out(store) == before
