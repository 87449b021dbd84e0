"""What the collection lacks, and the one thing to do about each.

Empty fields, albums with tracks missing, files gone, discs missing or damaged,
recordings on nothing the studio can play, years and kinds of music asked for more than held.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from enum import StrEnum

from catalogue import filed_order, held_facts, settings, shelf_looks
from catalogue.catalogue_rows import recordings, recordings_where
from catalogue.records import Recording
from catalogue.shelf_looks import Seen
from catalogue.store import Row, Store

COSTLY = ("year", "tempo", "composer", "isrc")
"""Fields whose want costs matches and stand-ins, in the order of what they cost."""

_HELD = "EXISTS (SELECT 1 FROM holdings h WHERE h.recording_id = r.id)"
_NO_COPY_PLAYS = f"""{_HELD} AND NOT EXISTS (
    SELECT 1 FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id
    WHERE h.recording_id = r.id AND h.missing = 0 AND coalesce(d.missing, 0) = 0
        AND coalesce(d.condition, '') <> 'damaged')"""


class Action(StrEnum):
    """The one thing to do about a gap."""

    WANT = "put on the list of wants"
    LOOK = "look on the shelf"
    MEND = "mend"


@dataclass(frozen=True, slots=True)
class MissingField:
    """How many of the recordings held lack one field."""

    name: str
    missing: int
    of: int
    action: Action = Action.MEND


@dataclass(frozen=True, slots=True)
class MissingTracks:
    """An album of which some tracks are not filed: a side of a disc, or files of one album.

    `missing` are the numbers that are not there, up to the highest that is. Of a disc they are
    most likely on it and not in the list: a look at its sleeve tells.
    """

    album: str
    artist: str
    shelf_mark: str
    side: str
    missing: tuple[int, ...]
    held: int
    recording_id: int
    action: Action = Action.WANT
    disc_id: int | None = None


@dataclass(frozen=True, slots=True)
class LostCopy:
    """A file that is gone, or a disc that is missing or damaged, with how many recordings are on
    it and how many of them have no other copy that plays. `holding_id` is a file's, `disc_id` a
    disc's."""

    what: str
    where: str
    title: str
    recordings: int
    only_copy_of: int
    holding_id: int
    action: Action
    disc_id: int | None = None


@dataclass(frozen=True, slots=True)
class MoreAskedThanHeld:
    """A decade ("1950s") or kind of music: its share of what was asked for and of what is held."""

    what: str
    name: str
    asked: int
    asked_share: float
    held_share: float
    action: Action = Action.WANT


def missing_fields(store: Store) -> list[MissingField]:
    """For each field: how many of the recordings we hold lack it, worst first."""
    filed_order.settled(store)
    lacks = {int(value): n for value, n in held_facts.counts(store, "lacks").items()}
    held = sum(lacks.values())
    found = [
        MissingField(name, sum(n for mask, n in lacks.items() if mask & held_facts.bit(name)), held)
        for name in held_facts.LACKS
    ]
    return sorted(found, key=lambda field: (-field.missing, field.name))


def lacking(store: Store, name: str, limit: int = 200) -> list[Recording]:
    """The recordings we hold that lack this field, those played most first: there it costs most.

    A KeyError for an unknown name.
    """
    filed_order.settled(store)
    bit = held_facts.bit(name)
    played = store.rows(
        """SELECT p.recording_id AS id FROM plays p JOIN held_recordings f
            ON f.recording_id = p.recording_id AND f.lacks & ?
        GROUP BY p.recording_id ORDER BY count(*) DESC, p.recording_id LIMIT ?""",
        (bit, limit),
    )
    ids = [row["id"] for row in played]
    if len(ids) < limit:
        rest = store.rows(
            """SELECT recording_id AS id FROM held_recordings WHERE lacks & ?
                AND recording_id NOT IN (SELECT value FROM json_each(?))
            ORDER BY recording_id LIMIT ?""",
            (bit, json.dumps(ids), limit - len(ids)),
        )
        ids += [row["id"] for row in rest]
    found = recordings(store, ids)
    return [found[number] for number in ids]


def unplayable(store: Store, limit: int = 200) -> list[Recording]:
    """The recordings whose every copy is missing or damaged."""
    return recordings_where(store, _NO_COPY_PLAYS, (), limit)


def only_on_what_we_cannot_play(store: Store, limit: int = 200) -> list[Recording]:
    """Recordings held only on carriers that the studio cannot play (setting carriers_played)."""
    filed_order.settled(store)
    played = set(settings.lines(store, "carriers_played"))
    on = [
        held for held in held_facts.counts(store, "carriers") if not played & set(held.split("\n"))
    ]
    rows = store.rows(
        "SELECT recording_id AS id FROM held_recordings "
        "WHERE carriers IN (SELECT value FROM json_each(?)) ORDER BY recording_id LIMIT ?",
        (json.dumps(on), limit),
    )
    found = recordings(store, [row["id"] for row in rows])
    return [found[row["id"]] for row in rows]


def albums_with_tracks_missing(store: Store, limit: int = 200) -> list[MissingTracks]:
    """Albums of which most tracks are filed and some are not, most tracks held first; without
    discs of which somebody saw that all is in the list."""
    filed_order.settled(store)
    seen = {
        look.disc_id for look in shelf_looks.every(store).values() if look.seen is Seen.ALL_LISTED
    }
    rows = store.rows(
        """SELECT g.*, (SELECT h.disc_id FROM holdings h JOIN discs d ON d.id = h.disc_id
            WHERE h.recording_id = g.recording_id AND d.shelf_mark = g.mark
            AND h.side = g.side LIMIT 1) AS disc
        FROM album_gaps g ORDER BY held DESC, album, side, key LIMIT ?""",
        (limit + len(seen),),
    )
    return [
        MissingTracks(
            row["album"], row["artist"], row["mark"], row["side"],
            tuple(json.loads(row["missing"])), row["held"], row["recording_id"],
            Action.LOOK if row["mark"] else Action.WANT, row["disc"],
        )
        for row in rows
        if row["disc"] is None or row["disc"] not in seen
    ][:limit]  # fmt: skip


def lost_copies(store: Store, limit: int = 200) -> list[LostCopy]:
    """Discs missing or damaged, then files gone; those that are somebody's only copy first."""
    only = """(SELECT count(DISTINCT h.recording_id) FROM holdings h WHERE {mine}
        AND NOT EXISTS (SELECT 1 FROM holdings o LEFT JOIN discs e ON e.id = o.disc_id
            WHERE o.recording_id = h.recording_id AND NOT o.missing
            AND NOT coalesce(e.missing, 0) AND coalesce(e.condition, '') <> 'damaged'))"""
    rows = store.rows(
        f"""SELECT CASE WHEN d.missing THEN 'disc missing' ELSE 'disc damaged' END AS what,
            d.carrier || ' ' || d.shelf_mark AS place, d.title,
            (SELECT count(*) FROM holdings h WHERE h.disc_id = d.id) AS n,
            {only.format(mine="h.disc_id = d.id")} AS alone,
            0 AS copy, d.id AS disc
        FROM discs d WHERE d.missing OR d.condition = 'damaged'
        UNION ALL
        SELECT 'file gone', f.path, r.title, 1, {only.format(mine="h.id = f.id")}, f.id, NULL
        FROM holdings f INDEXED BY holdings_gone JOIN recordings r ON r.id = f.recording_id
        WHERE f.missing AND f.path IS NOT NULL
        ORDER BY alone DESC, n DESC, place LIMIT ?""",
        (limit,),
    )
    actions = {"disc missing": Action.LOOK, "disc damaged": Action.MEND, "file gone": Action.LOOK}
    return [
        LostCopy(
            r["what"],
            r["place"],
            r["title"],
            r["n"],
            r["alone"],
            r["copy"],
            actions[r["what"]],
            r["disc"],
        )
        for r in rows
    ]


def count_lost(store: Store) -> int:
    """How many lines `lost_copies` has without a limit."""
    rows = store.rows(
        """SELECT (SELECT count(*) FROM discs WHERE missing OR condition = 'damaged')
        + (SELECT count(*) FROM holdings INDEXED BY holdings_gone
            WHERE missing AND path IS NOT NULL) AS n"""
    )
    return int(rows[0]["n"])


_FEWEST_ASKED = 3
"""Askings below which a share says nothing."""

_MORE_THAN = 1.5
"""Asked for half as much again as held: less is chance in a small station. By judgement."""

_LAST_SLIPS = 5_000
"""Slips that are counted: some years of a station, the latest first."""


def more_asked_than_held(store: Store) -> list[MoreAskedThanHeld]:
    """Decades and kinds of music whose share of what is asked for is well above what is held.

    What was asked for is the recording on the slip, or the one it stands in for; and the wants.
    """
    found = []
    filed_order.settled(store)
    asked_for = _asked_for(store)
    for what in ("decade", "kind"):
        counted = held_facts.counts(store, "genre" if what == "kind" else what)
        held = {v if what == "kind" else int(v): n for v, n in counted.items() if v and n}
        asked: Counter[str | int] = Counter()
        for row in asked_for:
            asked[row[what]] += row["n"]
        del asked[None]
        of_held, of_asked = sum(held.values()), sum(asked.values())
        for name, times in sorted(asked.items()):
            share, ours = times / of_asked, held.get(name, 0) / max(of_held, 1)
            if times >= _FEWEST_ASKED and share > _MORE_THAN * ours:
                said = f"{name}s" if what == "decade" else str(name)
                found.append(MoreAskedThanHeld(what, said, times, round(share, 3), round(ours, 3)))
    return sorted(found, key=lambda m: (m.held_share - m.asked_share, m.name))


def _asked_for(store: Store) -> list[Row]:
    """How often (n) something of each decade and kind was asked for; None for what is unknown."""
    return store.rows(
        f"""SELECT r.year / 10 * 10 AS decade, nullif(lower(r.genre), '') AS kind, sum(n) AS n
        FROM (SELECT id, count(*) AS n FROM
                (SELECT coalesce(stand_in_for, recording_id) AS id FROM slips
                 ORDER BY slips.id DESC LIMIT {_LAST_SLIPS}) GROUP BY id
            UNION ALL SELECT recording_id, times FROM wants WHERE state = 'wanted') asked
        JOIN recordings r ON r.id = asked.id GROUP BY 1, 2"""
    )
