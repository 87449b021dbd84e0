"""A folder of damaged files of every format; each alone is tried in `tests/fuzz`."""

from __future__ import annotations

import random
from datetime import datetime
from pathlib import Path

from catalogue.store import Store
from importers import taking_in
from tests.fuzz import damage, samples


def test_a_folder_of_damaged_files_is_gone_through(
    store: Store, music: Path, tmp_path: Path, now: datetime
) -> None:
    """Every one is counted once, and what can be used is taken in."""
    change, chance = damage.of_bytes(2048), random.Random(21)
    for number in range(7):
        for suffix, data in samples.audio(tmp_path).items():
            path = music / f"{number}{suffix}"
            path.write_bytes(change(data, chance, number % 2 == 1))

    report = taking_in.add_files(store, music, "Ann", now)

    assert report.seen == 7 * len(samples.AUDIO)
    assert report.added + report.new_copies > 10
    assert len(report.refused) > 10
    assert taking_in.add_files(store, music, "Ann", now).added == 0
