"""Taking in, in the browser: lists and their columns, folders, measuring, and what came of it."""

from __future__ import annotations

from pathlib import Path, PurePosixPath, PureWindowsPath

from flask import Blueprint, Response, current_app, flash, render_template, request, url_for

from catalogue import measures, roots
from catalogue.errors import BadInput
from importers import accession, columns, job_files, jobs, looked_at, sound_measures, taking_in
from importers.jobs import Job
from web import given_lists, several, taking_in_view
from web.job_starting import Workers
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("taking_in", __name__, url_prefix="/shelves/taking-in")

_PAST = 20
"""Takings-in of the past that are listed."""


def workers() -> Workers:
    """The programs that do jobs for this server."""
    found: Workers = current_app.extensions["asheard_workers"]
    return found


def allow_large() -> None:
    """Let a list be larger than a form; runs before anything reads the request."""
    if request.endpoint == "taking_in.give_list":
        request.max_content_length = given_lists.LARGEST_BYTES


@desk.get("")
def page() -> str:
    """What can be taken in, what is under way, and what was taken in before."""
    store = station().store
    under_way = workers().under_way(store)
    taken = taking_in_view.takings(store)
    return render_template(
        "taking_in/page.html",
        under_way=_shown(under_way, taken) if under_way else None,
        progress=taking_in_view.progress(under_way) if under_way else None,
        folders=[root.path for root in roots.all_roots(store)],
        to_measure=measures.how_many_wait(store),
        can_measure=sound_measures.can(),
        to_look=looked_at.how_many(store),
        past=[_shown(job, taken) for job in jobs.latest(store, _PAST, several.KINDS)],
    )


@desk.post("/lists")
def give_list() -> Response:
    """Keep a list, and go on to its columns. A file that is no list is not kept."""
    store = station().store
    token = given_lists.keep(store, request.files.get("list"))
    try:
        taking_in.look_at_list(store, given_lists.find(store, token))
    except BadInput:
        given_lists.throw_away(store, token)
        raise
    kind = "known" if request.form.get("kind") == "known" else "list"
    return go(url_for("taking_in.list_columns", token=token, kind=kind))


@desk.get("/lists/<token>")
def list_columns(token: str) -> str:
    """How the columns of a list are understood, to be corrected before anything is stored."""
    store = station().store
    path = given_lists.find(store, token)
    return render_template(
        "taking_in/columns.html",
        name=path.name,
        token=token,
        kind="known" if request.args.get("kind") == "known" else "list",
        tables=taking_in_view.tables(taking_in.look_at_list(store, path)),
    )


@desk.post("/lists/<token>")
def take_list(token: str) -> Response:
    """Take a list in with its columns as they were corrected."""
    store, form = station().store, request.form
    path = given_lists.find(store, token)
    kind = "known" if form.get("kind") == "known" else "list"
    said: dict[str, tuple[str, ...]] = {}
    for guess in taking_in.look_at_list(store, path):
        if guess.shape not in said:
            said[guess.shape] = _fields(len(said), len(guess.headings))
    used = [fields for fields in said.values() if any(fields)]
    if said and not used:
        raise BadInput(t("taking.no_title"))
    if used and kind == "list" and not any("shelf_mark" in fields for fields in used):
        raise BadInput(t("taking.no_mark"))
    job_id = workers().start(store, kind, str(path), {"columns": said}, who(), now())
    return go(url_for("taking_in.report", job_id=job_id))


def _fields(table: int, width: int) -> tuple[str, ...]:
    """What somebody said of the columns of one table; all of them nothing leaves it out."""
    said = tuple(request.form.get(f"column-{table}-{i + 1}", "") for i in range(width))
    if any(field and ":" not in field and field not in columns.FIELDS for field in said):
        raise BadInput(t("refusal.other"))
    if not any(said):
        return said
    headed = request.form.get(f"headed-{table}") == "yes"
    mark = columns.HEADINGS_ARE if headed else columns.HEADINGS_ARE_NOT
    return (*columns.checked(said), mark)


@desk.post("/lists/<token>/throw-away")
def throw_away(token: str) -> Response:
    """Let go of a list that was given by mistake."""
    given_lists.throw_away(station().store, token)
    flash(t("taking.thrown_away"))
    return go(url_for("taking_in.page"))


@desk.post("/folders")
def take_folder() -> Response:
    """Take in a folder of this PC."""
    store, form = station().store, request.form
    path = form.get("path", "").strip() or form.get("root", "").strip()
    if not path:
        raise BadInput(t("taking.no_folder"))
    if not PurePosixPath(path).is_absolute() and not PureWindowsPath(path).is_absolute():
        raise BadInput(t("taking.whole_path"))
    folder = taking_in.folder_of(Path(path))
    options = {name: True for name in ("again", "gone") if form.get(name)}
    job_id = workers().start(store, "files", str(folder), options, who(), now())
    return go(url_for("taking_in.report", job_id=job_id))


@desk.post("/measuring")
def measure() -> Response:
    """Measure files that were not measured yet, or go on with it."""
    store = station().store
    if not sound_measures.can():
        sound_measures.require()  # says what to install
    job_id = workers().start(store, "measure", "", {}, who(), now())
    return go(url_for("taking_in.report", job_id=job_id))


@desk.get("/<int:job_id>")
def report(job_id: int) -> str:
    """One taking-in: how far it is, or what came of it."""
    return render_template("taking_in/report.html", **_report(job_id))


@desk.get("/<int:job_id>/progress")
def progress(job_id: int) -> str:
    """The part of the page that changes while it goes on."""
    return render_template("taking_in/job.html", **_report(job_id))


def _report(job_id: int) -> dict[str, object]:
    store = station().store
    job = jobs.get(store, job_id)
    return {
        "job": _shown(job, taking_in_view.takings(store)),
        "progress": taking_in_view.progress(job),
        "groups": taking_in_view.groups(store, job),
        "sentences": taking_in_view.sentences(job),
        "later": accession.later_work(store, job.what) if job.what else (),
    }


@desk.post("/<int:job_id>/stop")
def stop(job_id: int) -> Response:
    """Stop a job; what is done is kept."""
    jobs.wish_to_stop(station().store, jobs.get(station().store, job_id).id)
    return go(url_for("taking_in.report", job_id=job_id))


@desk.post("/<int:job_id>/go-on")
def go_on(job_id: int) -> Response:
    """Go on with a job that was stopped or broken off."""
    store = station().store
    job = jobs.get(store, job_id)
    options = {name: said for name, said in job.options.items() if name != "again"}
    new_id = workers().start(store, job.kind, job.source, options, who(), now())
    return go(url_for("taking_in.report", job_id=new_id))


@desk.post("/<int:job_id>/take-back")
def take_back(job_id: int) -> Response:
    """Take a whole taking-in back."""
    store = station().store
    accession.take_back_all(store, jobs.get(store, job_id).what, who(), now())
    flash(t("taking.now_taken_back"))
    return go(url_for("taking_in.report", job_id=job_id))


@desk.get("/<int:job_id>/report.csv")
def whole_report(job_id: int) -> Response:
    """All that came of a taking-in, a line for each file and row."""
    store = station().store
    job = jobs.get(store, job_id)
    return _file(job_files.report(store, job), f"report {job.id}.csv")


@desk.get("/<int:job_id>/to-mend.csv")
def to_mend(job_id: int) -> Response:
    """The rows that could not be used, with a column saying why."""
    store = station().store
    job = jobs.get(store, job_id)
    return _file(job_files.to_mend(store, job), f"to mend {job.id}.csv")


def _file(text: str, name: str) -> Response:
    """With the mark by which spreadsheets know UTF-8."""
    answer = Response(text.encode("utf-8-sig"), mimetype="text/csv")
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _shown(job: Job, taken: dict[str, bool]) -> taking_in_view.Shown:
    return taking_in_view.shown(station().store, workers(), job, taken)
