"""Lists of records and labelled pairs, read for the benchmark of duplicates."""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass
from pathlib import Path

from catalogue.described import Described, year_in
from importers.values import length_s

Pair = tuple[int, int]
_YES = frozenset({"1", "1.0", "true", "yes", "match", "same"})
_FIRST, _SECOND = ("id1", "id_1", "ltable_id", "left"), ("id2", "id_2", "rtable_id", "right")


@dataclass(frozen=True, slots=True)
class Labels:
    """The pairs that are one, by places; and, where labels were given, the pairs that count."""

    true: set[Pair]
    only: set[Pair]

    def within(self, true: set[Pair]) -> Labels:
        """The same labels for some of the true pairs."""
        return Labels(true, self.only)


def read_rows(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV with commas, semicolons or tabs; headings in small letters."""
    csv.field_size_limit(sys.maxsize)
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
        head = file.readline()
        mark = max(",;\t", key=head.count)
        file.seek(0)
        return [
            {(k or "").strip().lower(): (v or "").strip() for k, v in row.items() if k is not None}
            for row in csv.DictReader(file, delimiter=mark)
        ]


def read_records(path: Path) -> list[dict[str, str]]:
    """The records; each has an id."""
    rows = read_rows(path)
    if not rows or "id" not in rows[0]:
        raise SystemExit(f"{path} has no column “id”.")
    return rows


def read_pairs(path: Path, ids: list[str]) -> Labels:
    """The labelled pairs as places among these ids; those of unknown ids are told and left out."""
    place = {number: at for at, number in enumerate(ids)}
    rows = read_rows(path)
    if not rows:
        raise SystemExit(f"{path} has no pairs.")
    first = next((name for name in _FIRST if name in rows[0]), list(rows[0])[0])
    second = next((name for name in _SECOND if name in rows[0]), list(rows[0])[1])
    true, only, lost = set(), set(), 0
    for row in rows:
        a, b = place.get(row[first]), place.get(row[second])
        if a is None or b is None or a == b:
            lost += 1
            continue
        pair = (min(a, b), max(a, b))
        if "label" in row:
            only.add(pair)
        if row.get("label", "1").lower() in _YES:
            true.add(pair)
    if lost:
        print(f"{lost} pairs name records that are not in the list, or one record twice.")
    return Labels(true, only)


def described_of(rows: list[dict[str, str]]) -> Described:
    """The records as they are compared, by whatever columns there are."""
    described = Described()
    for row in rows:
        described.add(
            row["id"],
            row.get("title", ""),
            row.get("artist", ""),
            album=row.get("album", ""),
            tracks=row.get("tracks", ""),
            year=year_in(row.get("year", "")),
            length_s=length_s(row.get("length", "")),
        )
    return described
