"""Beside a record's own page: its other names, and its history."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import called_names, catalogue_rows, lessons, record_history
from catalogue.called_names import OF_ARTIST, OF_TITLE
from catalogue.record_history import Event, Outing
from catalogue.who_changed import Change
from web import wording
from web.station import go, now, station, who
from web.texts import has, said, t

desk = Blueprint("record_more", __name__, url_prefix="/shelves/recordings/<int:recording_id>")

_EVENTS = 30
_OUTINGS = 30
"""Lines of one list of the history."""

_SAID = {"voice": "voice.{}", "condition": "condition.{}", "carrier": "carrier.{}"}
_UNSAID = {"id", "song_id", "artist_id", "recording_id", "disc_id", "plain", "file_size",
           "file_time", "audio", "missing_since", "since"}  # fmt: skip
"""Columns that tell a person nothing, or that another line tells."""


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that was done, in words: values are (field, before, after)."""

    at: str
    who: str
    what: str
    rows: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]
    take_back_id: int
    may_take_back: bool
    why_not: str


@desk.get("/names")
def names(recording_id: int) -> str:
    """What else the artist and the title are called, and how they were heard."""
    store = station().store
    held = catalogue_rows.recording(store, recording_id)
    every = called_names.of(store, recording_id)
    groups = (
        ("artist", t("names.of_artist", name=held.artist), OF_ARTIST,
         [one for one in every if one.of_artist]),
        ("title", t("names.of_title", name=held.title), OF_TITLE,
         [one for one in every if not one.of_artist]),
    )  # fmt: skip
    return render_template(
        "shelves/names.html", held=held, groups=groups, lessons=lessons.of(store, recording_id)
    )


@desk.post("/names")
def add_name(recording_id: int) -> Response:
    """Write another name."""
    form = request.form
    held = catalogue_rows.recording(station().store, recording_id)
    called_names.add(
        station().store, recording_id, form.get("whose") == "artist", form.get("kind", ""),
        form.get("name", ""), who(), t("did.named", title=held.title), now(),
    )  # fmt: skip
    flash(t("names.added"))
    return go(url_for("record_more.names", recording_id=recording_id))


@desk.post("/names/<int:number>")
def correct_name(recording_id: int, number: int) -> Response:
    """Correct another name, or take it out."""
    store, form = station().store, request.form
    title = catalogue_rows.recording(store, recording_id).title
    if form.get("out"):
        called_names.remove(
            store, recording_id, number, who(), t("did.unnamed", title=title), now()
        )
        flash(t("names.removed"))
    elif called_names.correct(
        store, recording_id, number, form.get("kind", ""), form.get("name", ""), who(),
        t("did.renamed", title=title), now(),
    ):  # fmt: skip
        flash(t("names.corrected"))
    else:
        flash(t("shelves.nothing_changed"))
    return go(url_for("record_more.names", recording_id=recording_id))


@desk.get("/history")
def history(recording_id: int) -> str:
    """Who changed what and when, when it went out, and what stood in for it."""
    store, text = station().store, request.args.get("before", "")
    before = int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None
    held = catalogue_rows.recording(store, recording_id)
    events = record_history.events(store, recording_id, before, _EVENTS)
    today = now().date()
    return render_template(
        "shelves/history.html",
        held=held,
        lines=[_line(event) for event in events],
        older=events[-1].action.id if len(events) == _EVENTS else None,
        first=before is None,
        outings=[_outing(one) for one in record_history.outings(store, recording_id, _OUTINGS)],
        stood_in=[
            t("history.stood_in", at=wording.clock_time(at, today), name=name)
            for at, name in record_history.stood_in_by(store, recording_id, _OUTINGS)
        ],
    )


def _line(event: Event) -> Line:
    return Line(
        wording.clock_time(event.action.at, now().date()),
        event.action.who,
        wording.as_sentence(said(event.action.what)),
        tuple(row for change in event.changes if (row := _row(change))),
        event.take_back_id,
        event.may_take_back,
        said(event.why_not) if event.why_not else "",
    )


def _row(change: Change) -> tuple[str, tuple[tuple[str, str, str], ...]] | None:
    values = tuple(
        (_column(name), _value(name, old), _value(name, new))
        for name, old, new in change.values
        if name not in _UNSAID
    )
    if change.kind == "update" and not values:
        return None
    key = f"table.{change.table}"
    table = t(key) if has(key) else change.table.replace("_", " ")
    called = f"“{change.called}”" if change.called else str(change.row_id)
    return t(f"changed.{change.kind}", table=table, called=called), values


def _column(name: str) -> str:
    keys = (f"field.{name}", f"copy.{name}", f"held_field.{name}")
    return next((t(key) for key in keys if has(key)), name.replace("_", " "))


def _value(name: str, text: str) -> str:
    if not text:
        return t("several.empty")
    if name == "length_s":
        return wording.length(float(text))
    if name == "kind" and has(f"name_kind.{text}"):
        return t(f"name_kind.{text}")
    if name == "missing":
        return t("history.yes" if text == "1" else "history.no")
    key = _SAID.get(name, "").format(text)
    return t(key) if key and has(key) else text


def _outing(one: Outing) -> str:
    at = wording.clock_time(one.at, now().date())
    where = " · ".join(part for part in (one.studio, one.programme) if part)
    if one.instead_of:
        return t("history.played_instead", at=at, where=where, name=one.instead_of)
    return t("history.played", at=at, where=where)
