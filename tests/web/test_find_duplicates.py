"""`asheard find-duplicates`: what is shown, what is asked, and that it can be undone."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalogue import catalogue_rows as rows
from catalogue import duplicates, undo
from catalogue.records import NewHolding, NewRecording
from web.command_line import main
from web.opening import opened

NOW = datetime(2026, 11, 25, 19, 30)


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """A station with one record entered twice, a live recording of it, and another song."""
    folder = tmp_path / "station"
    with opened(folder, make=True) as opening, undo.action(opening.store, "Liv", "filed", NOW):
        for number, (title, length) in enumerate(
            (("The Far Tide", 181.0), ("The Far Tied", 182.0), ("The Far Tide (Live)", 240.0),
             ("Lamp", 181.0))
        ):  # fmt: skip
            new = NewRecording(title, "Ann Oke", length_s=length, year=1961 if number else None)
            recording = rows.add_recording(opening.store, new)
            rows.add_holding(
                opening.store, NewHolding(recording, path=f"/music/{'x' * 90}{number}")
            )
    return folder


def _run(station: Path, *words: str, said: str = "") -> Result:
    return CliRunner().invoke(
        main, ["find-duplicates", "--station", str(station), *words],
        input=said, env={"COLUMNS": "80"},
    )  # fmt: skip


def test_pairs_are_shown_in_eighty_columns(station: Path) -> None:
    told = _run(station)
    assert told.exit_code == 0
    assert "4 recordings were new" in told.output
    assert "The Far Tide / Ann Oke" in told.output and "The Far Tied / Ann Oke" in told.output
    assert "Live" not in told.output and "Lamp" not in told.output
    assert "Different: title." in told.output
    long = [line for line in told.output.splitlines() if len(line) > 80]
    assert all("/music/" in line for line in long), "only a path may be longer: it is copied"
    assert "Nothing is new" in _run(station).output
    assert "4 recordings were new" in _run(station, "--again").output


def test_pairs_for_programs(station: Path) -> None:
    (pair,) = json.loads(_run(station, "--json").output)
    assert (pair["a"], pair["b"], pair["kind"]) == (1, 2, "entered twice under two spellings")
    assert pair["likelihood"] > 0.9
    assert {"title", "artist", "length"} <= {one["claim"] for one in pair["evidence"]}


def test_same_is_merged_field_by_field_and_undone(station: Path) -> None:
    told = _run(station, "--ask", said="s\n2\n2\n1\n")
    assert "They are one now." in told.output
    with opened(station) as opening:
        kept = rows.recording(opening.store, 2)
        assert (kept.title, kept.year, kept.length_s) == ("The Far Tide", 1961, 182.0)
    (number,) = re.findall(r"take-back-action (\d+)", told.output)
    back = CliRunner().invoke(main, ["take-back-action", number, "--station", str(station)])
    assert back.exit_code == 0
    with opened(station) as opening:
        assert rows.recording(opening.store, 1).title == "The Far Tide"
        assert duplicates.judgement(opening.store, 1, 2) is None


@pytest.mark.parametrize(
    ("said", "verdict"), [("d\n", "different"), ("c\n", "cannot tell"), ("s\nneither\n", "same")]
)
def test_a_judgement_is_kept_and_asked_once(station: Path, said: str, verdict: str) -> None:
    assert "Kept" in _run(station, "--ask", said=said).output
    with opened(station) as opening:
        judged = duplicates.judgement(opening.store, 1, 2)
        assert judged is not None and judged.verdict == verdict
    assert "No pair is left to judge." in _run(station).output


def test_quitting_changes_nothing(station: Path) -> None:
    assert _run(station, "--ask", said="q\n").exit_code == 0
    assert "The Far Tied" in _run(station).output


def test_an_empty_station_has_no_pairs(tmp_path: Path) -> None:
    with opened(tmp_path / "new", make=True):
        pass
    told = _run(tmp_path / "new")
    assert told.exit_code == 0 and "No pair is left to judge." in told.output
