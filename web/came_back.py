"""Slips that came back to the phone desk, or were not used, in sentences for whoever is there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from catalogue import catalogue_rows, sent_back
from catalogue.errors import NotFound
from catalogue.request_slips import Slip
from catalogue.store import Store
from web import slip_view, wording
from web.station import now
from web.texts import has, t

_TOLD_FOR = timedelta(minutes=15)
"""How long the phone desk is told of a slip that was not used: the caller may still be there."""


@dataclass(frozen=True, slots=True)
class CameBack:
    """A slip of which the phone desk is told: the sentence, and whether it is the one open."""

    slip_id: int
    words: str
    current: bool


def all_of(store: Store, current: int | None) -> tuple[CameBack, ...]:
    """Those that are to be written on again, then those laid aside a moment ago."""
    back = [CameBack(s.id, _came_back(store, s), s.id == current) for s in sent_back.waiting(store)]
    unused = [
        CameBack(s.id, _not_used(store, s), s.id == current)
        for s in sent_back.not_used_since(store, now() - _TOLD_FOR)
    ]
    return (*back, *unused)


def _came_back(store: Store, slip: Slip) -> str:
    at = wording.clock_time(slip.sent_back_at, now().date())
    whence = slip.sent_back_from or t("back.shelves")
    said = t(
        "back.from",
        number=slip.id,
        who=slip_view.caller_line(store, slip),
        whence=whence,
        at=at,
        why=_why(store, slip.sent_back, slip.sent_back_record),
    )
    find = slip.sent_back in sent_back.OF_THE_RECORD and slip.recording_id is None
    return f"{said} {t('back.find')}" if find else said


def _not_used(store: Store, slip: Slip) -> str:
    at = wording.clock_time(slip.done_at, now().date())
    return t(
        "back.not_used",
        number=slip.id,
        who=slip_view.caller_line(store, slip),
        whence=slip.studio,
        at=at,
        why=_why(store, slip.why_not, slip.recording_id),
    )


def _why(store: Store, why: str, record: int | None) -> str:
    """The reason in words, with the record's title where it lies in the record."""
    key = f"back.{why}"
    if record is None or not has(key):
        return t(f"why.{why}") if has(f"why.{why}") else why
    try:
        return t(key, title=catalogue_rows.recording(store, record).title)
    except NotFound:
        return t(f"why.{why}")
