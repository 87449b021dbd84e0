"""What was taken in, as the pages show it: progress, counts, columns to be corrected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue.store import Store
from importers import accession, columns, jobs
from importers.columns import heading_for
from importers.jobs import Job, State
from importers.report import Remark
from importers.shelf_lists import Guess
from web import wording
from web.job_starting import Workers
from web.station import now
from web.texts import said, t

SHOWN = 40
"""Remarks of one kind on a page; the whole list is in the file that can be kept."""

_CELL = 60
"""Letters of a sample that are shown."""

_COUNTS = ("added", "new_copies", "updated", "moved", "already_held", "refused", "needs_a_look",
           "gone", "left_alone", "files", "filled", "failed")  # fmt: skip
_MINUTE_S, _HOUR_S = 60, 3600


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a job is: of how many (None if not known), and in words with rate and time left."""

    done: int
    total: int | None
    words: str


@dataclass(frozen=True, slots=True)
class Group:
    """Remarks of one kind: heading, (source, sentence) each, and how many more there are."""

    kind: str
    heading: str
    lines: tuple[tuple[str, str], ...]
    more: str


@dataclass(frozen=True, slots=True)
class Shown:
    """A job on its page, or in the list of them."""

    id: int
    kind: str
    name: str
    about: str
    state: str
    ended: str
    under_way: bool
    problem: str
    counts: tuple[tuple[str, str], ...]
    may_go_on: bool
    may_take_back: bool
    taken_back: bool


def shown(store: Store, workers: Workers, job: Job, taken: dict[str, bool]) -> Shown:
    """A job in words. `taken` says of the names of takings-in whether they were taken back."""
    under_way = workers.is_under_way(store, job)
    broken_off = not under_way and job.state in (State.WAITING, State.RUNNING)
    key = "broken_off" if broken_off else str(job.state)
    taken_back = taken.get(job.what, False)
    name = Path(job.source.replace("\\", "/")).name or job.source
    state = t("taking.taken_back") if taken_back else t(f"taking.state_{key}")
    return Shown(
        job.id,
        job.kind,
        t(f"taking.kind_{job.kind}", name=name),
        t("taking.by", who=said(job.who), at=wording.clock_time(job.at, now().date())),
        state,
        wording.as_sentence(state),
        under_way,
        said(str(job.report.get("problem") or ""))
        or (t("taking.unforeseen") if job.state is State.FAILED else ""),
        _counts(job),
        not under_way and (broken_off or job.state is State.STOPPED) and not taken_back,
        not under_way and job.what in taken and not taken_back,
        taken_back,
    )


def takings(store: Store) -> dict[str, bool]:
    """Name of each taking-in to whether it was taken back."""
    return {one.what: one.taken_back for one in accession.takings_in(store, _ALL)}


_ALL = 10_000
"""Takings-in that are looked through: more than a station has in its life."""


def _counts(job: Job) -> tuple[tuple[str, str], ...]:
    """(number, words) of whatever there is to count."""
    counts = dict(job.report)
    counts["updated"] = int(counts.get("changed", 0)) - int(counts.get("moved", 0))
    return tuple(
        (f"{counts[name]:,}", t(f"taking.count_{name}")) for name in _COUNTS if counts.get(name)
    )


def progress(job: Job) -> Progress:
    """How far a job is."""
    done, total, rate = job.done, job.total, job.rate or 0.0
    if total:
        words = [t("taking.so_far_of", done=f"{done:,}", total=f"{total:,}")]
    else:
        words = [t("taking.so_far", done=f"{done:,}") if done else t("taking.begins")]
    if rate > 0:
        number = f"{rate:,.0f}" if rate >= 10 else f"{rate:.1f}"
        words.append(t("taking.rate", rate=number))
        if total and total > done:
            words.append(_left((total - done) / rate))
    return Progress(done, total, " · ".join(words))


def _left(seconds: float) -> str:
    if seconds < _MINUTE_S:
        return t("taking.left_less")
    if seconds < _HOUR_S:
        minutes = round(seconds / _MINUTE_S)
        return t("taking.left_minute") if minutes == 1 else t("taking.left_minutes", n=minutes)
    return t("taking.left_hours", n=f"{seconds / _HOUR_S:.1f}")


def groups(store: Store, job: Job) -> tuple[Group, ...]:
    """The remarks of a job by kind, the first of each."""
    found = []
    for kind in ("failed", "refused", "look", "gone"):
        remarks = jobs.remarks(store, job.id, kind, SHOWN)
        if not remarks:
            continue
        name = "needs_a_look" if kind == "look" else kind
        total = int(job.report.get(name, len(remarks)))
        left = total - len(remarks)
        found.append(
            Group(
                kind,
                t(f"taking.group_{kind}"),
                tuple(_line(one) for one in remarks),
                t("taking.more", count=f"{left:,}") if left > 0 else "",
            )
        )
    return tuple(found)


def _line(remark: Remark) -> tuple[str, str]:
    """The source, and what is to be said of it, which need not name it once more."""
    return remark.source, wording.as_sentence(said(remark.text).rstrip("."))


def sentences(job: Job) -> list[str]:
    """How the columns were read, and what was out of reach."""
    report = job.report
    return [said(one) for one in (*report.get("read_as", ()), *report.get("out_of_reach", ()))]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a list: its heading, three samples, and what it may hold."""

    number: int
    heading: str
    samples: tuple[str, ...]
    choices: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a list: how its columns were understood."""

    number: int
    name: str
    how: str
    headed: bool
    columns: tuple[Column, ...]


def tables(guesses: Sequence[Guess]) -> tuple[Table, ...]:
    """The tables of a list; those of one shape are shown once, since they are read alike."""
    by_shape: dict[str, list[Guess]] = {}
    for guess in guesses:
        by_shape.setdefault(guess.shape, []).append(guess)
    return tuple(
        _table(number, alike[0], ", ".join(guess.name for guess in alike))
        for number, alike in enumerate(by_shape.values())
    )


def _table(number: int, guess: Guess, name: str) -> Table:
    layout = guess.columns
    if guess.remembered:
        how = t("taking.read_remembered")
    elif layout is None:
        how = t("taking.read_not")
    elif layout.guessed:
        how = t("taking.read_contents" if layout.heading_row < 0 else "taking.read_odd")
    else:
        how = t("taking.read_headings")
    fields = layout.fields if layout else ()
    return Table(
        number,
        name,
        how,
        layout is not None and layout.heading_row >= 0,
        tuple(
            Column(
                i + 1,
                heading,
                tuple(_cut(row[i]) if i < len(row) else "" for row in guess.samples),
                _choices(fields[i] if i < len(fields) else "", fields),
            )
            for i, heading in enumerate(guess.headings)
        ),
    )


def _cut(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= _CELL else f"{text[: _CELL - 1]}…"


def _choices(chosen: str, fields: Sequence[str]) -> tuple[tuple[str, str, bool], ...]:
    """(value, words, whether it is chosen), by their words; nothing comes first."""
    names = {field: t(f"column.{field}") for field in columns.FIELDS if field}
    names |= {field: heading_for(field) for field in fields if ":" in field}
    by_words = sorted(names.items(), key=lambda item: item[1].casefold())
    return tuple(
        (field, words, field == chosen) for field, words in [("", t("column.none")), *by_words]
    )
