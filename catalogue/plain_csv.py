"""Tables as CSV that a spreadsheet opens as what they are: text, and no formulas.

RFC 4180 with CRLF, in UTF-8 with the mark by which spreadsheets know it. A cell that a
spreadsheet would take for a formula gets an apostrophe in front (OWASP, "CSV Injection").
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠")
"""Signs that a sheet would take for the beginning of a formula, their wide forms too."""


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

    >>> harmless("=1+1"), harmless(" =1+1"), harmless("-23.0"), harmless("?")
    ("'=1+1", "' =1+1", '-23.0', '?')
    """
    bare = cell.lstrip("+-")
    number = bare.replace(".", "").replace(":", "").isdigit()
    risky = cell.startswith(_FORMULA) or cell.lstrip(" ").startswith(_FORMULA)
    return f"'{cell}" if risky and not number and len(cell) > 1 else cell


def as_it_was(cell: str) -> str:
    """A cell without the apostrophe that `harmless` put before it: for a list that comes back.

    >>> as_it_was("'=1+1"), as_it_was("'-23.0"), as_it_was("'Tis Pity")
    ('=1+1', "'-23.0", "'Tis Pity")
    """
    return cell[1:] if cell.startswith("'") and harmless(cell[1:]) == cell else cell
