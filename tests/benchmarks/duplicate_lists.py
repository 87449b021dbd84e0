"""Lists of records and labelled pairs, read for the benchmark of duplicates."""

from __future__ import annotations

import csv
import io
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from catalogue.described import Described, year_in
from importers.values import length_s

Pair = tuple[int, int]
COMPARED = ("artist", "title", "album", "year", "length", "tracks")
_YES = frozenset({"1", "1.0", "true", "yes", "match", "same"})
_NO = frozenset({"0", "0.0", "false", "no", "non-match", "different"})
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
    """Rows of a CSV with commas, semicolons or tabs; headings in small letters.

    A file that cannot be read, or is no list, ends the run with a sentence that says why.
    """
    csv.field_size_limit(sys.maxsize)
    text = _text(path)
    head = text.partition("\n")[0]
    lines = csv.DictReader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=head.count))
    try:
        headings = [(name or "").strip().lower() for name in lines.fieldnames or ()]
        rows = [
            {k.strip().lower(): (v or "").strip() for k, v in row.items() if k is not None}
            for row in lines
        ]
    except csv.Error as problem:
        raise SystemExit(f"{path}, line {lines.line_num}: {problem}.") from None
    if twice := [name for name, n in Counter(filter(None, headings)).items() if n > 1]:
        raise SystemExit(f"{path} has two columns called “{twice[0]}”. Give them different names.")
    return rows


def _text(path: Path) -> str:
    """The file as text: UTF-8, or else Windows-1252, as older programs write."""
    try:
        data = path.read_bytes()
    except OSError as problem:
        raise SystemExit(f"{path} cannot be read: {problem.strerror}.") from None
    if b"\0" in data:
        raise SystemExit(f"{path} is no text. Save the list as CSV in UTF-8.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def read_records(path: Path) -> list[dict[str, str]]:
    """The records; each has an id of its own, and there is something to compare."""
    rows = read_rows(path)
    if not rows:
        raise SystemExit(f"{path} has no records. The first line is for the headings.")
    if "id" not in rows[0]:
        raise SystemExit(f"{path} has no column “id”, only: {', '.join(rows[0])}.")
    if not set(COMPARED) & set(rows[0]):
        raise SystemExit(f"{path} has nothing to compare. It needs any of: {', '.join(COMPARED)}.")
    first: dict[str, int] = {}
    for number, row in enumerate(rows, 1):
        if not row["id"]:
            raise SystemExit(f"{path}: record {number} has no id.")
        if row["id"] in first:
            raise SystemExit(
                f"{path}: records {first[row['id']]} and {number} both have the id {row['id']}."
            )
        first[row["id"]] = number
    return rows


def read_pairs(path: Path, ids: list[str]) -> Labels:
    """The labelled pairs as places among these ids; those of unknown ids, of one record twice,
    and those with an empty label are told and left out."""
    place = {number: at for at, number in enumerate(ids)}
    rows = read_rows(path)
    if not rows:
        raise SystemExit(f"{path} has no pairs.")
    columns = list(rows[0])
    if len(columns) < 2:
        raise SystemExit(f"{path} needs two columns, id1 and id2. It has only: {columns[0]}.")
    first = next((name for name in _FIRST if name in columns), columns[0])
    second = next((name for name in _SECOND if name in columns), columns[1])
    said: dict[Pair, tuple[bool, int]] = {}
    lost = 0
    for number, row in enumerate(rows, 1):
        a, b = (_place(row[name], place) for name in (first, second))
        label = row.get("label", "1").lower()
        if a is None or b is None or a == b or not label:
            lost += 1
            continue
        if label not in _YES | _NO:
            raise SystemExit(f"{path}, pair {number}: the label “{label}” is neither 1 nor 0.")
        pair = (min(a, b), max(a, b))
        if said.setdefault(pair, (label in _YES, number))[0] != (label in _YES):
            raise SystemExit(
                f"{path}: pairs {said[pair][1]} and {number} are the same two records, "
                "once with the label 1 and once with 0."
            )
    if not said:
        raise SystemExit(f"{path}: no pair names two records of the list.")
    if lost:
        print(f"{lost} of {len(rows)} pairs name a record that is not in the list, or one record "
              "twice, or have an empty label. They are left out.")  # fmt: skip
    true = {pair for pair, (is_one, _) in said.items() if is_one}
    return Labels(true, set(said) if "label" in columns else set())


def _place(number: str, place: dict[str, int]) -> int | None:
    """Where the record of this id is; spreadsheets write 12 as 12.0."""
    return place.get(number, place.get(number.removesuffix(".0")))


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
