"""What was played: day by day, added by hand, corrected, and returned as music used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from flask import Blueprint, Response, flash, render_template, request, url_for

from catalogue import (
    availability,
    catalogue_rows,
    enquiry,
    play_log,
    programmes,
    settings,
    undo,
    usage_return,
)
from catalogue.errors import BadInput
from catalogue.heard import Heard
from web import wording
from web.asked import day as asked_day
from web.asked import whole_number
from web.station import go, now, station, who
from web.texts import said, t

desk = Blueprint("played", __name__, url_prefix="/played")

_FOUND = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One play: when, what, from which copy, in which programme, for which slips."""

    id: int
    at: str
    title: str
    artist: str
    about: str
    place: str
    programme: str
    slips: str
    heard: str


@desk.get("")
def page() -> str:
    """What was played on one day, today's unless another is asked for."""
    store, on = station().store, asked_day(request.args.get("day", "")) or now().date()
    start = datetime(on.year, on.month, on.day, tzinfo=now().tzinfo)
    rows = play_log.between(store, start, start + timedelta(days=1))
    slips = play_log.slips_of(store, [row["id"] for row in rows])
    lines = [
        Line(
            row["id"],
            f"{datetime.fromisoformat(row['at']):%H:%M}",
            row["title"],
            row["artist"],
            row["version"],
            _place(row["holding_id"]),
            row["programme"],
            _for_slips(slips.get(row["id"], [])),
            wording.length(row["heard_s"]),
        )
        for row in rows
    ]
    first = now().date().replace(day=1)
    return render_template(
        "played/page.html",
        lines=lines,
        day=on.isoformat(),
        day_said=wording.day(on, now().date()),
        before=(on - timedelta(days=1)).isoformat(),
        after=(on + timedelta(days=1)).isoformat() if on < now().date() else "",
        first=first.isoformat(),
        last=now().date().isoformat(),
        found=_found(),
        text=_text(),
        time=f"{now():%H:%M}",
        studios=settings.lines(store, "studios"),
    )


@desk.post("/by-hand")
def by_hand() -> Response:
    """Add a play that nobody noted at the time."""
    store, at = station().store, _moment()
    recording_id = whole_number("recording_id")
    on = programmes.current(store, at)
    play_log.add_by_hand(
        store,
        recording_id,
        _readiest(recording_id),
        at,
        _studio(),
        who(),
        now(),
        programme_id=on.id if on else None,
        heard_s=wording.seconds(request.form.get("heard", "").strip()),
    )
    flash(t("played.added_said", title=catalogue_rows.recording(store, recording_id).title))
    return go(url_for("played.page", day=at.date().isoformat()))


@desk.get("/<int:play_id>")
def one(play_id: int) -> str:
    """One play, to be corrected, with its history."""
    store = station().store
    play = play_log.get(store, play_id)
    at = datetime.fromisoformat(play.at)
    recording = catalogue_rows.recording(store, play.recording_id)
    copies = availability.of(store, [recording.id], now())[recording.id]
    return render_template(
        "played/one.html",
        play=play,
        name=wording.name(recording),
        day=at.date().isoformat(),
        time=f"{at:%H:%M}",
        heard=wording.length(play.heard_s),
        copies=[
            (a.holding.id, wording.label(a.holding).said, a.holding.id == play.holding_id)
            for a in copies
            if a.holding
        ],
        seen=undo.row_number(store, "plays", play_id),
        slips=_for_slips(play_log.slips_of(store, [play_id]).get(play_id, [])),
        history=_history(play_id),
        found=_found(),
        text=_text(),
    )


@desk.post("/<int:play_id>")
def correct(play_id: int) -> Response:
    """Correct when it was, from which copy, and how long it was heard."""
    store, at = station().store, _moment()
    play = play_log.get(store, play_id)
    recording_id = whole_number("recording_id") if request.form.get("recording_id") else None
    changed = recording_id is not None and recording_id != play.recording_id
    holding_id = whole_number("holding_id") if request.form.get("holding_id") else None
    on = programmes.current(store, at)
    play_log.correct(
        store,
        play_id,
        who(),
        now(),
        # A minute that was not touched keeps its seconds.
        at=datetime.fromisoformat(play.at) if play.at[:16] == at.isoformat()[:16] else at,
        recording_id=recording_id or play.recording_id,
        holding_id=_readiest(recording_id) if changed and recording_id else holding_id,
        programme_id=on.id if on else None,
        heard_s=wording.seconds(request.form.get("heard", "").strip()),
        seen=whole_number("seen"),
    )
    flash(t("played.corrected_said"))
    return go(url_for("played.one", play_id=play_id))


@desk.post("/<int:play_id>/strike")
def strike(play_id: int) -> Response:
    """It did not go out after all."""
    day = play_log.get(station().store, play_id).at[:10]
    play_log.strike(station().store, play_id, who(), now(), seen=whole_number("seen"))
    flash(t("played.struck_said"))
    return go(url_for("played.page", day=day))


@desk.get("/return")
def usage() -> str:
    """The return of music used, with what is still blank in it."""
    first, last = _days()
    found = usage_return.uses(station().store, first, last)
    return render_template(
        "played/return.html",
        first=first.isoformat(),
        last=last.isoformat(),
        missing=usage_return.missing(found),
        headings=usage_return.HEADINGS,
        rows=[use.cells for use in found[:20]],
        more=max(0, len(found) - 20),
    )


@desk.get("/return.csv")
def usage_csv() -> Response:
    """The return as a file."""
    first, last = _days()
    data = usage_return.as_csv(station().store, first, last)
    answer = Response(data, mimetype="text/csv")
    name = f"music-used-{first.isoformat()}-to-{last.isoformat()}.csv"
    answer.headers["Content-Disposition"] = f"attachment; filename={name}"
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _history(play_id: int) -> list[str]:
    today = now().date()
    return [
        t("history.line", at=wording.clock_time(a.at, today), who=a.who, what=said(a.what))
        for a, _ in undo.history(station().store, "plays", play_id)
    ]


def _for_slips(slips: list[int]) -> str:
    if not slips:
        return ""
    key = "played.for_slip" if len(slips) == 1 else "played.for_slips"
    return t(key, slips=", ".join(str(n) for n in slips))


def _place(holding_id: int | None) -> str:
    if holding_id is None:
        return ""
    return wording.label(catalogue_rows.holding(station().store, holding_id)).said


def _readiest(recording_id: int) -> int | None:
    copies = availability.of(station().store, [recording_id], now())[recording_id]
    return next((a.holding.id for a in copies if a.holding), None)


def _text() -> str:
    return request.args.get("q", "").strip()[:200]


def _found() -> list[tuple[int, str]]:
    if not _text():
        return []
    answer = enquiry.enquire(station().store, station().index, Heard(text=_text()), now())
    return [(m.recording.id, wording.name(m.recording)) for m in answer.matches[:_FOUND]]


def _studio() -> str:
    """One of the station's studios, or none: the log keeps no other words."""
    studio = request.form.get("studio", "")
    if studio and studio not in settings.lines(station().store, "studios"):
        raise BadInput(t("studio.unknown"))
    return studio


def _days() -> tuple[date, date]:
    """The days asked for; this month without any."""
    today = now().date()
    first = asked_day(request.args.get("first", "")) or today.replace(day=1)
    return first, asked_day(request.args.get("last", "")) or today


def _moment() -> datetime:
    try:
        at = datetime.fromisoformat(f"{request.form.get('day', '')}T{request.form.get('time', '')}")
    except ValueError as problem:
        raise BadInput(t("station.no_time")) from problem
    return at.replace(tzinfo=now().tzinfo)
