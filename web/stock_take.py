"""Stock-taking, on a telephone in one hand: choose a shelf, tick or scan, and see what it came to.

A tick is answered with all that changed since the page's number, so that two people on one shelf
see each other's. The page keeps what could not be sent (`static/js/stock_take.js`).
"""

from __future__ import annotations

import secrets
from collections.abc import Callable

from flask import Blueprint, flash, g, jsonify, render_template, request, url_for
from werkzeug import Response

from catalogue import out_of_place, shelf_walk, stocktake, stocktake_end
from catalogue.errors import BadInput, CatalogueError, ChangedMeanwhile, NotFound
from catalogue.records import Carrier
from catalogue.shelf_walk import Part
from catalogue.stocktake import Find, StockTake
from catalogue.store import Store
from web import live, stock_view, wording
from web.asked import number as asked_number
from web.asked import whole_number
from web.station import asked_by_htmx, go, now, station, who
from web.texts import said, t

desk = Blueprint("stock_take", __name__, url_prefix="/shelves/stock-take")

_LISTS = ("missing", "spared", "still", "found", "home", "out", "astray", "moved", "unknown")
_EVERY = "mark:"


@desk.get("")
def page() -> str:
    """What is being walked, where to begin another, and the reports."""
    store = station().store
    return render_template(
        "shelves/stock_takes.html",
        walks=[stock_view.summary(store, take) for take in stocktake.of_state(store, "open")],
        reports=[stock_view.summary(store, take) for take in stocktake.of_state(store, "finished")],
        shelves=shelf_walk.shelves(store),
        carriers=[carrier for carrier in Carrier if carrier is not Carrier.FILE],
        every=_EVERY,
    )


@desk.post("")
def start() -> Response:
    """Begin to walk a part of a shelf."""
    form = request.form
    by, _, shelf = form.get("shelf", "").partition(":")
    part = Part(by, shelf, form.get("carrier", ""), form.get("from", ""), form.get("to", ""))
    take_id = stocktake.start(station().store, part, who(), now())
    return go(url_for("stock_take.walk", take_id=take_id))


@desk.get("/<int:take_id>")
def walk(take_id: int) -> str | Response:
    """The walk: what should stand there, in its order."""
    store = station().store
    take = stocktake.get(store, take_id)
    if take.state == "finished":
        return go(url_for("stock_take.report", take_id=take_id))
    if not take.is_open:
        raise ChangedMeanwhile("This stock-take was given up. Nothing was noted.")
    text = request.args.get("piece", "")
    piece = int(text) if text.isascii() and text.isdigit() and len(text) < 9 else None
    return render_template(
        "shelves/stock_walk.html",
        page=stock_view.walk(store, take, _expected(take), piece),
        elsewhere=stock_view.elsewhere(store, take, _expected(take)),
        take=take,
    )


@desk.get("/<int:take_id>/since")
def since(take_id: int) -> Response:
    """What changed since N, for a page that is open."""
    take = stocktake.get(station().store, take_id)
    if take.is_open and stocktake.number(station().store, take_id) == live.asked_since():
        return live.unchanged()
    return _answered(take_id, live.asked_since(), "")


@desk.post("/<int:take_id>/seen")
def seen(take_id: int) -> Response:
    """A disc is there: ticked, or by its mark as typed or scanned."""
    return _do(take_id, lambda: _seen(take_id))


@desk.post("/<int:take_id>/not-seen")
def not_seen(take_id: int) -> Response:
    """Take ticks back, by their keys."""

    def do() -> str:
        keys = request.form.get("keys", "").split()
        stocktake.not_seen(station().store, take_id, keys, now())
        return t("stock.taken_back")

    return _do(take_id, do)


@desk.post("/<int:take_id>/about")
def about(take_id: int) -> Response:
    """Say what something unknown is, or that a disc stays where it was seen."""

    def do() -> str:
        form = request.form
        words, stays = form.get("about"), form.get("stays")
        stocktake.describe(
            station().store, take_id, form.get("key", ""), about=words,
            stays=None if stays is None else stays == "yes",
        )  # fmt: skip
        return t("stock.noted")

    return _do(take_id, do)


@desk.get("/<int:take_id>/finish")
def come_to(take_id: int) -> str | Response:
    """What the walk comes to, before anything is written."""
    store = station().store
    take = stocktake.get(store, take_id)
    if not take.is_open:
        return go(url_for("stock_take.walk", take_id=take_id))
    end = " ".join(request.args.get("end", "").split())[:80]
    came_to = stocktake_end.reckon(store, take, end)
    return render_template(
        "shelves/stock_finish.html",
        take=take,
        name=stock_view.called(take.part),
        came_to=came_to,
        note=stock_view.note,
        belongs=stock_view.belongs,
        label=wording.disc_label,
        anything=bool(came_to.end or came_to.astray or came_to.unknown),
    )


@desk.post("/<int:take_id>/finish")
def finish(take_id: int) -> Response:
    """Write what the walk came to, as one action."""
    store, form = station().store, request.form
    end = " ".join(form.get("end", "").split())[:80]
    ticked = {int(n) for n in form.getlist("missing") if n.isascii() and n.isdigit()}
    came_to = stocktake_end.reckon(store, stocktake.get(store, take_id), end)
    spared = {one.disc.id for one in came_to.missing} - ticked
    stocktake_end.finish(store, take_id, whole_number("number"), end, spared, who(), now())
    flash(t("stock.finished"))
    return go(url_for("stock_take.report", take_id=take_id))


@desk.post("/<int:take_id>/give-up")
def give_up(take_id: int) -> Response:
    """Give a walk up; what was ticked comes back with “Done lately”."""
    stocktake.give_up(station().store, take_id, who(), now())
    flash(t("stock.given_up"))
    return go(url_for("stock_take.page"))


@desk.get("/<int:take_id>/report")
def report(take_id: int) -> str | Response:
    """What a stock-take changed, to be read and printed."""
    store = station().store
    take = stocktake.get(store, take_id)
    kept = stocktake_end.report(take)
    if kept is None:
        return go(url_for("stock_take.walk", take_id=take_id))
    lists = [(name, stock_view.report_lines(getattr(kept, name))) for name in _LISTS]
    return render_template(
        "shelves/stock_report.html",
        kept=kept,
        about=stock_view.summary(store, take),
        lists=[(name, lines) for name, lines in lists if lines],
        late=_late(store, take),
    )


@desk.after_request
def _camera(response: Response) -> Response:
    """The walk is the one page of the program that may use the camera."""
    if request.endpoint == "stock_take.walk":
        response.headers["Permissions-Policy"] = "camera=(self)"
    return response


def _late(store: Store, take: StockTake) -> list[str]:
    """What was ticked after the end, from a telephone that could not send it before."""
    late = [f for f in stocktake.finds(store, take.id) if f.late and not f.gone]
    named = shelf_walk.named(store, [f.disc_id for f in late if f.disc_id is not None])
    marks = {disc_id: wording.disc_label(one.disc).said for disc_id, one in named.items()}
    return list(dict.fromkeys(marks.get(f.disc_id or 0, f.typed) for f in late))


def _seen(take_id: int) -> str:
    store = station().store
    take = stocktake.get(store, take_id)
    disc_id, mark = asked_number("disc"), request.form.get("mark", "")
    key = request.form.get("key", "")
    before = stocktake.finds(store, take_id)
    if not key:  # a page without scripts: its row is pressed again to take the tick back
        keys = [f.key for f in before if f.disc_id == disc_id and not f.gone]
        if disc_id is not None and keys:
            stocktake.not_seen(store, take_id, keys, now())
            return t("stock.taken_back")
        key = secrets.token_hex(12)
    if disc_id is None and (found := _by_mark(store, take_id, mark)):
        disc_id = found
    find = stocktake.seen(store, take_id, key, disc_id, mark, who(), now())
    return _said(store, take, find, before)


def _said(store: Store, take: StockTake, find: Find, before: list[Find]) -> str:
    if not take.is_open:
        return t("stock.late", who=take.finished_by)
    scanned = bool(request.form.get("mark", ""))
    return stock_view.said_of(store, find, before, _expected(take), scanned)


def _expected(take: StockTake) -> list[int]:
    """The discs of the walk, reckoned once for each answer."""
    if "walk" not in g:
        g.walk = shelf_walk.disc_ids(station().store, take.part)
    numbers: list[int] = g.walk
    return numbers


def _by_mark(store: Store, take_id: int, mark: str) -> int | None:
    """The disc that is meant by what was typed, None if no disc has it. Raises BadInput."""
    try:
        found = out_of_place.marked(store, mark, wording.carriers())
    except NotFound:
        return None
    return stocktake.meant(store, take_id, found).id


def _do(take_id: int, do: Callable[[], str]) -> Response:
    """Do it, and answer as the page asks: with what changed, or by going back to the page."""
    try:
        words = do()
    except (BadInput, ChangedMeanwhile, NotFound) as problem:
        if not asked_by_htmx():
            raise
        return _refused(problem)
    if not asked_by_htmx():
        flash(words)
        return go(url_for("stock_take.walk", take_id=take_id))
    text = request.form.get("since", "")
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 19 else 0
    return _answered(take_id, number, words)


def _refused(problem: CatalogueError) -> Response:
    kinds = ((NotFound, 404), (ChangedMeanwhile, 409))
    status = next((code for kind, code in kinds if isinstance(problem, kind)), 400)
    answer = jsonify(refused=said(problem.message))
    answer.status_code = status
    return answer


def _answered(take_id: int, number: int, words: str) -> Response:
    """All that changed since a number: ticks by disc, the count, and what is elsewhere."""
    store = station().store
    take = stocktake.get(store, take_id)
    finds = stocktake.finds(store, take_id)
    changed = [find for find in finds if find.number > number]
    here = _expected(take)
    rows = {}
    standing: dict[int, list[Find]] = {f.disc_id: [] for f in changed if f.disc_id is not None}
    for find in finds:
        if find.disc_id in standing and not find.gone:
            standing[find.disc_id].append(find)
    for disc_id, ticks in standing.items():
        rows[str(disc_id)] = {"keys": [f.key for f in ticks], "by": stock_view.by(ticks)}
    answer: dict[str, object] = {
        "number": finds[-1].number if finds else 0,
        "state": take.state,
        "count": stock_view.count(store, take, here),
        "said": words,
        "rows": rows,
    }
    if not take.is_open:
        key = "stock.finished_meanwhile" if take.state == "finished" else "stock.given_up_meanwhile"
        answer["over"] = t(key, who=take.finished_by)
    elif {f.disc_id for f in changed} - set(here):
        answer["elsewhere"] = render_template(
            "shelves/stock_elsewhere.html",
            elsewhere=stock_view.elsewhere(store, take, here),
            take=take,
        )
    return jsonify(answer)
