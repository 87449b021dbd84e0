"""A small seeded share of the damaged input that `python -m tests.fuzz` tries, and Hypothesis on
the words: each in seconds. What the full run found is in `test_found.py`."""

from __future__ import annotations

import json
import random
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue import plain_csv, spelling
from catalogue.errors import BadInput
from catalogue.heard import Heard, understand
from importers import columns, list_text, playlists, reference_lists, shelf_entries
from importers.entries import Entry, Refused
from importers.headings import HEADINGS
from importers.list_rows import Row
from tests.fuzz import damage, engines
from tests.fuzz.table import READERS

SEED = 7
SHARE = 16
"""Inputs of each reader here; the full run has 5,000."""


@pytest.mark.parametrize("name", READERS)
def test_damaged_input_is_read_or_refused(name: str, tmp_path: Path) -> None:
    """Every second input is damaged behind its header; valid ones are read, damaged ones come to
    no other end than being read or refused."""
    reader = READERS[name](tmp_path)
    chance = random.Random(f"{SEED} {name}")
    try:
        assert reader.read(reader.valid[0]), "the valid one must be read"
        for number in range(SHARE):
            valid = chance.choice(reader.valid)
            damaged = reader.change(valid, chance, number % 2 == 1)
            assert reader.read(damaged) in (True, False)
    finally:
        reader.close()


def test_a_fault_is_found_counted_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader that fails on every third input: the others are counted, the fault kept once."""
    from tests.fuzz import table
    from tests.fuzz.readers import Open

    calls = []

    def read(data: bytes) -> bool:
        calls.append(data)
        if len(calls) % 3 == 0:
            raise ZeroDivisionError("as a fault would be")
        return len(calls) % 3 == 1

    def open_(_: Path) -> Open:
        return Open([b"a valid file of some length"], damage.of_bytes(7), read)

    monkeypatch.setattr(table, "READERS", {"faulty": open_})
    monkeypatch.setattr("logging.disable", lambda *_: None)
    engines.blindly("faulty", tmp_path, 30, 1)

    counts = engines.Board(tmp_path / "board").get()
    assert (counts.tried, counts.read, counts.refused, counts.deep) == (30, 10, 10, 15)
    (found,) = (tmp_path / "findings").glob("*.json")
    assert "ZeroDivisionError" in json.loads(found.read_text())["what"]
    assert found.with_suffix(".input").read_bytes() == calls[2]


def test_the_command_says_what_was_done() -> None:
    """One reader, few inputs: the table, the sum, one JSON object as the last line, exit code 0."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz", "--only", "m3u", "--each", "50", "--blind", "--json"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert (told["engine"], told["inputs"], told["behind_header"], told["faults"]) == (
        "blind", 50, 25, 0,
    )  # fmt: skip


def test_half_of_the_damage_lies_behind_the_header() -> None:
    """The header stays as it was where that is asked for, and something behind it changes."""
    change, valid, chance = damage.of_bytes(16), bytes(range(64)), random.Random(3)
    for _ in range(200):
        damaged = change(valid, chance, True)
        assert damaged[:16] == valid[:16]
    assert any(change(valid, chance, False)[:16] != valid[:16] for _ in range(20))


_WORDS = st.one_of(st.text(max_size=60), st.sampled_from(damage.WORDS))
_FEW = settings(max_examples=60, suppress_health_check=list(HealthCheck))


@_FEW
@given(st.dictionaries(st.sampled_from(sorted(HEADINGS)), _WORDS, min_size=1, max_size=8))
def test_any_cells_make_an_entry_or_a_refusal(cells: dict[str, str]) -> None:
    for entry_of in (shelf_entries.entry_of, reference_lists.entry_of):
        made = entry_of(Row("list.csv row 2", cells, cells))
        assert isinstance(made, Entry | Refused)
        if isinstance(made, Entry):
            assert made.recording.title.strip()
        else:
            assert made.why


@_FEW
@given(st.binary(max_size=400))
def test_any_bytes_are_decoded_to_rows(data: bytes) -> None:
    text, encoding = list_text.decode(data)
    assert encoding
    assert all(isinstance(cell, str) for row in list_text.rows(text) for cell in row)


@_FEW
@given(_WORDS)
def test_any_words_for_columns_are_understood_or_refused(words: str) -> None:
    try:
        assert columns.parse(words)
    except BadInput as problem:
        assert problem.message


@_FEW
@given(_WORDS)
def test_any_words_are_heard(words: str) -> None:
    wanted = understand(Heard(words))
    assert wanted is not None
    assert spelling.plain(words) == spelling.plain(spelling.plain(words))


@_FEW
@given(_WORDS)
def test_any_location_names_a_path_or_none(location: str) -> None:
    assert isinstance(playlists._path(location), str)


@_FEW
@given(st.lists(st.lists(_WORDS, min_size=1, max_size=4), max_size=5))
def test_no_cell_of_an_export_begins_as_a_formula(rows: list[list[str]]) -> None:
    """What a sheet would run begins with one of these signs (OWASP, "CSV Injection")."""
    import csv
    import io

    for row in csv.reader(io.StringIO(plain_csv.text(["Title"], rows), newline="")):
        for cell in row:
            numeric = cell.lstrip("+-").replace(".", "").replace(":", "")
            assert len(cell) < 2 or cell[0] not in "=+-@\t\r" or numeric.isdigit()
