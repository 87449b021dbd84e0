"""Can it go to air now? Each copy of a recording, readiest first, always with the reason.

Whatever the number of recordings, each kind of fact is asked for once. Files are not looked at
on the drive here: whether one is missing is noted when the drive is walked.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from catalogue import loans, play_log, settings
from catalogue.catalogue_rows import holdings_of
from catalogue.loans import Loan
from catalogue.records import Available, Condition, Holding, Readiness
from catalogue.store import Store

_READIEST = (
    Readiness.READY, Readiness.PLAYED_LATELY, Readiness.TAKEN, Readiness.ON_LOAN,
    Readiness.DAMAGED, Readiness.MISSING, Readiness.NOT_HELD,
)  # fmt: skip
"""What can be helped soonest comes first: a rule can be waived, a lost disc cannot."""

_ORDER = {readiness: place for place, readiness in enumerate(_READIEST)}
_SAID_OF_CONDITION = {
    Condition.WORN: "worn, but plays",
    Condition.SCRATCHED: "scratched: listen to it first",
}
_LATEST_SLIPS = 500
"""Slips looked at for what would not play: more than a day's, and few enough for every search."""

_NAMED_DAYS = 6
"""Days back that a weekday's name still tells which day is meant."""


def of(
    store: Store, recording_ids: Sequence[int], now: datetime, slip_id: int | None = None
) -> dict[int, tuple[Available, ...]]:
    """What each copy of these recordings is good for now, readiest first, files before discs.

    A recording without a copy has one line, NOT_HELD. `slip_id` is the slip being written: what
    it has taken itself is not taken from it.
    """
    held = holdings_of(store, recording_ids)
    discs = {h.disc_id for copies in held.values() for h in copies if h.disc_id is not None}
    lent = loans.out(store, discs) if discs else {}
    fetched = _fetched(store, discs, now) if discs else {}
    lately = _played_lately(store, recording_ids, now)
    taken = _taken(store, recording_ids, now, slip_id)
    unplayed = _would_not_play(store, now)
    found: dict[int, tuple[Available, ...]] = {}
    for recording_id, copies in held.items():
        lines = [
            _line(
                copy,
                lent.get(copy.disc_id) if copy.disc_id else None,
                lately.get(recording_id, ""),
                taken.get(recording_id, ""),
                copy.id in unplayed,
                fetched.get(copy.disc_id or 0, ""),
                now,
            )
            for copy in copies
        ]
        found[recording_id] = readiest_first(lines) or (
            Available(None, Readiness.NOT_HELD, "known, but not held"),
        )
    return found


def readiest_first(lines: Iterable[Available]) -> tuple[Available, ...]:
    """Lines in the order to try them; a copy that is missing hides that another is not held."""
    # A stable sort: holdings_of gives files before discs.
    ordered = tuple(sorted(lines, key=lambda line: _ORDER[line.readiness]))
    held = tuple(line for line in ordered if line.holding is not None)
    return held or ordered[:1]


def _line(
    copy: Holding,
    loan: Loan | None,
    lately: str,
    taken: str,
    unplayed: bool,
    fetched: str,
    now: datetime,
) -> Available:
    if copy.missing:
        return Available(copy, Readiness.MISSING, "missing since the last look")
    if copy.condition is Condition.DAMAGED:
        return Available(copy, Readiness.DAMAGED, "damaged")
    if unplayed:
        return Available(copy, Readiness.DAMAGED, "would not play in the studio today")
    if loan:
        since = _since(_time(loan.since, now), now)
        return Available(copy, Readiness.ON_LOAN, f"on loan to {loan.lent_to} since {since}")
    if taken:
        return Available(copy, Readiness.TAKEN, taken)
    if lately:
        return Available(copy, Readiness.PLAYED_LATELY, lately)
    return Available(copy, Readiness.READY, _SAID_OF_CONDITION.get(copy.condition, ""), fetched)


def _fetched(store: Store, disc_ids: Iterable[int], now: datetime) -> dict[int, str]:
    """The discs that a programme has: nobody needs to look for them on their shelf."""
    rows = store.rows(
        "SELECT d.disc_id, p.name, d.pulled_at FROM pulled_discs d "
        "JOIN programmes p ON p.id = d.programme_id "
        "WHERE d.put_away_at IS NULL AND d.disc_id IN (SELECT value FROM json_each(?))",
        (json.dumps(list(disc_ids)),),
    )
    found = {}
    for row in rows:
        since = _since(_time(row["pulled_at"], now), now)
        found[row["disc_id"]] = f"fetched for {row['name']} since {since}"
    return found


def _played_lately(store: Store, recording_ids: Sequence[int], now: datetime) -> dict[int, str]:
    hours = settings.number(store, "repeat_hours")
    if not hours:
        return {}
    last = play_log.last_played(store, recording_ids)
    times = {recording_id: _time(at, now) for recording_id, at in last.items()}
    return {
        recording_id: f"played {_at(at, now)}"
        for recording_id, at in times.items()
        if at > now - timedelta(hours=hours)
    }


def _taken(
    store: Store, recording_ids: Sequence[int], now: datetime, slip_id: int | None
) -> dict[int, str]:
    """The recordings on another slip: handed over and not done, or chosen today at a phone."""
    rows = store.rows(
        # The words are those of request_slips.SlipState, on this same floor.
        """SELECT recording_id, max(studio) AS studio, max(state) AS state FROM slips
        WHERE state IN ('handed over', 'being written') AND id <> ?
            AND recording_id IN (SELECT value FROM json_each(?))
            AND (state = 'handed over' OR started_at >= ?)
        GROUP BY recording_id""",
        (slip_id or 0, json.dumps(list(recording_ids)), now.date().isoformat()),
    )
    return {
        row["recording_id"]: f"on another slip for {row['studio']}"
        if row["studio"]
        else "on another slip, still being written"
        for row in rows
    }


def _would_not_play(store: Store, now: datetime) -> set[int]:
    """The copies that a studio could not play today; tomorrow somebody will have looked."""
    today = now.date().isoformat()
    rows = store.rows(
        """SELECT sent_back_copy AS copy FROM slips WHERE sent_back = 'would not play'
            AND sent_back_at >= ? AND id > (SELECT max(id) FROM slips) - ?
        UNION SELECT holding_id FROM slips WHERE why_not = 'would not play'
            AND done_at >= ? AND id > (SELECT max(id) FROM slips) - ?""",
        (today, _LATEST_SLIPS, today, _LATEST_SLIPS),
    )
    return {row["copy"] for row in rows}


def _time(text: str, now: datetime) -> datetime:
    """A stored time that can be compared with now, whichever of the two names a time zone."""
    at = datetime.fromisoformat(text)
    if (at.tzinfo is None) != (now.tzinfo is None):
        at = at.replace(tzinfo=now.tzinfo)
    return at


def _at(at: datetime, now: datetime) -> str:
    """When, for a sentence: "at 19:40 today", "on Tuesday at 19:40"."""
    days = (now.date() - at.date()).days
    if days == 0:
        return f"at {at:%H:%M} today"
    if days == 1:
        return f"yesterday at {at:%H:%M}"
    return f"on {_since(at, now)} at {at:%H:%M}"


def _since(at: datetime, now: datetime) -> str:
    """The day, for a sentence: "today", "Tuesday", "3 November", "3 November 2025"."""
    days = (now.date() - at.date()).days
    if days == 0:
        return "today"
    if days == 1:
        return "yesterday"
    if 1 < days <= _NAMED_DAYS:
        return f"{at:%A}"
    year = "" if at.year == now.year else f" {at.year}"
    return f"{at.day} {at:%B}{year}"
