"""A recording as the shelves show it: one line of the list, or its whole page."""

from __future__ import annotations

from dataclasses import dataclass, fields

from catalogue import availability, browse, called_names, catalogue_rows, lessons, loans, undo
from catalogue.records import Carrier, Condition, NewRecording, Recording, Voice
from catalogue.store import Store
from web import as_it_came, this_desk, wording
from web.station import now
from web.texts import said, t


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy: its label, whether it is ready, and what may be done with its disc."""

    label: wording.Label
    state: str
    disc_id: int | None
    on_loan: bool
    holding_id: int = 0
    missing: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list."""

    id: int
    title: str
    artist: str
    about: str
    copies: tuple[Copy, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form: its name, its words, what is in it."""

    name: str
    words: str
    value: str
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a list."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Form:
    """The form of a recording, and of a copy to add."""

    fields: tuple[Field, ...]
    voices: tuple[Choice, ...]
    carriers: tuple[Choice, ...]
    conditions: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """A recording's page."""

    id: int
    title: str
    artist: str
    about: str
    copies: tuple[Copy, ...]
    form: Form
    lessons: tuple[lessons.Lesson, ...]
    names: tuple[str, ...]
    history: tuple[str, ...]
    sources: tuple[as_it_came.Source, ...]
    measured: tuple[str, ...]
    seen: int
    """Which change of the recording this page shows, sent back with a correction."""


def line(found: browse.Line) -> Line:
    """A line of the list."""
    recording = found.recording
    return Line(
        recording.id,
        recording.title,
        recording.artist,
        wording.about(recording),
        tuple(
            Copy(wording.label(a.holding), wording.state(a), a.holding.disc_id, False)
            for a in found.availability
            if a.holding
        ),
    )


def page(store: Store, recording_id: int) -> Page:
    """All that is known of a recording. Raises NotFound."""
    # The number first: what changes while the page is made is told when it is sent back.
    seen = undo.row_number(store, "recordings", recording_id)
    recording = catalogue_rows.recording(store, recording_id)
    holdings = catalogue_rows.holdings_of(store, [recording_id])[recording_id]
    return Page(
        recording.id,
        recording.title,
        recording.artist,
        wording.about(recording),
        _copies(store, recording_id),
        _form(recording),
        tuple(lessons.of(store, recording_id)),
        tuple(
            t("names.line", name=one.name, kind=t(f"name_kind.{one.kind}"))
            for one in called_names.of(store, recording_id)
        ),
        _history(store, recording_id),
        as_it_came.sources(store, recording),
        as_it_came.measured(store, [h.id for h in holdings]),
        seen,
    )


def blank_form() -> Form:
    """The form for a recording that is to be put in."""
    return _form(None)


def _copies(store: Store, recording_id: int) -> tuple[Copy, ...]:
    found = availability.of(store, [recording_id], now())[recording_id]
    discs = [a.holding.disc_id for a in found if a.holding and a.holding.disc_id]
    out = loans.out(store, discs) if discs else {}
    seen = this_desk.seen()
    return tuple(
        Copy(
            wording.label(a.holding, seen),
            wording.state(a),
            a.holding.disc_id,
            a.holding.disc_id in out,
            a.holding.id,
            a.holding.missing,
        )
        for a in found
        if a.holding
    )


_LAST = 5
"""Lines of the history beside the record; the whole of it has a page of its own."""

_WIDE = ("title", "artist", "version", "album", "composer")


def _form(recording: Recording | None) -> Form:
    voice = recording.voice if recording else Voice.UNKNOWN
    return Form(
        tuple(
            Field(f.name, t(f"field.{f.name}"), _value(recording, f.name), f.name in _WIDE)
            for f in fields(NewRecording)
            if f.name != "voice"
        ),
        tuple(Choice(v, t(f"voice.{v}"), v == voice) for v in Voice),
        tuple(
            Choice(c, t(f"carrier.{c}"), c is Carrier.CD) for c in Carrier if c is not Carrier.FILE
        ),
        tuple(Choice(c, t(f"condition.{c}"), c is Condition.UNKNOWN) for c in Condition),
    )


def _value(recording: Recording | None, name: str) -> str:
    if recording is None:
        return ""
    value = getattr(recording, name)
    if name == "length_s":
        return wording.length(value)
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)


def _history(store: Store, recording_id: int) -> tuple[str, ...]:
    today = now().date()
    return tuple(
        t("shelves.history_line", at=wording.clock_time(a.at, today), who=a.who, what=said(a.what))
        for a, _ in undo.history(store, "recordings", recording_id)[: -_LAST - 1 : -1]
    )
