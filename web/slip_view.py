"""A slip as the phone desk and the studio show it: the caller in finished sentences.

Made anew for each page; nothing of it is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from catalogue import (
    availability,
    callers,
    calls,
    catalogue_rows,
    may_be_said,
    occasions,
    places,
    reasons,
    settings,
)
from catalogue.callers import CallerDetails
from catalogue.reasons import Reason, ReasonKind
from catalogue.records import Readiness, Recording
from catalogue.request_slips import NEEDS_MUSIC, Slip, SlipState
from catalogue.store import Store
from web import slip_day, wording
from web.station import now
from web.texts import has, said, t

_IN_THE_STRIP = 24
"""Letters of a name, or of what was heard: enough to tell slips apart."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The record on a slip: what, where, and whether it is still ready."""

    recording_id: int
    title: str
    artist: str
    about: str
    label: wording.Label | None
    state: str
    ready: bool
    length: str
    tempo: str
    composer: str
    instead_of: str = ""
    asked_for: str = ""
    """What was asked for and what was agreed instead, in a sentence; empty if it is one thing."""
    warning: str = ""


@dataclass(frozen=True, slots=True)
class StudioCard:
    """All that the presenter reads before the fader opens."""

    id: int
    version: int
    purpose: str
    handed: str
    chosen: Chosen | None
    no_record: str
    may_go_out: bool
    caller: str
    say_name: str
    where: str
    where_on_air: str
    where_may: bool
    consent: str
    consent_limits: bool
    young: str
    under_sixteen: str
    on_air: str
    line: str
    lines: tuple[tuple[str, str], ...]
    """The rest of the caller's details: label and words, in the order they are needed."""
    urgent: str
    waits: str
    in_studio: str
    on_air_now: bool
    taken: bool
    same_call: str
    recorded: Recorded | None
    also: tuple[StudioCard, ...] = ()
    """Others who asked for the same record: read out with this one, one play for all."""
    day: str = ""
    """What the slip was for, when it was carried over or its programme is over."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """The recording of a caller, as the studio is told of it."""

    words: str
    may_hear: str
    playable: bool


def chosen(store: Store, slip: Slip, seen: Mapping[str, str] | None = None) -> Chosen | None:
    """The record on this slip, None if there is none; `seen` is how the desk sees the folders."""
    if slip.recording_id is None:
        return None
    recording = catalogue_rows.recording(store, slip.recording_id)
    instead_of = asked_for = ""
    if slip.stand_in_for is not None and slip.stand_in_for != slip.recording_id:
        asked = catalogue_rows.recording(store, slip.stand_in_for)
        instead_of = t("slip.instead_of", title=asked.title)
        asked_for = t("studio.asked_for", asked=wording.name(asked), agreed=wording.name(recording))
    found = _chosen(store, slip, recording, seen)
    return replace(found, instead_of=instead_of, asked_for=asked_for)


def _chosen(
    store: Store,
    slip: Slip,
    recording: Recording,
    seen: Mapping[str, str] | None,
) -> Chosen:
    copies = availability.of(store, [recording.id], now(), slip_id=slip.id)[recording.id]
    copy = next(
        (a for a in copies if a.holding and a.holding.id == slip.holding_id),
        copies[0] if copies and slip.holding_id is None else None,
    )
    holding = catalogue_rows.holding(store, slip.holding_id) if slip.holding_id else None
    return Chosen(
        recording.id,
        title=recording.title,
        artist=recording.artist,
        about=wording.about(recording),
        label=wording.label(holding, seen) if holding else None,
        state=wording.state(copy) if copy else t("readiness.not held"),
        ready=copy is not None and copy.readiness is Readiness.READY,
        length=wording.length(recording.length_s),
        tempo=wording.tempo(recording.tempo),
        composer=recording.composer,
        warning=_warning(store, recording),
    )


def _warning(store: Store, recording: Recording) -> str:
    """What somebody should look at twice in the title; a person decides."""
    words = occasions.warnings_in(
        recording.title, settings.lines(store, "warning_words"), recording.language
    )
    warned = [said(reasons.sentence(Reason(ReasonKind.WARNING, held=word))) for word in words]
    return wording.as_sentence("; ".join(warned))


def purpose(slip: Slip) -> str:
    """The slip's purpose in words."""
    key = f"purpose.{slip.purpose}"
    return t(key) if has(key) else str(slip.purpose)


def caller_line(store: Store, slip: Slip) -> str:
    """Who a slip is for, or else what for, in a few words: for the list of slips being written."""
    details = callers.of(store, slip.id)
    if details and details.caller_name:
        return _shortened(details.caller_name)
    heard = (details.heard or details.heard_title or details.heard_artist) if details else ""
    if slip.recording_id is not None:
        heard = catalogue_rows.recording(store, slip.recording_id).title
    return t("strip.heard", words=_shortened(heard)) if heard else t("slip.no_name")


def _shortened(words: str) -> str:
    return words if len(words) <= _IN_THE_STRIP else f"{words[:_IN_THE_STRIP].rstrip()}…"


def consent_noted(details: CallerDetails | None) -> str:
    """What was agreed to or refused, when, and by whom it was noted; empty if nothing was asked."""
    noted: dict[tuple[str, str], list[str]] = {}
    for name, (at, by) in callers.STAMPS.items() if details else ():
        if getattr(details, name):
            stamp = (wording.clock_time(getattr(details, at), now().date()), getattr(details, by))
            noted.setdefault(stamp, []).append(t(f"noted.{name}"))
    return " ".join(
        t("slip.consent_noted", at=at, by=by, what=", ".join(what))
        for (at, by), what in noted.items()
    )


def waits(slip: Slip) -> str:
    """How long the caller has held the line, empty if they do not."""
    if slip.hold_since is None:
        return ""
    minutes = wording.minutes_since(slip.hold_since, now())
    return {0: t("hold.just_now"), 1: t("hold.minute")}.get(minutes) or t(
        "hold.minutes", minutes=minutes
    )


def studio_card(
    store: Store, slip: Slip, seen: Mapping[str, str] | None = None, also: tuple[Slip, ...] = ()
) -> StudioCard:
    """The card the studio shows for a slip that was handed over."""
    details = callers.of(store, slip.id)
    record = chosen(store, slip, seen)
    where, where_said, may = _where(store, details)
    at = wording.clock_time(slip.in_studio_at, now().date())
    others = [str(s.id) for s in calls.slips_of(store, slip) if s.id != slip.id]
    return StudioCard(
        id=slip.id,
        version=slip.version,
        purpose=purpose(slip),
        handed=wording.clock_time(slip.handed_at, now().date()),
        chosen=record,
        no_record="" if record else t("studio.no_record"),
        may_go_out=record is not None or slip.purpose not in NEEDS_MUSIC,
        caller=(details.caller_name if details else "") or t("studio.no_name"),
        say_name=details.say_name if details else "",
        where=where,
        where_on_air=where_said,
        where_may=may,
        consent=_consent(details),
        consent_limits=details is None or not may_be_said.name(details),
        young=_young(details),
        under_sixteen=t("studio.young") if details and details.under_sixteen else "",
        on_air=_how(details.how_on_air) if details else "",
        line=details.line if details else "",
        lines=_lines(slip, details),
        urgent=t("studio.urgent") if slip.urgent else "",
        waits=t("studio.waits", waits=waits(slip)) if slip.hold_since else "",
        in_studio={
            calls.TAKEN: t("studio.is_taken", at=at),
            calls.ON_AIR: t("studio.is_on_air", at=at),
        }.get(slip.in_studio, ""),
        on_air_now=slip.in_studio == calls.ON_AIR,
        taken=slip.in_studio == calls.TAKEN,
        same_call=t("studio.same_call", slips=", ".join(others)) if others else "",
        recorded=_recorded(details),
        also=tuple(studio_card(store, other, seen) for other in also),
        day=slip_day.said(store, slip),
    )


def _recorded(details: CallerDetails | None) -> Recorded | None:
    if details is None or not details.recording_file:
        return None
    parts = (
        wording.length(details.recording_length_s),
        t("recorded.from", words=details.first_words) if details.first_words else "",
        t("recorded.to", words=details.last_words) if details.last_words else "",
    )
    return Recorded(
        " · ".join(part for part in parts if part),
        t(f"may_hear.{details.may_hear or 'open'}"),
        details.may_hear in ("on air", "presenter"),
    )


def _consent(details: CallerDetails | None) -> str:
    """What may be said of the caller, in a sentence."""
    if details is None:
        return t("studio.erased")
    if details.consent not in ("yes", "first name only"):
        return t("studio.consent_no" if details.consent else "studio.consent_open")
    if details.under_sixteen and not details.adult_consent.strip():
        return t("studio.consent_young")
    name = may_be_said.name(details)
    if not name:
        return t("studio.consent_nameless")
    return t(f"studio.consent_{details.consent.replace(' ', '_')}", name=name)


def _young(details: CallerDetails | None) -> str:
    """Under sixteen and who has agreed; nobody is a caution, whatever the caller said."""
    if details is None or not details.under_sixteen:
        return ""
    if details.adult_consent.strip():
        return t("studio.young_with_adult", adult=details.adult_consent)
    return "" if details.consent in ("yes", "first name only") else t("studio.young_alone")


def _where(store: Store, details: CallerDetails | None) -> tuple[str, str, bool]:
    """Where the caller is, and whether the place may be said on the air."""
    if details is None:
        return "", "", False
    place = next((p for p in places.all_places(store) if p.id == details.place_id), None)
    where = ", ".join(part for part in (place.name if place else "", details.place_detail) if part)
    if not where:
        return "", "", False
    if place is None or not place.on_air:
        return where, t("studio.where_private"), False
    if not may_be_said.place(details):
        key = "studio.where_no_consent" if details.place_consent else "studio.where_not_asked"
        return where, t(key), False
    key = "studio.where_open_not_detail" if details.place_detail else "studio.where_open"
    return where, t(key, place=place.say or place.name), True


def occasion_line(slip: Slip) -> tuple[tuple[str, str], ...]:
    """Why the caller asks, in the station's own words only: label and words, or nothing."""
    words = _occasion(slip)
    return ((t("slip.why"), words),) if words else ()


def _occasion(slip: Slip) -> str:
    return t(f"occasion.{slip.occasion}") if has(f"occasion.{slip.occasion}") else slip.occasion


def _lines(slip: Slip, details: CallerDetails | None) -> tuple[tuple[str, str], ...]:
    if details is None:
        return ()
    occasion = _occasion(slip)
    why = " · ".join(part for part in (occasion, details.why) if part)
    # Where no record was agreed, the presenter goes by what the caller said.
    heard = (
        () if slip.recording_id else (details.heard or details.heard_title, details.heard_artist)
    )
    found = (
        (t("studio.heard"), ", ".join(part for part in heard if part)),
        (t("studio.for_whom"), details.for_whom),
        (t("slip.why"), why),
        (t("slip.talk_about"), details.talk_about),
    )
    return tuple((name, words) for name, words in found if words)


def no_longer_written(store: Store, slip: Slip) -> str:
    """What became of a slip that is not being written any more, in a sentence."""
    at = wording.clock_time(slip.done_at or slip.handed_at, now().date())
    studio = slip.studio or settings.lines(store, "studios")[0]
    if slip.state == SlipState.HANDED_OVER:
        return t("slip.with_studio", number=slip.id, studio=studio, at=at)
    if slip.state == SlipState.PLAYED:
        return t("slip.was_played", number=slip.id, at=at)
    if slip.state == SlipState.NOT_USED:
        return t("slip.was_not_used", number=slip.id, at=at, why=t(f"why.{slip.why_not}"))
    return t("slip.was_withdrawn", number=slip.id, at=at)


def _how(value: str) -> str:
    """How the caller goes on air; a value of nobody's is shown as it is."""
    key = f"on_air.{value}"
    return t(key) if has(key) else value
