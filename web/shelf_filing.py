"""How the shelves are filed: the rules of the whole list, and of shelves that differ."""

from __future__ import annotations

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import filing
from catalogue.errors import BadInput
from catalogue.filing import CHOICES, Rules
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("shelf_filing", __name__, url_prefix="/shelves/filing")


@desk.get("")
def page() -> str:
    """The rules, each with its choices; a new shelf begins with those of the whole list."""
    store = station().store
    return render_template(
        "shelves/filing.html",
        everywhere=filing.everywhere(store),
        shelves=filing.all_shelves(store),
        choices=CHOICES,
        kinds=filing.BY,
    )


@desk.post("")
def keep() -> Response:
    """Keep the rules of the whole list, or of one shelf."""
    form = request.form
    rules = Rules(*(form.get(rule, "") for rule in CHOICES))
    name = " ".join(form.get("shelf", "").split())
    if form.get("own") and not name:
        raise BadInput(t("filing.which"))
    filing.keep(station().store, form.get("by", "mark"), name, rules, who(), now())
    flash(t("filing.kept"))
    return go(url_for("shelf_filing.page"))


@desk.post("/<int:shelf_id>/forget")
def forget(shelf_id: int) -> Response:
    """A shelf goes by the rules of the whole list again."""
    filing.forget(station().store, shelf_id, who(), now())
    flash(t("filing.forgotten"))
    return go(url_for("shelf_filing.page"))
