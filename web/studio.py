"""The studio: slips as they arrive, the place first and large; played, or not and why."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, session, url_for
from werkzeug import Response

from catalogue import (
    catalogue_rows,
    lessons,
    programmes,
    request_slips,
    sent_back,
    settings,
    undo,
)
from catalogue.errors import BadInput, CannotTakeBack, NotFound
from catalogue.request_slips import Slip, SlipState
from catalogue.store import Store
from web import dedications, live, past_callers, slip_view, this_desk, wording
from web.station import go, now, station, who
from web.texts import has, said, t

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
    minute: str
    studio: str
    count: str
    left: str
    others: tuple[str, ...]
    cards: tuple[slip_view.StudioCard, ...]
    done: tuple[Done, ...]
    why_not: tuple[tuple[str, str], ...]
    """Why a slip is not used: the value kept, and the words."""


@dataclass(frozen=True, slots=True)
class Page:
    """The studio's page."""

    studio: str
    checklist: tuple[str, ...]
    blank_minutes: int
    queue: Queue


@desk.get("")
def page() -> str:
    """The slips of one studio: the one asked for, else the one this browser had last."""
    store = station().store
    studio = studio_named(request.args.get("studio") or session.get("studio"))
    session["studio"] = studio
    shown = Page(
        studio,
        tuple(said(line) for line in settings.lines(store, "live_checklist")),
        settings.number(store, "blank_minutes"),
        _queue(store, studio),
    )
    return render_template("studio/page.html", page=shown)


@desk.get("/queue")
def queue() -> str | Response:
    """The queue, if it changed since N; what is left of the programme changes by the minute."""
    store = station().store
    if live.is_known(store):
        return live.unchanged()
    return render_template(
        "studio/queue.html", queue=_queue(store, studio_named(request.args.get("studio")))
    )


@desk.post("/played")
def played() -> Response:
    """Note that a slip's record went out."""
    slip_id = slip_asked()
    also = also_asked()
    with station().store.transaction():
        request_slips.played(
            station().store, slip_id, who(), now(), version=version_seen(), also=also
        )
        for one in (slip_id, *also):
            lessons.learn_from_slip(station().store, one, who(), now())
    return back(t("studio.noted_played", number=slip_id, at=f"{now():%H:%M}"))


@desk.post("/not-used")
def not_used() -> Response:
    """Note that a slip was not used, and why."""
    slip_id = slip_asked()
    store, why = station().store, request.form.get("why", "")
    with store.transaction():
        request_slips.not_used(store, slip_id, why, who(), now(), version=version_seen())
        for other in also_asked() if why in sent_back.OF_THE_RECORD else ():
            request_slips.not_used(store, other, why, who(), now())
    return back(t("studio.noted_not_used", number=slip_id))


@desk.post("/take-back")
def take_back() -> Response:
    """Take back "played", "not used" or "back to the phone desk": the slip waits again."""
    store, slip_id = station().store, slip_asked()
    slip = request_slips.get(store, slip_id)
    if slip.state is SlipState.BEING_WRITTEN and slip.sent_back:
        sent_back.take_back(store, slip_id, who(), now())
        return back(t("studio.taken_back", number=slip_id))
    if slip.state not in (SlipState.PLAYED, SlipState.NOT_USED):
        raise CannotTakeBack(t("studio.waits_already", number=slip_id))
    past_callers.refuse(slip)
    last, _ = undo.history(store, "slips", slip_id)[-1]
    undo.take_back(store, last.id, who(), now())
    return back(t("studio.taken_back", number=slip_id))


def back(note: str) -> Response:
    """To the page the form was on, with a note of what was done."""
    flash(note)
    # Only a studio of the list: an address must not carry what somebody typed.
    asked = request.form.get("studio", "")
    known = asked if asked in settings.lines(station().store, "studios") else None
    return go(url_for("studio.page", studio=known))


def version_seen() -> int | None:
    """The slip as the page shows it; the owner refuses if it changed since."""
    text = request.form.get("version", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


def slip_asked() -> int:
    """The slip the form is about. Raises BadInput."""
    text = request.form.get("slip", "")
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise BadInput(t("refusal.number"))
    return int(text)


def also_asked() -> list[int]:
    """The slips for the same record on the card: a reason in the record is one for them too."""
    return [
        int(n) for n in request.form.getlist("also") if n.isascii() and n.isdigit() and len(n) < 19
    ]


def studio_named(name: str | None) -> str:
    """The studio of this name, the first without one. Raises NotFound."""
    names = settings.lines(station().store, "studios")
    if name is None and names:
        return names[0]
    if name not in names:
        raise NotFound(t("studio.unknown"))
    return name


def _queue(store: Store, studio: str) -> Queue:
    # The number first: what changes while the cards are made is fetched again the next time.
    number = live.queue_number(store)
    waiting = dedications.in_order(store, studio)
    seen = this_desk.seen(studio)
    return Queue(
        number=number,
        minute=live.minute(),
        studio=studio,
        count=_count(waiting),
        left=_left(store),
        others=tuple(s for s in settings.lines(store, "studios") if s != studio),
        cards=tuple(
            slip_view.studio_card(store, slip, seen, also)
            for slip, also in dedications.together(store, waiting)
        ),
        done=_all_done(store, studio),
        why_not=tuple((why, _why(why)) for why in request_slips.WHY_NOT),
    )


def _count(waiting: list[Slip]) -> str:
    """How many slips wait, and which of them are urgent, in words."""
    words = {0: t("studio.none"), 1: t("studio.one")}
    count = words.get(len(waiting)) or t("studio.count", count=len(waiting))
    urgent = [str(slip.id) for slip in waiting if slip.urgent]
    if not urgent:
        return count
    key = "studio.urgent_one" if len(urgent) == 1 else "studio.urgent_several"
    return f"{count} {t(key, slips=', '.join(urgent))}"


def _left(store: Store) -> str:
    """What is left of the programme, in a sentence; empty while nothing is on."""
    left = programmes.left(store, now())
    if left is None:
        return ""
    ends = wording.clock_time(left.programme.ends_at, now().date())
    records = {0: t("left.no_record"), 1: t("left.one_record")}.get(left.records) or t(
        "left.records", count=left.records
    )
    return t(
        "left.sentence",
        name=left.programme.name,
        ends=ends,
        minutes=wording.how_long(left.minutes),
        records=records,
    )


def _why(why: str) -> str:
    key = f"why.{why}"
    return t(key) if has(key) else why


def _all_done(store: Store, studio: str) -> tuple[Done, ...]:
    """What was played, laid aside and sent back today, latest first."""
    done = request_slips.done_today(store, studio, now())
    done += sent_back.by_studio(store, studio, now())
    done.sort(key=lambda slip: slip.done_at or slip.sent_back_at or "", reverse=True)
    return tuple(_done(store, slip) for slip in done)


def _done(store: Store, slip: Slip) -> Done:
    came_back = slip.state is SlipState.BEING_WRITTEN
    record = slip.sent_back_record if came_back else slip.recording_id
    title, artist = t("studio.done_no_record"), ""
    if record is not None:
        recording = catalogue_rows.recording(store, record)
        title, artist = recording.title, recording.artist
    notes = {
        SlipState.BEING_WRITTEN: t("studio.done_sent_back", why=_why(slip.sent_back)),
        SlipState.PLAYED: t("studio.done_played"),
        SlipState.NOT_USED: t("studio.done_not_used", why=_why(slip.why_not)),
        SlipState.WITHDRAWN: t("studio.done_withdrawn"),
    }
    at = wording.clock_time(slip.sent_back_at if came_back else slip.done_at, now().date())
    may_take_back = slip.state is not SlipState.WITHDRAWN
    return Done(slip.id, at, title, artist, notes.get(slip.state, ""), may_take_back)
