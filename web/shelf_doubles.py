"""Likely doubles: the search, a pair side by side, what was judged, and undoing it."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, make_response, render_template, request, url_for
from werkzeug import Response

from catalogue import (
    catalogue_rows,
    duplicates,
    judged,
    merging,
    search_runs,
    undo,
)
from catalogue.errors import BadInput, ChangedMeanwhile
from catalogue.store import Store
from catalogue.verdicts import Verdict
from web import doubles_view, pair_view, phone_call, searching, wording
from web.asked import number
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("doubles", __name__, url_prefix="/shelves/duplicates")

_ONE = "one"
"""The verdict "the same" with which the two are made one entry as well."""

_JUDGED_SHOWN = 100


@desk.get("")
def page() -> str:
    """What there is to judge, by kind, and how far the search is."""
    return render_template("shelves/doubles.html", page=doubles_view.page(station().store))


@desk.post("/search")
def search() -> Response:
    """Begin a search in the background."""
    searching.start(
        station().store, who(), station().clock, again=request.form.get("again") == "yes"
    )
    return go(url_for("doubles.page"))


@desk.get("/search")
def searched() -> Response | str:
    """How far the search is; the page asks for changes. At the end the page is made anew."""
    run = search_runs.latest(station().store)
    if run is None or run.ended_at is not None:
        done = make_response("", 200)
        done.headers["HX-Refresh"] = "true"
        return done
    if request.args.get("done") == str(run.done) and request.args.get("total") == str(run.total):
        return Response(status=204)
    return render_template("shelves/searching.html", run=doubles_view.running(run))


@desk.get("/together")
def together() -> Response:
    """Put any two entries side by side, by their numbers."""
    typed = [request.args.get(name, "").strip() for name in ("one", "other")]
    if not all(text.isascii() and text.isdigit() and len(text) < 19 for text in typed):
        raise BadInput(t("duplicates.two_numbers"))
    one, other = (catalogue_rows.recording(station().store, int(text)).id for text in typed)
    if one == other:
        raise BadInput("That is one recording, not two.")
    return go(url_for("doubles.pair", one=one, other=other))


@desk.get("/<int:one>/<int:other>")
def pair(one: int, other: int) -> str:
    """Two entries side by side."""
    if one == other:
        raise BadInput("That is one recording, not two.")
    return render_template("shelves/pair.html", page=pair_view.page(station().store, one, other))


@desk.post("/<int:one>/<int:other>")
def judge(one: int, other: int) -> Response:
    """Keep what the librarian says of a pair, and go on to the next."""
    store = station().store
    first, second = sorted((one, other))
    following = duplicates.next_after(store, first, second)
    verdict = request.form.get("verdict", "")
    title = catalogue_rows.recording(store, first).title
    did = t("did.made_one", title=title) if verdict == _ONE else t("did.judged", title=title)
    with undo.action(store, who(), did, now()):
        _refuse_if_judged(store, first, second)
        if verdict == _ONE:
            _merge(store, first, second)
        else:
            duplicates.judge(store, first, second, verdict, who(), now())
    said = t("duplicates.made_one") if verdict == _ONE else t(f"verdict.{verdict}")
    flash(t("duplicates.kept", title=title, verdict=said))
    following = following or duplicates.next_after(store, 0, 0)
    if following is None:
        return go(url_for("doubles.page"))
    return go(url_for("doubles.pair", one=following[0], other=following[1]))


def _refuse_if_judged(store: Store, first: int, second: int) -> None:
    """The same question is asked once, of whoever answers first."""
    said = duplicates.judgement(store, first, second)
    if (said.at if said else "") != request.form.get("said_at", ""):
        raise ChangedMeanwhile(t("duplicates.judged_meanwhile"))


def _merge(store: Store, first: int, second: int) -> None:
    """Make the two one, with the fields chosen on the form."""
    stays = request.form.get("stays", "")
    if stays not in ("a", "b"):
        raise BadInput(t("duplicates.which_stays"))
    for which, row in (("a", first), ("b", second)):
        undo.refuse_if_changed(store, "recordings", row, number(f"seen_{which}"))
    kept, gone = (first, second) if stays == "a" else (second, first)
    other = "b" if stays == "a" else "a"
    take = [name for name in merging.FIELDS if request.form.get(f"keep_{name}") == other]
    merging.merge(store, kept, gone, who(), now(), take=take)


@desk.get("/discs/<int:one>/<int:other>")
def discs(one: int, other: int) -> str:
    """Two discs side by side, track by track."""
    if one == other:
        raise BadInput("That is one disc, not two.")
    return render_template("shelves/two_discs.html", page=doubles_view.discs(one, other))


@desk.post("/discs/<int:one>/<int:other>")
def judge_discs(one: int, other: int) -> Response:
    """Keep what the librarian says of two discs."""
    store = station().store
    verdict = request.form.get("verdict", "")
    shown = doubles_view.discs(one, other)
    if shown.said_at != request.form.get("said_at", ""):
        raise ChangedMeanwhile(t("duplicates.judged_meanwhile"))
    if verdict == _ONE:
        stays = request.form.get("stays", "")
        if stays not in (str(one), str(other)):
            raise BadInput(t("duplicates.which_stays"))
        kept, gone = int(stays), other if stays == str(one) else one
        pairs = doubles_view.recordings_made_one(
            store, kept, gone, set(request.form.getlist("too"))
        )
        merging.merge_discs(store, kept, gone, who(), now(), pairs)
        said = t("duplicates.made_one")
    else:
        doubles_view.judge_discs(store, one, other, verdict)
        said = t(f"verdict.{Verdict(verdict)}")
    flash(t("duplicates.kept", title=shown.sides[0].mark, verdict=said))
    return go(url_for("doubles.page"))


@dataclass(frozen=True, slots=True)
class JudgedLine:
    """A line of what was judged."""

    at: str
    who: str
    names: str
    verdict: str
    address: str
    action_id: int | None


@desk.get("/judged")
def judged_list() -> str:
    """What was judged, latest first."""
    lines = [_line(one) for one in judged.judged(station().store, _JUDGED_SHOWN)]
    return render_template("shelves/judged.html", lines=lines)


def _line(one: judged.Judged) -> JudgedLine:
    names = [
        side.title if one.discs else t("recording.name", title=side.title, artist=side.artist)
        for side in (one.a, one.b)
    ]
    there = one.a.there and one.b.there
    endpoint = "doubles.discs" if one.discs else "doubles.pair"
    return JudgedLine(
        wording.clock_time(one.at, now().date()),
        one.signed_by,
        t("duplicates.two_names", one=names[0], other=names[1]),
        t("duplicates.made_one") if one.merged else t(f"verdict.{one.verdict}"),
        url_for(endpoint, one=one.a.id, other=one.b.id) if there else "",
        one.action_id,
    )


@desk.post("/judged/<int:action_id>/undo")
def undo_judgement(action_id: int) -> Response:
    """Undo a judgement whole: what was made one is two again."""
    judged.take_back(station().store, action_id, who(), now())
    flash(t("duplicates.undone"))
    return go(url_for("doubles.judged_list"))


@desk.get("/listen/<int:holding_id>")
def listen(holding_id: int) -> Response:
    """The sound of a file that is held."""
    return phone_call.listen(holding_id)
