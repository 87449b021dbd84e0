"""What the catalogue's tests stand on: a fresh file database each, and a clock at rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import undo
from catalogue.catalogue_rows import add_holding, add_recording, change_disc, shelve_disc
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.schema import TRACKED
from catalogue.store import Store

AddRecording = Callable[..., int]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A new database in a file of its own."""
    opened = Store(tmp_path / "asheard.db")
    yield opened
    opened.close()


@pytest.fixture
def now() -> datetime:
    """Wednesday 25 November 2026, half past seven in the evening."""
    return datetime(2026, 11, 25, 19, 30)


@pytest.fixture
def add(store: Store, now: datetime) -> AddRecording:
    """Add a recording: `add("Title", "Artist", year=1960, file=False, disc="C 114")`.

    With a file unless `file=False`; on a disc as well if its shelf mark is given.
    """

    def add_one(
        title: str, artist: str, *, file: bool = True, disc: str = "", **known: object
    ) -> int:
        condition = known.pop("condition", None)
        with undo.action(store, "Test", f"added {title}", now):
            recording_id = add_recording(store, NewRecording(title, artist, **known))
            if file:
                add_holding(store, NewHolding(recording_id, path=f"/music/{recording_id}.ogg"))
            if disc:
                disc_id = shelve_disc(store, NewDisc(Carrier.LP, disc))
                if condition:
                    change_disc(store, disc_id, condition=condition)
                add_holding(store, NewHolding(recording_id, disc_id=disc_id, side="2", track="3"))
        return recording_id

    return add_one


def tracked_rows(store: Store) -> dict[str, list[dict[str, object]]]:
    """All tracked rows; slips without the counter of their changes, which only ever rises."""
    return {
        table: [
            {k: v for k, v in row.items() if not (table == "slips" and k == "version")}
            for row in store.rows(f"SELECT * FROM [{table}] ORDER BY id")
        ]
        for table in TRACKED
    }
