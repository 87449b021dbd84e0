"""What callers asked for and the station could not play: the list to look for.

Only a title and an artist are kept, as agreed with the caller, or a recording that is known
but not held; never who asked, and never the whole of what was heard.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import starmap

from catalogue import undo, waiting
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.spelling import plain
from catalogue.store import Store

_LONGEST = 200
"""Characters in a title or artist: more is a story, and a story may be a caller's."""

WANTED, CLOSED = "wanted", "closed"


@dataclass(frozen=True, slots=True)
class Want:
    """Something to look for: how often it was asked for, first and last (ISO 8601)."""

    id: int
    artist: str
    title: str
    recording_id: int | None
    times: int
    first_asked: str
    last_asked: str
    state: str


@dataclass(frozen=True, slots=True)
class Ask:
    """One time that something was asked for; `place` is a name from the station's list."""

    want_id: int
    at: str
    place: str


def add(
    store: Store,
    title: str,
    artist: str,
    recording_id: int | None,
    who: str,
    now: datetime,
    *,
    slip_id: int | None = None,
    place_id: int | None = None,
    asked_at: str = "",
) -> int:
    """Note a want; the same one again is counted up. Returns its id.

    `slip_id` is the request that waits for it, `place_id` where it was asked from, `asked_at`
    when (ISO 8601), if not now.

    The same: the same recording, or the same plain words of title and artist; one slip is counted
    once, however often it is noted. Raises BadInput when there is nothing to look for, NotFound
    for an unknown recording.
    """
    title, artist = " ".join(title.split()), " ".join(artist.split())
    if not title and not artist and recording_id is None:
        raise BadInput("There is nothing to look for. Write a title, or an artist.")
    if max(len(title), len(artist)) > _LONGEST:
        raise BadInput("That is too long for a title or an artist. Write the record's name only.")
    at = asked_at or now.isoformat(timespec="seconds")
    # Not what was typed: the action's text outlives the caller's details.
    with undo.action(store, who, "noted something to look for", now):
        if recording_id is not None and not store.rows(
            "SELECT 1 FROM recordings WHERE id = ?", (recording_id,)
        ):
            raise NotFound(f"There is no recording number {recording_id}.")
        if same := _same(store, title, artist, recording_id):
            want_id = same.id
            if slip_id is not None and slip_id in waiting.of(store, [want_id]):
                return want_id
            store.db.execute(
                "UPDATE wants SET times = times + 1, first_asked = min(first_asked, ?1), "
                "last_asked = max(last_asked, ?1) WHERE id = ?2",
                (at, want_id),
            )
        else:
            cursor = store.db.execute(
                "INSERT INTO wants (artist, title, recording_id, first_asked, last_asked) "
                "VALUES (?, ?, ?, ?, ?)",
                (artist, title, recording_id, at, at),
            )
            want_id = int(cursor.lastrowid or 0)
        store.db.execute(
            "INSERT INTO want_asks (want_id, place_id, at) VALUES (?, ?, ?)",
            (want_id, place_id, at),
        )
        if slip_id is not None:
            waiting.add(store, slip_id, want_id)
    return want_id


def asks(store: Store, want_ids: Iterable[int]) -> list[Ask]:
    """The times these were asked for, latest first."""
    rows = store.db.execute(
        """SELECT w.want_id, w.at, coalesce(p.name, '') FROM want_asks w
        LEFT JOIN places p ON p.id = w.place_id
        WHERE w.want_id IN (SELECT value FROM json_each(?)) ORDER BY w.at DESC, w.id DESC""",
        (json.dumps(list(want_ids)),),
    )
    return list(starmap(Ask, rows))


def all_wants(store: Store, *, closed: bool = False) -> list[Want]:
    """What to look for, most asked for first; or what was closed."""
    rows = store.db.execute(
        "SELECT id, artist, title, recording_id, times, first_asked, last_asked, state FROM wants "
        "WHERE state = ? ORDER BY times DESC, last_asked DESC, id",
        (CLOSED if closed else WANTED,),
    )
    return list(starmap(Want, rows))


def point_at(store: Store, gone: int, kept: int) -> None:
    """Wants of one recording are another's; inside an action. Two that are the same thing by
    then stay two, and are counted together where they are shown."""
    store.db.execute("UPDATE wants SET recording_id = ? WHERE recording_id = ?", (kept, gone))
    store.db.execute(
        """DELETE FROM not_meant WHERE recording_id = ?1 AND want_id IN
            (SELECT want_id FROM not_meant WHERE recording_id = ?2)""",
        (gone, kept),
    )
    store.db.execute("UPDATE not_meant SET recording_id = ? WHERE recording_id = ?", (kept, gone))


def is_not(store: Store, want_id: int, recording_id: int, who: str, now: datetime) -> None:
    """Note that a want does not mean this recording, whatever it sounds like. Raises NotFound."""
    with undo.action(store, who, f"want {want_id} is not recording {recording_id}", now):
        for table, number in (("wants", want_id), ("recordings", recording_id)):
            if not store.rows(f"SELECT 1 FROM [{table}] WHERE id = ?", (number,)):
                raise NotFound("That is gone already. Look at the list again.")
        store.db.execute(
            "INSERT OR IGNORE INTO not_meant (want_id, recording_id) VALUES (?, ?)",
            (want_id, recording_id),
        )


def is_this(store: Store, want_id: int, recording_id: int, who: str, now: datetime) -> None:
    """Note which recording an open want is, where none was known: somebody has it in hand."""
    with undo.action(store, who, f"want {want_id} is recording {recording_id}", now):
        store.db.execute(
            "UPDATE wants SET recording_id = ? WHERE id = ? AND recording_id IS NULL AND state = ?",
            (recording_id, want_id, WANTED),
        )


def not_meant(store: Store) -> dict[int, frozenset[int]]:
    """Which recordings each want does not mean, by somebody's word."""
    found: dict[int, frozenset[int]] = {}
    for row in store.rows("SELECT want_id, recording_id FROM not_meant"):
        found[row["want_id"]] = found.get(row["want_id"], frozenset()) | {row["recording_id"]}
    return found


def close(store: Store, want_id: int, who: str, now: datetime) -> None:
    """No longer to look for. Raises NotFound, or ChangedMeanwhile if it was closed already."""
    with undo.action(store, who, f"closed want {want_id}", now):
        rows = store.rows("SELECT state FROM wants WHERE id = ?", (want_id,))
        if not rows:
            raise NotFound(f"There is no want number {want_id}.")
        if rows[0]["state"] == CLOSED:
            raise ChangedMeanwhile("That want was closed already.")
        store.db.execute("UPDATE wants SET state = ? WHERE id = ?", (CLOSED, want_id))


def _same(store: Store, title: str, artist: str, recording_id: int | None) -> Want | None:
    """The open want for the same thing; both lists are short, so all are looked at."""
    wanted = (plain(title), plain(artist))
    for want in all_wants(store):
        if recording_id is not None and want.recording_id is not None:
            if recording_id == want.recording_id:
                return want
        elif recording_id is want.recording_id and wanted == (
            plain(want.title),
            plain(want.artist),
        ):
            return want
    return None
