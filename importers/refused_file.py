"""Rows that could not be used, written into a file to be mended and given again."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from catalogue.errors import BadInput
from catalogue.plain_csv import harmless
from importers.columns import WHY
from importers.report import Report


def text(report: Report) -> str:
    """The refused rows as CSV under the list's own headings, with a column saying why.

    A row of which several tracks were refused is in it once. Files are listed by their paths.
    """
    headings = [h for h in report.headings if h != WHY] or ["File"]
    rows: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for remark in report.refused:
        cells = remark.mend if report.headings and remark.mend else {headings[0]: remark.source}
        headings += [name for name in cells if name not in headings and name != WHY]
        whys = rows.setdefault(tuple((n, t) for n, t in cells.items() if n != WHY), [])
        whys += [remark.text] if remark.text not in whys else []
    written = io.StringIO(newline="")
    out = csv.writer(written)
    out.writerow([harmless(name) for name in (*headings, WHY)])
    for row, whys in rows.items():
        cells = dict(row)
        out.writerow(
            [*(harmless(cells.get(name, "")) for name in headings), harmless(" ".join(whys))]
        )
    return written.getvalue()


def write(report: Report, target: Path) -> int:
    """Write the refused rows to a file; returns how many remarks are in it.

    The file appears whole or not at all. Raises BadInput where it cannot be written.
    """
    partly = target.with_name(target.name + ".part")
    try:
        # With the mark by which spreadsheets know UTF-8.
        partly.write_text(text(report), encoding="utf-8-sig", newline="")
        partly.replace(target)
    except OSError as problem:
        raise BadInput(
            f"{target} cannot be written ({problem.strerror or problem}). Give another place."
        ) from problem
    return len(report.refused)
