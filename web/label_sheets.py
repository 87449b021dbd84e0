"""Sheets of labels that can be bought, and what is on a label; `label_pdf.py` draws them."""

from __future__ import annotations

from dataclasses import dataclass

CODES = ("code128", "qr")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of A4 with labels in columns and rows; all measures in millimetres. `left` and
    `top` are the sheet's own margins, `across` and `down` from one label to the next."""

    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    across: float
    down: float

    @property
    def labels(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows


SHEETS = {
    "70x37": Sheet(3, 8, 70.0, 37.0, 0.0, 0.5, 70.0, 37.0),
    "63x38": Sheet(3, 7, 63.5, 38.1, 7.2, 15.1, 66.0, 38.1),
    "48x25": Sheet(4, 11, 48.5, 25.4, 8.0, 8.8, 48.5, 25.4),
}
"""Sheets sold in any stationer's shop (measures common practice, from memory)."""


@dataclass(frozen=True, slots=True)
class Label:
    """What is on one label: the mark in large letters, what a reader types, a line about it."""

    mark: str
    scanned: str
    about: str = ""
