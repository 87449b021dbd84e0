"""Discs that look like one disc shelved twice, and what a librarian says of them.

By the tracks they share at the same places, or by one barcode. A judgement is signed and kept, so
that the same question is asked once. Owns `disc_judgements`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import undo
from catalogue.catalogue_rows import disc
from catalogue.errors import BadInput
from catalogue.pair_weights import LIKELY_BITS
from catalogue.store import Store
from catalogue.verdicts import Verdict, checked

_SAME_TRACKS = 0.6
"""Share of the tracks of the shorter of two discs that are doubles at the same places, from
which the discs themselves look like one. By judgement."""

_FEWEST_TRACKS = 2
"""Tracks that must be doubles: a single needs both sides."""

_JUDGED = "SELECT 1 FROM disc_judgements j WHERE j.disc_a = {a} AND j.disc_b = {b}"


@dataclass(frozen=True, slots=True)
class DiscJudgement:
    """What somebody said of two discs, and when (ISO 8601)."""

    id: int
    disc_a: int
    disc_b: int
    verdict: Verdict
    signed_by: str
    at: str


@dataclass(frozen=True, slots=True)
class Place:
    """One place that two discs both have, with the recordings there; None where one has none."""

    side: str
    track: str
    recording_a: int | None
    recording_b: int | None
    likely: bool


def same_discs(store: Store, limit: int = 50) -> list[tuple[int, int]]:
    """Pairs of discs that look like one disc shelved twice and were not judged, by their numbers.

    Either most of their tracks are the same recordings, or likely so, at the same side and
    track; or both have one barcode and carrier.
    """
    rows = store.rows(
        f"""WITH same AS (
            SELECT p.recording_a AS a, p.recording_b AS b FROM likely_pairs p
                JOIN recordings one ON one.id = p.recording_a
                JOIN recordings other ON other.id = p.recording_b WHERE p.bits >= ?
            UNION SELECT recording_id, recording_id FROM holdings WHERE disc_id IS NOT NULL
                GROUP BY recording_id HAVING min(disc_id) < max(disc_id)),
        doubles AS (
            SELECT min(x.disc_id, y.disc_id) AS one, max(x.disc_id, y.disc_id) AS other,
                count(DISTINCT x.side || '/' || x.track) AS n
            FROM same JOIN holdings x ON x.recording_id = same.a
            JOIN holdings y ON y.recording_id = same.b AND y.disc_id <> x.disc_id
                AND y.side = x.side AND y.track = x.track
            JOIN discs d ON d.id = x.disc_id JOIN discs e ON e.id = y.disc_id
                AND e.carrier = d.carrier
            GROUP BY one, other)
        SELECT one, other FROM (
            SELECT one, other FROM doubles
            WHERE doubles.n >= ? AND doubles.n >= ? * min(
                (SELECT count(*) FROM holdings WHERE disc_id = one),
                (SELECT count(*) FROM holdings WHERE disc_id = other))
            UNION SELECT d.id, e.id FROM discs d JOIN discs e ON e.barcode = d.barcode
                AND e.carrier = d.carrier AND e.id > d.id WHERE d.barcode <> '')
        WHERE NOT EXISTS ({_JUDGED.format(a="one", b="other")})
        ORDER BY 1, 2 LIMIT ?""",
        (LIKELY_BITS, _FEWEST_TRACKS, _SAME_TRACKS, limit),
    )
    return [(row["one"], row["other"]) for row in rows]


def look_like_one(store: Store, one: int, other: int) -> bool:
    """Whether two discs look like one, by the same measure as `same_discs`."""
    row = store.rows(
        """SELECT count(DISTINCT x.side || '/' || x.track) AS doubles,
            (SELECT min(n) FROM (SELECT count(*) AS n FROM holdings WHERE disc_id = ?1
                UNION ALL SELECT count(*) FROM holdings WHERE disc_id = ?2)) AS size,
            (SELECT d.carrier = e.carrier FROM discs d JOIN discs e ON e.id = ?2
                WHERE d.id = ?1) AS alike,
            (SELECT d.barcode <> '' AND d.barcode = e.barcode FROM discs d
                JOIN discs e ON e.id = ?2 WHERE d.id = ?1) AS barcode
        FROM holdings x JOIN holdings y ON y.disc_id = ?2 AND y.side = x.side
            AND y.track = x.track
        WHERE x.disc_id = ?1 AND (x.recording_id = y.recording_id OR EXISTS (
            SELECT 1 FROM likely_pairs p WHERE p.bits >= ?3
            AND p.recording_a = min(x.recording_id, y.recording_id)
            AND p.recording_b = max(x.recording_id, y.recording_id)))""",
        (one, other, LIKELY_BITS),
    )[0]
    enough = max(_FEWEST_TRACKS, _SAME_TRACKS * row["size"])
    return bool(row["alike"] and (row["barcode"] or row["doubles"] >= enough))


def places(store: Store, one: int, other: int) -> list[Place]:
    """What is on two discs, place by place in the order of the tracks; `likely` where both have
    one recording, or two that are likely one."""
    rows = store.rows(
        """SELECT h.disc_id = ?1 AS first, h.side, h.track, h.recording_id AS id
        FROM holdings h WHERE h.disc_id IN (?1, ?2)
        ORDER BY h.side, length(h.track), h.track, h.id""",
        (one, other),
    )
    there: dict[tuple[str, str], list[list[int]]] = {}
    for row in rows:
        sides = there.setdefault((row["side"], row["track"]), [[], []])
        sides[0 if row["first"] else 1].append(row["id"])
    found = []
    for (side, track), (mine, theirs) in there.items():
        for number in range(max(len(mine), len(theirs))):
            a = mine[number] if number < len(mine) else None
            b = theirs[number] if number < len(theirs) else None
            found.append(Place(side, track, a, b, _likely(store, a, b)))
    return found


def _likely(store: Store, a: int | None, b: int | None) -> bool:
    if a is None or b is None:
        return False
    return a == b or bool(
        store.rows(
            "SELECT 1 FROM likely_pairs WHERE recording_a = ? AND recording_b = ? AND bits >= ?",
            (*sorted((a, b)), LIKELY_BITS),
        )
    )


def judge(store: Store, one: int, other: int, verdict: str, who: str, now: datetime) -> int:
    """Keep what somebody says of two discs; a later word replaces an earlier one.

    Returns the judgement's id. Raises BadInput for an unknown verdict or one disc twice, NotFound
    for an unknown disc.
    """
    if one == other:
        raise BadInput("That is one disc, not two.")
    said = checked(verdict)
    marks = [disc(store, number).shelf_mark for number in (one, other)]
    with undo.action(store, who, f"judged discs {marks[0]} and {marks[1]}: {said}", now):
        first, second = sorted((one, other))
        store.db.execute(
            """INSERT INTO disc_judgements (disc_a, disc_b, verdict, signed_by, at)
            VALUES (?, ?, ?, ?, ?) ON CONFLICT (disc_a, disc_b) DO UPDATE SET
            verdict = excluded.verdict, signed_by = excluded.signed_by, at = excluded.at""",
            (first, second, said, who, now.isoformat(timespec="seconds")),
        )
        kept = judgement(store, first, second)
        assert kept is not None
        return kept.id


def point_at(store: Store, gone: int, kept: int) -> None:
    """What was said of one disc is said of another; inside an action.

    Where somebody had judged both against a third, what was said of the one that stays counts.
    """
    for row in store.rows("SELECT * FROM disc_judgements WHERE ? IN (disc_a, disc_b)", (gone,)):
        other = row["disc_a"] + row["disc_b"] - gone
        if other == kept:
            continue
        if judgement(store, kept, other) is not None:
            store.db.execute("DELETE FROM disc_judgements WHERE id = ?", (row["id"],))
            continue
        store.db.execute(
            "UPDATE disc_judgements SET disc_a = ?, disc_b = ? WHERE id = ?",
            (*sorted((kept, other)), row["id"]),
        )


def judgement(store: Store, one: int, other: int) -> DiscJudgement | None:
    """What was said of two discs, if anything was."""
    rows = store.rows(
        "SELECT * FROM disc_judgements WHERE disc_a = ? AND disc_b = ?", sorted((one, other))
    )
    return DiscJudgement(**{**rows[0], "verdict": Verdict(rows[0]["verdict"])}) if rows else None
