"""The Parquet files of a publication: their columns, written and read. Only here is pyarrow known.

Every program that reads Parquet reads them; DEVELOPERS.md tells what each column means.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.parquet as pq
from numpy.typing import NDArray

Ints = NDArray[np.int64]

UNREADABLE = (pa.ArrowException, OSError, ValueError)
"""What reading raises of a file that is signed, and damaged behind its footer."""

_TEXTS = (
    "title", "artist", "version", "genre", "language", "voice", "album", "composer", "work",
    "movement", "soloist", "conductor", "label", "isrc",
)  # fmt: skip

SCHEMAS: dict[str, Any] = {
    "recordings": pa.schema(
        [
            pa.field("number", pa.int64(), nullable=False),
            *(pa.field(name, pa.string(), nullable=False) for name in _TEXTS),
            pa.field("year", pa.int64()),
            pa.field("tempo", pa.float64()),
            pa.field("length_s", pa.float64()),
            pa.field("position", pa.string(), nullable=False),
            pa.field("sound", pa.string(), nullable=False),
            pa.field("also_known_as", pa.list_(pa.string()), nullable=False),
            pa.field("refrains", pa.list_(pa.string()), nullable=False),
            pa.field("artist_also_known_as", pa.list_(pa.string()), nullable=False),
        ]
    ),
    "holdings": pa.schema(
        [
            pa.field("number", pa.int64(), nullable=False),
            pa.field("carrier", pa.string(), nullable=False),
            pa.field("copies", pa.int64(), nullable=False),
            pa.field("lendable", pa.int64(), nullable=False),
        ]
    ),
    "removed": pa.schema([pa.field("number", pa.int64(), nullable=False)]),
}
"""The columns of each kind of file, in their order."""

RECORDING = tuple(SCHEMAS["recordings"].names)
HOLDING = tuple(SCHEMAS["holdings"].names)

_GROUP_ROWS = 50_000
"""Rows in one row group: read at once, some ten megabytes."""


class Writer:
    """Writes one file, batch by batch."""

    def __init__(self, path: Path, kind: str) -> None:
        self.path, self.kind, self.rows = path, kind, 0
        self._schema = SCHEMAS[kind]
        self._file = pq.ParquetWriter(path, self._schema, compression="zstd")
        self._waiting: list[Sequence[Any]] = []

    def write(self, rows: Sequence[Sequence[Any]]) -> None:
        """Write rows, each with the values of the columns in their order."""
        self._waiting += rows
        self.rows += len(rows)
        while len(self._waiting) >= _GROUP_ROWS:
            self._write(self._waiting[:_GROUP_ROWS])
            del self._waiting[:_GROUP_ROWS]

    def close(self) -> None:
        """Finish the file."""
        if self._waiting:
            self._write(self._waiting)
            self._waiting = []
        self._file.close()

    def _write(self, rows: Sequence[Sequence[Any]]) -> None:
        columns = list(zip(*rows, strict=True))
        arrays = [
            pa.array(column, field.type)
            for column, field in zip(columns, self._schema, strict=True)
        ]
        self._file.write_table(pa.Table.from_arrays(arrays, schema=self._schema))


def wrong_with(path: Path, kind: str, rows: int) -> str:
    """What speaks against a file of this kind and so many rows; nothing if it is as it should be.

    Only its footer is read.
    """
    try:
        file = pq.ParquetFile(path)
    except UNREADABLE:
        return "it cannot be read as Parquet"
    with file:
        if file.metadata.num_rows != rows:
            return f"it has {file.metadata.num_rows} rows instead of {rows}"
        if not file.schema_arrow.equals(SCHEMAS[kind]):
            return "its columns are not those of this version"
    return ""


def batches(
    path: Path, columns: Sequence[str] | None = None, between: tuple[int, int] | None = None
) -> Iterator[Any]:
    """The file's record batches, a row group at most each.

    With `between`, row groups are passed over that have no number from the first to the second.
    """
    with pq.ParquetFile(path, memory_map=True) as file:
        groups = [
            group for group in range(file.num_row_groups)
            if between is None or _meets(file.metadata.row_group(group).column(0), *between)
        ]  # fmt: skip
        yield from file.iter_batches(_GROUP_ROWS, row_groups=groups, columns=columns)


def _meets(column: Any, first: int, last: int) -> bool:
    told = _told(column)
    return told is None or (told[0] <= last and told[1] >= first)


def _told(column: Any) -> tuple[int, int] | None:
    """The least and the greatest value of a column chunk as its footer tells them."""
    told = column.statistics
    return (told.min, told.max) if told is not None and told.has_min_max else None


def odd_footer(path: Path) -> str:
    """What the footer tells of rows and numbers that is not so; nothing if all is.

    By its least and greatest numbers row groups are passed over later: where they are wrong, or
    the rows are not as many, recordings would be lost without a word. All numbers are read.
    """
    rows = 0
    with pq.ParquetFile(path, memory_map=True) as file:
        for group in range(file.num_row_groups):
            column = file.read_row_group(group, ["number"]).column(0)
            rows += len(column)
            least, most = pc.min_max(column).as_py().values()
            told = _told(file.metadata.row_group(group).column(0))
            if told is not None and least is not None and not told[0] <= least <= most <= told[1]:
                return "its numbers are not those that its footer says"
        return "" if rows == file.metadata.num_rows else "it has other rows than its footer says"


def numbers(path: Path) -> Ints:
    """The column `number` of a file."""
    parts = [batch.column(0).to_numpy() for batch in batches(path, ["number"])]
    return np.concatenate([np.zeros(0, np.int64), *parts])


def kept(batch: Any, wanted: Ints) -> Any:
    """The rows of a batch whose number is among `wanted`, which is sorted."""
    found = among(batch.column("number").to_numpy(), wanted)
    return batch if found.all() else batch.filter(pa.array(found))


def among(some: Ints, ordered: Ints) -> NDArray[np.bool_]:
    """For each number whether it is among ordered ones."""
    if not len(ordered):
        return np.zeros(len(some), bool)
    at = np.minimum(np.searchsorted(ordered, some), len(ordered) - 1)
    result: NDArray[np.bool_] = ordered[at] == some
    return result


def rows(batch: Any) -> Iterable[tuple[Any, ...]]:
    """The rows of a batch as tuples."""
    return zip(*(column.to_pylist() for column in batch.columns), strict=True)


def odd_values(batch: Any, kind: str) -> str:
    """What cannot be in a batch of this kind, though its columns are right; nothing if all can."""
    for field in SCHEMAS[kind]:
        if not field.nullable and batch.column(field.name).null_count:
            return f"“{field.name}” is missing in some rows"
    if kind == "holdings" and batch.num_rows:
        copies, lendable = batch.column("copies"), batch.column("lendable")
        if pc.min(copies).as_py() < 1 or pc.min(lendable).as_py() < 0:
            return "a number of copies is below what can be"
        if not pc.all(pc.less_equal(lendable, copies)).as_py():
            return "more copies are lent than there are"
    if kind == "recordings" and batch.num_rows and pc.min(batch.column("number")).as_py() < 1:
        return "a recording's number is below 1"
    return ""
