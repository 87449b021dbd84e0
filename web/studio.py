"""The studio: slips as they arrive, the place first and large; played, or not and why."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, session, url_for
from werkzeug import Response

from catalogue import catalogue_rows, lessons, request_slips, settings, undo
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.request_slips import Slip, SlipState
from catalogue.store import Store
from web import live, slip_view, wording
from web.station import go, now, station, who
from web.texts import has, t

desk = Blueprint("studio", __name__, url_prefix="/studio")


@dataclass(frozen=True, slots=True)
class Done:
    """A line of what the studio did today."""

    slip_id: int
    at: str
    title: str
    artist: str
    note: str
    may_take_back: bool


@dataclass(frozen=True, slots=True)
class Queue:
    """What waits for a studio and what it did today, as of change `number`."""

    number: int
    studio: str
    count: str
    cards: tuple[slip_view.StudioCard, ...]
    done: tuple[Done, ...]
    why_not: tuple[tuple[str, str], ...]
    """Why a slip is not used: the value kept, and the words."""


@dataclass(frozen=True, slots=True)
class Page:
    """The studio's page."""

    studio: str
    others: tuple[str, ...]
    checklist: tuple[str, ...]
    queue: Queue


@desk.get("")
def page() -> str:
    """The slips of one studio: the one asked for, else the one this browser had last."""
    store = station().store
    studio = _studio(request.args.get("studio") or session.get("studio"))
    session["studio"] = studio
    shown = Page(
        studio,
        tuple(s for s in settings.lines(store, "studios") if s != studio),
        tuple(settings.lines(store, "live_checklist")),
        _queue(store, studio),
    )
    return render_template("studio/page.html", page=shown)


@desk.get("/queue")
def queue() -> str | Response:
    """The queue, if it changed since N."""
    store = station().store
    if live.queue_number(store) == live.asked_since():
        return live.unchanged()
    return render_template(
        "studio/queue.html", queue=_queue(store, _studio(request.args.get("studio")))
    )


@desk.post("/played")
def played() -> Response:
    """Note that a slip's record went out."""
    slip_id = _slip_id()
    request_slips.played(station().store, slip_id, who(), now(), version=_version())
    lessons.learn_from_slip(station().store, slip_id, who(), now())
    return _back(t("studio.noted_played", number=slip_id, at=f"{now():%H:%M}"))


@desk.post("/not-used")
def not_used() -> Response:
    """Note that a slip was not used, and why."""
    slip_id = _slip_id()
    why = request.form.get("why", "")
    request_slips.not_used(station().store, slip_id, why, who(), now(), version=_version())
    return _back(t("studio.noted_not_used", number=slip_id))


@desk.post("/take-back")
def take_back() -> Response:
    """Take back "played" or "not used": the slip waits again."""
    store, slip_id = station().store, _slip_id()
    slip = request_slips.get(store, slip_id)
    if slip.state not in (SlipState.PLAYED, SlipState.NOT_USED):
        raise CannotTakeBack(t("studio.waits_already", number=slip_id))
    last, _ = undo.history(store, "slips", slip_id)[-1]
    undo.take_back(store, last.id, who(), now())
    return _back(t("studio.taken_back", number=slip_id))


def _back(note: str) -> Response:
    flash(note)
    return go(url_for("studio.page", studio=request.form.get("studio") or None))


def _version() -> int | None:
    """The slip as the page shows it; the owner refuses if it changed since."""
    text = request.form.get("version", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


def _slip_id() -> int:
    text = request.form.get("slip", "")
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise BadInput(t("refusal.number"))
    return int(text)


def _studio(name: str | None) -> str:
    names = settings.lines(station().store, "studios")
    if name is None and names:
        return names[0]
    if name not in names:
        raise NotFound(t("studio.unknown"))
    return name


def _queue(store: Store, studio: str) -> Queue:
    # The number first: what changes while the cards are made is fetched again the next time.
    number = live.queue_number(store)
    waiting = request_slips.queue(store, studio)
    words = {0: t("studio.none"), 1: t("studio.one")}
    return Queue(
        number=number,
        studio=studio,
        count=words.get(len(waiting)) or t("studio.count", count=len(waiting)),
        cards=tuple(slip_view.studio_card(store, slip) for slip in waiting),
        done=tuple(_done(store, slip) for slip in request_slips.done_today(store, studio, now())),
        why_not=tuple((why, _why(why)) for why in request_slips.WHY_NOT),
    )


def _why(why: str) -> str:
    key = f"why.{why}"
    return t(key) if has(key) else why


def _done(store: Store, slip: Slip) -> Done:
    title, artist = t("studio.done_no_record"), ""
    if slip.recording_id is not None:
        recording = catalogue_rows.recording(store, slip.recording_id)
        title, artist = recording.title, recording.artist
    notes = {
        SlipState.NOT_USED: t("studio.done_not_used", why=_why(slip.why_not)),
        SlipState.WITHDRAWN: t("studio.done_withdrawn"),
    }
    at = wording.clock_time(slip.done_at, now().date())
    may_take_back = slip.state in (SlipState.PLAYED, SlipState.NOT_USED)
    return Done(slip.id, at, title, artist, notes.get(slip.state, ""), may_take_back)
