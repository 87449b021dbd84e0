"""The programmes: tonight's list, what to fetch for it and put away, what is for later.

A list names records and numbers of slips, nothing of a caller: whoever works at the station may
read it. The names of those who asked are with their slips.
"""

from __future__ import annotations

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import (
    availability,
    catalogue_rows,
    enquiry,
    out_of_place,
    programmes,
    pull_list,
    request_slips,
    running_order,
    settings,
    slip_days,
    undo,
)
from catalogue.errors import BadInput
from catalogue.heard import Heard
from catalogue.slip_days import Standing
from web import programme_view, this_desk, wording
from web.asked import day as asked_day
from web.asked import whole_number
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("programme", __name__, url_prefix="/programmes")

_FOUND = 8
"""Records shown when one is looked for by hand: more are not read, better words are."""

_LEFT_OVER_BECAUSE = ("too late", "gone home", "moved", "caller gone", "no time")


@desk.get("")
def page() -> str:
    """What is on, what comes, what is over, and what waits for a day."""
    store = station().store
    waiting_slips = slip_days.waiting(store, now())
    return render_template(
        "programme/page.html",
        to_come=programme_view.to_come(store),
        past=programme_view.past(store),
        later=len(waiting_slips[Standing.LATER]),
        left_over=len(waiting_slips[Standing.LEFT_OVER]),
        away=len(pull_list.to_put_away(store)),
    )


@desk.get("/<int:programme_id>")
def one(programme_id: int) -> str:
    """The list of one programme."""
    shown = programme_view.list_page(station().store, programme_id, this_desk.seen(""))
    return render_template("programme/one.html", page=shown, found=_found(), text=_text())


@desk.get("/<int:programme_id>/print")
def printed(programme_id: int) -> str:
    """The list on paper."""
    shown = programme_view.list_page(station().store, programme_id, this_desk.seen(""))
    return render_template("programme/print.html", page=shown)


@desk.post("/<int:programme_id>/move")
def move(programme_id: int) -> Response:
    """Move a line up or down."""
    steps = {"up": -1, "down": 1}.get(request.form.get("way", ""))
    if steps is None:
        raise BadInput(t("refusal.number"))
    key = request.form.get("line", "")
    running_order.move(station().store, programme_id, key, steps, who(), now())
    return go(url_for("programme.one", programme_id=programme_id, moved=key, way=_way()) + "#list")


@desk.post("/<int:programme_id>/put-in")
def put_in(programme_id: int) -> Response:
    """Put a record in by hand, with its readiest copy."""
    store = station().store
    recording_id = whole_number("recording_id")
    recording = catalogue_rows.recording(store, recording_id)
    copies = availability.of(store, [recording_id], now())[recording_id]
    copy = next((a.holding for a in copies if a.holding), None)
    running_order.put_in(store, programme_id, recording_id, copy.id if copy else None, who(), now())
    flash(t("programme.put_in_said", title=recording.title))
    return go(url_for("programme.one", programme_id=programme_id))


@desk.post("/<int:programme_id>/take-out")
def take_out(programme_id: int) -> Response:
    """Take a line out; it can be taken back."""
    running_order.take_out(
        station().store, programme_id, request.form.get("line", ""), who(), now()
    )
    flash(t("programme.taken_out_said"))
    return go(url_for("programme.one", programme_id=programme_id))


@desk.post("/<int:programme_id>/played")
def played(programme_id: int) -> Response:
    """A record put in by hand went out."""
    store = station().store
    studio = next(iter(settings.lines(store, "studios")), "")
    running_order.played_by_hand(
        store, programme_id, request.form.get("line", ""), studio, who(), now()
    )
    flash(t("programme.played_said", at=f"{now():%H:%M}"))
    return go(url_for("programme.one", programme_id=programme_id))


@desk.post("/<int:programme_id>/take-back")
def take_back(programme_id: int) -> Response:
    """Take back the last change of this list."""
    store = station().store
    programmes.get(store, programme_id)
    last = running_order.last_change(store, programme_id)
    if last is None:
        raise BadInput(t("programme.nothing_to_take_back"))
    undo.take_back(store, last.id, who(), now())
    flash(t("programme.took_back_said"))
    return go(url_for("programme.one", programme_id=programme_id))


@desk.get("/<int:programme_id>/fetch")
def fetch(programme_id: int) -> str:
    """What to fetch before the show, in the order of the shelf, and what to put away after."""
    store = station().store
    programme = programmes.get(store, programme_id)
    return render_template(
        "programme/fetch.html",
        id=programme_id,
        name=programme_view.named(programme),
        discs=programme_view.discs(store, programme_id),
        away=programme_view.away(store, programme_id),
    )


@desk.post("/<int:programme_id>/fetch")
def fetched(programme_id: int) -> Response:
    """Note what was fetched."""
    count = pull_list.pull(station().store, programme_id, _ticked(), who(), now())
    flash(t("pull.fetched_said", count=count))
    return go(url_for("programme.fetch", programme_id=programme_id))


@desk.get("/away")
def away() -> str:
    """Everything that is to be put away, of every programme."""
    return render_template("programme/away.html", away=programme_view.away(station().store, None))


@desk.post("/away")
def put_away() -> Response:
    """Note what is home again."""
    count = pull_list.put_away(station().store, _ticked(), who(), now())
    flash(t("pull.away_said", count=count))
    back = request.form.get("back", "")
    return go(back if back.startswith(url_for("programme.page")) else url_for("programme.away"))


@desk.post("/away/scan")
def scanned_home() -> Response:
    """A disc whose mark was typed or scanned is home again, whoever had it."""
    store = station().store
    found = out_of_place.marked(store, request.form.get("mark", ""), wording.carriers())
    disc, had_it = out_of_place.come_home(store, found, who(), now())
    flash(wording.home_again(disc, had_it))
    return go(url_for("programme.away"))


@desk.get("/waiting")
def waiting() -> str:
    """The slips for later, and those left over: each is carried over, or it is said why not."""
    store = station().store
    return render_template(
        "programme/waiting.html",
        later=programme_view.waiting(store, Standing.LATER),
        left_over=programme_view.waiting(store, Standing.LEFT_OVER),
        choices=[(p.id, programme_view.named(p)) for p in programmes.to_come(store, now())],
        why=[(why, t(f"why.{why}")) for why in _LEFT_OVER_BECAUSE],
        today=now().date().isoformat(),
    )


@desk.post("/waiting/carry-over")
def carry_over() -> Response:
    """Give a slip another programme or day."""
    programme, day = request.form.get("programme", ""), request.form.get("day", "")
    slip_days.carry_over(
        station().store,
        whole_number("slip"),
        who(),
        now(),
        programme_id=whole_number("programme") if programme else None,
        on=asked_day(day) if day and not programme else None,
        version=whole_number("version"),
    )
    flash(t("waiting.carried_said", number=whole_number("slip")))
    return go(url_for("programme.waiting"))


@desk.post("/waiting/not-used")
def not_used() -> Response:
    """Say why a slip that was left over is not used."""
    slip_id, why = whole_number("slip"), request.form.get("why", "")
    request_slips.not_used(
        station().store, slip_id, why, who(), now(), version=whole_number("version")
    )
    flash(t("studio.noted_not_used", number=slip_id))
    return go(url_for("programme.waiting"))


def _text() -> str:
    return request.args.get("q", "").strip()[:200]


def _way() -> str:
    return request.form.get("way", "")


def _found() -> list[tuple[int, str, str]]:
    """What the words looked for could mean: number, name, and where it is. As on the phone desk,
    words half remembered will do."""
    if not _text():
        return []
    answer = enquiry.enquire(station().store, station().index, Heard(text=_text()), now())
    lines = []
    for match in answer.matches[:_FOUND]:
        best = match.ready or (match.availability[0] if match.availability else None)
        where = wording.label(best.holding).said if best and best.holding else ""
        state = wording.state(best) if best else t("readiness.not held")
        said_of_it = " · ".join(part for part in (where, state) if part)
        recording = match.recording
        if best is not None and best.holding is not None:
            recording = catalogue_rows.recording(station().store, best.holding.recording_id)
        lines.append((recording.id, wording.name(recording), said_of_it))
    return lines


def _ticked() -> list[int]:
    """The discs ticked on the page. Raises BadInput for none."""
    numbers = [n for n in request.form.getlist("disc") if n.isascii() and n.isdigit()]
    if not numbers:
        raise BadInput(t("pull.tick_one"))
    return [int(n) for n in numbers if len(n) < 19]
