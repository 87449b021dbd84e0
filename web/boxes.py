"""Donated boxes: begun, gone on with by anybody, each disc kept or declined as it is typed."""

from __future__ import annotations

from flask import Blueprint, Response, flash, render_template, request, url_for
from werkzeug import Response as AnyResponse

from catalogue import donated_boxes, donors
from catalogue.donated_boxes import Box, BoxRow, Decision, NewRow
from catalogue.errors import BadInput
from catalogue.records import Carrier, Condition
from catalogue.sleeves import Look, Sleeve
from importers import by_hand, donations
from web import box_view, sleeve_view
from web.disc_sheet import carriers, conditions, donor_days
from web.station import asked_by_htmx, go, now, station, who
from web.texts import t

desk = Blueprint("boxes", __name__, url_prefix="/shelves/boxes")


@desk.get("")
def page() -> str:
    """The boxes, and where one is begun."""
    store = station().store
    return render_template(
        "shelves/boxes.html",
        boxes=[box_view.box(store, box) for box in donated_boxes.all_boxes(store)],
        number=donated_boxes.next_number(store),
        donor_days=donor_days(),
    )


@desk.post("")
def begin() -> AnyResponse:
    """Begin a box."""
    store, form = station().store, request.form
    box_id = donated_boxes.begin(store, form.get("number", ""), form.get("donor", ""), who(), now())
    return go(url_for("boxes.box", box_id=box_id))


@desk.get("/<int:box_id>")
def box(box_id: int) -> str:
    """A box: the line for the next disc, and what was typed."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    return render_template(
        "shelves/box.html",
        box=box_view.box(store, found),
        list=box_view.rows(store, found),
        carriers=carriers(Carrier.LP),
        conditions=conditions(Condition.GOOD),
        donor_days=donor_days(),
    )


@desk.get("/<int:box_id>/rows")
def rows(box_id: int) -> str | Response:
    """What was typed, if anything was since the page last asked; somebody else may be at it."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    shown = box_view.rows(store, found)
    if request.args.get("since", "") == str(shown.change):
        return Response("", 204)
    return _list(found, shown)


@desk.post("/<int:box_id>/rows")
def add(box_id: int) -> str | AnyResponse:
    """Write a disc into the box with what was decided on it."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    decision = _decision()
    sleeve = sleeve_view.typed()
    told = sleeve_view.look(sleeve)
    new = NewRow(
        request.form.get("key", ""),
        sleeve.artist,
        sleeve.title,
        sleeve.carrier,
        sleeve.number,
        sleeve.condition,
        request.form.get("tracks", "").strip(),
        str(told.standing),
        sum(one.times for one in told.wanted),
    )
    row = donations.decide(store, box_id, new, decision, told.wanted, words(), who(), now())
    return _answer(found, row)


@desk.post("/<int:box_id>/rows/<int:row_id>/decide")
def decide(box_id: int, row_id: int) -> str | AnyResponse:
    """Decide on a disc that was left for later."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    row = donated_boxes.row(store, row_id)
    tracks = by_hand.tracks_typed(row.tracks)
    sleeve = Sleeve(row.title, row.artist, row.carrier, row.catalogue_number, row.condition,
                    tuple((track.title, track.artist) for track in tracks))  # fmt: skip
    told: Look = sleeve_view.look(sleeve)
    row = donations.decide_later(store, row_id, _decision(), told.wanted, words(), who(), now())
    return _answer(found, row)


@desk.post("/<int:box_id>/rows/<int:row_id>/take-back")
def take_back(box_id: int, row_id: int) -> str | AnyResponse:
    """It was the wrong key: what was decided on a disc is taken back."""
    store = station().store
    donations.undecide(store, row_id, who(), now())
    return _answer(donated_boxes.get(store, box_id), None)


@desk.post("/<int:box_id>/rows/<int:row_id>/shelve")
def shelve(box_id: int, row_id: int) -> str | AnyResponse:
    """Give a kept disc its shelf mark, typed or scanned."""
    store = station().store
    mark = " ".join(request.form.get("shelf_mark", "").split())
    if len(mark) > by_hand.LONGEST:
        raise BadInput(t("sheet.too_long", text=mark[:40], most=by_hand.LONGEST))
    donations.shelve(store, row_id, mark, words().to_be_shelved, who(), now())
    return _answer(donated_boxes.get(store, box_id), donated_boxes.row(store, row_id))


@desk.post("/<int:box_id>/donor")
def donor(box_id: int) -> AnyResponse:
    """Note who gave the box, or take the name off."""
    store = station().store
    donated_boxes.get(store, box_id)
    name = request.form.get("donor", "")
    donors.note(store, name, now(), box_id=box_id)
    flash(t("box.donor_noted" if name.strip() else "box.donor_gone"))
    return go(url_for("boxes.box", box_id=box_id))


@desk.post("/<int:box_id>/done")
def done(box_id: int) -> AnyResponse:
    """The box is done, or gone on with again."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    donated_boxes.done(store, box_id, found.done_on is None, who(), now())
    flash(t("box.is_done" if found.done_on is None else "box.goes_on", number=found.number))
    return go(url_for("boxes.box", box_id=box_id))


@desk.get("/<int:box_id>/print")
def printed(box_id: int) -> str:
    """The list of a box on paper: what was kept, and where it stands, and what was declined."""
    store = station().store
    found = donated_boxes.get(store, box_id)
    return render_template(
        "shelves/box_print.html",
        box=box_view.box(store, found),
        parts=box_view.parts(store, found),
        made=box_view.today(),
    )


def words() -> donations.Words:
    """The station's words for what stands in a box."""
    return donations.Words(t("box.word"), t("sheet.to_be_shelved"), t("sheet.source"))


def _decision() -> Decision:
    text = request.form.get("decision", "")
    if text not in list(Decision):
        raise BadInput(t("box.which"))
    return Decision(text)


def _answer(found: Box, row: BoxRow | None) -> str | AnyResponse:
    if not asked_by_htmx():
        return go(url_for("boxes.box", box_id=found.id))
    store = station().store
    said = box_view.told(store, row) if row else t("box.taken_back")
    return _list(found, box_view.rows(store, donated_boxes.get(store, found.id)), said)


def _list(found: Box, shown: box_view.Rows, said: str = "") -> str:
    return render_template(
        "shelves/box_rows.html", box=box_view.box(station().store, found), list=shown, told=said
    )
