"""Against labelled data from outside: the HPI freeDB discs (CC0, see the README beside them)."""

from __future__ import annotations

from pathlib import Path

import pytest

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


def test_older_files_and_numbers_of_spreadsheets_are_read(tmp_path):
    """Windows line ends, Windows-1252, a column that is all empty, ids as 12.0."""
    records, pairs = tmp_path / "r.csv", tmp_path / "p.csv"
    records.write_bytes("id,title,year\r\n1,Caf\xe9,\r\n2,Caf\xe9,\r\n".encode("cp1252"))
    pairs.write_bytes(b"id1\tid2\r\n1.0\t2.0\r\n2\t9\r\n")
    rows = read_records(records)
    assert [row["title"] for row in rows] == ["Café", "Café"]
    assert read_pairs(pairs, ["1", "2"]).true == {(0, 1)}


@pytest.mark.parametrize(
    ("records", "pairs", "said"),
    [
        ("", "", "has no records"),
        ("number,title\n1,Tide\n", "", "no column “id”, only: number, title"),
        ("id,price\n1,3\n", "", "nothing to compare"),
        ("id,title\n1,Tide\n1,Lamp\n", "", "records 1 and 2 both have the id 1"),
        ("id,title\n1,Tide\n,Lamp\n", "", "record 2 has no id"),
        ("id,title,Title\n1,a,b\n", "", "two columns called “title”"),
        ("id,title\n1,\0\n", "", "is no text"),
        ("id,title\n1,Tide\n2,Tide\n", "", "has no pairs"),
        ("id,title\n1,Tide\n2,Tide\n", "id1\n1\n", "needs two columns"),
        ("id,title\n1,Tide\n2,Tide\n", "id1,id2\n8,9\n", "no pair names two records"),
        ("id,title\n1,Tide\n2,Tide\n", "id1,id2,label\n1,2,perhaps\n", "neither 1 nor 0"),
        ("id,title\n1,Tide\n2,Tide\n", "id1,id2,label\n1,2,1\n2,1,0\n", "pairs 1 and 2"),
    ],
)
def test_a_list_that_cannot_be_used_says_why(tmp_path, records, pairs, said):
    first, second = tmp_path / "r.csv", tmp_path / "p.csv"
    first.write_text(records)
    second.write_text(pairs)
    with pytest.raises(SystemExit, match=said):
        read_pairs(second, [row["id"] for row in read_records(first)])


def test_a_list_that_is_not_there_says_so(tmp_path):
    with pytest.raises(SystemExit, match="cannot be read: No such file"):
        read_records(tmp_path / "none.csv")
