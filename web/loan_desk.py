"""Loans: what is out, to whom and until when; lending, and bringing back by the shelf mark."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import catalogue_rows, out_of_place, programmes, pull_list, settings, staff
from catalogue.out_of_place import Out
from catalogue.records import Disc
from catalogue.store import Store
from web import wording
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("loan_desk", __name__, url_prefix="/shelves/loans")

_PROGRAMMES_OFFERED = 8
"""Programmes to come among the names offered: a disc is not lent for longer."""


@dataclass(frozen=True, slots=True)
class Line:
    """A disc that is out: its label, what it is called, who has it since when, and when it is
    due; `overdue` is in words, empty while it may be out."""

    id: int
    label: wording.Label
    title: str
    had: str
    due: str
    overdue: str


@desk.get("")
def page() -> str:
    """What is out, overdue first, and what was fetched for programmes and not put away."""
    store = station().store
    return render_template(
        "shelves/loans.html",
        lent=[_lent(out) for out in out_of_place.on_loan(store, now())],
        away=[_away(disc, name) for disc, name in pull_list.to_put_away(store)],
        offered=_offered(store),
        today=now().date().isoformat(),
    )


@desk.post("/home")
def home() -> Response:
    """A disc is home again: by its mark as typed or scanned, or from its line."""
    store, text = station().store, request.form.get("disc", "")
    if text.isascii() and text.isdigit() and len(text) < 19:
        found = [catalogue_rows.disc(store, int(text))]
    else:
        found = out_of_place.marked(store, request.form.get("mark", ""), wording.carriers())
    disc, had_it = out_of_place.come_home(store, found, who(), now())
    flash(wording.home_again(disc, had_it))
    return go(url_for("loan_desk.page"))


@desk.post("/lend")
def lend() -> Response:
    """Lend a disc by its mark."""
    store, form = station().store, request.form
    found = out_of_place.marked(store, form.get("mark", ""), wording.carriers())
    to = " ".join(form.get("lent_to", "").split())
    disc = out_of_place.lend(store, found, to, form.get("due", "").strip() or None, who(), now())
    flash(t("loans.lent", disc=wording.disc_label(disc).said, who=to))
    return go(url_for("loan_desk.page"))


def _lent(out: Out) -> Line:
    today = now().date()
    since = wording.day(wording.moment(out.loan.since).date(), today)  # type: ignore[union-attr]
    due = wording.day(date.fromisoformat(out.loan.due), today) if out.loan.due else ""
    days = out.overdue_days
    overdue = t("loans.overdue_one") if days == 1 else t("loans.overdue", days=days) if days else ""
    return Line(
        out.disc.id,
        wording.disc_label(out.disc),
        out.disc.title,
        t("loans.had", who=out.loan.lent_to, day=since),
        t("loans.due", day=due) if due else t("loans.no_due"),
        overdue,
    )


def _away(disc: Disc, programme: str) -> Line:
    return Line(disc.id, wording.disc_label(disc), disc.title, programme, "", "")


def _offered(store: Store) -> list[str]:
    """To whom a disc may go: a studio, a programme, a person; anything else may be typed."""
    coming = programmes.to_come(store, now(), _PROGRAMMES_OFFERED)
    people = [person.name for person in staff.all_people(store) if person.active]
    names = [*settings.lines(store, "studios"), *(p.name for p in coming), *people]
    return list(dict.fromkeys(names))
