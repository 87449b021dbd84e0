"""The demo station's past month: requests and plays, counted back from today."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from catalogue import (
    callers,
    catalogue_rows,
    places,
    play_log,
    request_slips,
    settings,
    slip_days,
    undo,
    wants,
)
from catalogue.spelling import plain, without_featured
from catalogue.store import Row, Store

_WHO = "demo"
_UNMET = "not met"
Find = Callable[[str, str], int | None]


def add_month(store: Store, folder: Path, now: datetime) -> None:
    """Put the month's requests and plays into the books, once; no caller is in them."""
    if store.rows("SELECT 1 FROM plays LIMIT 1"):
        return
    find = _finder(store)
    played = {
        (row["days_before"], row["for_request"]): row
        for row in rows_of(folder / "past_plays.csv")
        if row["for_request"]
    }
    at_places = {place.name: place.id for place in places.all_places(store)}
    with undo.action(store, _WHO, "the past month's requests and plays", now):
        for row in rows_of(folder / "past_requests.csv"):
            answer = played.get((row["days_before"], row["time"]))
            _request(store, row, find, answer, at_places, _moment(row, now))
        for row in rows_of(folder / "past_plays.csv"):
            # What was played for a request was logged with it.
            recording = find(row["artist"], row["title"])
            if recording is not None and not row["for_request"]:
                copy = _copy(store, recording, row["shelf_mark"])
                play_log.record(store, recording, copy, "", None, _WHO, _moment(row, now))
    callers.erase_due(store, now)


def rows_of(file: Path) -> list[Row]:
    """The rows of a list of the sample library."""
    with file.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def _request(
    store: Store, row: Row, find: Find, answer: Row | None, at_places: dict[str, int], at: datetime
) -> None:
    """One request of the month as a slip, with what it was answered by."""
    asked = find(row["artist"], row["title"])
    held = asked is not None and _copy(store, asked, "") is not None
    if (row["title"] or row["artist"]) and not held:
        wants.add(store, row["title"], row["artist"], asked, _WHO, at)
    slip = request_slips.start(store, "request", _WHO, at)
    # Every fourth was brought from the wards.
    slip_days.came(store, slip, "round" if slip % 4 == 0 else "telephone", "", _WHO, at)
    if row["place"] in at_places:
        callers.write(store, slip, {"place_id": at_places[row["place"]]}, _WHO, at)
    if row["occasion"] in settings.lines(store, "occasions"):
        request_slips.set_occasion(store, slip, row["occasion"], _WHO, at)
    # From a minute and a half on, as a call takes.
    ready = at + timedelta(seconds=90 + 50 * (slip % 5))
    given = find(answer["artist"], answer["title"]) if answer else None
    if given is None or row["outcome"] == _UNMET:
        request_slips.not_used(store, slip, "nothing agreed", _WHO, ready)
        return
    copy = _copy(store, given, answer["shelf_mark"] if answer else "")
    request_slips.choose(store, slip, given, copy, _WHO, at, stand_in_for=asked)
    request_slips.hand_over(store, slip, settings.lines(store, "studios")[0], _WHO, ready)
    played_at = _at_time(answer["time"], at) if answer else ready
    request_slips.played(store, slip, _WHO, max(ready, played_at))


def _copy(store: Store, recording_id: int, shelf_mark: str) -> int | None:
    copies = catalogue_rows.holdings_of(store, [recording_id])[recording_id]
    on_shelf = [copy.id for copy in copies if copy.shelf_mark == shelf_mark]
    return next(iter([*on_shelf, *(copy.id for copy in copies)]), None)


def _finder(store: Store) -> Find:
    """A recording by its names as the lists write them; one that is held before one that is not.

    The lists have guests and versions in the title; on file they stand apart.
    """
    known: dict[tuple[str, str], int] = {}
    for row in store.rows(
        """SELECT r.id, r.title, r.version, a.name,
            EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id) AS held
        FROM recordings r JOIN artists a ON a.id = r.artist_id ORDER BY held DESC, r.id"""
    ):
        name = without_featured(row["name"]), f"{row['title']} {row['version'] or ''}"
        known.setdefault((plain(name[0]), plain(name[1])), int(row["id"]))

    def find(artist: str, title: str) -> int | None:
        return known.get((plain(without_featured(artist)), plain(without_featured(title))))

    return find


def _moment(row: Row, now: datetime) -> datetime:
    return _at_time(row["time"], now - timedelta(days=int(row["days_before"])))


def _at_time(time: str, day: datetime) -> datetime:
    hour, minute = (int(part) for part in time.split(":"))
    return day.replace(hour=hour, minute=minute, second=0)
