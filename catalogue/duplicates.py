"""Recordings that may be one and the same, for the librarian to judge.

The likely pairs are those of `duplicate_search`. What agrees and differs is said of each, what
kind of doubling it would be, and how sure; a person decides. A judgement is signed and kept, so
that the same question is asked once. Nothing is merged or deleted here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from catalogue import duplicate_search, pair_groups, undo
from catalogue.catalogue_rows import holdings_of, recordings
from catalogue.errors import BadInput, NotFound
from catalogue.pair_weights import CLAIMS, LIKELY_BITS, chance
from catalogue.records import Carrier, Recording
from catalogue.spelling import plain, without_version
from catalogue.store import Row, Store

_SAME_LENGTH_S = 3.0
"""Lengths this near agree: leader and fade are cut differently (common practice, no source)."""


class Verdict(StrEnum):
    """What a librarian says of a pair."""

    SAME = "same"
    DIFFERENT = "different"
    CANNOT_TELL = "cannot tell"


class Kind(StrEnum):
    """What kind of doubling a pair would be, if it is one."""

    SAME_FILE = "same file twice"
    SAME_DISC = "same disc shelved twice"
    TWO_SPELLINGS = "entered twice under two spellings"
    TWO_COPIES = "same recording in two encodings or on two discs"


@dataclass(frozen=True, slots=True)
class Claim:
    """One piece of evidence: what it is about, how well it agrees, and bits for or against."""

    name: str
    level: str
    bits: float


@dataclass(frozen=True, slots=True)
class Pair:
    """Two recordings that may be one; the fields that agree, and those that differ.

    `evidence` is what was weighed, the most telling first; `likelihood` is from 0 to 1.
    """

    a: Recording
    b: Recording
    agrees: tuple[str, ...]
    differs: tuple[str, ...]
    kind: Kind = Kind.TWO_COPIES
    likelihood: float = 0.0
    evidence: tuple[Claim, ...] = ()


@dataclass(frozen=True, slots=True)
class Judgement:
    """What somebody said of two recordings, and when (ISO 8601)."""

    id: int
    recording_a: int
    recording_b: int
    verdict: Verdict
    signed_by: str
    at: str


def likely_pairs(store: Store, limit: int = 50) -> list[Pair]:
    """Likely pairs that nobody has judged, likeliest first.

    A small catalogue is compared on the spot; a large one as it was at the last search.
    """
    duplicate_search.search_if_quick(store)
    return _pairs(store, f"p.bits >= {LIKELY_BITS} AND {_UNJUDGED}", (), limit)


def pair(store: Store, a: int, b: int) -> Pair | None:
    """One pair that was found, judged or not; None if these two were not."""
    first, second = sorted((a, b))
    found = _pairs(store, "p.recording_a = ? AND p.recording_b = ?", (first, second), 1)
    return found[0] if found else None


def groups(store: Store, limit: int = 50) -> list[tuple[int, ...]]:
    """The recordings that seem to be one, as groups of ids, the largest first.

    Not chained: what would hang together by one weak link is two groups. Pairs that were judged
    different never stand in one group.
    """
    duplicate_search.search_if_quick(store)
    rows = store.rows(
        f"""SELECT p.recording_a AS a, p.recording_b AS b,
            CASE WHEN j.verdict = 'different' THEN ? ELSE p.bits END AS bits {_LIKELY}
        LEFT JOIN judgements j ON j.recording_a = p.recording_a AND j.recording_b = p.recording_b
        """,
        (_NEVER,),
    )
    found = pair_groups.groups({(row["a"], row["b"]): row["bits"] for row in rows}, LIKELY_BITS)
    return [tuple(group) for group in sorted(found, key=lambda g: (-len(g), g))[:limit]]


def same_files(store: Store, limit: int = 50) -> list[tuple[int, ...]]:
    """Files with the very same sound, tags aside: the ids of their holdings, for each sound."""
    rows = store.rows(
        """SELECT group_concat(id) AS ids FROM holdings WHERE audio <> '' AND path IS NOT NULL
        AND NOT missing GROUP BY audio HAVING count(*) > 1 ORDER BY min(id) LIMIT ?""",
        (limit,),
    )
    return [tuple(sorted(int(n) for n in row["ids"].split(","))) for row in rows]


_SAME_TRACKS = 0.6
"""Share of the tracks of the shorter of two discs that are doubles at the same places, from
which the discs themselves look like one. By judgement."""

_FEWEST_TRACKS = 2
"""Tracks that must be doubles: a single needs both sides."""


def same_discs(store: Store, limit: int = 50) -> list[tuple[int, int]]:
    """Pairs of discs that look like one disc shelved twice, by the numbers of the discs.

    Either most of their tracks are the same recordings, or likely so, at the same side and
    track; or both have one barcode and carrier.
    """
    rows = store.rows(
        f"""WITH same AS (
            SELECT p.recording_a AS a, p.recording_b AS b {_LIKELY} WHERE p.bits >= ?
            UNION SELECT recording_id, recording_id FROM holdings WHERE disc_id IS NOT NULL),
        doubles AS (
            SELECT min(x.disc_id, y.disc_id) AS one, max(x.disc_id, y.disc_id) AS other,
                count(DISTINCT x.side || '/' || x.track) AS n
            FROM same JOIN holdings x ON x.recording_id = same.a
            JOIN holdings y ON y.recording_id = same.b AND y.disc_id <> x.disc_id
                AND y.side = x.side AND y.track = x.track
            JOIN discs d ON d.id = x.disc_id JOIN discs e ON e.id = y.disc_id
                AND e.carrier = d.carrier
            GROUP BY one, other),
        sizes AS (SELECT disc_id, count(*) AS n FROM holdings WHERE disc_id IS NOT NULL
            GROUP BY disc_id)
        SELECT one, other FROM doubles JOIN sizes s ON s.disc_id = one
            JOIN sizes t ON t.disc_id = other
        WHERE doubles.n >= ? AND doubles.n >= ? * min(s.n, t.n)
        UNION SELECT d.id, e.id FROM discs d JOIN discs e ON e.barcode = d.barcode
            AND e.carrier = d.carrier AND e.id > d.id WHERE d.barcode <> ''
        ORDER BY 1, 2 LIMIT ?""",
        (LIKELY_BITS, _FEWEST_TRACKS, _SAME_TRACKS, limit),
    )
    return [(row["one"], row["other"]) for row in rows]


def judge(store: Store, a: int, b: int, verdict: str, who: str, now: datetime) -> int:
    """Keep what somebody says of two recordings; a later word replaces an earlier one.

    Returns the judgement's id. Raises BadInput for an unknown verdict or one recording twice,
    NotFound for an unknown recording.
    """
    if verdict not in list(Verdict):
        raise BadInput("A judgement is “same”, “different” or “cannot tell”.")
    if a == b:
        raise BadInput("That is one recording, not two.")
    first, second = sorted((a, b))
    with undo.action(store, who, f"judged recordings {first} and {second}: {verdict}", now):
        known = recordings(store, [first, second])
        for wanted in (first, second):
            if wanted not in known:
                raise NotFound(f"There is no recording number {wanted}.")
        store.db.execute(
            """INSERT INTO judgements (recording_a, recording_b, verdict, signed_by, at)
            VALUES (?, ?, ?, ?, ?) ON CONFLICT (recording_a, recording_b) DO UPDATE SET
            verdict = excluded.verdict, signed_by = excluded.signed_by, at = excluded.at""",
            (first, second, verdict, who, now.isoformat(timespec="seconds")),
        )
        kept = judgement(store, first, second)
        assert kept is not None
        return kept.id


def point_at(store: Store, gone: int, kept: int) -> None:
    """What was said of one recording is said of another; inside an action.

    Where somebody had judged both against a third, what was said of the one that stays counts.
    """
    for row in store.rows(
        "SELECT * FROM judgements WHERE ? IN (recording_a, recording_b)", (gone,)
    ):
        other = row["recording_a"] + row["recording_b"] - gone
        if other == kept:
            continue
        if judgement(store, kept, other) is not None:
            store.db.execute("DELETE FROM judgements WHERE id = ?", (row["id"],))
            continue
        store.db.execute(
            "UPDATE judgements SET recording_a = ?, recording_b = ? WHERE id = ?",
            (*sorted((kept, other)), row["id"]),
        )


def judgement(store: Store, a: int, b: int) -> Judgement | None:
    """What was said of two recordings, if anything was."""
    rows = store.rows(
        "SELECT * FROM judgements WHERE recording_a = ? AND recording_b = ?", sorted((a, b))
    )
    return Judgement(**{**rows[0], "verdict": Verdict(rows[0]["verdict"])}) if rows else None


_UNJUDGED = """NOT EXISTS (SELECT 1 FROM judgements j
    WHERE j.recording_a = p.recording_a AND j.recording_b = p.recording_b)"""

_LIKELY = """FROM likely_pairs p JOIN recordings one ON one.id = p.recording_a
    JOIN recordings other ON other.id = p.recording_b"""
"""Pairs of recordings that are still there."""

_NEVER = -1_000.0
"""Bits of a pair that a person judged different."""


def _pairs(store: Store, where: str, parameters: Sequence[object], limit: int) -> list[Pair]:
    rows = store.rows(
        f"""SELECT p.recording_a AS a, p.recording_b AS b, p.bits, p.evidence {_LIKELY}
        WHERE {where} ORDER BY p.bits DESC, p.recording_a, p.recording_b LIMIT ?""",
        (*parameters, limit),
    )
    held = recordings(store, [row[side] for row in rows for side in ("a", "b")])
    return [_pair(store, row, held[row["a"]], held[row["b"]]) for row in rows]


def _pair(store: Store, row: Row, a: Recording, b: Recording) -> Pair:
    agrees, differs = _compare(a, b)
    told = json.loads(row["evidence"])
    told.pop("reading", None)
    claims = [Claim(name, CLAIMS[name][level].name, bits) for name, (level, bits) in told.items()]
    claims.sort(key=lambda claim: -abs(claim.bits))
    kind = _kind(store, a, b, told)
    return Pair(a, b, agrees, differs, kind, round(chance(row["bits"]), 4), tuple(claims))


def _kind(store: Store, a: Recording, b: Recording, told: dict[str, list[float]]) -> Kind:
    if told.get("sound", [1])[0] == 0:
        return Kind.SAME_FILE
    holdings = holdings_of(store, [a.id, b.id])
    on = [
        {h.disc_id for h in holdings[side.id] if h.carrier is not Carrier.FILE} for side in (a, b)
    ]
    if any(_look_like_one(store, x, y) for x in on[0] for y in on[1] if x and y and x != y):
        return Kind.SAME_DISC
    if plain(a.title) != plain(b.title) or plain(a.artist) != plain(b.artist):
        return Kind.TWO_SPELLINGS
    return Kind.TWO_COPIES


def _look_like_one(store: Store, one: int, other: int) -> bool:
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


def _same_words(x: object, y: object) -> bool:
    return plain(str(x)) == plain(str(y))


def _same_seconds(x: object, y: object) -> bool:
    return abs(float(str(x)) - float(str(y))) <= _SAME_LENGTH_S


def _same_value(x: object, y: object) -> bool:
    return x == y


_FIELDS: tuple[tuple[str, str, Callable[[object, object], bool]], ...] = (
    ("artist", "artist", _same_words),
    ("title", "title", _same_words),
    ("version", "version", _same_words),
    ("length", "length_s", _same_seconds),
    ("year", "year", _same_value),
    ("composer", "composer", _same_words),
    ("album", "album", _same_words),
    ("label", "label", _same_words),
    ("ISRC", "isrc", _same_value),
)


def _compare(a: Recording, b: Recording) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Fields that one of the two lacks neither agree nor differ; but a version is a difference."""
    agrees, differs = list[str](), list[str]()
    for name, field, same in _FIELDS:
        x, y = getattr(a, field), getattr(b, field)
        if field == "title":
            x, y = without_version(x), without_version(y)
        if field == "version":
            x, y = _version(a), _version(b)
            if x or y:
                (agrees if same(x, y) else differs).append(name)
        elif x not in (None, "") and y not in (None, ""):
            (agrees if same(x, y) else differs).append(name)
    return tuple(agrees), tuple(differs)


def _version(recording: Recording) -> str:
    """The version, from its own field or from a bracket in the title."""
    bare = without_version(recording.title)
    in_title = recording.title.replace(bare, "", 1).strip(" ()[]-")
    return recording.version or in_title
