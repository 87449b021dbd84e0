"""A studio's list to take along: as XSPF or M3U with the paths of this desk, or printed.

The two files name recordings only, nothing of a caller. The printed page has what may be said,
and by when it is to be shredded.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import PureWindowsPath
from urllib.parse import quote
from xml.etree import ElementTree

from flask import Blueprint, Response, render_template, request

from catalogue import callers, catalogue_rows, may_be_said, settings
from catalogue.records import Holding, Recording
from catalogue.request_slips import Slip
from catalogue.store import Store
from web import slip_view, this_desk, wording
from web.dedications import in_order, together
from web.station import now, station
from web.studio import studio_named
from web.texts import t

desk = Blueprint("studio_lists", __name__, url_prefix="/studio")

_XSPF = "http://xspf.org/ns/0/"
_MS = 1000


@dataclass(frozen=True, slots=True)
class Item:
    """One slip with a record: the recording, its copy, and where this desk sees it."""

    slip: Slip
    recording: Recording
    holding: Holding | None
    label: wording.Label | None


def items(store: Store, studio: str) -> list[Item]:
    """The records of a studio's slips in order; slips that name none are left out."""
    seen = this_desk.seen(studio)
    found = []
    for slip, _ in together(store, in_order(store, studio)):
        if slip.recording_id is None:
            continue
        holding = catalogue_rows.holding(store, slip.holding_id) if slip.holding_id else None
        label = wording.label(holding, seen) if holding else None
        found.append(Item(slip, catalogue_rows.recording(store, slip.recording_id), holding, label))
    return found


@desk.get("/list.xspf")
def xspf() -> Response:
    """The list as XSPF version 1 (xspf.org/spec); a disc's place is its annotation."""
    studio = studio_named(request.args.get("studio"))
    root = ElementTree.Element("playlist", {"version": "1", "xmlns": _XSPF})
    ElementTree.SubElement(root, "title").text = studio
    tracks = ElementTree.SubElement(root, "trackList")
    for item in items(station().store, studio):
        track = ElementTree.SubElement(tracks, "track")
        if item.label and item.label.path:
            ElementTree.SubElement(track, "location").text = file_uri(item.label.path)
        ElementTree.SubElement(track, "title").text = item.recording.title
        ElementTree.SubElement(track, "creator").text = item.recording.artist
        if item.label and not item.label.path:
            ElementTree.SubElement(track, "annotation").text = item.label.said
        if item.recording.length_s:
            length = str(round(item.recording.length_s * _MS))
            ElementTree.SubElement(track, "duration").text = length
    text = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return _file(text, "application/xspf+xml", f"{studio}.xspf")


@desk.get("/list.m3u8")
def m3u() -> Response:
    """The list as extended M3U in UTF-8; what is on a disc is a remark."""
    studio = studio_named(request.args.get("studio"))
    lines = ["#EXTM3U"]
    for item in items(station().store, studio):
        name = _one_line(f"{item.recording.artist} - {item.recording.title}")
        if item.label and item.label.path:
            lines += [f"#EXTINF:{round(item.recording.length_s or -1)},{name}"]
            lines += [_one_line(item.label.path)]
        else:
            place = item.label.said if item.label else t("readiness.not held")
            lines.append(f"# {name}: {_one_line(place)}")
    return _file("\n".join([*lines, ""]).encode(), "audio/x-mpegurl", f"{studio}.m3u8")


@dataclass(frozen=True, slots=True)
class Printed:
    """One slip on the printed list: what goes out, and what may be said. Paper lies about: unless
    the caller agreed to be named, none of their own words are on it, only the occasion."""

    chosen: slip_view.Chosen | None
    card: slip_view.StudioCard
    say: str
    lines: tuple[tuple[str, str], ...]


@desk.get("/print")
def printed() -> str:
    """The list on paper: place, record, and only what may be said on air."""
    store = station().store
    studio = studio_named(request.args.get("studio"))
    seen = this_desk.seen(studio)
    slips = in_order(store, studio)
    lines = []
    for slip in slips:
        details = callers.of(store, slip.id)
        card = slip_view.studio_card(store, slip, seen)
        name = may_be_said.name(details) if details else ""
        told = card.lines if name else slip_view.occasion_line(slip)
        lines.append(Printed(card.chosen, card, name, told))
    return render_template(
        "studio/print.html",
        studio=studio,
        lines=lines,
        at=f"{now():%H:%M}",
        on=wording.full_day(now().date()),
        shred=_shred(store, slips),
        station_name=settings.get(store, "station_name"),
    )


def _shred(store: Store, slips: list[Slip]) -> str:
    """The day by which the paper is to be shredded: when the first of its details are erased."""
    details = [callers.of(store, slip.id) for slip in slips]
    days = [date.fromisoformat(one.erase_on) for one in details if one is not None]
    return wording.full_day(min(days)) if days else ""


def file_uri(path: str) -> str:
    """A path as a file URI (RFC 8089), for a drive, a share or a folder.

    >>> file_uri("M:\\\\Music\\\\Tide & Mud.mp3"), file_uri("/srv/music/Ebb?.ogg")
    ('file:///M:/Music/Tide%20%26%20Mud.mp3', 'file:///srv/music/Ebb%3F.ogg')
    """
    if "\\" in path:
        pure = PureWindowsPath(path)
        if pure.drive.startswith("\\\\"):
            return "file:" + quote(pure.as_posix())
        return "file:///" + quote(pure.as_posix(), safe="/:")
    return "file://" + quote(path if path.startswith("/") else f"/{path}")


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _file(content: bytes, kind: str, name: str) -> Response:
    answer = Response(content, mimetype=kind)
    answer.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(name)}"
    answer.headers["Cache-Control"] = "no-store"
    return answer
