"""Figures: a page of plots to look at, each with its table beside it and its CSV."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from flask import Blueprint, Response, render_template, request, url_for

from catalogue import figures as counted
from catalogue import plain_csv
from catalogue.errors import BadInput, NotFound
from web import wording
from web.asked import day as asked_day
from web.station import now, station
from web.texts import has, t

desk = Blueprint("figures", __name__, url_prefix="/figures")

_USUAL_DAYS = 90
_SIDEWAYS = ("by_place", "asked_by_genre", "most_played")
"""Figures with long labels: their bars lie."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure as its page has it: words, table, remark, and how its bars lie."""

    name: str
    title: str
    what: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    remark: str
    sideways: bool
    csv: str


@desk.get("")
def page() -> str:
    """All figures of the days asked for; of the last three months without any."""
    first, last = _days()
    return render_template(
        "figures/page.html",
        figures=[_shown(f, first, last) for f in counted.all_of(station().store, first, last)],
        first=first.isoformat(),
        last=last.isoformat(),
        first_said=wording.full_day(first),
        last_said=wording.full_day(last),
    )


@desk.get("/csv")
def csv() -> Response:
    """The table of one figure as a file."""
    first, last = _days()
    name = request.args.get("name", "")
    for figure in counted.all_of(station().store, first, last):
        if figure.name == name:
            rows = ((label, *numbers) for label, numbers in _rows(figure))
            data = plain_csv.encoded((t(f"figure.{name}"), *_columns(figure)), rows)
            answer = Response(data, mimetype="text/csv")
            answer.headers["Content-Disposition"] = f"attachment; filename={name}.csv"
            answer.headers["Cache-Control"] = "no-store"
            return answer
    raise NotFound(t("figures.unknown"))


def _shown(figure: counted.Figure, first: date, last: date) -> Shown:
    return Shown(
        figure.name,
        t(f"figure.{figure.name}"),
        t(f"figure_what.{figure.name}"),
        _columns(figure),
        tuple(_rows(figure)),
        " ".join(
            t(f"figure_remark.{name}", number=f"{number:g}")
            for name, number in figure.remarks
            if number
        ),
        figure.name in _SIDEWAYS,
        url_for("figures.csv", name=figure.name, first=first.isoformat(), last=last.isoformat()),
    )


def _columns(figure: counted.Figure) -> tuple[str, ...]:
    return tuple(t(f"figure_column.{column}") for column in figure.columns)


def _rows(figure: counted.Figure) -> list[tuple[str, tuple[str, ...]]]:
    return [
        (_label(figure.name, label), tuple(f"{number:g}" for number in numbers))
        for label, numbers in figure.rows
    ]


def _label(name: str, label: str) -> str:
    """A row's label in words: outcomes and what is not known have some, the rest stay."""
    key = f"figure_label.{label}"
    return t(key) if has(key) else label


def _days() -> tuple[date, date]:
    today = now().date()
    first = asked_day(request.args.get("first", "")) or today - timedelta(days=_USUAL_DAYS)
    last = asked_day(request.args.get("last", "")) or today
    if last < first:
        raise BadInput(t("figures.wrong_way"))
    return first, last
