"""What was taken in and needs a look by a person, as a list to be worked through."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, flash, render_template, request, url_for

from importers import looked_at
from web import wording
from web.station import go, now, station, who
from web.texts import said, t

desk = Blueprint("taking_in_looks", __name__, url_prefix="/shelves/needs-a-look")

_A_PAGE = 30
"""Lines on a page: an evening's work."""


@dataclass(frozen=True, slots=True)
class Line:
    """A file or row that needs a look, with its recording and its doubts as sentences."""

    id: int
    source: str
    recording_id: int
    title: str
    artist: str
    doubts: tuple[str, ...]


@desk.get("")
def page() -> str:
    """What needs a look, the latest first, a page at a time."""
    store = station().store
    text = request.args.get("from", "0")
    offset = min(int(text), 10**9) if text.isascii() and text.isdigit() else 0
    total = looked_at.how_many(store)
    found = looked_at.waiting(store, _A_PAGE, offset)
    return render_template(
        "taking_in/looks.html",
        count=t("looks.count", total=f"{total:,}") if total != 1 else t("looks.one"),
        total=total,
        lines=[
            Line(one.entry_id, one.source, one.recording_id, one.title, one.artist,
                 tuple(wording.as_sentence(said(note)) for note in one.notes))
            for one in found
        ],
        before=max(0, offset - _A_PAGE) if offset else None,
        after=offset + _A_PAGE if offset + _A_PAGE < total else None,
    )  # fmt: skip


@desk.post("/<int:entry_id>")
def look(entry_id: int) -> Response:
    """Note that somebody has looked at it."""
    looked_at.look(station().store, entry_id, who(), now())
    flash(t("looks.done"))
    return go(url_for("taking_in_looks.page"))
