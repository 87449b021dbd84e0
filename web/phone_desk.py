"""The phone desk: one page, the slip and what was heard.

Whatever is typed is sent in the body of a POST as it is typed, so that nothing is lost and no
address holds a caller's word. A fresh sheet becomes a slip with the first thing written on it;
until the page knows the slip's number, a token of the sheet stands for it.
"""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, current_app, make_response, render_template, request, session, url_for
from werkzeug import Response

from catalogue import callers, calls, enquiry, request_slips, said_of_it, turned_down, wants
from catalogue.errors import BadInput, NotFound
from catalogue.heard import Heard
from catalogue.request_slips import Slip, SlipState
from catalogue.said_of_it import Said
from web import (
    answer_view,
    heard_kept,
    live,
    past_callers,
    phone_others,
    phone_view,
    said_view,
    seen_record,
    slip_fields,
    slip_view,
    stand_in_plot,
    this_desk,
)
from web.asked import (
    being_written,
    heard_typed,
    instead_typed,
    needed,
    number,
    said_typed,
    slip_id_of,
)
from web.sheets import Sheets
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("phone_desk", __name__, url_prefix="/phone")
desk.register_error_handler(seen_record.OtherRecord, seen_record.told)


@desk.get("")
def page() -> str | Response:
    """The slip this browser was last writing, or a fresh sheet."""
    last = session.get("slip_id")
    if last is not None and _state(int(last)) is SlipState.BEING_WRITTEN:
        return go(url_for("phone_desk.slip", slip_id=last))
    return fresh()


@desk.get("/fresh")
def fresh() -> str | Response:
    """A fresh sheet; nothing is stored before something is written on it.

    A slip of this browser's on which nothing was written is as good as a fresh one.
    """
    last = session.pop("slip_id", None)
    if last is not None and _is_unused(int(last)):
        session["slip_id"] = last
        return go(url_for("phone_desk.slip", slip_id=last))
    sheets: Sheets = current_app.extensions["asheard_sheets"]
    shown = phone_view.page(
        station().store, None, sheets.token(), handed_over=session.pop("handed_over", None)
    )
    return render_template("phone/page.html", page=shown, desk=this_desk.desk())


@desk.get("/slips/<int:slip_id>")
def slip(slip_id: int) -> str:
    """One slip, to be written on or, if it is with a studio, to be called back."""
    store = station().store
    found = request_slips.get(store, slip_id)
    past_callers.refuse(found)
    if found.state is SlipState.BEING_WRITTEN:
        session["slip_id"] = slip_id
    return render_template(
        "phone/page.html",
        page=phone_view.page(store, found, "", answer=_answer_kept(found)),
        desk=this_desk.desk(),
    )


@desk.get("/strip")
def strip() -> str | Response:
    """The slips being written and with the studios, if that changed since N.

    While somebody holds, the minutes they have waited change it too.
    """
    if live.is_known(station().store):
        return live.unchanged()
    given = request.args.get("slip", "")
    current = int(given) if given.isascii() and given.isdigit() and len(given) < 19 else None
    held = current is not None and _state(current) is not None
    return render_template(
        "phone/strip.html",
        strip=phone_view.strip(station().store, current),
        hold=phone_view.hold(request_slips.get(station().store, current)) if held else None,
    )


@desk.post("/heard")
def heard() -> Response:
    """Keep what was heard, and answer it; what another desk wrote meanwhile is not overwritten."""
    store = station().store
    words = heard_typed()
    said = said_typed()
    slip_id = slip_id_of(start=words != Heard() or said not in (None, Said()))
    found = clash = None
    if slip_id is not None:
        being_written(slip_id)
        clash = heard_kept.keep(store, slip_id, words)
        if said is not None:
            said_of_it.keep(store, slip_id, said)
        found = request_slips.get(store, slip_id)
    page = render_template(
        "phone/answered.html",
        answer=answer_to(words, found, number("asked") or 0),
        desk=this_desk.desk(),
        sheet=phone_view.sheet(store, slip_id, request.form.get("sheet", "")),
        clash=clash,
    )
    # A late answer is not shown, but what became of the words is for the page to know.
    return make_response(page, 200, {"X-Heard-Kept": "no" if clash else "yes"})


@desk.post("/details")
def details() -> str:
    """Keep the caller's details as they are typed, and tell what other desks wrote meanwhile."""
    store = station().store
    slip_id = needed(slip_id_of(start=True))
    clashes = slip_fields.keep_what_agrees(store, slip_id)
    return render_template(
        "phone/kept.html",
        kept=phone_view.kept(store, slip_id),
        sheet=phone_view.sheet(store, slip_id, ""),
        clashes=clashes,
        newest=slip_fields.values(store, request_slips.get(store, slip_id)),
    )


@desk.post("/choose")
def choose() -> str:
    """Put exactly the record and copy of the row that was pressed on the slip."""
    store = station().store
    slip_id = needed(slip_id_of(start=True))
    being_written(slip_id)
    recording_id, copy = needed(number("recording_id")), number("holding_id")
    asked_for = number("stand_in_for")
    with seen_record.unchanged(store, slip_id, recording_id):
        request_slips.choose(
            store, slip_id, recording_id, copy, who(), now(), stand_in_for=asked_for
        )
    return _record_on(slip_id)


@desk.post("/unchoose")
def unchoose() -> str:
    """Take the record off the slip again."""
    slip_id = needed(slip_id_of(start=False))
    being_written(slip_id)
    with seen_record.unchanged(station().store, slip_id):
        request_slips.unchoose(station().store, slip_id, who(), now())
    return _record_on(slip_id)


def _record_on(slip_id: int) -> str:
    store = station().store
    return render_template(
        "phone/chosen_now.html",
        chosen=slip_view.chosen(store, request_slips.get(store, slip_id)),
        sheet=phone_view.sheet(store, slip_id, ""),
    )


@desk.post("/want")
def want() -> str:
    """Put a title and an artist, and nothing of the caller, on the list of wants."""
    title = request.form.get("title", "").strip()
    artist = request.form.get("artist", "").strip()
    if not title and not artist:
        raise BadInput(t("want.empty"))
    store = station().store
    slip_id = slip_id_of(start=False)
    details = callers.of(store, slip_id) if slip_id is not None else None
    wants.add(
        store,
        title,
        artist,
        number("recording_id"),
        who(),
        now(),
        slip_id=slip_id if details else None,
        place_id=details.place_id if details else None,
    )
    return render_template("phone/wanted.html", title=title, artist=artist)


@desk.post("/hand-over")
def hand_over() -> str | Response:
    """Keep what is on the slip, and put it, with the others of this call, before the presenter.

    Where something may have been forgotten, that is said and asked, once.
    """
    store = station().store
    slip_id = slip_id_of(start=request.form.get("all_the_same") == calls.NOTHING)
    if slip_id is None:
        return render_template("phone/ask_once.html", lacks=calls.NOTHING)
    slip_fields.keep(store, slip_id)
    lacks = calls.lacks(store, slip_id)
    if lacks and request.form.get("all_the_same") != lacks:
        return render_template("phone/ask_once.html", lacks=lacks)
    studio = request.form.get("studio", "").strip() or phone_view.first_studio(store)
    with seen_record.unchanged(store, slip_id):
        calls.hand_over(store, slip_id, studio, who(), now())
    session.pop("slip_id", None)
    session["handed_over"] = slip_id
    return go(url_for("phone_desk.fresh"))


@desk.post("/call-back")
def call_back() -> Response:
    """Take a call back from the studio to go on writing on its slips."""
    slip_id = needed(number("slip"))
    calls.call_back(station().store, slip_id, who(), now())
    return go(url_for("phone_desk.slip", slip_id=slip_id))


@desk.post("/withdraw")
def withdraw() -> Response:
    """Lay a slip aside: the caller rang off, or thought better of it. It can be taken up again."""
    slip_id = slip_id_of(start=False)
    if slip_id is not None:
        being_written(slip_id)
        request_slips.withdraw(station().store, slip_id, who(), now())
        session["handed_over"] = slip_id
    session.pop("slip_id", None)
    return go(url_for("phone_desk.fresh"))


def answer_to(words: Heard, slip: Slip | None, asked: int) -> answer_view.AnswerView:
    """The answer to what was heard; what this caller has turned down is not offered again."""
    store = station().store
    refused = turned_down.of_call(store, slip) if slip else frozenset()
    left_out = turned_down.left_out(store, slip) if slip else frozenset()
    said = said_of_it.of(store, slip.id) if slip else Said()
    occasion, instead = slip.occasion if slip else "", instead_typed()
    answer = enquiry.enquire(
        store,
        station().index,
        words,
        now(),
        occasion=occasion,
        left_out=left_out,
        slip_id=slip.id if slip else None,
        said=said.basis,
        instead=instead,
    )
    if said == Said() and (shown := answer_view.too_little(answer, asked, words.whole)):
        return shown
    return replace(
        answer_view.view(answer, asked, len(refused)),
        narrowing=said_view.narrowing(store, answer, said, occasion),
        picture=stand_in_plot.picture(answer),
        instead=words.whole if instead else "",
        may_offer_others=words.whole if answer.matches and not answer.stand_ins else "",
        ask_others=phone_others.may_ask(store, answer),
    )


def _state(slip_id: int) -> SlipState | None:
    try:
        return request_slips.get(station().store, slip_id).state
    except NotFound:
        return None


def _is_unused(slip_id: int) -> bool:
    store = station().store
    if _state(slip_id) is not SlipState.BEING_WRITTEN:
        return False
    slip = request_slips.get(store, slip_id)
    return len(calls.slips_of(store, slip)) == 1 and calls.nothing_written(store, slip)


def _answer_kept(slip: Slip) -> answer_view.AnswerView | None:
    """The answer to what was heard on a slip that is opened again."""
    store = station().store
    kept = callers.of(store, slip.id)
    if slip.state is not SlipState.BEING_WRITTEN or kept is None:
        return None
    words = Heard(text=kept.heard, title=kept.heard_title, artist=kept.heard_artist)
    nothing = words == Heard() and said_of_it.of(store, slip.id) == Said()
    return None if nothing else answer_to(words, slip, 0)
