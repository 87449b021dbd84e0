"""A disc with its tracks: typed from its sleeve by keyboard, looked at, corrected, added to."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, flash, render_template, request, url_for
from werkzeug import Response

from catalogue import catalogue_rows, donated_boxes, donors, settings, sleeves, undo
from catalogue.errors import BadInput
from catalogue.records import Carrier, Condition, Disc
from catalogue.store import Store
from importers import by_hand
from importers.by_hand import TypedDisc
from web import sleeve_view, wording
from web.asked import number
from web.place_box import placed
from web.recording_view import Choice
from web.station import go, now, station, who
from web.texts import said, t

desk = Blueprint("disc_sheet", __name__, url_prefix="/shelves/discs")

FIRST_ROWS = 6
"""Rows for tracks on a blank sheet; the page adds more as they are typed."""


@dataclass(frozen=True, slots=True)
class Track:
    """A track of a disc as its page lists it."""

    place: str
    title: str
    artist: str
    length: str
    recording_id: int


@dataclass(frozen=True, slots=True)
class DiscPage:
    """A disc: its label and fields, what is on it, where it came from and what was done to it."""

    disc: Disc
    label: wording.Label
    carriers: tuple[Choice, ...]
    conditions: tuple[Choice, ...]
    tracks: tuple[Track, ...]
    whole: bool
    donor: str
    donor_kept: str
    box: str
    box_id: int | None
    history: tuple[str, ...]
    seen: int


@desk.get("/new")
def sheet() -> str:
    """A blank sheet for a disc and its tracks."""
    return render_template(
        "shelves/disc_sheet.html", disc=None, artist="", carriers=carriers(Carrier.CD),
        conditions=conditions(Condition.GOOD), rows=FIRST_ROWS, donor_days=donor_days(),
        of_disc=None,
    )  # fmt: skip


@desk.post("/new")
def add() -> Response:
    """File the disc and its tracks, as one action that can be taken back."""
    store, form = station().store, request.form
    sleeve = sleeve_view.typed()
    tracks = sleeve_view.track_rows()
    year = _year(form.get("year", "").strip())
    mark, shelved = _line("shelf_mark"), True
    if not mark:
        mark = by_hand.free_mark(store, sleeve.carrier, t("sheet.new_mark"), counted=True)
        shelved = False
    with undo.action(store, who(), _what(sleeve.title, mark, len(tracks)), now()):
        place = placed() or ("" if shelved else t("sheet.to_be_shelved"))
        disc = TypedDisc(
            sleeve.title, sleeve.artist, sleeve.carrier, mark, place, sleeve.condition,
            _line("label"), sleeve.number, year, tracks,
        )  # fmt: skip
        filed = by_hand.file_disc(store, disc, t("sheet.source"), who(), now())
        donors.note(store, _line("donor"), now(), disc_id=filed.disc_id)
    flash(t("sheet.filed", title=disc.title, mark=f"{t(f'carrier.{disc.carrier}')} {mark}"))
    if wrong := by_hand.number_read(disc.number)[2]:
        flash(said(wording.as_sentence(wrong)))
    return go(url_for("disc_sheet.disc", disc_id=filed.disc_id))


@desk.post("/look")
def look() -> str:
    """What a sleeve is to us, and whose tracks could be taken over; nothing is stored."""
    sleeve = sleeve_view.typed()
    shown = sleeve_view.shown(sleeve, sleeve_view.look(sleeve))
    return render_template("shelves/look_answer.html", shown=shown, boxed=bool(number("box")))


@desk.get("/<int:disc_id>")
def disc(disc_id: int) -> str:
    """A disc, and what is on it."""
    return render_template("shelves/disc.html", page=_page(station().store, disc_id))


@desk.post("/<int:disc_id>")
def correct(disc_id: int) -> Response:
    """Correct what is known of a disc as a whole; only what differs is written."""
    store, form = station().store, request.form
    held = catalogue_rows.disc(store, disc_id)
    carrier = _carrier(form.get("carrier", ""))
    condition = form.get("condition", "")
    typed: dict[str, object] = {
        "title": _line("title"),
        "carrier": carrier,
        "shelf_mark": _line("shelf_mark"),
        "condition": Condition(condition) if condition in list(Condition) else Condition.UNKNOWN,
        "label": _line("label"),
        "number": _line("number"),
        "barcode": "".join(_line("barcode").split()),
        "note": _line("note"),
    }
    if long := next((text for text in typed.values() if len(str(text)) > by_hand.LONGEST), ""):
        raise BadInput(t("sheet.too_long", text=str(long)[:40], most=by_hand.LONGEST))
    with store.transaction():
        typed["place"] = placed()
        changes = {name: value for name, value in typed.items() if getattr(held, name) != value}
        if changes:
            what = t("did.disc_corrected", mark=held.shelf_mark)
            with undo.action(store, who(), what, now()):
                undo.refuse_if_changed(store, "discs", disc_id, number("seen"))
                catalogue_rows.change_disc(store, disc_id, **changes)
    if "donor" in form:
        donors.note(store, _line("donor"), now(), disc_id=disc_id)
    flash(t("shelves.corrected"))
    return go(url_for("disc_sheet.disc", disc_id=disc_id))


@desk.get("/<int:disc_id>/tracks")
def tracks(disc_id: int) -> str:
    """The sheet for the tracks of a disc that is filed."""
    page = _page(station().store, disc_id)
    artists = {track.artist for track in page.tracks}
    return render_template(
        "shelves/disc_sheet.html", disc=page, artist=artists.pop() if len(artists) == 1 else "",
        carriers=page.carriers, conditions=page.conditions, rows=FIRST_ROWS, donor_days=0,
        of_disc=disc_id,
    )  # fmt: skip


@desk.post("/<int:disc_id>/tracks")
def add_tracks(disc_id: int) -> Response:
    """Keep the tracks that were typed, as one action."""
    store = station().store
    typed = sleeve_view.track_rows()
    by_hand.add_tracks(store, disc_id, _line("artist"), typed, t("sheet.source"), who(), now())
    flash(t("sheet.tracks_kept", count=len(typed)))
    return go(url_for("disc_sheet.disc", disc_id=disc_id))


def carriers(chosen: Carrier) -> tuple[Choice, ...]:
    """The kinds of discs, one of them chosen."""
    return tuple(
        Choice(c, t(f"carrier.{c}"), c is chosen) for c in Carrier if c is not Carrier.FILE
    )


def conditions(chosen: Condition) -> tuple[Choice, ...]:
    """The states a disc may be in, one of them chosen."""
    return tuple(Choice(c, t(f"condition.{c}"), c is chosen) for c in Condition)


def donor_days() -> int:
    """How many days a donor's name is kept."""
    return settings.number(station().store, "donor_days")


def _line(name: str) -> str:
    return " ".join(request.form.get(name, "").split())


def _carrier(text: str) -> Carrier:
    if text not in list(Carrier) or text == Carrier.FILE:
        raise BadInput(t("shelves.carrier"))
    return Carrier(text)


def _year(text: str) -> int | None:
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and 1860 <= int(text[:9]) <= now().year + 1):
        raise BadInput(t("shelves.year", text=text[:40], last=now().year + 1))
    return int(text)


def _what(title: str, mark: str, tracks: int) -> str:
    key = "did.disc_typed" if tracks else "did.disc_typed_whole"
    return t(key, title=title, mark=mark, count=tracks)


def _page(store: Store, disc_id: int) -> DiscPage:
    seen = undo.row_number(store, "discs", disc_id)
    held = catalogue_rows.disc(store, disc_id)
    lines = [
        Track(f"{side}{place}" if not side.isdigit() else f"{side}/{place}", recording.title,
              recording.artist, wording.length(recording.length_s), recording.id)
        for recording, side, place in sleeves.tracks_on(store, disc_id)
    ]  # fmt: skip
    donor = donors.of_disc(store, disc_id)
    came = donated_boxes.of_disc(store, disc_id)
    today = now().date()
    return DiscPage(
        held,
        wording.disc_label(held),
        carriers(held.carrier),
        conditions(held.condition),
        tuple(lines),
        len(lines) == 1 and not lines[0].place,
        donor.name,
        wording.full_day(wording.moment(donor.erase_on).date()) if donor.erase_on else "",  # type: ignore[union-attr]
        t("sheet.from_box", box=came[0].number, number=came[1].number) if came else "",
        came[0].id if came else None,
        tuple(
            t("shelves.history_line", at=wording.clock_time(a.at, today), who=a.who,
              what=said(a.what))
            for a, _ in reversed(undo.history(store, "discs", disc_id))
        ),
        seen,
    )  # fmt: skip
