"""Which recording of the catalogue an entry is a copy of, if any.

Same plain title, same artist and same version, unless the lengths or the years of first release
speak against it. Likeness that a person should judge is for `catalogue/duplicates.py`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from catalogue import measures
from catalogue.records import NewRecording
from catalogue.spelling import without_article, without_featured, without_version
from catalogue.store import Row, Store
from importers.words import plain

LENGTH_SLACK_S = 10.0
LENGTH_SLACK_SHARE = 0.10
"""Lengths this near, whichever is more, do not tell two recordings apart: fades, gaps between
tracks and printed lengths differ as much (common practice, no source)."""

SAME_LENGTH_S = 3.0
"""Lengths this near speak for one recording even where the years differ."""

YEARS_APART = 2
"""Years of first release are often a year out; further apart they are another recording."""

_FROM_WHERE = re.compile(r"\s*[(\[]\s*(?:theme )?from\b[^)\]]*[)\]]", re.IGNORECASE)

_SAME_PERFORMANCE = re.compile(
    r"\b(?:\d{4} )?(?:digital(?:ly)? )?remaster(?:ed)?(?: version)?(?: in)?(?: \d{4})?\b"
    r"|\b(?:album|original|lp|full length) (?:version|mix|recording)\b|\bbonus track\b"
)
"""Names of versions that are the same performance all the same."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What an earlier file or row said of a recording: values as read, and which were guessed."""

    values: dict[str, Any]
    guessed: frozenset[str]
    holding_id: int | None


def readings(store: Store, recording_id: int) -> list[Reading]:
    """What files and rows said of this recording, or of one that was merged into it, latest
    first; none that was taken back."""
    rows = store.rows(
        """SELECT e.raw, e.holding_id FROM raw_entries e WHERE (e.recording_id = ?
            OR e.recording_id IN (SELECT gone FROM merged_recordings WHERE kept = ?))
        AND NOT EXISTS (SELECT 1 FROM actions a WHERE a.takes_back = e.action_id)
        ORDER BY e.id DESC""",
        (recording_id, recording_id),
    )
    return list(_as_readings(rows))


def _as_readings(rows: list[Row]) -> Iterator[Reading]:
    for row in rows:
        kept = json.loads(row["raw"])
        yield Reading(kept["read_as"], frozenset(kept["guessed"]), row["holding_id"])


def same_version(one: str, other: str) -> bool:
    """Whether two names of versions mean one performance.

    >>> same_version("", "2009 Remaster"), same_version("Live", ""), same_version("live", "Live")
    (True, False, True)
    """
    return _performance(one) == _performance(other)


def _title(title: str) -> str:
    """The plain title without the show or film it is from, which lists often leave out."""
    return plain(_FROM_WHERE.sub("", title)) or plain(title)


def same_artist(one: str, other: str) -> bool:
    """Whether two names are one artist: articles and guests do not count.

    >>> same_artist("The Sluices", "SLUICES feat. Ann Oke"), same_artist("Sluice", "Sluices")
    (True, False)
    """
    return _main_artist(one) == _main_artist(other)


def _main_artist(name: str) -> str:
    return without_article(plain(without_featured(name))) or "unknown artist"


def _performance(version: str) -> str:
    return " ".join(_SAME_PERFORMANCE.sub(" ", plain(version)).split()) if version else ""


def find(store: Store, new: NewRecording, guessed: frozenset[str]) -> int | None:
    """The id of the recording that `new` is a copy of, or None."""
    if not plain(new.artist):
        return None  # "Unknown artist" is not somebody: two of them need not be the same.
    candidates = [
        row
        for row in store.rows(_CANDIDATES, _parameters(new))
        if _title(row["title"]) == _title(new.title)
        and same_version(row["version"], new.version)
        and not _lengths_differ(row["length_s"], new.length_s)
    ]
    year_is_said = new.year is not None and "year" not in guessed
    fitting = [row for row in candidates if not (year_is_said and _years_conflict(store, row, new))]
    if not fitting:
        return None
    return int(min(fitting, key=lambda row: _unlikeness(row, new))["id"])


def known_artist(store: Store, name: str) -> str:
    """The artist as the catalogue has it: "Sluices" is "The Sluices", where those are known."""
    own = plain(name)
    bare = without_article(own)
    rows = store.rows(
        "SELECT name, plain FROM artists WHERE plain IN (?, ?, ?)", (own, bare, f"the {bare}")
    )
    if not rows or any(row["plain"] == own for row in rows):
        return name
    return str(rows[0]["name"])


_CANDIDATES = """SELECT r.id, r.title, r.version, r.year, r.length_s, r.album, r.isrc,
    a.plain AS artist FROM songs s
    JOIN recordings r ON r.song_id = s.id JOIN artists a ON a.id = r.artist_id
    WHERE s.plain = ? AND (a.plain IN (?, ?, ?, ?) OR a.plain BETWEEN ? AND ?)"""


def _parameters(new: NewRecording) -> list[str]:
    whole, main = plain(new.artist), plain(without_featured(new.artist))
    bare = without_article(main)
    # From "main feat" on to whatever follows; LIKE would be planned anew for each name.
    guests = (f"{main} feat ", f"{main} feat \U0010ffff") if whole == main else (whole, whole)
    return [plain(without_version(new.title)), whole, main, bare, f"the {bare}", *guests]


def _lengths_differ(one: float | None, other: float | None) -> bool:
    if not one or not other:
        return False
    return abs(one - other) > max(LENGTH_SLACK_S, LENGTH_SLACK_SHARE * max(one, other))


def _years_conflict(store: Store, row: Row, new: NewRecording) -> bool:
    if row["year"] is None or new.year is None or abs(row["year"] - new.year) <= YEARS_APART:
        return False
    if row["length_s"] and new.length_s and abs(row["length_s"] - new.length_s) <= SAME_LENGTH_S:
        return False
    return not year_was_guessed(store, row["id"], row["year"])


def year_was_guessed(store: Store, recording_id: int, year: int) -> bool:
    """Whether a recording's year came from a pressing, and nobody has said it since."""
    said = [r for r in readings(store, recording_id) if r.values.get("year") == year]
    return bool(said) and all("year" in reading.guessed for reading in said)


def tempo_was_measured(store: Store, recording_id: int, tempo: float) -> bool:
    """Whether a recording's tempo was filled from its sound, and nobody has said it."""
    ids = [row["id"] for row in store.rows(
        "SELECT id FROM holdings WHERE recording_id = ?", (recording_id,))]  # fmt: skip
    found = (said["tempo"] for said in measures.of(store, ids).values() if "tempo" in said)
    if tempo not in {one.number for one in found}:
        return False
    return all(said.values.get("tempo") != tempo for said in readings(store, recording_id))


def _unlikeness(row: Row, new: NewRecording) -> tuple[bool, bool, float, int]:
    apart = abs(row["length_s"] - new.length_s) if row["length_s"] and new.length_s else 5.0
    return (
        not (new.isrc and row["isrc"] == new.isrc),
        plain(row["album"]) != plain(new.album),
        apart,
        row["id"],
    )
