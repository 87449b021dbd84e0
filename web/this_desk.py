"""This desk: its name, whether headphones are at it, and under which paths it sees the files."""

from __future__ import annotations

from flask import Blueprint, Response, flash, g, make_response, render_template, request, url_for
from flask_login import current_user

from catalogue import desks, roots, settings
from catalogue.desks import Desk
from web import cookies, roles
from web.station import go, now, station, who
from web.texts import t

this_desk = Blueprint("this_desk", __name__, url_prefix="/desk")


def desk() -> Desk:
    """The desk at which this browser stands; without a name until somebody gives it one."""
    if "desk" not in g:
        g.desk = desks.of(station().store, cookies.given(cookies.DESK))
    found: Desk = g.desk
    return found


def seen(studio: str = "") -> dict[str, str]:
    """How this desk sees the library folders; a desk without a name sees them as its studio."""
    return roots.seen_by(station().store, desk().name or studio)


@this_desk.get("")
def page() -> str:
    """The desk, and how it sees the folders."""
    store = station().store
    mine = roots.seen_by(store, desk().name)
    return render_template(
        "desk/page.html",
        desk=desk(),
        names=sorted({*settings.lines(store, "studios"), *(v.desk for v in roots.views(store))}),
        folders=[(root.path, mine.get(root.path, "")) for root in roots.all_roots(store)],
        may_say=roles.may("settings"),
        shared_as=roles.shared_desk(),
        may_share=not current_user.by_pin,
    )


@this_desk.post("")
def set_up() -> Response:
    """Name the desk, and say whether its sound goes to headphones."""
    token = cookies.given(cookies.DESK) or desks.new_token()
    headphones = request.form.get("headphones") == "yes"
    desks.set_up(station().store, token, request.form.get("name", ""), headphones, who(), now())
    flash(t("desk.kept"))
    answer = make_response(go(url_for("this_desk.page")))
    cookies.keep(answer, cookies.DESK, token)
    return answer


@this_desk.post("/folders")
def folders() -> Response:
    """Say under which path this desk sees a library folder."""
    store, form = station().store, request.form
    roots.see_as(store, form.get("root", ""), desk().name, form.get("path", ""), who(), now())
    flash(t("desk.folder_kept"))
    return make_response(go(url_for("this_desk.page")))
