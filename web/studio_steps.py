"""A studio's steps before a slip is played: take the call, put it on air, give it away, or back."""

from __future__ import annotations

from flask import Blueprint, request
from werkzeug import Response

from catalogue import callers, calls, sent_back
from catalogue.errors import NotAllowed
from web import phone_call
from web.station import now, station, who
from web.studio import also_asked, back, slip_asked, version_seen
from web.texts import t

desk = Blueprint("studio_steps", __name__, url_prefix="/studio")


@desk.post("/take")
def take() -> Response:
    """The presenter has the caller on the line."""
    slip_id = slip_asked()
    calls.take(station().store, slip_id, who(), now(), version_seen())
    return back(t("studio.noted_taken", number=slip_id))


@desk.post("/on-air")
def on_air() -> Response:
    """This slip goes out now."""
    slip_id = slip_asked()
    calls.on_air(station().store, slip_id, who(), now(), version_seen())
    return back(t("studio.noted_on_air", number=slip_id))


@desk.post("/wait-again")
def wait_again() -> Response:
    """Neither taken nor on air after all."""
    slip_id = slip_asked()
    calls.wait_again(station().store, slip_id, who(), now(), version_seen())
    return back(t("studio.taken_back", number=slip_id))


@desk.post("/move")
def move() -> Response:
    """Give a slip to another studio."""
    slip_id, studio = slip_asked(), request.form.get("to", "")
    calls.move(station().store, slip_id, studio, who(), now(), version_seen())
    return back(t("studio.noted_moved", number=slip_id, studio=studio))


@desk.post("/send-back")
def send_back() -> Response:
    """Give a slip back to the phone desk, with the reason, to find something else."""
    slip_id, why = slip_asked(), request.form.get("why", "")
    store = station().store
    with store.transaction():
        sent_back.send_back(store, slip_id, why, who(), now(), version_seen())
        for other in also_asked() if why in sent_back.OF_THE_RECORD else ():
            sent_back.send_back(store, other, why, who(), now())
    return back(t("studio.noted_sent_back", number=slip_id))


@desk.get("/recordings/<int:slip_id>")
def recording(slip_id: int) -> Response:
    """The recording of a caller, if a presenter may hear it."""
    details = callers.of(station().store, slip_id)
    if details is not None and details.may_hear not in ("on air", "presenter"):
        raise NotAllowed(t("recorded.not_for_you"))
    return phone_call.sound_of(slip_id)
