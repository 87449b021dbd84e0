"""That a slip was carried over, or was left over from another day, in a sentence."""

from __future__ import annotations

from datetime import date

from catalogue import slip_days
from catalogue.slip_days import Standing
from catalogue.slip_rows import Slip
from catalogue.store import Store
from web import wording
from web.station import now
from web.texts import t


def said(store: Store, slip: Slip) -> str:
    """That a slip was carried over, or was left over from another day, in a sentence."""
    day = slip_days.day_of(store, slip)
    if slip_days.standing(store, slip, now()) is Standing.LEFT_OVER:
        on = day.on if day else date.fromisoformat((slip.handed_at or slip.started_at)[:10])
        return t("studio.left_over", day=wording.day(on, now().date()))
    if slip.carried_from:
        since = date.fromisoformat(slip.carried_from)
        return t("studio.carried_over", day=wording.day(since, now().date()))
    return ""
