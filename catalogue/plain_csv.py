"""Tables as CSV that a spreadsheet opens as what they are: text, and no formulas.

RFC 4180 with CRLF, in UTF-8 with the mark by which spreadsheets know it. A cell that a
spreadsheet would take for a formula gets an apostrophe in front (OWASP, "CSV Injection").
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""Signs that a sheet would take for the beginning of a formula."""


def text(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """The table as text, the headings first; None is an empty cell."""
    written = io.StringIO(newline="")
    out = csv.writer(written)
    out.writerow([harmless(heading) for heading in headings])
    for row in rows:
        out.writerow(["" if cell is None else harmless(str(cell)) for cell in row])
    return written.getvalue()


def encoded(headings: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """The table as the bytes of a file."""
    return text(headings, rows).encode("utf-8-sig")


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula; numbers and signs alone stay.

    >>> harmless("=1+1"), harmless("-23.0"), harmless("?")
    ("'=1+1", '-23.0', '?')
    """
    bare = cell.lstrip("+-")
    risky = cell.startswith(_FORMULA) and not bare.replace(".", "").replace(":", "").isdigit()
    return f"'{cell}" if risky and len(cell) > 1 else cell
