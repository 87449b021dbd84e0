"""The list of likely doubles by kind, the search's progress, and two discs side by side."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from flask import url_for

from catalogue import catalogue_rows, disc_doubles, duplicate_search, duplicates, search_runs
from catalogue.duplicates import Kind, Pair
from catalogue.records import Disc, Recording
from catalogue.search_runs import Run
from catalogue.store import Store
from web import pair_view, wording
from web.station import now, station, who
from web.texts import said, t

_PAIRS = 60
"""Pairs on the list: a volunteer's evening; the next come when these are judged."""

_GROUPS = 12
_DISCS = 12
_FILES = 12

ORDER = (Kind.SAME_FILE, Kind.SAME_DISC, Kind.TWO_SPELLINGS, Kind.TWO_COPIES)
"""The kinds in the order of the page: the surest first."""


@dataclass(frozen=True, slots=True)
class Line:
    """One pair of the list: both names, how sure, and where it is put side by side."""

    names: tuple[str, ...]
    sure: str
    address: str


@dataclass(frozen=True, slots=True)
class OfKind:
    """The pairs of one kind."""

    name: str
    what: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Three entries and more that seem to be one."""

    name: str
    count: str
    address: str


@dataclass(frozen=True, slots=True)
class Running:
    """A search that goes on."""

    words: str
    done: int
    total: int


@dataclass(frozen=True, slots=True)
class Search:
    """What is to be said of the search."""

    words: str
    new: int
    running: Running | None


@dataclass(frozen=True, slots=True)
class Page:
    """The page of likely doubles."""

    count: str
    first: str
    kinds: tuple[OfKind, ...]
    groups: tuple[Group, ...]
    discs: tuple[Line, ...]
    files: tuple[tuple[str, ...], ...]
    search: Search


def page(store: Store) -> Page:
    """What there is to judge; a small catalogue is compared on the spot."""
    pairs = duplicates.likely_pairs(store, _PAIRS)
    left = duplicates.left_to_judge(store)
    keys = {0: "duplicates.none", 1: "duplicates.left_one"}
    left_words = t("duplicates.left", count=wording.count(left))
    if left > len(pairs):
        left_words = t("duplicates.left_more", count=wording.count(left), shown=len(pairs))
    by_kind = {kind: tuple(_line(p) for p in pairs if p.kind is kind) for kind in ORDER}
    return Page(
        t(keys[left]) if left in keys else left_words,
        _address(pairs[0].a.id, pairs[0].b.id) if pairs else "",
        tuple(
            OfKind(t(f"doubling.{kind}"), t(f"doubling_what.{kind}"), lines)
            for kind, lines in by_kind.items()
            if lines
        ),
        _groups(store),
        tuple(_disc_line(store, *two) for two in disc_doubles.same_discs(store, _DISCS)),
        _files(store),
        _search(store),
    )


def _line(pair: Pair) -> Line:
    names = tuple(dict.fromkeys((wording.name(pair.a), wording.name(pair.b))))
    sure = t(f"duplicates.{pair_view.sure(pair.likelihood)}")
    return Line(names, sure, _address(pair.a.id, pair.b.id))


def _address(one: int, other: int) -> str:
    return url_for("doubles.pair", one=one, other=other)


def _groups(store: Store) -> tuple[Group, ...]:
    large = [group for group in duplicates.groups(store, _GROUPS) if len(group) > 2]
    held = catalogue_rows.recordings(store, [number for group in large for number in group])
    return tuple(
        Group(
            wording.name(held[group[0]]),
            t("duplicates.group_count", count=len(group)),
            _address(group[0], group[1]),
        )
        for group in large
    )


def _disc_line(store: Store, one: int, other: int) -> Line:
    discs = [catalogue_rows.disc(store, number) for number in (one, other)]
    address = url_for("doubles.discs", one=one, other=other)
    marks = [f"{t(f'carrier.{disc.carrier}')} {disc.shelf_mark}" for disc in discs]
    titles = dict.fromkeys(disc.title for disc in discs if disc.title)
    return Line((*marks, *titles), "", address)


def _files(store: Store) -> tuple[tuple[str, ...], ...]:
    """Files with the very same sound that stand under one entry already."""
    found = []
    for group in duplicates.same_files(store, _FILES):
        holdings = [catalogue_rows.holding(store, number) for number in group]
        if len({holding.recording_id for holding in holdings}) == 1:
            found.append(tuple(holding.path for holding in holdings))
    return tuple(found)


def _search(store: Store) -> Search:
    run, new = search_runs.latest(store), duplicate_search.uncompared(store)
    if run is not None and run.ended_at is None:
        return Search("", new, running(run))
    keys = {0: "search.all_compared", 1: "search.new_one"}
    words = t(keys[new]) if new in keys else t("search.new", count=wording.count(new))
    if run is not None and run.problem:
        words = f"{said(run.problem)} {words}"
    elif run is not None:
        at = wording.clock_time(run.ended_at, now().date())
        words = f"{words} {t('search.last', at=at, who=run.started_by)}"
    return Search(words, new, None)


def running(run: Run) -> Running:
    """How far a search is, in words."""
    if not run.total:
        return Running(t("search.getting_ready"), run.done, run.total)
    share = round(100 * run.done / run.total)
    return Running(t("search.how_far", share=share), run.done, run.total)


# Two discs


@dataclass(frozen=True, slots=True)
class DiscSide:
    """One of two discs."""

    id: int
    mark: str
    title: str
    about: str
    stays: bool


@dataclass(frozen=True, slots=True)
class Track:
    """One place on the discs: what is there on each, and whether the two may be made one."""

    spot: str
    a: str
    b: str
    mark: str
    differs: bool
    pair: str


@dataclass(frozen=True, slots=True)
class DiscsPage:
    """Two discs side by side."""

    sides: tuple[DiscSide, DiscSide]
    tracks: tuple[Track, ...]
    judged: str
    said_at: str


def discs(one: int, other: int) -> DiscsPage:
    """Two discs side by side, track by track. Raises NotFound."""
    store = station().store
    both = [catalogue_rows.disc(store, number) for number in (one, other)]
    places = disc_doubles.places(store, one, other)
    numbers = [n for place in places for n in (place.recording_a, place.recording_b) if n]
    held = catalogue_rows.recordings(store, numbers)
    said_before = disc_doubles.judgement(store, one, other)
    fuller = sum(place.recording_b is not None for place in places) > sum(
        place.recording_a is not None for place in places
    )
    sides = [_disc_side(disc, stays=(number == 1) is fuller) for number, disc in enumerate(both)]
    return DiscsPage(
        (sides[0], sides[1]),
        tuple(_track(place, held) for place in places),
        t(
            "duplicates.judged_before",
            verdict=t(f"verdict.{said_before.verdict}"),
            who=said_before.signed_by,
            at=wording.clock_time(said_before.at, now().date()),
        )
        if said_before
        else "",
        said_before.at if said_before else "",
    )


def _disc_side(disc: Disc, *, stays: bool) -> DiscSide:
    about = " · ".join(part for part in (disc.label, disc.number, disc.barcode, disc.place) if part)
    mark = f"{t(f'carrier.{disc.carrier}')} {disc.shelf_mark}"
    return DiscSide(disc.id, mark, disc.title, about, stays)


def _track(place: disc_doubles.Place, held: dict[int, Recording]) -> Track:
    a, b = (held.get(n) if n else None for n in (place.recording_a, place.recording_b))
    side = t("spot.side", side=place.side) if place.side else ""
    track = t("spot.track", track=place.track) if place.track else ""
    if a and b and a.id == b.id:
        mark, pair = "same", ""
    elif a and b:
        mark = "likely_one" if place.likely else "differs"
        pair = f"{a.id}-{b.id}" if place.likely else ""
    else:
        mark, pair = "only", ""
    return Track(
        ", ".join(part for part in (side, track) if part),
        wording.name(a) if a else "",
        wording.name(b) if b else "",
        t(f"duplicates.mark_{mark}"),
        mark in ("differs", "only"),
        pair,
    )


def recordings_made_one(
    store: Store, kept: int, gone: int, chosen: Collection[str]
) -> list[tuple[int, int]]:
    """The pairs of recordings ticked on the page, the one on the disc that stays first."""
    pairs = []
    for place in disc_doubles.places(store, kept, gone):
        a, b = place.recording_a, place.recording_b
        if a is None or b is None or a == b or not place.likely:
            continue
        if {f"{a}-{b}", f"{b}-{a}"} & set(chosen):
            pairs.append((a, b))
    return pairs


def judge_discs(store: Store, one: int, other: int, verdict: str) -> None:
    """Keep what is said of two discs."""
    disc_doubles.judge(store, one, other, verdict, who(), now())
