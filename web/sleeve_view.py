"""What a sleeve is to us, as it is shown beside it while it is typed."""

from __future__ import annotations

import json
import time
from dataclasses import dataclass

from flask import current_app, request

from catalogue import sleeves, undo
from catalogue.demand import Unmet
from catalogue.disc_names import DiscNames, Named
from catalogue.errors import BadInput
from catalogue.records import Carrier, Condition, Disc, Recording
from catalogue.sleeves import Asked, Look, Sleeve
from catalogue.store import Store
from importers import by_hand
from importers.by_hand import TypedTrack
from web import gaps_view, wording
from web.station import station
from web.texts import said, t

_WANTS_KEPT_S = 60.0
"""How long what was asked for is taken as it was, while slips are written at other desks."""

_WANTS = ("wants", "want_asks", "not_meant", "slips")


@dataclass(frozen=True, slots=True)
class CopyHere:
    """A copy of ours: its label, and in which state it is."""

    label: wording.Label
    state: str
    address: int | None


@dataclass(frozen=True, slots=True)
class MayBe:
    """Something asked for by the same artist, that may be on the disc."""

    title: str
    words: str


@dataclass(frozen=True, slots=True)
class Known:
    """A disc or album whose tracks may be taken over: in words, and its fields and tracks as
    JSON for the page."""

    words: str
    disc: str
    tracks: str


@dataclass(frozen=True, slots=True)
class Shown:
    """The answer beside a sleeve. `keep` is whether keeping it is the first thing offered; `named`
    the disc that the number alone tells."""

    sentence: str
    wanted: tuple[str, ...]
    copies: tuple[CopyHere, ...]
    song: str
    perhaps: tuple[MayBe, ...]
    known: tuple[Known, ...]
    note: str
    keep: bool
    named: Named | None


def names() -> DiscNames:
    """The names of discs, kept in memory while the station runs."""
    found: DiscNames = current_app.extensions.setdefault("asheard_disc_names", DiscNames())
    return found


def unmet() -> list[Unmet]:
    """What was asked for and not met. It is worked out anew when wants or slips have changed, but
    not for every row of a box while the phone desk is at work."""
    store = station().store
    kept = current_app.extensions.setdefault("asheard_unmet", {})
    key = tuple(undo.last_change(store, table) for table in _WANTS)
    fresh = time.monotonic() - kept.get("at", -_WANTS_KEPT_S) < _WANTS_KEPT_S
    if kept.get("key") != key and not (fresh and kept.get("key", key)[:3] == key[:3]):
        found = gaps_view.unmet(store)
        kept.update(key=key, at=time.monotonic(), found=found)
    every: list[Unmet] = kept["found"]
    return every


def typed() -> Sleeve:
    """The sleeve of the form. Raises BadInput for a kind of carrier there is not."""
    form = request.form
    carrier, condition = form.get("carrier", ""), form.get("condition", "")
    if carrier not in list(Carrier) or carrier == Carrier.FILE:
        raise BadInput(t("shelves.carrier"))
    tracks = by_hand.tracks_typed(form.get("tracks", "")[: by_hand.LONGEST * 100])
    return Sleeve(
        _line("title"),
        _line("artist"),
        Carrier(carrier),
        _line("number"),
        Condition(condition) if condition in list(Condition) else Condition.UNKNOWN,
        tuple((track.title, track.artist) for track in tracks),
    )


def _line(name: str) -> str:
    return " ".join(request.form.get(name, "").split())[: by_hand.LONGEST + 1]


def look(sleeve: Sleeve) -> Look:
    """What it is to us."""
    return sleeves.look(station().store, names(), sleeve, unmet(), gaps_view.meant_now())


def shown(sleeve: Sleeve, found: Look) -> Shown:
    """The answer in words."""
    store = station().store
    song = ""
    if found.song is not None:
        recording, copy = found.song
        song = t("sleeve.song", name=wording.name(recording), where=wording.label(copy).said)
    wrong = by_hand.number_read(sleeve.number)[2]
    return Shown(
        t(f"standing.{found.standing}"),
        tuple(_wanted(one, sleeve) for one in found.wanted),
        tuple(_copy(disc) for disc in found.discs),
        song,
        tuple(
            MayBe(one.title, t("sleeve.perhaps", title=one.title, times=gaps_view.times(one.times)))
            for one in found.perhaps
            if one.title
        ),
        tuple(_known(store, one) for one in found.known),
        said(wording.as_sentence(wrong)) if wrong else "",
        found.worth_keeping,
        found.named,
    )


def _wanted(one: Asked, sleeve: Sleeve) -> str:
    times = gaps_view.times(one.times)
    if one.on_disc and one.on_disc != sleeve.title:
        return t("sleeve.wanted_track", title=one.on_disc, times=times)
    return t("sleeve.wanted", times=times)


def _copy(disc: Disc) -> CopyHere:
    state = t("readiness.missing") if disc.missing else t(f"condition.{disc.condition}")
    return CopyHere(wording.disc_label(disc), state, disc.id)


def _known(store: Store, one: Named) -> Known:
    tracks = sleeves.tracks_of(store, one)
    where = t("sleeve.of_ours") if one.held else t("sleeve.not_ours")
    name = " · ".join(part for part in (one.title, one.artist) if part)
    first: Recording | None = tracks[0][0] if tracks else None
    fields = {
        "title": one.title,
        "artist": one.artist,
        "label": first.label if first else "",
        "year": str(first.year or "") if first and one.artist else "",
    }
    lines = [
        {
            "title": recording.title,
            "artist": "" if recording.artist == one.artist else recording.artist,
            "side": side,
            "number": number,
            "length": wording.length(recording.length_s),
        }
        for recording, side, number in tracks
    ]
    words = t("sleeve.take_over_one" if len(lines) == 1 else "sleeve.take_over",
              count=len(lines), name=name, where=where)  # fmt: skip
    return Known(words, json.dumps(fields), json.dumps(lines))


def track_rows() -> tuple[TypedTrack, ...]:
    """The rows of tracks on the form; rows in which nothing but a place stands are left out.

    Raises BadInput for a length that is none, and for a row without a title.
    """
    form = request.form
    columns = [form.getlist(f"track_{n}") for n in ("side", "number", "title", "artist", "length")]
    found = []
    for place, row in enumerate(zip(*columns, strict=False), 1):
        side, number, title, artist, length = (" ".join(text.split()) for text in row)
        if not (title or artist or length):
            continue
        if not title:
            raise BadInput(t("sheet.no_title", number=place))
        found.append(TypedTrack(title, artist, side, number, wording.seconds(length)))
    return tuple(found)
