"""Tables on disk between the steps of a build: written by one task, read in parts by others.

They are Arrow files, mapped and not read whole. A table shared out has one batch for each part,
so that a task reads its part of every chunk and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from catalogue.described import Described

Ints = NDArray[np.int64]

_DESCRIBED = tuple(f.name for f in fields(Described))


def write(path: Path, columns: Mapping[str, Any]) -> None:
    """Write a table of these columns."""
    write_table(path, pa.table(dict(columns)))


def write_table(path: Path, table: Any) -> None:
    """Write a table."""
    with pa.OSFile(str(path), "wb") as sink, pa.ipc.new_file(sink, table.schema) as file:
        file.write_table(table)


def read(path: Path) -> Any:
    """The table of a file, mapped."""
    return pa.ipc.open_file(pa.memory_map(str(path))).read_all()


def share_out(path: Path, table: Any, rows: Ints, parts: Ints, count: int) -> None:
    """Write rows of a table, each into its part from 0 to `count`; a row may be in several."""
    order = np.argsort(parts, kind="stable")
    ordered, bounds = rows[order], np.searchsorted(parts[order], np.arange(count + 1))
    with pa.OSFile(str(path), "wb") as sink, pa.ipc.new_file(sink, table.schema) as file:
        for part in range(count):
            some = table.take(pa.array(ordered[bounds[part] : bounds[part + 1]]))
            batches = some.combine_chunks().to_batches()
            empty = pa.RecordBatch.from_arrays(
                [pa.array([], field.type) for field in table.schema], schema=table.schema
            )
            file.write_batch(batches[0] if batches else empty)


def part(paths: Sequence[Path], number: int) -> Any:
    """One part of every file, one after another."""
    batches = []
    for path in paths:
        batches.append(pa.ipc.open_file(pa.memory_map(str(path))).get_batch(number))
    return pa.Table.from_batches(batches)


def taken(table: Any, rows: Ints) -> Any:
    """These rows of a table, in this order."""
    return table.take(pa.array(rows))


def joined(tables: Sequence[Any]) -> Any:
    """Tables one after another."""
    return pa.concat_tables(tables)


def with_columns(table: Any, columns: Mapping[str, Any]) -> Any:
    """The table with columns added."""
    for name, values in columns.items():
        table = table.append_column(name, pa.array(values))
    return table


def rows(table: Any, names: Sequence[str]) -> list[tuple[Any, ...]]:
    """The rows of a table as tuples of these columns."""
    return list(zip(*(table.column(name).to_pylist() for name in names), strict=True))


def numbers(table: Any, name: str) -> Ints:
    """A column of whole numbers."""
    result: Ints = table.column(name).to_numpy()
    return result


def described_columns(described: Described) -> dict[str, Any]:
    """What is compared of records, as columns of a table."""
    return {name: getattr(described, name) for name in _DESCRIBED}


def described_of(table: Any) -> Described:
    """What is compared of records, from the columns of a table."""
    return Described(**{name: table.column(name).to_pylist() for name in _DESCRIBED})


def concat_batches(batches: Sequence[Any], order_by: str) -> Any:
    """Record batches as one table, sorted by a column."""
    return pa.Table.from_batches(batches).sort_by(order_by)
