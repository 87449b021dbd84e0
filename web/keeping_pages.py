"""The keeper's pages of safety: is all well, who changed what, what is held of somebody, papers.

The same as the keeper's commands do. A name that is looked for is sent in a form, so that it is
in no address and no list of pages seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from flask import Blueprint, Response, flash, render_template, request, url_for
from markdown_it import MarkdownIt
from markupsafe import Markup

from catalogue import backup, callers, forgetting, health, settings, who_changed
from catalogue.errors import NotFound
from web import log_file, wording
from web.opening import INDEX
from web.station import go, now, station
from web.texts import has, language, papers, said, t

desk = Blueprint("keeping", __name__, url_prefix="/station")

_A_PAGE = 40
"""Actions on one page."""
_EACH = 12
"""Changed rows told of one action; a taking-in changes thousands."""
_ERASURES = 30
_DAYS = {"written_at", "erase_on", "consent_at", "first", "last", "since", "due", "back"}
"""What is told as a day."""

_markdown = MarkdownIt("commonmark", {"html": False}).enable("table")


@desk.get("/health")
def health_page() -> str:
    """What can be looked at in a moment, the copies, and the record of erasures."""
    return _health(at_length=False)


@desk.post("/health")
def look_at_everything() -> str:
    """Look at everything, as `asheard check` does."""
    return _health(at_length=True)


def _health(*, at_length: bool) -> str:
    store, today = station().store, now().date()
    found = health.look(store.path, store.path.parent / INDEX, now(), at_length=at_length)
    copies = [
        (t(f"copy_kind.{c.kind}"), wording.full_day(c.on), f"{c.size / 1e6:,.1f} MB")
        for c in backup.all_copies(backup.folder_of(store.path))
    ]
    erasures = [
        (wording.clock_time(row["at"], today), int(row["slips"]))
        for row in callers.erasures(store, _ERASURES)
    ]
    return render_template(
        "keeper/health.html",
        findings=[(f.well, said(f.sentence)) for f in sorted(found, key=lambda f: f.well)],
        at_length=at_length,
        copies=copies,
        erasures=erasures,
    )


@desk.get("/log")
def log() -> Response:
    """The log, to be sent as it is: once more without every word that is on a slip now."""
    text = log_file.to_send(station().store)
    answer = Response(text, mimetype="text/plain")
    answer.headers["Content-Disposition"] = "attachment; filename=asheard-log.txt"
    return answer


@dataclass(frozen=True, slots=True)
class Shown:
    """One thing held about somebody: where, what it says, and its slip if it is one."""

    where: str
    lines: tuple[tuple[str, str], ...]
    slip_id: int | None


@desk.get("/held")
def held_page() -> str:
    """The question, and nothing yet."""
    return render_template("keeper/held.html", name="", held=None, shred="")


@desk.post("/held")
def held() -> str:
    """All that is held about somebody of this name, to be read out, printed or erased."""
    store, name = station().store, request.form.get("name", "").strip()
    found = [_shown(one) for one in forgetting.held_about(store, name)]
    return render_template("keeper/held.html", name=name, held=found, shred=shred_by())


@desk.post("/held/<int:slip_id>/forget")
def forget(slip_id: int) -> Response:
    """Erase a slip's caller at once, from the copies too."""
    places = forgetting.forget(station().store, slip_id, now())
    flash(t("forget.done" if places else "forget.nothing", number=slip_id))
    flash(t("forget.elsewhere"))
    return go(url_for("keeping.held_page"))


def shred_by() -> str:
    """The day by which a page printed now is to be shredded: when the first of the callers'
    details that may be on it are erased, and never later than those written today."""
    store, today = station().store, now().date()
    last = today + timedelta(days=settings.number(store, "caller_days"))
    first = callers.first_due(store)
    return wording.full_day(min(first, last) if first else last)


def _shown(held: forgetting.Held) -> Shown:
    slip = dict(held.lines).get("slip_id")
    lines = tuple(
        (_field(key), _value(key, value)) for key, value in held.lines if key != "slip_id"
    )
    where = t("held.slip", number=slip) if slip else said(held.where)
    return Shown(where[:1].upper() + where[1:], lines, int(slip) if slip else None)


def _field(key: str) -> str:
    keys = (f"slip.{key}", f"held_field.{key}")
    return next((t(k) for k in keys if has(k)), key.replace("_", " "))


def _value(key: str, value: str) -> str:
    if key in _DAYS and (at := wording.moment(value)):
        return wording.full_day(at.date())
    return {"0": t("consent.no"), "1": t("consent.yes")}.get(value, value) if key in (
        "under_sixteen", "active") else value  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One action: when, who, what, and its changed rows; how many of them are not told."""

    at: str
    who: str
    what: str
    rows: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]
    more: int


@desk.get("/changes")
def changes() -> str:
    """Who changed what, latest first, with every value before and after."""
    store, text = station().store, request.args.get("before", "")
    before = int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None
    actions = who_changed.page(store, before, _A_PAGE)
    ids = [action.id for action in actions]
    rows = who_changed.changes_of(store, ids, _EACH)
    counts, today = who_changed.counts(store, ids), now().date()
    lines = [
        Line(
            wording.clock_time(a.at, today), a.who, said(a.what),
            tuple(_row(change) for change in rows[a.id]), max(0, counts.get(a.id, 0) - _EACH),
        )
        for a in actions
    ]  # fmt: skip
    older = ids[-1] if len(ids) == _A_PAGE else None
    return render_template("keeper/changes.html", lines=lines, older=older, first=before is None)


def _row(change: who_changed.Change) -> tuple[str, tuple[tuple[str, str, str], ...]]:
    key = f"table.{change.table}"
    table = t(key) if has(key) else change.table.replace("_", " ")
    called = f"“{change.called}”" if change.called else str(change.row_id)
    values = tuple((_column(c), before, after) for c, before, after in change.values)
    return t(f"changed.{change.kind}", table=table, called=called), values


def _column(column: str) -> str:
    keys = (f"field.{column}", f"slip.{column}")
    return next((t(key) for key in keys if has(key)), column.replace("_", " "))


@desk.get("/papers")
def paper_list() -> str:
    """The papers a station should have."""
    there = papers.all_papers(language())
    titles = [(name, papers.title(text)) for name, text in there.items()]
    return render_template("keeper/papers.html", titles=titles)


@desk.get("/papers/<name>")
def one_paper(name: str) -> str:
    """One paper, to print and to fill in."""
    there = papers.all_papers(language())
    if name not in there:
        raise NotFound(t("papers.unknown", names=", ".join(there)))
    body = Markup(_markdown.render(there[name]))
    return render_template("keeper/one_paper.html", title=papers.title(there[name]), body=body)
