"""Shared desks: PCs that several people use one after another, each with a PIN of their own."""

from __future__ import annotations

import logging

from flask import Blueprint, flash, render_template, request, url_for
from flask_login import current_user
from werkzeug import Response

from catalogue import browsers, pins, sessions
from catalogue.browsers import Browser
from catalogue.errors import BadInput, NotAllowed
from web import signed_in, wording
from web.station import go, now, station
from web.texts import t

desk = Blueprint("shared_desks", __name__)
log = logging.getLogger("asheard.sign_in")


@desk.post("/desk/shared")
def share() -> Response:
    """Make this browser a shared desk: by somebody who came in with a passphrase."""
    here = _here()
    browsers.share(station().store, here, request.form.get("name", ""))
    log.info("Person %d made browser %d a shared desk.", current_user.person_id, here.id)
    flash(t("shared.made"))
    return go(url_for("this_desk.page"))


@desk.post("/desk/shared/end")
def end() -> Response:
    """This desk is no shared desk any more: its PINs are forgotten."""
    here = _here()
    with station().store.transaction():
        pins.forget_at(station().store, here.id)
        browsers.unshare(station().store, here)
    log.info("Person %d ended shared desk %d.", current_user.person_id, here.id)
    flash(t("shared.ended"))
    return go(url_for("this_desk.page"))


def _here() -> Browser:
    here = signed_in.browser()
    if current_user.by_pin:
        raise NotAllowed(t("refusal.pin"))
    if here is None:  # its cookie was taken away meanwhile
        raise BadInput(t("shared.no_cookie"))
    return here


@desk.get("/station/desks")
def page() -> str:
    """The shared desks, who has a PIN there, and when somebody last signed in."""
    store = station().store
    here = signed_in.browser()
    shown = []
    for one, last in browsers.shared(store):
        names = [name for _, name in pins.people_at(store, one)]
        at = wording.clock_time(last, now().date())
        shown.append((one, at, names, here is not None and one.id == here.id))
    return render_template("keeper/desks.html", found=shown)


@desk.post("/station/desks/<int:browser_id>/revoke")
def revoke(browser_id: int) -> Response:
    """Forget a desk that was lost, sold or stolen: its PINs end, and whoever is signed in there."""
    store = station().store
    with store.transaction():
        sessions.end_of_browser(store, browser_id)
        pins.forget_at(store, browser_id)
        browsers.revoke(store, browser_id)
    log.info("Person %d revoked desk %d.", current_user.person_id, browser_id)
    flash(t("shared.revoked"))
    return go(url_for("shared_desks.page"))
