"""The shelves: going through the list, a recording's page, correcting it, adding to it."""

from __future__ import annotations

from dataclasses import dataclass, fields

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import browse, catalogue_rows, filing, out_of_place, undo
from catalogue.errors import BadInput, CatalogueError
from catalogue.listing import Start
from catalogue.records import Carrier, Condition, NewDisc, NewHolding, NewRecording, Voice
from web import recording_view, wording
from web.place_box import placed
from web.station import go, now, station, who
from web.texts import t

desk = Blueprint("shelves", __name__, url_prefix="/shelves")

_A_PAGE = 30
"""Lines on a page of the list."""


@dataclass(frozen=True, slots=True)
class ListPage:
    """A page of the list, with the addresses of the one before and after."""

    text: str
    order: str
    shelf: int
    count: str
    lines: tuple[recording_view.Line, ...]
    before: str
    after: str
    search: tuple[tuple[str, str], ...]
    """What finds this list again, as a form sends it."""
    change_all: str


@desk.get("")
def page() -> str:
    """The list, a page at a time."""
    text = request.args.get("q", "").strip()
    order = request.args.get("order", "title")
    store, shelf_id = station().store, _number("shelf") or 0
    shelf = filing.get(store, shelf_id) if shelf_id else None
    start = Start(min(_number("from") or 0, 10**9), _number("after"), _number("before"))
    part = browse.look_through(
        store, text, now(), order=order, shelf=shelf, start=start, limit=_A_PAGE
    )
    if not part.total and (mark := _mark_of(text)):
        text, order = mark, "mark"
        part = browse.look_through(store, text, now(), order=order, shelf=shelf, limit=_A_PAGE)

    def address(start: Start | None) -> str:
        if start is None:
            return ""
        where = {"after": start.after, "before": start.before, "from": start.offset}
        kept = {"q": text or None, "order": order, "shelf": shelf_id or None}
        return url_for("shelves.page", **kept, **where)

    words = {0: t("shelves.none"), 1: t("shelves.one")}
    count = words.get(part.total) or t(
        "shelves.count" if part.exact else "shelves.count_many",
        total=f"{part.total:,}",
        first=f"{part.offset + 1:,}",
        last=f"{part.offset + len(part.lines):,}",
    )
    shown = ListPage(
        text,
        order,
        shelf_id,
        count,
        tuple(recording_view.line(line) for line in part.lines),
        address(part.before),
        address(part.after),
        tuple(
            (n, v) for n, v in (("q", text), ("order", order), ("shelf", str(shelf_id or ""))) if v
        ),
        t(
            "several.change_all" if part.exact else "several.change_all_many",
            total=f"{part.total:,}",
        ),
    )
    return render_template(
        "shelves/page.html", page=shown, orders=browse.ORDERS, shelves=filing.all_shelves(store)
    )


@desk.get("/recordings/<int:recording_id>")
def recording(recording_id: int) -> str:
    """A recording: its fields, its copies, where it came from, what was done to it."""
    shown = recording_view.page(station().store, recording_id)
    return render_template("shelves/recording.html", page=shown)


@desk.post("/recordings/<int:recording_id>")
def correct(recording_id: int) -> Response:
    """Correct the fields of a recording; only those that differ are written."""
    store = station().store
    held = catalogue_rows.recording(store, recording_id)
    typed = _fields_typed()
    changes = {name: value for name, value in typed.items() if getattr(held, name) != value}
    if changes:
        what = t("did.corrected", fields=", ".join(t(f"field.{f}").lower() for f in changes),
                 title=held.title)  # fmt: skip
        with undo.action(store, who(), what, now()):
            undo.refuse_if_changed(store, "recordings", recording_id, _seen())
            catalogue_rows.change_recording(store, recording_id, **changes)
        flash(t("shelves.corrected"))
    else:
        flash(t("shelves.nothing_changed"))
    return go(url_for("shelves.recording", recording_id=recording_id))


@desk.get("/recordings/new")
def new_recording() -> str:
    """A blank form for a recording."""
    return render_template("shelves/new.html", form=recording_view.blank_form())


@desk.post("/recordings/new")
def add_recording() -> Response:
    """Put a recording in by hand, with a copy if a place was given."""
    store = station().store
    new = NewRecording(**_fields_typed())
    with undo.action(store, who(), t("did.added", title=new.title), now()):
        recording_id = catalogue_rows.add_recording(store, new)
        if request.form.get("shelf_mark", "").strip() or request.form.get("path", "").strip():
            _file_copy(recording_id)
    flash(t("shelves.added"))
    return go(url_for("shelves.recording", recording_id=recording_id))


@desk.post("/recordings/<int:recording_id>/copies")
def add_holding(recording_id: int) -> Response:
    """File a copy of a recording: a file, or a place on a disc."""
    store = station().store
    held = catalogue_rows.recording(store, recording_id)
    with undo.action(store, who(), t("did.added_copy", title=held.title), now()):
        _file_copy(recording_id)
    flash(t("shelves.added_copy"))
    return go(url_for("shelves.recording", recording_id=recording_id))


@desk.post("/discs/<int:disc_id>/lend")
def lend(disc_id: int) -> Response:
    """Note who has taken a disc away."""
    store = station().store
    disc = catalogue_rows.disc(store, disc_id)
    lent_to = request.form.get("lent_to", "").strip()
    if not lent_to:
        raise BadInput(t("shelves.lend_to_whom"))
    due = request.form.get("due", "").strip() or None
    out_of_place.lend(store, [disc], lent_to, due, who(), now())
    flash(t("shelves.lent", to=lent_to))
    return go(_back())


@desk.post("/discs/<int:disc_id>/bring-back")
def bring_back(disc_id: int) -> Response:
    """Note that a disc is home again."""
    store = station().store
    disc, had_it = out_of_place.come_home(
        store, [catalogue_rows.disc(store, disc_id)], who(), now()
    )
    flash(wording.home_again(disc, had_it))
    return go(_back())


def _mark_of(text: str) -> str:
    """The shelf mark of the disc that was typed or scanned, empty if it is none's."""
    try:
        return out_of_place.marked(station().store, text)[0].shelf_mark
    except CatalogueError:
        return ""


def _number(name: str) -> int | None:
    """A number of the address, None if it is none."""
    text = request.args.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


def _back() -> str:
    """The page of the recording the form was on."""
    number = request.form.get("recording", "")
    if number.isascii() and number.isdigit() and len(number) < 19:
        return url_for("shelves.recording", recording_id=int(number))
    return url_for("shelves.page")


def _fields_typed() -> dict[str, object]:
    """The fields of the form, each as the catalogue keeps it."""
    typed: dict[str, object] = {}
    for field in fields(NewRecording):
        text = " ".join(request.form.get(field.name, "").split())
        if field.name == "year":
            typed["year"] = year_typed(text)
        elif field.name == "tempo":
            typed["tempo"] = _tempo(text)
        elif field.name == "length_s":
            typed["length_s"] = wording.seconds(text)
        elif field.name == "voice":
            typed["voice"] = Voice(text) if text in list(Voice) else Voice.UNKNOWN
        else:
            typed[field.name] = text
    if not typed["title"]:
        raise BadInput(t("shelves.needs_title"))
    return typed


def _seen() -> int | None:
    """The recording as the page shows it; the correction is refused if it changed since."""
    text = request.form.get("seen", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


def year_typed(text: str) -> int | None:
    """A year as it was typed, None for none. Raises BadInput for what is no year of a record."""
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and 1860 <= int(text[:9]) <= now().year + 1):
        raise BadInput(t("shelves.year", text=text[:40], last=now().year + 1))
    return int(text)


def _tempo(text: str) -> float | None:
    if not text:
        return None
    try:
        beats = float(text.replace(",", "."))
    except ValueError:
        beats = 0.0
    if not 20 <= beats <= 400:
        raise BadInput(t("shelves.tempo", text=text[:40]))
    return beats


def _file_copy(recording_id: int) -> None:
    """The copy on the form: a file's path, or a disc by carrier and shelf mark."""
    store, form = station().store, request.form
    path, mark = form.get("path", "").strip(), " ".join(form.get("shelf_mark", "").split())
    if bool(path) == bool(mark):
        raise BadInput(t("shelves.one_place"))
    if path:
        if browse.path_filed(store, path):
            raise BadInput(t("shelves.path_there"))
        catalogue_rows.add_holding(store, NewHolding(recording_id, path=path))
        return
    carrier, condition = form.get("carrier", ""), form.get("condition", "")
    if carrier not in [c for c in Carrier if c is not Carrier.FILE]:
        raise BadInput(t("shelves.carrier"))
    disc = NewDisc(
        Carrier(carrier),
        mark,
        place=placed(),
        condition=Condition(condition) if condition in list(Condition) else Condition.UNKNOWN,
    )
    catalogue_rows.add_holding(
        store,
        NewHolding(
            recording_id,
            disc_id=catalogue_rows.shelve_disc(store, disc),
            side=form.get("side", "").strip(),
            track=form.get("track", "").strip(),
            speed=form.get("speed", "").strip(),
        ),
    )
