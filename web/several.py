"""Many records at once: choose, say what is to change, look what would, do it, take it back."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, current_app, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import edit_many
from catalogue.edit_many import OF_DISC, OF_RECORDING, Edit, Outcome, Wording
from catalogue.errors import BadInput, NotFound
from catalogue.records import Condition, Voice
from importers import jobs
from importers.jobs import Job
from web import edit_jobs, place_box, several_view
from web.chosen import Chosen, chosen
from web.job_starting import Workers
from web.shelves import year_typed
from web.station import go, now, station, who
from web.texts import said, t

desk = Blueprint("several", __name__, url_prefix="/shelves/several")

AT_ONCE = 500
"""Records that are changed while the page waits, in well under a second; more are a job."""

KINDS = ("edit", "undo")
"""Kinds of jobs that are told of here."""

_TYPED = (
    *OF_RECORDING, *OF_DISC, *(f"empty_{name}" for name in (*OF_RECORDING, *OF_DISC)),
    "wording", "old", "new", "whole", "new_place",
)  # fmt: skip


@desk.get("")
def page() -> str:
    """What is chosen, and the form for it."""
    one = chosen(station().store, request.args)
    return _form(one, {})


@desk.post("/look")
def look() -> str:
    """What would change. Nothing is changed yet."""
    one, typed = chosen(station().store, request.form), _typed()
    try:
        return _preview(one, typed)
    except BadInput as problem:
        return _form(one, typed, said(problem.message))


@desk.post("/do")
def do() -> Response | str:
    """Change them: a few at once, many beside the desks."""
    store, typed = station().store, _typed()
    one = chosen(store, request.form)
    if request.form.get("seen") != one.mark:
        flash(t("several.other_now"))
        return look()
    try:
        edit = _edit(typed, make_place=True)
    except BadInput as problem:
        return _form(one, typed, said(problem.message))
    what = t("did.several", fields=several_view.fields_of(edit))
    if len(one.ids) > AT_ONCE:
        options = {"ids": list(one.ids), "edit": edit_jobs.kept(edit), "what": what}
        job_id = workers().start(store, "edit", "", options, who(), now())
        return go(url_for("several.job", job_id=job_id))
    outcome = edit_many.run(store, one.ids, edit, who(), what, now())
    told = several_view.preview(outcome, done=True)
    flash(" ".join((*told.sentences, *told.passed_over)))
    if outcome.action_id is not None:
        flash(t("several.can_be_taken_back"))
    return go(url_for("shelves.page", **_list_of(one)))


@desk.get("/jobs/<int:job_id>")
def job(job_id: int) -> str:
    """How far a long edit is, or what came of it."""
    return render_template("shelves/several_job.html", job=_progress(job_id))


@desk.get("/jobs/<int:job_id>/progress")
def progress(job_id: int) -> str:
    """The part of that page that changes while it goes on."""
    return render_template("shelves/several_far.html", job=_progress(job_id))


@desk.post("/jobs/<int:job_id>/stop")
def stop(job_id: int) -> Response:
    """Stop a long edit; what is done is kept, and can be taken back."""
    jobs.wish_to_stop(station().store, _job(job_id).id)
    return go(url_for("several.job", job_id=job_id))


def take_back(action_id: int, what: str) -> Response:
    """Take a long edit back beside the desks, and lead to how far it is."""
    options = {"action_id": action_id, "what": what}
    job_id = workers().start(station().store, "undo", "", options, who(), now())
    return go(url_for("several.job", job_id=job_id))


def workers() -> Workers:
    """The programs that this server has started."""
    found: Workers = current_app.extensions["asheard_workers"]
    return found


def _job(job_id: int) -> Job:
    found = jobs.get(station().store, job_id)
    if found.kind not in KINDS:
        raise NotFound(t("several.no_such"))
    return found


def _progress(job_id: int) -> several_view.Progress:
    return several_view.progress(station().store, workers(), _job(job_id), now().date())


def _form(one: Chosen, typed: dict[str, str], problem: str = "") -> str:
    shown = several_view.page(station().store, one, typed)
    return render_template("shelves/several.html", page=shown, problem=problem)


def _preview(one: Chosen, typed: dict[str, str]) -> str:
    store = station().store
    outcome: Outcome = edit_many.look(store, one.ids, _edit(typed))
    return render_template(
        "shelves/several_look.html",
        page=several_view.page(store, one, typed),
        preview=several_view.preview(outcome),
        typed=[(name, value) for name, value in typed.items() if value],
    )


def _typed() -> dict[str, str]:
    """What was typed; `whole` is a tick, and so is each `empty_`."""
    return {name: " ".join(request.form.get(name, "").split()) for name in _TYPED}


def _edit(typed: dict[str, str], *, make_place: bool = False) -> Edit:
    """What is to be changed; a place that is said to be new is put on the list if `make_place`.

    Raises BadInput.
    """
    values: dict[str, Any] = {}
    for name in (*OF_RECORDING, *OF_DISC):
        text, empty = typed[name], bool(typed[f"empty_{name}"])
        if text and empty:
            raise BadInput(t("several.both", field=several_view.field_words(name)))
        if not text and not empty:
            continue
        values[name] = _value(name, text)
    wording = None
    if typed["old"] or typed["new"]:
        wording = Wording(typed["wording"], typed["old"], typed["new"], typed["whole"] == "yes")
    edit = Edit(values, wording)
    edit.check()
    if values.get("place"):
        values["place"] = place_box.placed() if make_place else place_box.meant()
    return edit


def _value(name: str, text: str) -> Any:
    if name == "year":
        return year_typed(text)
    few = {"voice": [str(v) for v in Voice], "condition": [str(c) for c in Condition]}
    if name in few and text not in few[name]:
        raise BadInput(t("several.choose", field=several_view.field_words(name)))
    return text


def _list_of(one: Chosen) -> dict[str, str]:
    """Back to the list as it was, if it was a search."""
    return {name: value for name, value in one.fields if name != "all"} if one.by_search else {}
