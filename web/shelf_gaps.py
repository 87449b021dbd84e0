"""Wants and gaps: what was asked for and is not here, what came, and what else is lacking."""

from __future__ import annotations

import tempfile
from pathlib import Path

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response
from werkzeug.datastructures import FileStorage

from catalogue import catalogue_rows, demand, gaps, missing_copies, undo, wants
from catalogue.errors import BadInput, NotFound
from catalogue.records import Condition
from importers import offered_lists
from web import gaps_view, wording
from web.asked import number
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("gaps", __name__, url_prefix="/shelves")

_ON_PAGE = 25
"""Lines of what was asked for on the first page; the list of wants has them all."""

_ON_LIST = 200
"""Lines on a page of the list of wants."""


@desk.get("/gaps")
def page() -> str:
    """What came, what was asked for and is not on the list yet, and the other kinds of gaps."""
    store = station().store
    known = demand.wanted(store, gaps_view.meant())
    every = gaps_view.unmet(store, known)
    wanted = [unmet for unmet in every if unmet.want_ids]
    return render_template(
        "shelves/gaps.html",
        came=gaps_view.arrivals(store, known),
        not_on_list=gaps_view.wishes([one for one in every if not one.want_ids][:_ON_PAGE]),
        on_list=gaps_view.wishes(wanted[:_ON_PAGE]),
        wanted=len(wanted),
        kinds=gaps_view.kinds(store),
    )


@desk.get("/gaps/<name>")
def kind(name: str) -> str:
    """The gaps of one kind, each with its one action."""
    if name not in gaps_view.KINDS:
        raise NotFound(t("gaps.no_such"))
    lines = gaps_view.gaps_of(station().store, name)
    return render_template(
        "shelves/gaps_of_kind.html",
        title=t(f"gaps.{name}"),
        what=t(f"gaps.{name}_what"),
        empty=t(f"gaps.{name}_none"),
        lines=lines,
    )


@desk.get("/gaps/lacking/<name>")
def lacking(name: str) -> str:
    """The recordings that lack one field, those played most first."""
    if name not in {field.name for field in gaps.missing_fields(station().store)}:
        raise NotFound(t("gaps.no_such"))
    found = gaps.lacking(station().store, name, gaps_view.LISTED)
    lines = [
        gaps_view.Gap(
            str(recording.id), wording.name(recording), wording.about(recording),
            url_for("shelves.recording", recording_id=recording.id), t("gaps.write_in"), "",
            go_to=url_for("shelves.recording", recording_id=recording.id, _anchor=f"f-{name}"),
        )
        for recording in found
    ]  # fmt: skip
    return render_template(
        "shelves/gaps_of_kind.html",
        title=t("gaps.lacking", field=t(f"gap.{name}")),
        what=t("gaps.lacking_what"),
        empty=t("gaps.fields_none"),
        lines=lines,
    )


@desk.get("/wants")
def want_list() -> str:
    """The list of wants, most wanted first, a page at a time."""
    store = station().store
    known = demand.wanted(store, gaps_view.meant())
    every = gaps_view.on_list(store, known)
    text = request.args.get("from", "")
    begin = int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0
    begin = min(begin, max(0, (len(every) - 1) // _ON_LIST * _ON_LIST))
    end = begin + _ON_LIST
    return render_template(
        "shelves/wants.html",
        came=gaps_view.arrivals(store, known) if not begin else (),
        wishes=gaps_view.wishes(every[begin:end]),
        count=t("gaps.on_list", count=wording.count(len(every)), first=wording.count(begin + 1),
                last=wording.count(min(end, len(every)))) if len(every) > _ON_LIST else "",
        before=url_for("gaps.want_list", **{"from": max(0, begin - _ON_LIST)}) if begin else "",
        after=url_for("gaps.want_list", **{"from": end}) if end < len(every) else "",
    )  # fmt: skip


@desk.get("/wants/print")
def fair() -> str:
    """The list of wants on paper, with a box to tick, for a record fair."""
    return render_template(
        "shelves/fair.html",
        wishes=gaps_view.wishes(gaps_view.on_list(station().store)),
        made=wording.full_day(now().date()),
    )


@desk.get("/wants/donor")
def donor() -> str:
    """Where a donor's list is put in."""
    return render_template("shelves/donor.html", lines=None, text="", told="")


@desk.post("/wants/donor")
def compare() -> str:
    """A donor's list marked against the list of wants, and against what is held."""
    store, text = station().store, request.form.get("lines", "")
    given = request.files.get("list")
    offered = _read(given) if given and given.filename else offered_lists.lines_of(text)
    if not offered:
        raise BadInput(t("donor.nothing"))
    marked = demand.marked(store, gaps_view.on_list(store), offered, gaps_view.meant_now())
    lines = [gaps_view.offered(offer) for offer in marked]
    told = t(
        "donor.told",
        lines=len(lines),
        wanted=sum(line.wanted for line in lines),
        held=sum(offer.held for offer in marked),
    )
    return render_template("shelves/donor.html", lines=lines, text=text, told=told)


def _read(given: FileStorage) -> list[tuple[str, str]]:
    """A list that was given, kept only as long as it is read."""
    suffix = Path(given.filename or "").suffix.lower()
    if not suffix.isascii() or len(suffix) > 6:
        suffix = ".txt"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"list{suffix}"
        given.save(path)
        return offered_lists.read(path)


@desk.post("/wants/put")
def put() -> Response:
    """Put something on the list of wants: a recording, or a title and an artist."""
    store, recording_id = station().store, number("recording_id")
    if recording_id is not None:
        title = catalogue_rows.recording(store, recording_id).title
        demand.put_on_list(store, recording_id, who(), now())
    else:
        title = request.form.get("title", "").strip()
        wants.add(store, title, request.form.get("artist", ""), None, who(), now())
    flash(t("gaps.on_list_now", title=title or request.form.get("artist", "")))
    return go(_back())


@desk.post("/wants/close")
def close() -> Response:
    """Take something off the list of wants."""
    ids = request.form.get("want_ids", "").split(",")
    if not all(text.isascii() and text.isdigit() and len(text) < 19 for text in ids):
        raise BadInput(t("refusal.number"))
    with undo.action(station().store, who(), t("did.closed_wants"), now()):
        for text in ids:
            wants.close(station().store, int(text), who(), now())
    flash(t("gaps.closed"))
    return go(_back())


@desk.post("/wants/<int:want_id>/is-not/<int:recording_id>")
def is_not(want_id: int, recording_id: int) -> Response:
    """What came is not what was wanted."""
    wants.is_not(station().store, want_id, recording_id, who(), now())
    flash(t("gaps.still_wanted"))
    return go(_back())


@desk.post("/gaps/found/<int:holding_id>")
def found(holding_id: int) -> Response:
    """A copy is in its place again."""
    missing_copies.found(station().store, holding_id, who(), now())
    flash(t("gaps.noted"))
    return go(url_for("gaps.kind", name="lost"))


@desk.post("/gaps/mended/<int:disc_id>")
def mended(disc_id: int) -> Response:
    """A damaged disc plays again, or was replaced."""
    store = station().store
    mark = catalogue_rows.disc(store, disc_id).shelf_mark
    with undo.action(store, who(), t("did.mended", mark=mark), now()):
        catalogue_rows.change_disc(store, disc_id, condition=Condition.GOOD)
    flash(t("gaps.noted"))
    return go(url_for("gaps.kind", name="lost"))


def _back() -> str:
    """The page the form was on."""
    name = request.form.get("back", "")
    if name in gaps_view.KINDS:
        return url_for("gaps.kind", name=name)
    return url_for("gaps.want_list") if name == "wants" else url_for("gaps.page")
