"""What callers took and refused in place of what: to be seen, and to be forgotten."""

from __future__ import annotations

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import stand_in_lessons
from catalogue.errors import BadInput
from web import wording
from web.station import go, station
from web.texts import said, t

desk = Blueprint("stand_in_work", __name__, url_prefix="/shelves/stand-ins")

_LISTED = 200
"""Lessons on one page, those of most often first."""


@desk.get("")
def page() -> str:
    """What was learnt of stand-ins, most often first."""
    lines = [
        (one.id, said(one.asked) or t("learnt.no_record"), said(one.offered), _times(one))
        for one in stand_in_lessons.lessons(station().store, _LISTED)
    ]
    return render_template("shelves/stand_ins.html", lines=lines, most=len(lines) == _LISTED)


def _times(one: stand_in_lessons.Lesson) -> str:
    parts = []
    if one.taken:
        once = one.taken == 1
        parts.append(t("learnt.taken_once") if once else t("learnt.taken", count=one.taken))
    if one.refused:
        once = one.refused == 1
        parts.append(t("learnt.refused_once") if once else t("learnt.refused", count=one.refused))
    return "; ".join(parts)


@desk.post("/<int:lesson_id>/forget")
def forget(lesson_id: int) -> Response:
    """Forget one line."""
    stand_in_lessons.forget(station().store, lesson_id)
    flash(t("learnt.forgotten"))
    return go(url_for("stand_in_work.page"))


@desk.post("/forget-all")
def forget_all() -> Response:
    """Begin anew. It cannot be taken back, so the page asks for a tick first."""
    if not request.form.get("sure"):
        raise BadInput(t("learnt.not_sure"))
    count = stand_in_lessons.forget_all(station().store)
    flash(t("learnt.all_forgotten", count=wording.count(count)))
    return go(url_for("stand_in_work.page"))
