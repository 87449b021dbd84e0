"""Filing by the published rules: ALA Filing Rules (1980) and LC, ALA (1968), and Yale's check."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from catalogue import browse, catalogue_rows, filing, plain_order, undo
from catalogue.errors import BadInput, NotFound
from catalogue.filing import ALA_1968, ALA_1980, Rules, mark_order, name_key, title_key
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)


def _filed(order: list[str], key: Callable[[str], Any]) -> list[str]:
    """What comes of these when they begin in the opposite order."""
    found = list(reversed(order))
    found.sort(key=key)
    return found


def test_library_of_congress_order_as_yale_gives_it() -> None:
    """Yale University Library's check of LC order: Mabney, MacDonald, Marshall, McGrath."""
    order = ["Mabney", "MacDonald", "Marshall", "McGrath"]
    assert _filed(order, name_key) == order


def test_mc_and_m_with_an_apostrophe_as_mac() -> None:
    """ALA 1968: Mc and M' are filed as Mac."""
    order = ["Mabney", "MacDonald", "McGrath", "M'Gregor", "Marshall"]
    assert _filed(order, lambda n: name_key(n, ALA_1968)) == order


@pytest.mark.parametrize(
    ("rules", "order"),
    [
        # ALA 1980 / LC: numerals before letters by size, abbreviations as written.
        (ALA_1980, ["9 Tides", "99 Herons", "Saint Anne", "Sand", "Seaward", "St Abbs", "Stay"]),
        # ALA 1968: St as Saint, numerals as spoken.
        (ALA_1968, ["Nine Lives", "9 Tides", "99 Herons", "St Abbs", "Saint Anne", "Sand", "Stay"]),
    ],
)  # fmt: skip
def test_saints_and_numerals(rules: Rules, order: list[str]) -> None:
    assert _filed(order, lambda title: title_key(title, rules)) == order


def test_abbreviations_are_filed_as_written() -> None:
    """ALA 1980; for the ear "No. 3" is "number three", on the shelf it is not."""
    order = ["Waltz, No. 3", "Waltz Noon", "Waltz Nugget"]
    assert _filed(order, title_key) == order


@pytest.mark.parametrize("rules", [ALA_1980, ALA_1968])
@pytest.mark.parametrize(
    ("one", "other"),
    [("Café-Tango", "Cafe Tango"), ("O'Brien", "OBrien"), ("Søren", "Soren")],
)
def test_accents_hyphens_and_apostrophes_are_passed_over(
    rules: Rules, one: str, other: str
) -> None:
    assert title_key(one, rules) == title_key(other, rules)


def test_articles() -> None:
    """ALA 1980: passed over at the start of a title, kept in the name of a person or place."""
    assert title_key("The Quay") == "quay"
    assert title_key("A Quay", Rules(articles="kept")) == "a quay"
    assert title_key("El Paso") == "el paso"
    assert name_key("A. Sluice") == "a sluice"
    assert name_key("The Bargemen") == "bargemen"
    assert title_key("The") == "the"
    assert title_key("Die Flut", Rules(articles="german")) == "flut"
    assert title_key("Die Flut") == "die flut"
    assert title_key("The Flood", Rules(articles="both")) == "flood"


@pytest.mark.parametrize(
    "order",
    [
        ["C 2", "C 9", "C 114"],
        ["1", "2", "10", "A 1"],
        ["LP-0007", "LP 8", "lp00012"],
        ["2004.9", "2004.17"],  # year and number of accession
        ["780.15", "780.9", "780.92", "781"],  # Dewey: the point is a decimal's
        # ANSCR (artsdivision.wordpress.com, calstatela.edu): category, four letters of composer or
        # performer, initials of the title, performer and number; "MA BEAT SPL B 28" is published,
        # the others are made after it.
        [
            "L OKLA OKL M 12",
            "MA BEAT ABR B 62",
            "MA BEAT SPL B 9",
            "MA BEAT SPL B 28",
            "MA BEEG ODE B 4",
            "MC CASH JCS C 32",
            "MJ ELLI TAT E 9",
        ],
        ["ML95 .A2", "ML410 .B38", "ML410 .B4", "ML410 .C1"],  # LC: a cutter is a decimal
    ],
)
def test_shelf_marks_of_any_scheme(order: list[str]) -> None:
    assert _filed(order, mark_order) == order


@pytest.mark.parametrize("mark", ["", "???", "²", "٣", "Å 1", "x" * 500, "9" * 400])
def test_any_text_is_a_mark_and_can_be_put_in_order(mark: str) -> None:
    assert sorted(["C 1", mark, "780.1"], key=mark_order).count(mark) == 1


def test_a_mark_is_the_same_however_it_is_spaced() -> None:
    assert len({mark_order(mark)[0] for mark in ("C 114", "c114", "C-114", " C  0114 ")}) == 1


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path / "asheard.db")
    with undo.action(store, "Charlie", "took in", NOW):
        for title, artist, mark, room in (
            ("99 Herons", "McGrath", "C 1", "Store room"),
            ("Mild Night", "MacDonald", "C 2", ""),
            ("St Abbs", "Marshall", "D 1", "Store room"),
            ("Sand", "Mabney", "C_3", ""),
        ):
            recording = catalogue_rows.add_recording(store, NewRecording(title, artist))
            disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, mark, place=room))
            catalogue_rows.add_holding(store, NewHolding(recording, disc_id=disc))
    yield store
    store.close()


def _titles(store: Store, order: str, shelf: filing.Shelf | None = None) -> list[str]:
    part = browse.look_through(store, "", NOW, order=order, shelf=shelf)
    return [line.recording.title for line in part.lines]


def test_the_list_goes_by_the_rules_and_they_are_taken_back(shelf: Store) -> None:
    assert _titles(shelf, "title") == ["99 Herons", "Mild Night", "Sand", "St Abbs"]
    assert _titles(shelf, "artist") == ["Sand", "Mild Night", "St Abbs", "99 Herons"]

    filing.keep(shelf, "mark", "", ALA_1968, "Charlie", NOW)

    assert _titles(shelf, "title") == ["Mild Night", "99 Herons", "St Abbs", "Sand"]
    assert _titles(shelf, "artist") == ["Sand", "Mild Night", "99 Herons", "St Abbs"]
    undo.take_back(shelf, undo.recent(shelf)[0].id, "Charlie", NOW)
    assert filing.everywhere(shelf) == ALA_1980


def test_a_shelf_has_rules_of_its_own(shelf: Store) -> None:
    filing.keep(shelf, "mark", "c", ALA_1968, "Charlie", NOW)
    filing.keep(shelf, "room", "store room", ALA_1980, "Charlie", NOW)
    filing.keep(shelf, "mark", "C_", ALA_1980, "Charlie", NOW)
    by_name = {one.name: one for one in filing.all_shelves(shelf)}

    assert _titles(shelf, "title", by_name["c"]) == ["Mild Night", "99 Herons", "Sand"]
    assert _titles(shelf, "title", by_name["store room"]) == ["99 Herons", "St Abbs"]
    assert _titles(shelf, "mark", by_name["store room"]) == ["99 Herons", "St Abbs"]
    assert _titles(shelf, "mark", by_name["C_"]) == ["Sand"]
    assert filing.everywhere(shelf) == ALA_1980

    filing.keep(shelf, "mark", "C", ALA_1980, "Charlie", NOW)  # the same shelf, not another
    assert len(filing.all_shelves(shelf)) == 3
    filing.forget(shelf, by_name["c"].id, "Charlie", NOW)
    with pytest.raises(NotFound):
        filing.get(shelf, by_name["c"].id)


@pytest.mark.parametrize(
    ("by", "name", "rules"),
    [("wall", "C", ALA_1980), ("mark", "C" * 61, ALA_1980), ("mark", "C", Rules(mac="maybe"))],
)
def test_a_rule_that_is_none_is_refused(shelf: Store, by: str, name: str, rules: Rules) -> None:
    with pytest.raises(BadInput):
        filing.keep(shelf, by, name, rules, "Charlie", NOW)
    assert filing.all_shelves(shelf) == []


@pytest.mark.parametrize("articles", filing.ARTICLES)
@pytest.mark.parametrize("full", [filing.WRITTEN, filing.IN_FULL])
@pytest.mark.parametrize("numerals", [filing.DIGITS, filing.SPOKEN])
def test_what_the_database_does_of_a_rule_is_the_rule(
    tmp_path: Path, articles: str, full: str, numerals: str
) -> None:
    """Most keys are made in SQL, for speed; they are those that `filing` would give."""
    rules = Rules(articles, full, full, numerals)
    store = Store(tmp_path / "asheard.db")
    names = (
        "The Quay", "A Quay", "An Anchor", "The", "A", "The A", "Anna", "Die Flut", "Eine Flut",
        "Diesel", "McGrath", "M'Gregor", "Old McHale", "St Abbs", "Ste Anne", "Main St", "Stay",
        "O'Brien", "99 Herons", "Waltz, No. 3", "Café-Tango", "???", "Rock 'n' Roll", "El Paso",
    )  # fmt: skip
    with undo.action(store, "Charlie", "took in", NOW):
        for name in names:
            catalogue_rows.add_recording(store, NewRecording(name, name))
    title, artist = plain_order._keys(store, rules)
    rows = store.rows(f"SELECT s.title AS text, {title} AS key FROM songs s")
    assert {r["text"]: r["key"] for r in rows} == {n: title_key(n, rules) for n in names}
    rows = store.rows(f"SELECT a.name AS text, {artist} AS key FROM artists a")
    assert {r["text"]: r["key"] for r in rows} == {n: name_key(n, rules) for n in names}
    store.close()
