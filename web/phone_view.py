"""What the phone desk's templates show: the sheet, its choices, the strip of other slips."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from catalogue import callers, calls, places, request_slips, settings
from catalogue.callers import MAY_HEAR, CallerDetails
from catalogue.places import Place
from catalogue.request_slips import Slip, SlipState
from catalogue.store import Store
from web import came_back, live, phone_when, slip_view, wording
from web.answer_view import AnswerView
from web.came_back import CameBack
from web.station import now
from web.texts import has, said, t

HOW_ON_AIR = ("live", "recorded", "read out")
CONSENTS = ("yes", "first name only", "no")
PLACE_CONSENTS = ("yes", "no")

_STRIP_SHOWS = 6
"""Slips named in the strip; more would push the work off the screen."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Which slip the page writes on: its number, or the token of a fresh sheet."""

    slip_id: int | None
    token: str
    heading: str
    started: str = ""
    in_strip: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """What the page is told after something was kept."""

    said: str
    consent_noted: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Hold:
    """Whether the caller holds, and since when: the words beside the button."""

    holding: bool
    words: str
    button: str


@dataclass(frozen=True, slots=True)
class Recorded:
    """The recording of a caller on the slip; `length` is empty if there is none."""

    slip_id: int | None
    there: bool
    length: str


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
    minute: str
    lines: tuple[StripLine, ...]
    back: tuple[CameBack, ...]
    """Slips that came back from a studio or were not used: the phone desk is to know."""
    more: str = ""
    rest: tuple[StripLine, ...] = ()
    """The slips that are folded away under `more`."""


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
    may_take_up: bool
    was_withdrawn: bool
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
    place_consents: tuple[Choice, ...]
    studios: tuple[Choice, ...]
    kept: Kept
    chosen: slip_view.Chosen | None
    own_kinds: bool
    urgent: bool
    hold: Hold
    recorded: Recorded
    may_hear: tuple[Choice, ...]
    same_call: str
    when: phone_when.When
    musical: tuple[str, ...] = tuple(sorted(request_slips.NEEDS_MUSIC))
    """What asks for music, so that the page says whether a record is needed."""


_TAKEN_UP = (SlipState.NOT_USED, SlipState.WITHDRAWN)
"""From these a slip can be taken up again."""

_BLANK_FIELDS = ("caller_name", "say_name", "place_detail", "for_whom", "why", "talk_about",
                 "line", "ring_back", "adult_consent", "first_words", "last_words")  # fmt: skip


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
        may_take_up=slip is not None and slip.state in _TAKEN_UP and details is not None,
        heard=(details.heard or details.heard_title) if details else "",
        heard_artist=details.heard_artist if details else "",
        answer=answer,
        details={f: str(getattr(details, f, "") or "") for f in _BLANK_FIELDS},
        under_sixteen=bool(details and details.under_sixteen),
        purposes=_purposes(store, purpose),
        occasions=_occasions(store, slip.occasion if slip else ""),
        places=_places(places.all_places(store), place_id),
        on_air=_choices(HOW_ON_AIR, details.how_on_air if details else "", "on_air"),
        consents=_choices(CONSENTS, details.consent if details else "", "consent"),
        place_consents=_choices(
            PLACE_CONSENTS, details.place_consent if details else "", "consent"
        ),
        studios=_named(settings.lines(store, "studios"), first_studio(store)),
        kept=kept(store, slip.id if slip else None),
        chosen=slip_view.chosen(store, slip) if slip else None,
        own_kinds=len(request_slips.purposes(store)) > len(request_slips.PURPOSES),
        urgent=bool(slip and slip.urgent),
        hold=hold(slip),
        when=phone_when.view(store, slip),
        recorded=recorded(slip.id if slip else None, details),
        may_hear=tuple(
            Choice(v, t(f"may_hear.{v or 'open'}"), bool(details and details.may_hear == v))
            for v in MAY_HEAR
        ),
        same_call=_same_call(store, slip) if slip else "",
    )


def hold(slip: Slip | None) -> Hold:
    """Whether this slip's caller holds the line, and how long already."""
    if slip is None or slip.hold_since is None:
        return Hold(False, "", t("hold.begin"))
    return Hold(True, t("hold.now", waits=slip_view.waits(slip)), t("hold.end"))


def recorded(slip_id: int | None, details: CallerDetails | None) -> Recorded:
    """The recording on a slip, if there is one."""
    there = bool(details and details.recording_file)
    length = wording.length(details.recording_length_s) if details else ""
    return Recorded(slip_id, there, length)


def _same_call(store: Store, slip: Slip) -> str:
    """The other slips of this call, in a sentence."""
    others = [str(s.id) for s in calls.slips_of(store, slip) if s.id != slip.id]
    return t("slip.same_call", slips=", ".join(others)) if others else ""


def _handed(store: Store, slip: Slip | None, handed_over: int | None) -> dict[str, object]:
    """The quiet line about the slip handed over or withdrawn just now, or about this one if it is
    away: both can be taken back from there."""
    about = None
    if slip is not None and slip.state == SlipState.HANDED_OVER:
        about = slip
    elif slip is None and handed_over is not None:
        last = request_slips.get(store, handed_over)
        about = last if last.state in (SlipState.HANDED_OVER, SlipState.WITHDRAWN) else None
    if about is None:
        return {"handed_over": "", "handed_over_id": None, "was_withdrawn": False}
    return {
        "handed_over": slip_view.no_longer_written(store, about),
        "handed_over_id": about.id,
        "was_withdrawn": about.state is SlipState.WITHDRAWN,
    }


def sheet(store: Store, slip_id: int | None, token: str) -> Sheet:
    """The sheet's hidden fields and its heading."""
    if slip_id is None:
        return Sheet(None, token, t("slip.fresh"))
    slip = request_slips.get(store, slip_id)
    at = wording.clock_time(slip.started_at, now().date())
    return Sheet(
        slip_id,
        token,
        t("slip.number", number=slip_id),
        t("slip.started", at=at) if at else "",
        _written(store, slip),
    )


def kept(store: Store, slip_id: int | None) -> Kept:
    """What is said after the details were kept: the consent's stamp, and gentle cautions."""
    details: CallerDetails | None = callers.of(store, slip_id) if slip_id is not None else None
    return Kept(
        said=t("slip.kept", at=f"{now():%H:%M}") if details else "",
        # Until something was asked the same place says by whose rules to ask.
        consent_noted=slip_view.consent_noted(details) or (t("slip.policy") if details else ""),
        cautions=tuple(said(caution) for caution in callers.cautions(details)) if details else (),
    )


def strip(store: Store, current: int | None) -> Strip:
    """The other slips: callers on hold, then those being written, then those with a studio."""
    waiting = {s.id for s in request_slips.on_hold(store)}
    lines = [
        StripLine(s.id, _written(store, s), s.id == current, False)
        for s in request_slips.open_slips(store)
        if s.id == current or not calls.nothing_written(store, s)
    ]
    for studio in settings.lines(store, "studios"):
        lines += [
            StripLine(s.id, _held(_with_studio(s), s), s.id == current, True)
            for s in request_slips.queue(store, studio)
        ]
    # Whoever waits on the line comes first: they are not to be forgotten.
    lines.sort(key=lambda line: line.slip_id not in waiting)
    shown = [line for n, line in enumerate(lines) if n < _STRIP_SHOWS or line.current]
    rest = tuple(line for line in lines if line not in shown)
    return Strip(
        live.queue_number(store),
        live.minute(),
        tuple(shown),
        came_back.all_of(store, current),
        t("strip.more", count=len(rest)) if rest else "",
        rest,
    )


def _written(store: Store, slip: Slip) -> str:
    words = t("strip.written", number=slip.id, who=slip_view.caller_line(store, slip))
    return _held(words, slip)


def _held(words: str, slip: Slip) -> str:
    return t("strip.on_hold", slip=words, waits=slip_view.waits(slip)) if slip.hold_since else words


def _with_studio(slip: Slip) -> str:
    """Where a slip is, and whether its caller was taken or is on air."""
    key = {calls.TAKEN: "strip.taken", calls.ON_AIR: "strip.on_air"}.get(slip.in_studio)
    return t(key or "strip.with_studio", number=slip.id, studio=slip.studio)


def first_studio(store: Store) -> str:
    """The studio a slip goes to unless another is chosen."""
    return next(iter(settings.lines(store, "studios")), "")


def _choices(values: Iterable[str], chosen: str, words: str) -> tuple[Choice, ...]:
    return tuple(Choice(str(v), t(f"{words}.{v}"), str(v) == chosen) for v in values)


def _purposes(store: Store, chosen: str) -> tuple[Choice, ...]:
    return tuple(
        Choice(v, t(f"purpose.{v}") if v in request_slips.PURPOSES else v, v == chosen)
        for v in request_slips.purposes(store)
    )


def _occasions(store: Store, chosen: str) -> tuple[Choice, ...]:
    """The station's occasions; those of the first list are in the language of the pages."""
    return tuple(
        Choice(c.value, t(f"occasion.{c.value}") if has(f"occasion.{c.value}") else c.words,
               c.chosen)
        for c in _named(settings.lines(store, "occasions"), chosen)
    )  # fmt: skip


def _named(values: list[str], chosen: str) -> tuple[Choice, ...]:
    """Choices the station named itself; one that is no longer listed but chosen stays."""
    listed = values if not chosen or chosen in values else [*values, chosen]
    return tuple(Choice(v, v, v == chosen) for v in listed)


def _places(listed: list[Place], chosen: int | None) -> tuple[Choice, ...]:
    return tuple(
        Choice(str(p.id), p.name, p.id == chosen) for p in listed if p.in_use or p.id == chosen
    )
