"""A sample of damaged files of every format; `fuzz_audio.py` tries all of them."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from catalogue.store import Store
from importers import taking_in
from tests.importers import fuzz_audio

SAMPLE = 320


def test_damaged_files_are_read_or_refused(tmp_path: Path) -> None:
    """No crash, none over 5 s; half of the damage is beyond the header, and both outcomes are
    met."""
    tried = fuzz_audio.try_all(tmp_path, SAMPLE)

    assert (tried.files, tried.deep) == (SAMPLE, SAMPLE // 2)
    assert tried.read > 20
    assert tried.refused > 20


def test_a_folder_of_damaged_files_is_gone_through(
    store: Store, music: Path, tmp_path: Path, now: datetime
) -> None:
    """Every one is counted once, and what can be used is taken in."""
    for number, one in enumerate(fuzz_audio.damaged(fuzz_audio.valid_files(tmp_path), 80)):
        (music / f"{number}{one.suffix}").write_bytes(one.data)

    report = taking_in.add_files(store, music, "Ann", now)

    assert report.seen == 80
    assert report.added + report.new_copies > 10
    assert taking_in.add_files(store, music, "Ann", now).added == 0
