"""Entries made up for tests, and what is counted of them."""

from __future__ import annotations

from typing import Any

from catalogue.records import Carrier, NewRecording
from catalogue.store import Store
from importers.entries import Copy, Entry
from importers.report import Report


def on_disc(title: str = "Tide", artist: str = "Ada Sluice", mark: str = "C 1", track: str = "1",
            source: str = "list.csv row 2", **more: Any) -> Entry:  # fmt: skip
    copy = Copy(Carrier.CD, shelf_mark=mark, track=track)
    return Entry(source, {"Title": title}, NewRecording(title, artist, **more), copy)


def in_file(title: str = "Tide", artist: str = "Ada Sluice", path: str = "/m/tide.mp3",
            mtime: float = 1.5, audio: str = "", **more: Any) -> Entry:  # fmt: skip
    copy = Copy(Carrier.FILE, path=path, size=1000, mtime=mtime, audio=audio)
    return Entry(path, {"TIT2": title}, NewRecording(title, artist, **more), copy)


def known(title: str = "Tide", artist: str = "Ada Sluice", **more: Any) -> Entry:
    return Entry("known.csv row 2", {"Title": title}, NewRecording(title, artist, **more))


def count(store: Store, table: str) -> int:
    return int(store.rows(f"SELECT count(*) AS n FROM {table}")[0]["n"])


def counts(report: Report) -> tuple[int, int, int, int, int]:
    return (report.added, report.new_copies, report.already_held, report.changed,
            len(report.refused))  # fmt: skip


def everything(store: Store) -> dict[str, list[Any]]:
    tables = ("artists", "songs", "recordings", "discs", "holdings")
    return {table: store.rows(f"SELECT * FROM {table} ORDER BY id") for table in tables}
