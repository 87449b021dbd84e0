"""Looking through the list by words and along the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import browse, catalogue_rows, undo
from catalogue.errors import BadInput
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

NOW = datetime(2024, 5, 7, 19, 40)


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path / "asheard.db")
    with undo.action(store, "Charlie", "took in", NOW):
        for title, artist, mark in (
            ("The Ærø Ferry", "Søren Brandt", "C 114"),
            ("Anchor Song", "The Bargemen", "C 2"),
            ("Ferry Me Home", "Ada Sluice", "B 9"),
        ):
            recording = catalogue_rows.add_recording(store, NewRecording(title, artist))
            disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, mark))
            catalogue_rows.add_holding(store, NewHolding(recording, disc_id=disc))
        catalogue_rows.add_recording(store, NewRecording("Not Here", "Ada Sluice"))
    yield store
    store.close()


def _titles(store: Store, text: str, **how: object) -> list[str]:
    part = browse.look_through(store, text, NOW, **how)  # type: ignore[arg-type]
    return [line.recording.title for line in part.lines]


def test_words_in_any_order_accents_aside(shelf: Store) -> None:
    assert _titles(shelf, "brandt aero") == ["The Ærø Ferry"]
    assert _titles(shelf, "ferry") == ["The Ærø Ferry", "Ferry Me Home"]


def test_an_article_is_passed_over_in_order(shelf: Store) -> None:
    """ALA Filing Rules 1980: an initial article is ignored."""
    assert _titles(shelf, "") == ["The Ærø Ferry", "Anchor Song", "Ferry Me Home", "Not Here"]
    artists = [
        line.recording.artist for line in browse.look_through(shelf, "", NOW, order="artist").lines
    ]
    assert artists == ["Ada Sluice", "Ada Sluice", "The Bargemen", "Søren Brandt"]


def test_along_the_shelf_in_the_order_of_the_marks(shelf: Store) -> None:
    assert _titles(shelf, "", order="mark") == ["Ferry Me Home", "Anchor Song", "The Ærø Ferry"]
    assert _titles(shelf, "c ", order="mark") == ["Anchor Song", "The Ærø Ferry"]
    assert _titles(shelf, "%", order="mark") == _titles(shelf, "", order="mark")


def test_pages_join_without_gap_or_overlap(shelf: Store) -> None:
    first = browse.look_through(shelf, "", NOW, limit=3)
    assert (first.total, first.exact, first.before) == (4, True, None)
    assert first.after is not None
    second = browse.look_through(shelf, "", NOW, limit=3, start=first.after)
    assert (len(second.lines), second.offset, second.after) == (1, 3, None)
    assert second.before is not None
    assert browse.look_through(shelf, "", NOW, limit=3, start=second.before) == first


def test_an_unknown_order_is_bad_input(shelf: Store) -> None:
    with pytest.raises(BadInput):
        browse.look_through(shelf, "", NOW, order="price")


def test_only_work_on_the_shelves_is_listed(shelf: Store) -> None:
    from catalogue import request_slips

    request_slips.start(shelf, "request", "Alice", NOW)
    assert [action.what for action in browse.done_on_shelves(shelf, 10)] == ["took in"]
