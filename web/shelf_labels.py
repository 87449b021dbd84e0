"""Labels for discs: shelf marks in large letters and as a code to scan, on sheets as a PDF."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

from flask import Blueprint, render_template, request, send_file
from werkzeug import Response

from catalogue import filing, out_of_place
from catalogue.errors import BadInput, CatalogueError
from catalogue.records import Disc
from catalogue.store import Store
from web import wording
from web.label_sheets import CODES, SHEETS, Label
from web.station import station
from web.texts import said, t

desk = Blueprint("shelf_labels", __name__, url_prefix="/shelves/labels")

_MOST = 480
"""Labels of one PDF: twenty sheets, more than anybody sticks in an evening."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The form as it was sent: it comes back with what was wrong."""

    marks: str = ""
    beginning: str = ""
    sheet: str = "70x37"
    code: str = "code128"
    first: str = "1"


@desk.get("")
def page() -> str:
    """What labels to make, and on what."""
    return _page(Asked(marks=request.args.get("mark", "")), "")


@desk.post("")
def make() -> Response | tuple[str, int]:
    """The sheets, or the form again with what is wrong with it."""
    form = request.form
    asked = Asked(
        form.get("marks", ""),
        form.get("beginning", ""),
        form.get("sheet", ""),
        form.get("code", ""),
        form.get("first", ""),
    )
    try:
        written = _pdf(station().store, asked)
    except CatalogueError as problem:
        return _page(asked, said(problem.message)), 400
    return send_file(
        BytesIO(written), "application/pdf", as_attachment=True, download_name="labels.pdf"
    )


def _page(asked: Asked, problem: str) -> str:
    return render_template(
        "shelves/labels.html",
        asked=asked,
        problem=problem,
        sheets=SHEETS,
        codes=CODES,
        measure=_measure,
    )


def _measure(millimetres: float) -> str:
    """A measure as the language writes it: 63.5, 63,5, 70."""
    return f"{millimetres:g}".replace(".", t("labels.decimal"))


def _pdf(store: Store, asked: Asked) -> bytes:
    if asked.sheet not in SHEETS or asked.code not in CODES:
        raise BadInput(t("refusal.number"))
    first = asked.first.strip()
    number = int(first) if first.isascii() and first.isdigit() and len(first) < 4 else 0
    discs = _discs(store, asked)
    if len(discs) > _MOST:
        raise BadInput(t("labels.too_many", count=len(discs), most=_MOST))
    shared = out_of_place.shared_marks(store)
    # Loaded when labels are printed, and not before: without it the desks still work.
    from web import label_pdf

    labels = [_label(disc, disc.shelf_mark in shared) for disc in discs]
    return label_pdf.pdf(labels, SHEETS[asked.sheet], asked.code, number)


def _discs(store: Store, asked: Asked) -> list[Disc]:
    """The discs named line by line, as they were named; then those of the shelf in its order."""
    found = {}
    for line in asked.marks.splitlines()[: _MOST + 1]:
        if line.strip():
            found |= {disc.id: disc for disc in out_of_place.marked(store, line)}
    if asked.beginning.strip():
        more = out_of_place.beginning(store, asked.beginning)
        more.sort(key=lambda disc: filing.mark_order(disc.shelf_mark))
        found |= {disc.id: disc for disc in more}
    return list(found.values())


def _label(disc: Disc, shared: bool) -> Label:
    """Where two discs share a mark, the carrier is scanned before it."""
    scanned = f"{disc.carrier.value} {disc.shelf_mark}" if shared else disc.shelf_mark
    carrier = wording.disc_label(disc).carrier
    about = ", ".join(part for part in (carrier, disc.title, disc.place) if part)
    return Label(disc.shelf_mark, scanned, about)
