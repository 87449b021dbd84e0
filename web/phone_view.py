"""What the phone desk's templates show: the sheet, its choices, the strip of other slips."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from catalogue import callers, places, request_slips, settings
from catalogue.callers import CallerDetails
from catalogue.places import Place
from catalogue.request_slips import Slip, SlipState
from catalogue.store import Store
from web import live, slip_view, wording
from web.answer_view import AnswerView
from web.station import now
from web.texts import t

HOW_ON_AIR = ("live", "recorded", "read out")
CONSENTS = ("yes", "first name only", "no")

_STRIP_SHOWS = 6
"""Slips named in the strip; more would push the work off the screen."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Which slip the page writes on: its number, or the token of a fresh sheet."""

    slip_id: int | None
    token: str
    heading: str
    started: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """What the page is told after something was kept."""

    said: str
    consent_noted: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StripLine:
    """A slip in the strip."""

    slip_id: int
    words: str
    current: bool
    with_studio: bool


@dataclass(frozen=True, slots=True)
class Strip:
    """The slips being written and those with the studios."""

    number: int
    lines: tuple[StripLine, ...]
    more: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a list: the value kept and the words shown."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Page:
    """The whole phone desk."""

    sheet: Sheet
    strip: Strip
    away: str
    handed_over: str
    handed_over_id: int | None
    heard: str
    heard_artist: str
    answer: AnswerView | None
    details: dict[str, str]
    under_sixteen: bool
    purposes: tuple[Choice, ...]
    occasions: tuple[Choice, ...]
    places: tuple[Choice, ...]
    on_air: tuple[Choice, ...]
    consents: tuple[Choice, ...]
    studios: tuple[Choice, ...]
    kept: Kept
    chosen: slip_view.Chosen | None


_BLANK_FIELDS = ("caller_name", "say_name", "place_detail", "for_whom", "why", "talk_about",
                 "line", "ring_back", "adult_consent")  # fmt: skip


def page(
    store: Store,
    slip: Slip | None,
    token: str,
    answer: AnswerView | None = None,
    handed_over: int | None = None,
) -> Page:
    """The page for a slip, or for a fresh sheet when `slip` is None."""
    details = callers.of(store, slip.id) if slip else None
    written = slip is None or slip.state == SlipState.BEING_WRITTEN
    purpose = str(slip.purpose) if slip else request_slips.PURPOSES[0]
    place_id = details.place_id if details else None
    return Page(
        sheet=sheet(store, slip.id if slip else None, token),
        strip=strip(store, slip.id if slip else None),
        away="" if written or slip is None else slip_view.no_longer_written(store, slip),
        **_handed(store, slip, handed_over),
        heard=(details.heard or details.heard_title) if details else "",
        heard_artist=details.heard_artist if details else "",
        answer=answer,
        details={f: str(getattr(details, f, "") or "") for f in _BLANK_FIELDS},
        under_sixteen=bool(details and details.under_sixteen),
        purposes=_choices(request_slips.PURPOSES, purpose, "purpose"),
        occasions=_named(settings.lines(store, "occasions"), slip.occasion if slip else ""),
        places=_places(places.all_places(store), place_id),
        on_air=_choices(HOW_ON_AIR, details.how_on_air if details else "", "on_air"),
        consents=_choices(CONSENTS, details.consent if details else "", "consent"),
        studios=_named(settings.lines(store, "studios"), first_studio(store)),
        kept=kept(store, slip.id if slip else None),
        chosen=slip_view.chosen(store, slip) if slip else None,
    )


def _handed(store: Store, slip: Slip | None, handed_over: int | None) -> dict[str, object]:
    """The quiet line about the slip handed over just now, or about this one if it is away."""
    about = None
    if slip is not None and slip.state == SlipState.HANDED_OVER:
        about = slip
    elif slip is None and handed_over is not None:
        last = request_slips.get(store, handed_over)
        about = last if last.state == SlipState.HANDED_OVER else None
    if about is None:
        return {"handed_over": "", "handed_over_id": None}
    return {
        "handed_over": slip_view.no_longer_written(store, about),
        "handed_over_id": about.id,
    }


def sheet(store: Store, slip_id: int | None, token: str) -> Sheet:
    """The sheet's hidden fields and its heading."""
    if slip_id is None:
        return Sheet(None, token, t("slip.fresh"))
    slip = request_slips.get(store, slip_id)
    at = wording.clock_time(slip.started_at, now().date())
    return Sheet(
        slip_id, token, t("slip.number", number=slip_id), t("slip.started", at=at) if at else ""
    )


def kept(store: Store, slip_id: int | None) -> Kept:
    """What is said after the details were kept: the consent's stamp, and gentle cautions."""
    details: CallerDetails | None = callers.of(store, slip_id) if slip_id is not None else None
    return Kept(
        said=t("slip.kept", at=f"{now():%H:%M}") if details else "",
        consent_noted=slip_view.consent_noted(details),
        cautions=tuple(callers.cautions(details)) if details else (),
    )


def strip(store: Store, current: int | None) -> Strip:
    """The other slips, those being written first."""
    lines = [
        StripLine(s.id, t("strip.written", number=s.id, who=slip_view.caller_line(store, s)),
                  s.id == current, False)
        for s in request_slips.open_slips(store)
    ]  # fmt: skip
    for studio in settings.lines(store, "studios"):
        lines += [
            StripLine(s.id, t("strip.with_studio", number=s.id, studio=studio),
                      s.id == current, True)
            for s in request_slips.queue(store, studio)
        ]  # fmt: skip
    more = t("strip.more", count=len(lines) - _STRIP_SHOWS) if len(lines) > _STRIP_SHOWS else ""
    shown = lines[:_STRIP_SHOWS]
    if not any(line.current for line in shown):
        shown += [line for line in lines[_STRIP_SHOWS:] if line.current]
    return Strip(live.queue_number(store), tuple(shown), more)


def first_studio(store: Store) -> str:
    """The studio a slip goes to unless another is chosen."""
    return next(iter(settings.lines(store, "studios")), "")


def _choices(values: Iterable[str], chosen: str, words: str) -> tuple[Choice, ...]:
    return tuple(Choice(str(v), t(f"{words}.{v}"), str(v) == chosen) for v in values)


def _named(values: list[str], chosen: str) -> tuple[Choice, ...]:
    """Choices the station named itself; one that is no longer listed but chosen stays."""
    listed = values if not chosen or chosen in values else [*values, chosen]
    return tuple(Choice(v, v, v == chosen) for v in listed)


def _places(listed: list[Place], chosen: int | None) -> tuple[Choice, ...]:
    return tuple(Choice(str(p.id), p.name, p.id == chosen) for p in listed)
