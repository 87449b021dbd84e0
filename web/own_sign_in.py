"""One's own sign-in: another passphrase, a PIN for this shared desk, and where one is signed in."""

from __future__ import annotations

import logging

from flask import Blueprint, flash, make_response, render_template, request, url_for
from flask_login import current_user
from werkzeug import Response

from catalogue import passphrases, pins, sessions, staff
from catalogue.errors import BadInput, NotAllowed
from web import sign_in, signed_in, wording
from web.station import go, now, station
from web.texts import t

desk = Blueprint("own", __name__, url_prefix="/sign-in/own")
log = logging.getLogger("asheard.sign_in")


@desk.get("")
def page() -> str:
    """The page of whoever is signed in."""
    store, here = station().store, signed_in.browser()
    person = _me()
    return render_template(
        "own/page.html",
        must_choose=current_user.must_choose,
        proposed=passphrases.new(),
        shared_as=here.shared_as if here else "",
        has_pin=any(number == person.id for number, _ in pins.people_at(store, here)),
        sessions=[_shown(one) for one in sessions.of(store, person, now())],
    )


def _shown(session: sessions.Session) -> tuple[str, bool]:
    at = wording.clock_time(session.started_at.isoformat(), now().date())
    words = t("own.session_pin" if session.by_pin else "own.session", at=at)
    return words, session.id == current_user.session.id


@desk.post("/passphrase")
def new_passphrase() -> Response:
    """Another passphrase, or instead of a one-time one the first of their own."""
    person, form = _me(), request.form
    if not current_user.must_choose:
        _ask_again(form.get("passphrase", ""))
    chosen = form.get("proposed", "") if form.get("take") == "proposed" else form.get("new", "")
    if form.get("take") != "proposed" and chosen != form.get("again", ""):
        raise BadInput(t("own.not_the_same"))
    if staff.is_theirs(station().store, person.id, chosen):
        raise BadInput(t("own.same_as_before"))
    staff.new_words_for(station().store, person.id, chosen)
    log.info("Person %d chose another passphrase.", person.id)
    flash(t("own.chosen"))
    first = current_user.must_choose
    answer = make_response(go(url_for("home.page" if first else "own.page")))
    fresh = staff.get(station().store, person.id)
    if fresh is not None:  # every session has ended; this one begins anew
        signed_in.let_in(answer, fresh, by_pin=False)
    return answer


@desk.post("/pin")
def set_pin() -> Response:
    """A PIN for this shared desk."""
    here, form = signed_in.browser(), request.form
    if here is None or not here.shared_as:
        raise BadInput(t("own.not_shared"))
    _ask_again(form.get("passphrase", ""))
    if form.get("pin", "") != form.get("again", ""):
        raise BadInput(t("own.not_the_same"))
    token = signed_in.browser_token()
    pins.set_for(station().store, here, token, _me().id, form.get("pin", ""), now())
    log.info("Person %d set a PIN at desk %d.", _me().id, here.id)
    flash(t("own.pin_set", desk=here.shared_as))
    return go(url_for("own.page"))


@desk.post("/pin/forget")
def forget_pin() -> Response:
    """No PIN at any desk any more."""
    pins.forget(station().store, _me().id)
    log.info("Person %d forgot their PINs.", _me().id)
    flash(t("own.pins_forgotten"))
    return go(url_for("own.page"))


@desk.post("/sign-out-elsewhere")
def sign_out_elsewhere() -> Response:
    """Sign out at every other browser."""
    _ask_again(request.form.get("passphrase", ""))
    person = _me()
    staff.end_sessions(station().store, person.id)
    log.info("Person %d signed out elsewhere.", person.id)
    flash(t("own.signed_out_elsewhere"))
    answer = make_response(go(url_for("own.page")))
    fresh = staff.get(station().store, person.id)
    if fresh is not None:
        signed_in.let_in(answer, fresh, by_pin=False)
    return answer


def _ask_again(passphrase: str) -> None:
    """Make sure that it is them, and not somebody who found the desk open."""
    this_try = sign_in.try_by_passphrase(current_user.name)
    if wait := this_try.wait_s():
        raise BadInput(t("sign_in.wait", seconds=wait))
    if not staff.is_theirs(station().store, current_user.person_id, passphrase):
        log.warning("Person %d gave a wrong passphrase when asked again.", current_user.person_id)
        raise NotAllowed(t("own.wrong_passphrase"))
    this_try.came_in()


def _me() -> staff.Person:
    person: staff.Person = current_user.person
    return person
