"""More than the slip: several records on a call, a caller on hold, what was turned down, why.

The rest of the phone desk, beside `phone_desk.py`, which has the slip and what was heard.
"""

from __future__ import annotations

import mimetypes

from flask import Blueprint, render_template, request, send_file, session, url_for
from werkzeug import Response

from catalogue import (
    call_recordings,
    callers,
    calls,
    catalogue_rows,
    explaining,
    request_slips,
    roots,
    sent_back,
    turned_down,
)
from catalogue.errors import BadInput, NotFound, UnreadableFile
from catalogue.heard import Heard
from importers import audio_tags
from web import explained_view, past_callers, phone_desk, phone_view, slip_fields, this_desk
from web.asked import being_written, heard_typed, needed, number, slip_id_of
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("phone_call", __name__, url_prefix="/phone")


@desk.post("/another")
def another() -> Response:
    """One more record for the caller of this slip: a slip of its own, with the same caller."""
    slip_id = needed(slip_id_of(start=False))
    slip_fields.keep(station().store, slip_id)
    new = calls.another(station().store, slip_id, who(), now())
    session["slip_id"] = new
    return go(url_for("phone_desk.slip", slip_id=new))


@desk.post("/take-up-again")
def take_up_again() -> Response:
    """Write again on a slip that a studio laid aside."""
    slip_id = needed(number("slip"))
    past_callers.refuse(request_slips.get(station().store, slip_id))
    sent_back.take_up_again(station().store, slip_id, who(), now())
    return go(url_for("phone_desk.slip", slip_id=slip_id))


@desk.post("/hold")
def hold() -> str:
    """Note that the caller holds the line, or no longer does."""
    store = station().store
    slip_id = needed(slip_id_of(start=True))
    holding = request_slips.get(store, slip_id).hold_since is None
    calls.hold(store, slip_id, holding, who(), now())
    return render_template(
        "phone/held.html",
        hold=phone_view.hold(request_slips.get(store, slip_id)),
        sheet=phone_view.sheet(store, slip_id, ""),
    )


@desk.post("/turn-down")
def turn_down() -> str:
    """Note that this caller does not want what was offered, and offer others."""
    slip_id = needed(slip_id_of(start=True))
    being_written(slip_id)
    refused, asked = needed(number("recording_id")), number("stand_in_for")
    turned_down.add(station().store, slip_id, refused, asked)
    return _answer_again(slip_id)


@desk.post("/offer-again")
def offer_again() -> str:
    """Offer again what was turned down in this call."""
    slip_id = needed(slip_id_of(start=False))
    turned_down.forget(station().store, being_written(slip_id))
    return _answer_again(slip_id)


def _answer_again(slip_id: int) -> str:
    store = station().store
    slip = request_slips.get(store, slip_id)
    return render_template(
        "phone/answered.html",
        answer=phone_desk.answer_to(heard_typed(), slip, number("asked") or 0),
        desk=this_desk.desk(),
        sheet=phone_view.sheet(store, slip_id, ""),
    )


@desk.post("/why")
def why() -> str:
    """How the request was read and weighed; asked for when the fold is opened."""
    words = heard_typed()
    if words == Heard():
        raise BadInput(t("explain.nothing"))
    explanation = explaining.explain(station().index, words)
    return render_template("phone/why.html", why=explained_view.view(explanation))


@desk.get("/listen/<int:holding_id>")
def listen(holding_id: int) -> Response:
    """The sound of a file that is held; parts of it when the browser asks for parts."""
    holding = catalogue_rows.holding(station().store, holding_id)
    if not holding.path or holding.missing or not audio_tags.is_audio(holding.path):
        raise NotFound(t("listen.no_file"))
    try:
        path = roots.inside(station().store, holding.path)
    except NotFound as problem:
        raise NotFound(t("listen.no_file")) from problem
    if not audio_tags.is_audio(path):
        raise NotFound(t("listen.no_file"))  # a link that has an audio file's name, and is none
    return _sound(str(path))


@desk.post("/recording")
def attach_recording() -> str:
    """Attach the recording of a caller, sent as it is, to the slip."""
    store = station().store
    text = request.args.get("slip", "")
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise BadInput(t("slip.nothing_on_it"))
    slip_id = int(text)
    being_written(slip_id)
    given = request.headers.get("X-File-Name", "")
    if not audio_tags.is_audio(given):
        raise BadInput(t("recorded.not_audio"))
    name = call_recordings.new_name("." + given.rpartition(".")[2])
    path = call_recordings.keep(store, name, request.stream, request.content_length or 0)
    try:
        length = audio_tags.read(path).recording.length_s
        callers.attach(store, slip_id, name, length)
    except UnreadableFile as problem:
        call_recordings.wipe(path)
        raise BadInput(t("recorded.not_audio")) from problem
    except BaseException:
        call_recordings.wipe(path)
        raise
    return _recorded(slip_id)


@desk.post("/recording/remove")
def remove_recording() -> str:
    """Wipe the recording of a caller."""
    slip_id = needed(slip_id_of(start=False))
    being_written(slip_id)
    callers.attach(station().store, slip_id, "", None)
    return _recorded(slip_id)


@desk.get("/recordings/<int:slip_id>")
def recording(slip_id: int) -> Response:
    """The recording of a caller, for whoever attached it."""
    return sound_of(slip_id)


def _recorded(slip_id: int) -> str:
    details = callers.of(station().store, slip_id)
    return render_template("phone/recorded.html", recorded=phone_view.recorded(slip_id, details))


def sound_of(slip_id: int) -> Response:
    """The sound of the recording on a slip. Raises NotFound, or NotAllowed for a past caller."""
    past_callers.refuse(request_slips.get(station().store, slip_id))
    details = callers.of(station().store, slip_id)
    if details is None:
        raise NotFound(t("recorded.gone"))
    path = call_recordings.path_of(station().store, details.recording_file)
    return _sound(str(path))


def _sound(path: str) -> Response:
    kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
    try:
        # Asked for in parts, so that a long file can be gone about in.
        answer = send_file(path, mimetype=kind, conditional=True, max_age=0)
    except OSError as problem:
        raise NotFound(t("listen.no_file")) from problem
    answer.headers["Cache-Control"] = "no-store"
    return Response.force_type(answer)


def allow_large() -> None:
    """Let a recording be larger than a form; runs before anything reads the request."""
    if request.endpoint == "phone_call.attach_recording":
        request.max_content_length = call_recordings.LARGEST_BYTES
