"""Many records at once, as the page shows them: the form, what would change, how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from catalogue import catalogue_rows, edit_many
from catalogue.edit_many import OF_DISC, OF_RECORDING, WORDED, Change, Edit, Outcome
from catalogue.records import Condition, Voice
from catalogue.store import Store
from importers.jobs import Job, State
from web import wording
from web.chosen import Chosen
from web.job_starting import Workers
from web.recording_view import Choice
from web.texts import said, t

_NAMED = 6
"""Chosen records named on the page; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Field:
    """A field that can be set: its name and words, what was typed, whether it is to be emptied,
    whether it can be, and the choices where it is one of a few."""

    name: str
    words: str
    value: str
    empty: bool
    can_be_empty: bool
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """The form for many records."""

    count: str
    names: tuple[str, ...]
    more: str
    chosen: Chosen
    fields: tuple[Field, ...]
    wording_fields: tuple[Choice, ...]
    old: str
    new: str
    whole: bool
    new_place: bool


@dataclass(frozen=True, slots=True)
class Sample:
    """A change as it would be: what it is called, and per field before and after."""

    name: str
    lines: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """What would change, or did: sentences, samples, and what is passed over and why."""

    sentences: tuple[str, ...]
    samples: tuple[Sample, ...]
    passed_over: tuple[str, ...]
    nothing: bool


@dataclass(frozen=True, slots=True)
class Progress:
    """A long edit: how far it is, or what came of it."""

    id: int
    what: str
    by: str
    under_way: bool
    done: int
    total: int | None
    words: str
    problem: str
    sentences: tuple[str, ...]
    passed_over: tuple[str, ...]
    action_id: int | None


def page(store: Store, chosen: Chosen, typed: dict[str, str]) -> Page:
    """The form, with what was typed so far."""
    named = catalogue_rows.recordings(store, chosen.ids[:_NAMED])
    names = tuple(wording.name(named[i]) for i in chosen.ids[:_NAMED] if i in named)
    rest = len(chosen.ids) - len(names)
    key = "several.by_search" if chosen.by_search else "several.ticked"
    return Page(
        t("several.one") if len(chosen.ids) == 1 else t(key, count=wording.count(len(chosen.ids))),
        names,
        t("several.more", count=wording.count(rest)) if rest > 0 else "",
        chosen,
        tuple(_field(name, typed) for name in (*OF_RECORDING, *OF_DISC)),
        tuple(Choice(f, field_words(f), f == typed.get("wording", "title")) for f in WORDED),
        typed.get("old", ""),
        typed.get("new", ""),
        typed.get("whole", "yes") == "yes",
        typed.get("new_place", "") == "yes",
    )


def field_words(name: str) -> str:
    """What a field is called, of a record or a disc."""
    return t(f"copy.{name}") if name in OF_DISC else t(f"field.{name}")


def _field(name: str, typed: dict[str, str]) -> Field:
    value = typed.get(name, "")
    few: dict[str, tuple[str, type[Voice] | type[Condition]]] = {
        "voice": ("voice", Voice),
        "condition": ("condition", Condition),
    }
    choices: tuple[Choice, ...] = ()
    if name in few:
        prefix, kind = few[name]
        choices = tuple(Choice(v, t(f"{prefix}.{v}"), v == value) for v in kind)
    can_be_empty = name != "artist" and not choices
    return Field(
        name, field_words(name), value, bool(typed.get(f"empty_{name}")), can_be_empty, choices
    )


def preview(outcome: Outcome, *, done: bool = False) -> Preview:
    """What would change, or has."""
    nothing = not (outcome.recordings or outcome.discs)
    sentences = []
    tense = "did" if done else "would"
    if outcome.recordings:
        sentences.append(_counted(f"several.{tense}_records", outcome.recordings))
    if outcome.discs:
        sentences.append(_counted(f"several.{tense}_discs", outcome.discs))
    if outcome.discs and outcome.beside:
        sentences.append(_counted("several.beside", outcome.beside))
    if nothing:
        sentences.append(t("several.nothing"))
    return Preview(
        tuple(sentences),
        tuple(_sample(change) for change in outcome.samples),
        passed_over(dict(outcome.passed_over)),
        nothing,
    )


def passed_over(counts: dict[str, int]) -> tuple[str, ...]:
    """What was passed over and why, a sentence for each reason."""
    return tuple(
        _counted(f"several.passed_{why.replace(' ', '_')}", counts[why])
        for why in edit_many.WHY
        if counts.get(why)
    )


def _counted(key: str, count: int) -> str:
    return t(f"{key}_one") if count == 1 else t(key, count=wording.count(count))


def _sample(change: Change) -> Sample:
    lines = tuple((field_words(n), value(n, old), value(n, new)) for n, old, new in change.values)
    return Sample(change.name, lines)


def value(name: str, held: Any) -> str:
    """The value of a field in words."""
    if held is None or held == "":
        return t("several.empty")
    if name in ("voice", "condition"):
        return t(f"{name}.{held}")
    return str(held)


def fields_of(edit: Edit) -> str:
    """The fields that an edit changes, in words, for what it is called."""
    names = [*edit.values, *([edit.wording.field] if edit.wording else [])]
    return ", ".join(dict.fromkeys(field_words(name).lower() for name in names))


def progress(store: Store, workers: Workers, job: Job, today: Any) -> Progress:
    """A long edit on its page."""
    under_way = workers.is_under_way(store, job)
    report = dict(job.report)
    counts = {str(k): int(v) for k, v in dict(report.get("passed_over", {})).items()}
    outcome = Outcome(
        int(report.get("recordings", 0)), int(report.get("discs", 0)), int(report.get("beside", 0))
    )
    outcome.passed_over.update(counts)
    told = preview(outcome, done=True)
    sentences = told.sentences
    if job.kind == "undo":
        sentences = (t("several.taken_back"),) if job.state is State.DONE else ()
    elif job.state is State.STOPPED or (not under_way and job.state is not State.DONE):
        sentences = (*sentences, t("several.stopped"))
    words = t("taking.begins")
    if job.total:
        words = t("taking.so_far_of", done=f"{job.done:,}", total=f"{job.total:,}")
    return Progress(
        job.id,
        str(job.options.get("what", "")),
        t("taking.by", who=said(job.who), at=wording.clock_time(job.at, today)),
        under_way,
        job.done,
        job.total,
        words,
        said(str(report.get("problem") or "")),
        sentences,
        told.passed_over,
        int(report["action_id"]) if report.get("action_id") and job.kind == "edit" else None,
    )
