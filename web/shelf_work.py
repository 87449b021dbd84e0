"""The librarian's work: what was learnt, and taking back what was done."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import browse, lessons, work_in_parts
from catalogue.store import Store
from web import several, wording
from web.station import go, now, station, who
from web.texts import said, t

desk = Blueprint("shelf_work", __name__, url_prefix="/shelves")

_ACTIONS = 60
_LISTED = 50
"""Lines of one list: a volunteer's evening, not the whole of the work."""


@dataclass(frozen=True, slots=True)
class Done:
    """A line of what was done lately."""

    id: int
    at: str
    who: str
    what: str
    may_take_back: bool


@desk.get("/actions")
def actions() -> str:
    """What was done lately, and by whom."""
    return render_template("shelves/actions.html", lines=_done(station().store))


@desk.post("/actions/<int:action_id>/take-back")
def take_back(action_id: int) -> Response:
    """Put everything an action changed back as it was; a long work beside the desks."""
    store = station().store
    parts = work_in_parts.parts(store, action_id)
    if len(parts) > 1:
        return several.take_back(action_id, parts[-1].what)
    done = work_in_parts.take_back(store, action_id, who(), now())
    flash(t("actions.taken_back", what=done.what))
    recording = request.form.get("recording", "")
    if recording.isascii() and recording.isdigit() and len(recording) < 19:
        return go(url_for("record_more.history", recording_id=int(recording)))
    return go(url_for("shelf_work.actions"))


def page_of_lessons() -> str:
    """What was learnt from slips that went out, latest first."""
    return render_template("shelves/lessons.html", lessons=lessons.latest(station().store, _LISTED))


@desk.post("/lessons/<int:lesson_id>/unlearn")
def unlearn(lesson_id: int) -> Response:
    """Forget a wrong lesson."""
    lessons.unlearn(station().store, lesson_id, who(), now())
    flash(t("lessons.unlearnt"))
    recording = request.form.get("recording", "")
    if recording.isascii() and recording.isdigit() and len(recording) < 19:
        return go(url_for("shelves.recording", recording_id=int(recording)))
    return go(url_for("shelf_work.lessons"))


def _done(store: Store) -> list[Done]:
    today = now().date()
    lately = browse.done_on_shelves(store, _ACTIONS)
    taken = {a.takes_back for a in lately if a.takes_back is not None}
    return [
        Done(a.id, wording.clock_time(a.at, today), a.who, said(a.what),
             a.takes_back is None and a.id not in taken)
        for a in lately
    ]  # fmt: skip


desk.add_url_rule("/lessons", "lessons", page_of_lessons)
