"""The paper way, for when the PC is dead: the catalogue from A to Z, and a blank slip.

The lists are plain HTML files in the station's folder `paper`, made anew every night, so that
they can be printed, or copied to a stick, beforehand.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from html import escape
from pathlib import Path

from flask import Blueprint, Response, flash, render_template, send_file, url_for

from catalogue import places, printed_list, request_slips, settings
from catalogue.errors import NotFound, StationProblem
from catalogue.store import Store
from web import wording
from web.station import go, now, station
from web.texts import language, speak, t

paper = Blueprint("paper", __name__, url_prefix="/paper")

NIGHT = time(3, 0)
"""When nobody is on air, as a rule."""

_STYLE = """
@page { size: A4; margin: 12mm; }
body { font: 11pt/1.25 Verdana, sans-serif; margin: 1em; color: #000; background: #fff; }
h1 { font-size: 16pt; margin: 0; } h2 { font-size: 16pt; margin: 10pt 0 2pt; }
p { margin: 2pt 0 6pt; } nav a { margin-right: 8pt; }
table { border-collapse: collapse; width: 100%; }
td { border-bottom: .5pt solid #999; padding: 1.5pt 6pt 1.5pt 0; vertical-align: top; }
td:last-child { font-family: monospace; padding-right: 0; overflow-wrap: anywhere; }
tr { break-inside: avoid; } h2 { break-after: avoid; }
@media print { nav { display: none; } }
"""


def file_of(store: Store, order: str) -> Path:
    """Where the list in this order is."""
    return store.path.parent / "paper" / f"a-z-by-{order}.html"


def refresh(store: Store, at: datetime) -> None:
    """Make both lists anew, each whole or not at all. Raises StationProblem."""
    speak(settings.get(store, "language"))
    for order in printed_list.ORDERS:
        path = file_of(store, order)
        draft = path.with_suffix(".new")
        try:
            path.parent.mkdir(exist_ok=True)
            with draft.open("w", encoding="utf-8") as file:
                file.writelines(_pieces(store, order, at))
            draft.replace(path)
        except OSError as problem:
            draft.unlink(missing_ok=True)
            raise StationProblem(
                f"The paper list {path} cannot be written ({problem.strerror or problem}). "
                "Give this user the right to write there."
            ) from problem


def refresh_if_due(store: Store, at: datetime) -> bool:
    """Make the lists anew if they are older than the last night; returns whether they were."""
    night = datetime.combine(at.date(), NIGHT)
    if at.replace(tzinfo=None) < night:
        night -= timedelta(days=1)
    made = [made_at(store, order) for order in printed_list.ORDERS]
    if all(one is not None and one >= night for one in made):
        return False
    refresh(store, at)
    return True


def made_at(store: Store, order: str) -> datetime | None:
    """When a list was made, None if there is none."""
    try:
        return datetime.fromtimestamp(file_of(store, order).stat().st_mtime)
    except OSError:
        return None


def _pieces(store: Store, order: str, at: datetime) -> Iterator[str]:
    name, title = settings.get(store, "station_name"), t(f"paper.by_{order}")
    day = wording.full_day(at.date())
    yield (
        f'<!doctype html>\n<html lang="{language()}"><meta charset="utf-8">'
        f"<title>{escape(title)}</title><style>{_STYLE}</style>\n"
        f"<h1>{escape(name)}: {escape(title)}</h1>\n"
        f"<p>{escape(t('paper.made', day=day, at=f'{at:%H:%M}'))}</p>\n"
    )
    letter = ""
    for line in printed_list.lines(store, order):
        if line.letter != letter:
            yield "</table>\n" if letter else ""
            letter = line.letter
            yield f'<h2 id="{escape(letter)}">{escape(letter)}</h2>\n<table>\n'
        yield _row(line, order)
    yield "</table>\n" if letter else f"<p>{escape(t('paper.nothing'))}</p>\n"
    yield "</html>\n"


def _row(line: printed_list.Line, order: str) -> str:
    about = " · ".join(part for part in (line.version, str(line.year or "")) if part)
    title = escape(line.title) + (f" <small>({escape(about)})</small>" if about else "")
    names = (f"<b>{title}</b>", escape(line.artist))
    first, second = names if order == "title" else (f"<b>{names[1]}</b>", title)
    places = "<br>".join(escape(_place(*place)) for place in line.places)
    return f"<tr><td>{first}<td>{second}<td>{places}\n"


def _place(carrier: str, mark: str, side: str, track: str) -> str:
    if carrier == "file":
        return mark
    parts = (
        f"{t(f'carrier.{carrier}')} {mark}",
        t("spot.side", side=side) if side else "",
        t("spot.track", track=track) if track else "",
    )
    return ", ".join(part for part in parts if part)


@paper.get("")
def page() -> str:
    """The lists, when they were made, and the blank slip."""
    store = station().store
    made = {order: made_at(store, order) for order in printed_list.ORDERS}
    today = now().date()
    lists = [
        (order, wording.clock_time(at.isoformat(timespec="seconds"), today) if at else "")
        for order, at in made.items()
    ]
    return render_template("paper/page.html", lists=lists, folder=str(store.path.parent / "paper"))


@paper.post("/refresh")
def refresh_now() -> Response:
    """Make the lists now, as before a holiday."""
    refresh(station().store, now())
    flash(t("paper.refreshed"))
    return Response.force_type(go(url_for("paper.page")))


@paper.get("/a-z-by-<order>.html")
def a_to_z(order: str) -> Response:
    """One list, as a file to keep and to print."""
    if order not in printed_list.ORDERS or made_at(station().store, order) is None:
        raise NotFound(t("paper.not_made"))
    return send_file(
        file_of(station().store, order), mimetype="text/html", as_attachment=True, max_age=0
    )


@paper.get("/slip")
def blank_slip() -> str:
    """Blank slips to print, two to a sheet."""
    store = station().store
    return render_template(
        "paper/slip.html",
        purposes=[
            t(f"purpose.{p}") if p in request_slips.PURPOSES else p
            for p in request_slips.purposes(store)
        ],
        places=[place.name for place in places.all_places(store) if place.in_use],
        days=settings.number(store, "caller_days"),
    )
