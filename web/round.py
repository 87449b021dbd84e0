"""The round: a sheet for typing in a stack of paper slips, and one hand-over for all of them.

Each row is sent as it is left, with a key of its own: sent twice, it is one slip. What could not
be sent stays on the page until it can; nothing of a patient is stored in the device.
"""

from __future__ import annotations

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import request_slips, rounds, settings
from catalogue.errors import CatalogueError
from catalogue.rounds import RoundRow
from catalogue.slip_days import ASKED_BY, CAME_BY
from catalogue.slip_rows import Slip, SlipState
from web import round_view
from web.asked import day as asked_day
from web.asked import number, whole_number
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("round", __name__, url_prefix="/round")

DETAILS = (
    "heard", "heard_artist", "caller_name", "say_name", "place_id", "place_detail", "for_whom",
    "why", "consent", "place_consent", "under_sixteen", "adult_consent",
)  # fmt: skip
"""Fields of a row that are the caller's; `heard_artist` is empty unless it was written apart."""


@desk.get("")
def page() -> str:
    """The round that is not done yet, or a blank sheet."""
    store = station().store
    asked = request.args.get("round", "")
    not_done = rounds.not_done(store)
    if asked.isascii() and asked.isdigit() and len(asked) < 19:
        chosen = rounds.get(store, int(asked))
    else:
        chosen = not_done[0] if not_done else None
    return render_template(
        "round/page.html",
        page=round_view.page(store, station().index, chosen),
        others=[r.id for r in not_done if chosen is None or r.id != chosen.id],
    )


@desk.get("/fresh")
def fresh() -> str:
    """A blank sheet; nothing is stored before a row is written."""
    return render_template(
        "round/page.html",
        page=round_view.page(station().store, station().index, None),
        others=[r.id for r in rounds.not_done(station().store)],
    )


@desk.post("/rows")
def row() -> str:
    """Keep one row, look up what was heard, and say what came of it."""
    store = station().store
    key = request.form.get("key", "")
    before = rounds.slip_with_key(store, key)
    typed = _row()
    with store.transaction():
        round_id = number("round")
        if round_id is None or (before is not None and before.round_id is not None):
            round_id = before.round_id if before else None
        if round_id is None:
            round_id = rounds.start(store, who(), now())
        heard_before = round_view.heard_of(store, before.id) if before else None
        slip_id = rounds.keep_row(store, round_id, key, typed, who(), now())
    slip = request_slips.get(store, slip_id)
    if heard_before is not None and heard_before != round_view.heard_of(store, slip_id):
        slip = _unchosen(slip)
    return _answered(slip)


@desk.post("/choose")
def choose() -> str:
    """Put the record that was pressed on the row."""
    slip_id = _slip()
    request_slips.choose(
        station().store,
        slip_id,
        whole_number("recording_id"),
        number("holding_id"),
        who(),
        now(),
        stand_in_for=number("stand_in_for"),
        version=number("version"),
    )
    return _answered(request_slips.get(station().store, slip_id), look_up=False)


@desk.post("/unchoose")
def unchoose() -> str:
    """It was the wrong one: the row is open again, and is not filled in by itself."""
    slip_id = _slip()
    request_slips.unchoose(station().store, slip_id, who(), now(), number("version"))
    return _answered(request_slips.get(station().store, slip_id), by_itself=False)


@desk.post("/remove")
def remove() -> str:
    """The row was typed by mistake."""
    slip_id = _slip()
    request_slips.withdraw(station().store, slip_id, who(), now(), number("version"))
    return render_template("round/removed.html", number=slip_id)


@desk.post("/hand-over")
def hand_over() -> Response:
    """Hand over every row that has its record; say how many are left to look at."""
    store, round_id = station().store, whole_number("round")
    done = rounds.hand_over(store, round_id, request.form.get("studio", ""), who(), now())
    key = "round.handed_one" if done.handed == 1 else "round.handed"
    flash(t(key, count=done.handed))
    if done.left:
        flash(t("round.left_one" if len(done.left) == 1 else "round.left", count=len(done.left)))
        return go(url_for("round.page", round=round_id))
    return go(url_for("round.fresh"))


@desk.get("/blank")
def blank() -> str:
    """Blank slips to print, four to a sheet."""
    store = station().store
    return render_template(
        "round/blank.html",
        days=settings.number(store, "caller_days"),
        occasions=round_view.occasions(store, ""),
    )


def _row() -> RoundRow:
    """One row of the sheet, with what stays from row to row."""
    form = request.form
    came_by = form.get("came_by", CAME_BY[1])
    asked_by = form.get("asked_by", ASKED_BY[0])
    programme = number("programme")
    day = form.get("day", "").strip()
    details: dict[str, object] = {n: form.get(n, "").strip() for n in DETAILS if n in form}
    details.setdefault("heard", "")
    details["under_sixteen"] = form.get("under_sixteen", "") == "yes"
    if details.get("heard_artist"):
        details["heard_title"] = details["heard"]
        details["heard"] = ""
    else:
        details["heard_title"] = ""
    return RoundRow(
        came_by=came_by,
        asked_by=asked_by,
        collector=form.get("collector", "").strip()[:80],
        occasion=form.get("occasion", ""),
        programme_id=programme,
        on=asked_day(day) if programme is None else None,
        same_person_as=_same_person(),
        details=details,
    )


def _same_person() -> int | None:
    """The slip of the row above, when this row is of the same person."""
    key = request.form.get("same_as", "")
    found = rounds.slip_with_key(station().store, key) if key else None
    return found.id if found else None


def _answered(slip: Slip, *, look_up: bool = True, by_itself: bool = True) -> str:
    """The row's answer; a record that is certain and ready is put on it by itself."""
    store, index = station().store, station().index
    shown = round_view.answer(store, index, slip, look_up=look_up)
    sure = shown.sure
    if by_itself and sure is not None and slip.state is SlipState.BEING_WRITTEN:
        try:
            request_slips.choose(store, slip.id, sure[0], sure[1], who(), now())
        except CatalogueError:
            pass  # somebody was quicker: the row stays doubtful, and says so
        else:
            slip = request_slips.get(store, slip.id)
            shown = round_view.answer(store, index, slip, look_up=False)
    return render_template("round/answer.html", answer=shown)


def _unchosen(slip: Slip) -> Slip:
    """What was heard has changed: what was found for it before is taken off."""
    if slip.recording_id is None or slip.state is not SlipState.BEING_WRITTEN:
        return slip
    request_slips.unchoose(station().store, slip.id, who(), now())
    return request_slips.get(station().store, slip.id)


def _slip() -> int:
    return whole_number("slip")
