"""A process that reads sheets for another: `python -m importers.sheet_worker`. Knows calamine.

It takes the path of an xlsx, xls or ods file as a line of JSON and answers with a line of JSON,
until its input ends. A process of its own since a damaged sheet can do to it what no `except`
catches: have calamine panic, ask for more memory than there is, or go round in a circle. Its
memory and its time are bounded where the system knows of that.
"""

from __future__ import annotations

import json
import math
import sys
from contextlib import suppress
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from python_calamine import CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

MOST_BYTES = 3 << 30
"""Address space: calamine takes some 64 bytes a cell, and a list has at most 8 million."""

SECONDS, SECONDS_A_MEGABYTE = 1, 2
"""Processor time that one sheet may take: a list of 300,000 rows, 15 MB, takes some five."""


def answer(path: Path, most_cells: int) -> dict[str, Any]:
    """The tables of the shown sheets, or how many cells one would have if those are too many."""
    book = CalamineWorkbook.from_path(str(path))
    shown = [
        sheet.name
        for sheet in book.sheets_metadata
        if sheet.typ == SheetTypeEnum.WorkSheet and sheet.visible == SheetVisibleEnum.Visible
    ]
    tables = []
    for name in shown:
        sheet = book.get_sheet_by_name(name)
        if (cells := sheet.total_height * sheet.total_width) > most_cells:
            return {"cells": cells}
        rows = sheet.to_python(skip_empty_area=False)
        tables.append((name, [[_cell(value) for value in row] for row in rows]))
    return {"tables": tables}


def _cell(value: object) -> str:
    """A cell of a sheet as somebody sees it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, datetime | date):
        return value.isoformat()[:10]
    if isinstance(value, time):
        return value.strftime("%H:%M:%S")
    if isinstance(value, timedelta):
        return f"{value.total_seconds():g}"
    return "" if value is None else str(value).strip()


def _bounded(path: Path) -> None:
    """Let the system end this process where one sheet takes too much."""
    with suppress(ImportError, OSError, ValueError):
        import resource  # noqa: PLC0415 - Windows has none

        used = resource.getrusage(resource.RUSAGE_SELF)
        megabytes = path.stat().st_size >> 20
        most = math.ceil(used.ru_utime + used.ru_stime) + SECONDS + SECONDS_A_MEGABYTE * megabytes
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        resource.setrlimit(resource.RLIMIT_CPU, (most, resource.RLIM_INFINITY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> None:
    """Answer until there are no more."""
    for line in sys.stdin:
        name, most_cells = json.loads(line)
        path = Path(name)
        _bounded(path)
        try:
            told = answer(path, most_cells)
        except BaseException as problem:  # a panic of Rust's is no Exception
            if isinstance(problem, KeyboardInterrupt | SystemExit):
                raise
            told = {}
        sys.stdout.write(json.dumps(told) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
