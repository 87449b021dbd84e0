"""Keep a small database of this version for the tests of later versions' migrations.

    python -m tests.benchmarks.keep_database 0.1.0

Run once for each released version, before it is released, and never again after: it writes
`tests/reference/databases/asheard-VERSION.db.gz`, an invented station with something in every
part of it. `tests/catalogue/test_migrations.py` brings each of them up to date.
"""

from __future__ import annotations

import argparse
import gzip
import tempfile
from datetime import datetime, timedelta
from pathlib import Path

from catalogue import (
    backup,
    callers,
    catalogue_rows,
    duplicates,
    loans,
    places,
    programmes,
    request_slips,
    roots,
    settings,
    staff,
    undo,
    wants,
)
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.store import Store

FOLDER = Path(__file__).parents[1] / "reference" / "databases"
NOW = datetime(2026, 11, 25, 19, 30)
TITLES = ("My Lantern", "The Long Jetty", "Grey Heron Standing")


def fill(store: Store) -> None:
    """Something in every part: records, discs, slips in each state, loans, people, an undo."""
    settings.put(store, "station_name", "Saltmarsh Radio", "Dora", NOW)
    staff.add(store, "Dora", "keeper", "four plain words", "Dora", NOW)
    place = places.add(store, "Saltings House", "", True, "Dora", NOW)
    programmes.add(store, "Evening", "Bob", NOW, NOW + timedelta(hours=2), "Dora", NOW)
    roots.add(store, "/srv/music", "Charlie", NOW)
    with undo.action(store, "Charlie", "took in a few", NOW):
        numbers = [
            catalogue_rows.add_recording(
                store, NewRecording(title, "Ann Oke", year=1961, tempo=96.5, composer="Bo Quay")
            )
            for title in TITLES
        ]
        disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, "C 114"))
        on_disc = catalogue_rows.add_holding(
            store, NewHolding(numbers[0], disc_id=disc, side="2", track="3")
        )
        catalogue_rows.add_holding(store, NewHolding(numbers[1], path="/srv/music/jetty.ogg"))
        catalogue_rows.add_other_name(store, "refrain", "The Lantern Song", recording=numbers[0])
    with undo.action(store, "Charlie", "a slip of the hand", NOW):
        catalogue_rows.change_recording(store, numbers[2], title="Gray")
    undo.take_back(store, undo.recent(store, 1)[0].id, "Charlie", NOW)
    duplicates.judge(store, numbers[0], numbers[1], "different", "Charlie", NOW)
    wants.add(store, "Tide", "Hector Pike", None, "Alice", NOW)
    loans.lend(store, disc, "the north studio", None, "Charlie", NOW)
    for number in range(3):
        slip = request_slips.start(store, "dedication", "Alice", NOW)
        callers.write(
            store, slip, {"caller_name": f"Caller {number}", "place_id": place, "consent": "yes"},
            "Alice", NOW,
        )  # fmt: skip
        request_slips.choose(store, slip, numbers[0], on_disc, "Alice", NOW)
        if number:
            request_slips.hand_over(store, slip, "Studio 1", "Alice", NOW)
        if number > 1:
            request_slips.played(store, slip, "Bob", NOW)


def main() -> None:
    """Make the database and write it, packed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("version")
    version = parser.parse_args().version
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "asheard.db")
        fill(store)
        plain = Path(folder) / "plain.db"
        backup.make_at(store, plain, with_callers=True)
        store.close()
        FOLDER.mkdir(exist_ok=True)
        target = FOLDER / f"asheard-{version}.db.gz"
        target.write_bytes(gzip.compress(plain.read_bytes(), mtime=0))
    print(f"{target} ({target.stat().st_size / 1000:,.0f} kB)")


if __name__ == "__main__":
    main()
