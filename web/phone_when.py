"""For which day or programme a request is: on the phone desk, beside the slip."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, render_template, request

from catalogue import programmes, request_slips, slip_days
from catalogue.slip_days import Standing
from catalogue.slip_rows import Slip
from catalogue.store import Store
from web import programme_view
from web.asked import being_written, needed, number, slip_id_of
from web.asked import day as asked_day
from web.station import now, station, who
from web.texts import t

desk = Blueprint("phone_when", __name__, url_prefix="/phone/when")


@dataclass(frozen=True, slots=True)
class When:
    """What the fold says and offers: `said` is empty for a request of today."""

    said: str
    programmes: tuple[tuple[int, str, bool], ...]
    day: str
    today: str


def view(store: Store, slip: Slip | None) -> When:
    """The fold of a slip, or of a fresh sheet."""
    later = slip is not None and slip_days.standing(store, slip, now()) is Standing.LATER
    on = slip.programme_id if slip is not None and later else None
    return When(
        t("when.for", day=programme_view.was_for(store, slip)) if slip and later else "",
        tuple(
            (p.id, programme_view.named(p), p.id == on) for p in programmes.to_come(store, now())
        ),
        (slip.wanted_on or "") if slip and later else "",
        now().date().isoformat(),
    )


@desk.post("")
def ask_for() -> str:
    """Keep for which day or programme it is; neither means today, as soon as may be."""
    store = station().store
    slip_id = needed(slip_id_of(start=True))
    being_written(slip_id)
    programme, day = number("programme"), request.form.get("day", "").strip()
    slip_days.ask_for(
        store, slip_id, who(), now(),
        programme_id=programme, on=asked_day(day) if programme is None else None,
    )  # fmt: skip
    when = view(store, request_slips.get(store, slip_id))
    return render_template("phone/when.html", when=when)
