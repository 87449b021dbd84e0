"""The keeper's pages: the station's own rules and its programmes, with what was changed lately."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import programmes, settings, undo
from catalogue.errors import BadInput
from catalogue.store import Store
from web import wording
from web.station import go, now, station, who
from web.texts import NAMES, said, t

desk = Blueprint("keeper", __name__, url_prefix="/station")

_HIDDEN = ("demo",)
"""Settings that are no rule of a station's."""

_OF_THE_STATION = ("settings", "places", "programmes", "desks", "root_views")
_ACTIONS = 30


@dataclass(frozen=True, slots=True)
class Field:
    """One rule: its name, its words, what it is for, its value and how it is written.

    Of a secret there is no value, only whether one is `kept`: it never goes to a browser.
    """

    name: str
    words: str
    what: str
    kind: str
    value: str
    choices: tuple[tuple[str, str], ...]
    rows: int
    kept: bool


@dataclass(frozen=True, slots=True)
class Done:
    """A line of what was changed lately."""

    id: int
    at: str
    who: str
    what: str
    may_take_back: bool


@desk.get("")
def page() -> str:
    """The station's own rules in one form."""
    store = station().store
    return render_template("keeper/settings.html", fields=_fields(store), done=done_lately(store))


@desk.post("")
def keep() -> Response:
    """Keep the rules that differ, all of them or none."""
    store = station().store
    changes = {
        name: request.form[name]
        for name in settings.DEFAULTS
        if name in request.form and name not in _HIDDEN and not _is_secret(name)
        and _tidy(request.form[name]) != _tidy(settings.get(store, name))
    }  # fmt: skip
    changes |= _secrets_changed(store)
    _refuse_token_of_another(store, changes)
    if changes:
        names = ", ".join(t(f"setting.{name}") for name in changes)
        with undo.action(store, who(), t("did.settings", names=names), now()):
            for name, value in sorted(changes.items(), key=_in_a_file):
                settings.put(store, name, value, who(), now())
        only_secret = all(map(_is_secret, changes))
        flash(t("station.secret_done" if only_secret else "station.kept"))
    else:
        flash(t("shelves.nothing_changed"))
    return go(url_for("keeper.page"))


@desk.get("/programmes")
def programme_list() -> str:
    """What is on when."""
    store, today = station().store, now().date()
    lines = [
        (
            p.name,
            p.presenter,
            p.kind,
            wording.clock_time(p.starts_at, today),
            wording.clock_time(p.ends_at, today),
        )
        for p in programmes.all_programmes(store, limit=60)
    ]
    return render_template(
        "keeper/programmes.html", lines=lines, today=today.isoformat(), done=done_lately(store)
    )


@desk.post("/programmes")
def add_programme() -> Response:
    """Put a programme in; one that ends before it starts ends on the next day."""
    form = request.form
    starts = _moment(form.get("day", ""), form.get("from", ""))
    ends = _moment(form.get("day", ""), form.get("to", ""))
    if ends <= starts:
        ends += timedelta(days=1)
    programmes.add(
        station().store,
        form.get("name", ""),
        form.get("presenter", ""),
        starts,
        ends,
        who(),
        now(),
        form.get("kind", ""),
    )
    flash(t("station.programme_added"))
    return go(url_for("keeper.programme_list"))


@desk.post("/actions/<int:action_id>/take-back")
def take_back(action_id: int) -> Response:
    """Put back what was changed."""
    done = undo.take_back(station().store, action_id, who(), now())
    flash(t("actions.taken_back", what=done.what))
    back = request.form.get("back", "")
    return go(back if back.startswith(url_for("keeper.page")) else url_for("keeper.page"))


def done_lately(store: Store) -> list[Done]:
    """What was changed on the keeper's pages lately, and what can be taken back."""
    today = now().date()
    lately = undo.recent_on(store, _OF_THE_STATION, _ACTIONS)
    lately = [a for a in lately if a.what not in [f"set “{name}”" for name in _HIDDEN]]
    taken = {a.takes_back for a in lately if a.takes_back is not None}
    return [
        Done(a.id, wording.clock_time(a.at, today), a.who, said(a.what),
             a.takes_back is None and a.id not in taken)
        for a in lately
    ]  # fmt: skip


def _fields(store: Store) -> list[Field]:
    values = {name: settings.get(store, name) for name in settings.DEFAULTS}
    return [
        Field(
            name,
            t(f"setting.{name}"),
            t(f"setting_what.{name}"),
            rule.kind,
            "" if _is_secret(name) else values[name],
            tuple((choice, NAMES.get(choice, choice)) for choice in rule.choices),
            min(12, max(3, values[name].count("\n") + 2)),
            _is_secret(name) and bool(values[name]),
        )
        for name, rule in settings.DEFAULTS.items()
        if name not in _HIDDEN
    ]


def _secrets_changed(store: Store) -> dict[str, str]:
    """Secrets written anew, or to be removed: an empty box leaves the one that is kept."""
    changes = {}
    for name in filter(_is_secret, settings.DEFAULTS):
        if value := request.form.get(name, "").strip():
            changes[name] = value
        elif request.form.get(f"{name}_remove") == "yes" and settings.get(store, name):
            changes[name] = ""
    return changes


def _refuse_token_of_another(store: Store, changes: Mapping[str, str]) -> None:
    """A token goes to the address it was given for and to no other."""
    kept = settings.get(store, "network_token") and "network_token" not in changes
    if kept and changes.get("network_address", "").strip():
        raise BadInput(t("station.token_of_another"))


def _is_secret(name: str) -> bool:
    return settings.DEFAULTS[name].kind is settings.Kind.SECRET


def _in_a_file(change: tuple[str, str]) -> bool:
    """What is written beside the database comes last: it does not go back if another is refused."""
    return _is_secret(change[0])


def _tidy(text: str) -> str:
    return "\n".join(line.strip() for line in text.strip().splitlines() if line.strip())


def _moment(day: str, hour: str) -> datetime:
    try:
        return datetime.fromisoformat(f"{day}T{hour}")
    except ValueError as problem:
        raise BadInput(t("station.no_time")) from problem
