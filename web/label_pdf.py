"""Sheets of labels as a PDF: each with a shelf mark in large letters and in a code to scan."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.graphics.barcode.code128 import Code128
from reportlab.graphics.barcode.qr import QrCode
from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from catalogue.errors import BadInput
from web.label_sheets import Label, Sheet
from web.texts import t

_MARGIN_MM = 4.0
"""Left free on every side of a label: printers and sheets are seldom quite true."""

_QUIET_MM = 2.5
"""Left free beside the bars; ten of the narrowest bars, as ISO/IEC 15417 asks (from memory)."""

_NARROWEST_MM, _WIDEST_MM = 0.19, 0.4
"""The narrowest bar: under the first cheap readers fail (common practice, no source)."""

_MARK_FONT, _ABOUT_FONT = "Helvetica-Bold", "Helvetica"
_MARK_PT, _ABOUT_PT, _SMALLEST_PT = 20.0, 8.0, 8.0


def pdf(labels: Sequence[Label], sheet: Sheet, code: str, first: int = 1) -> bytes:
    """The sheets as a PDF; `first` is where on the first sheet they begin, from 1, so that a
    sheet begun can be used up.

    Raises BadInput for no labels, a place that is not on the sheet, or a mark that the code
    cannot hold on a label of this size.
    """
    if not labels:
        raise BadInput(t("labels.none"))
    if not 1 <= first <= sheet.labels:
        raise BadInput(t("labels.first_wrong", count=sheet.labels))
    written = BytesIO()
    canvas = Canvas(written, pagesize=A4, invariant=1)
    canvas.setTitle(t("labels.title"))
    for number, label in enumerate(labels, first - 1):
        place = number % sheet.labels
        if place == 0 and number > first - 1:
            canvas.showPage()
        row, column = divmod(place, sheet.columns)
        x = (sheet.left + column * sheet.across) * mm
        y = A4[1] - (sheet.top + row * sheet.down + sheet.height) * mm
        _draw(canvas, label, sheet, code, x, y)
    canvas.save()
    return written.getvalue()


def _draw(canvas: Canvas, label: Label, sheet: Sheet, code: str, x: float, y: float) -> None:
    """One label, its lower left corner at x, y in points."""
    margin = _MARGIN_MM * mm
    left, bottom = x + margin, y + margin
    width, height = sheet.width * mm - 2 * margin, sheet.height * mm - 2 * margin
    if code == "qr":
        side = min(height, width / 2)
        _qr(canvas, label.scanned, left + width - side, bottom + (height - side) / 2, side)
        _words(canvas, label, left, bottom + height, width - side - 2 * mm)
        return
    bars = height * 0.5
    _bars(canvas, label, left, bottom, width, bars)
    _words(canvas, label, left, bottom + height, width)


def _words(canvas: Canvas, label: Label, left: float, top: float, width: float) -> None:
    size, mark = _MARK_PT, _printable(label.mark)
    while size > _SMALLEST_PT and stringWidth(mark, _MARK_FONT, size) > width:
        size -= 1
    canvas.setFont(_MARK_FONT, size)
    canvas.drawString(left, top - size * 0.75, _cut(mark, _MARK_FONT, size, width))
    canvas.setFont(_ABOUT_FONT, _ABOUT_PT)
    about = _cut(_printable(label.about), _ABOUT_FONT, _ABOUT_PT, width)
    canvas.drawString(left, top - size * 0.75 - _ABOUT_PT * 1.3, about)


def _bars(
    canvas: Canvas, label: Label, left: float, bottom: float, width: float, high: float
) -> None:
    text = label.scanned
    if not all(" " <= sign <= "~" for sign in text):
        raise BadInput(t("labels.not_ascii", mark=label.mark))
    quiet = _QUIET_MM * mm
    modules = Code128(text, barWidth=1, quiet=False).width
    bar = min(_WIDEST_MM * mm, (width - 2 * quiet) / modules)
    if bar < _NARROWEST_MM * mm:
        raise BadInput(t("labels.too_long", mark=label.mark))
    drawn = Code128(text, barWidth=bar, barHeight=high, quiet=True, lquiet=quiet, rquiet=quiet)
    drawn.drawOn(canvas, left, bottom)


def _qr(canvas: Canvas, text: str, left: float, bottom: float, side: float) -> None:
    QrCode(text, qrLevel="M", width=side, height=side, qrBorder=2).drawOn(canvas, left, bottom)


def _cut(text: str, font: str, size: float, width: float) -> str:
    if stringWidth(text, font, size) <= width:
        return text
    while text and stringWidth(f"{text}...", font, size) > width:
        text = text[:-1]
    return f"{text.rstrip()}..." if text else ""


def _printable(text: str) -> str:
    """What the fonts that every PDF reader has can show; other signs become "?"."""
    return text.encode("cp1252", "replace").decode("cp1252")
