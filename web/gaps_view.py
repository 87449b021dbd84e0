"""What the collection lacks, as it is shown: what was asked for, what came, and other gaps."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from flask import current_app, url_for

from catalogue import catalogue_rows, demand, gaps
from catalogue.demand import Arrival, Offer, Unmet, Wanted
from catalogue.meaning import Meanings, meant_by
from catalogue.records import Recording
from catalogue.store import Store
from web import roles, wording
from web.station import now, station
from web.texts import t

KINDS = ("albums", "lost", "carriers", "more_asked", "fields")
"""The gaps beside what was asked for, each with a page of its own."""

LISTED = 100
"""Lines of one list: a volunteer's evening, not the whole of the work."""


@dataclass(frozen=True, slots=True)
class Wish:
    """Something that was asked for and is not held. `recording_id` is what may be put on the
    list, "" for what is on it; `want_ids` are those on it, joined by commas."""

    title: str
    artist: str
    times: str
    last: str
    places: str
    want_ids: str
    recording_id: str


@dataclass(frozen=True, slots=True)
class Came:
    """A want that can be met now, and what waited for it."""

    want_id: int
    asked: str
    recording_id: int
    name: str
    copies: tuple[wording.Label, ...]
    waited: str
    slips: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of gap, with how many there are."""

    words: str
    what: str
    count: str
    address: str


@dataclass(frozen=True, slots=True)
class Gap:
    """One gap, and its one action: the words of the button, the address it is sent to and what
    is sent with it, or the page `go_to` where it is done."""

    margin: str
    title: str
    about: str
    link: str
    action: str
    address: str
    form: tuple[tuple[str, str], ...] = ()
    go_to: str = ""


def meanings() -> Meanings:
    """What names mean by the matcher, kept while the station runs."""
    found: Meanings = current_app.extensions["asheard_meanings"]
    return found


def meant() -> demand.Meant:
    """What was meant by names on the list of wants."""
    return meanings().for_a_page()


def meant_now() -> demand.Meant:
    """What is meant by names that are put in just now, however long it takes."""
    return meant_by(station().index)


def unmet(store: Store, known: Wanted | None = None) -> list[Unmet]:
    """What was asked for and is not held, on the list of wants or not, most wanted first."""
    return demand.asked_and_not_met(store, now(), known=known or demand.wanted(store, meant()))


def on_list(store: Store, known: Wanted | None = None) -> list[Unmet]:
    """What is on the list of wants and not held, most wanted first."""
    return [one for one in unmet(store, known) if one.want_ids]


def wishes(some: Iterable[Unmet]) -> tuple[Wish, ...]:
    """Things asked for, in words."""
    return tuple(wish(one) for one in some)


def wish(unmet: Unmet) -> Wish:
    """One thing asked for, in words."""
    last = wording.moment(unmet.last_asked)
    return Wish(
        unmet.title or t("gaps.no_title"),
        unmet.artist,
        times(unmet.times),
        t("gaps.last", day=wording.day(last.date(), now().date())) if last else "",
        ", ".join(t("gaps.place", place=place, count=n) for place, n in unmet.places),
        ",".join(map(str, unmet.want_ids)),
        "" if unmet.want_ids else str(unmet.recording_id or ""),
    )


def times(count: int) -> str:
    """How often, in words."""
    return t("gaps.once") if count == 1 else t("gaps.times", count=wording.count(count))


def arrivals(store: Store, known: Wanted) -> tuple[Came, ...]:
    """What was wanted and is here now."""
    found = demand.arrivals(store, known=known)
    copies = catalogue_rows.holdings_of(store, [a.recording.id for a in found])
    return tuple(
        _came(a, tuple(wording.label(h) for h in copies[a.recording.id] if not h.missing))
        for a in found
    )


def _came(arrival: Arrival, copies: tuple[wording.Label, ...]) -> Came:
    today = now().date()
    days = [wording.moment(ask.at) for ask in arrival.waited]
    said = [wording.day(at.date(), today) for at in sorted(d for d in days if d)]
    asked = " · ".join(part for part in (arrival.want.title, arrival.want.artist) if part)
    may_see = roles.may("phone")
    return Came(
        arrival.want.id,
        t("gaps.asked_as", asked=asked) if asked else "",
        arrival.recording.id,
        wording.name(arrival.recording),
        copies,
        t("gaps.waited", count=times(arrival.want.times), days=", ".join(dict.fromkeys(said))),
        tuple(
            (slip, url_for("phone_desk.slip", slip_id=slip) if may_see else "")
            for slip in arrival.slips
        ),
    )


def kinds(store: Store) -> tuple[Kind, ...]:
    """The kinds of gaps with how many there are of each; empty ones are told as well."""
    found = []
    for name in KINDS:
        count = min(_COUNT_OF_KIND[name](store), LISTED)
        more = "+" if count == LISTED else ""
        found.append(
            Kind(t(f"gaps.{name}"), t(f"gaps.{name}_what"), f"{count}{more}",
                 url_for("gaps.kind", name=name))
        )  # fmt: skip
    return tuple(found)


def gaps_of(store: Store, name: str) -> tuple[Gap, ...]:
    """The gaps of one kind. A KeyError for an unknown name."""
    return tuple(_OF_KIND[name](store)[:LISTED])


def _albums(store: Store) -> list[Gap]:
    found = []
    for album in gaps.albums_with_tracks_missing(store, LISTED):
        missing = ", ".join(map(str, album.missing))
        side = t("spot.side", side=album.side) if album.side else ""
        name = " · ".join(part for part in (album.album, album.artist, side) if part)
        on_shelf = album.action is gaps.Action.LOOK
        about = t("gaps.tracks_missing", missing=missing, held=album.held)
        link = url_for("shelves.recording", recording_id=album.recording_id)
        if on_shelf:
            look = url_for("shelf_look.page", _anchor=f"disc-{album.disc_id}")
            found.append(Gap(album.shelf_mark, name, about, link, t("gaps.look"), "", go_to=look))
        else:
            title = t("gaps.album", album=album.album)
            form = (("title", title), ("artist", album.artist))
            found.append(Gap("", name, about, link, t("gaps.put"), url_for("gaps.put"), form))
    return found


def _lost(store: Store) -> list[Gap]:
    found = []
    for copy in gaps.lost_copies(store, LISTED):
        only = t("gaps.only_copy", count=copy.only_copy_of) if copy.only_copy_of else ""
        about = " ".join(part for part in (t(f"gaps.{copy.what.replace(' ', '_')}"), only) if part)
        where = "" if copy.what == "file gone" else copy.where
        about = about if where else f"{copy.where} {about}"
        found.append(_lost_one(copy, where, about))
    return found


def _lost_one(copy: gaps.LostCopy, where: str, about: str) -> Gap:
    """A file is found or not; a damaged disc is mended; a missing one is looked for."""
    title = copy.title or copy.where
    if copy.disc_id is None:
        address = url_for("gaps.found", holding_id=copy.holding_id)
        return Gap(where, title, about, "", t("gaps.found"), address)
    if copy.action is gaps.Action.MEND:
        address = url_for("gaps.mended", disc_id=copy.disc_id)
        return Gap(where, title, about, "", t("gaps.mended"), address)
    look = url_for("shelf_look.page", _anchor=f"disc-{copy.disc_id}")
    return Gap(where, title, about, "", t("gaps.look"), "", go_to=look)


def _carriers(store: Store) -> list[Gap]:
    return [
        _want_of(recording, wording.about(recording))
        for recording in gaps.only_on_what_we_cannot_play(store, LISTED)
    ]


def _want_of(recording: Recording, about: str) -> Gap:
    return Gap(
        "",
        wording.name(recording),
        about,
        url_for("shelves.recording", recording_id=recording.id),
        t("gaps.put"),
        url_for("gaps.put"),
        (("recording_id", str(recording.id)),),
    )


def _more_asked(store: Store) -> list[Gap]:
    found = []
    for more in gaps.more_asked_than_held(store):
        name = t("gaps.decade", decade=more.name) if more.what == "decade" else more.name
        about = t(
            "gaps.shares",
            asked=round(100 * more.asked_share),
            held=round(100 * more.held_share),
            times=more.asked,
        )
        form = (("title", t("gaps.more_of", name=name)),)
        found.append(Gap("", name, about, "", t("gaps.put"), url_for("gaps.put"), form))
    return found


def _fields(store: Store) -> list[Gap]:
    """The fields that cost matches and stand-ins first."""
    fields = [field for field in gaps.missing_fields(store) if field.missing]
    first = {name: number for number, name in enumerate(gaps.COSTLY)}
    fields.sort(key=lambda field: first.get(field.name, len(first)))
    return [
        Gap(
            wording.count(field.missing),
            t(f"gap.{field.name}"),
            t("gaps.missing", missing=wording.count(field.missing), of=wording.count(field.of)),
            url_for("gaps.lacking", name=field.name),
            t("gaps.mend"),
            "",
            go_to=url_for("gaps.lacking", name=field.name),
        )
        for field in fields
    ]


_OF_KIND: dict[str, Callable[[Store], list[Gap]]] = {
    "albums": _albums, "lost": _lost, "carriers": _carriers, "more_asked": _more_asked,
    "fields": _fields,
}  # fmt: skip

_COUNT_OF_KIND: dict[str, Callable[[Store], int]] = {
    "albums": lambda store: len(gaps.albums_with_tracks_missing(store, LISTED)),
    "lost": gaps.count_lost,
    "carriers": lambda store: len(gaps.only_on_what_we_cannot_play(store, LISTED)),
    "more_asked": lambda store: len(gaps.more_asked_than_held(store)),
    "fields": lambda store: sum(field.missing > 0 for field in gaps.missing_fields(store)),
}  # fmt: skip
"""How many lines there are of each kind, without their words."""


@dataclass(frozen=True, slots=True)
class Offered:
    """A line of a donor's list, and what it is to us in a word."""

    title: str
    artist: str
    mark: str
    wanted: bool


def offered(offer: Offer) -> Offered:
    """A line of a donor's list, in words."""
    mark = ""
    if offer.meets is not None:
        mark = t("donor.wanted", times=times(offer.meets.times))
    elif offer.held:
        mark = t("donor.held")
    return Offered(offer.title, offer.artist, mark, offer.meets is not None)
