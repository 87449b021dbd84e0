"""Against labelled data from outside: the HPI freeDB discs (CC0, see the README beside them)."""

from __future__ import annotations

from pathlib import Path

from catalogue.pair_finding import find
from tests.benchmarks.duplicate_lists import described_of, read_pairs, read_records

DISCS = Path(__file__).parents[1] / "reference" / "discs"


def test_discs_entered_twice_are_found():
    """F1 of at least 0.90 against the labels as given, with the shipped weights."""
    rows = read_records(DISCS / "discs.csv")
    labels = read_pairs(DISCS / "duplicate_pairs.csv", [row["id"] for row in rows])
    predicted = find(described_of(rows)).in_groups()
    right = len(predicted & labels.true)
    assert 2 * right / (len(predicted) + len(labels.true)) >= 0.90


def test_lists_of_other_shapes_are_read(tmp_path):
    """Semicolons, other headings, a label; ids that are not in the list are left out."""
    records, pairs = tmp_path / "r.csv", tmp_path / "p.csv"
    records.write_text("\ufeffID;Title;Artist\n a ;Tide;Ann\nb;Tide;Ann\nc;Lamp;Bo\n")
    pairs.write_text("id1,id2,label\na,b,1\nb,c,0\na,zz,1\n")
    rows = read_records(records)
    labels = read_pairs(pairs, [row["id"] for row in rows])
    assert labels.true == {(0, 1)} and labels.only == {(0, 1), (1, 2)}
