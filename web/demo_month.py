"""The demo station's past month: requests and plays, counted back from today."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from catalogue import callers, catalogue_rows, play_log, request_slips, settings, undo, wants
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
    with undo.action(store, _WHO, "the past month's requests and plays", now):
        for row in rows_of(folder / "past_requests.csv"):
            _request(store, row, find, _moment(row, now))
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


def _request(store: Store, row: Row, find: Find, at: datetime) -> None:
    recording = find(row["artist"], row["title"])
    if not row["title"] and not row["artist"]:
        return  # nobody ever found out what was meant
    held = recording is not None and _copy(store, recording, "") is not None
    if row["outcome"] == _UNMET and held:
        return  # it was out or scratched that day, and is not wanted now
    if recording is None or not held:
        wants.add(store, row["title"], row["artist"], recording, _WHO, at)
        return
    studio = settings.lines(store, "studios")[0]
    slip = request_slips.start(store, "request", _WHO, at)
    if row["occasion"] in settings.lines(store, "occasions"):
        request_slips.set_occasion(store, slip, row["occasion"], _WHO, at)
    request_slips.choose(store, slip, recording, _copy(store, recording, ""), _WHO, at)
    request_slips.hand_over(store, slip, studio, _WHO, at)
    request_slips.played(store, slip, _WHO, at + timedelta(minutes=4))


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
    hour, minute = (int(part) for part in row["time"].split(":"))
    day = now - timedelta(days=int(row["days_before"]))
    return day.replace(hour=hour, minute=minute, second=0)
