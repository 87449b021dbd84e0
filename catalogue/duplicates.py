"""Recordings that may be one and the same, for the librarian to judge.

The likely pairs are those of `duplicate_search`. What agrees and differs is said of each, what
kind of doubling it would be, and how sure; a person decides. A judgement is signed and kept, so
that the same question is asked once. Nothing is merged or deleted here.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from catalogue import disc_doubles, duplicate_search, pair_groups, undo
from catalogue.catalogue_rows import holdings_of, recordings
from catalogue.errors import BadInput, NotFound
from catalogue.pair_weights import CLAIMS, LIKELY_BITS, STRAIGHT, chance
from catalogue.records import Carrier, Recording
from catalogue.spelling import plain, without_version
from catalogue.store import Row, Store
from catalogue.verdicts import Verdict, checked

_SAME_LENGTH_S = 3.0
"""Lengths this near agree: leader and fade are cut differently (common practice, no source)."""


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

    `evidence` is what was weighed, the most telling first; `likelihood` is from 0 to 1;
    `reading` is how title and artist were read (`pair_weights.STRAIGHT` and its kin).
    """

    a: Recording
    b: Recording
    agrees: tuple[str, ...]
    differs: tuple[str, ...]
    kind: Kind = Kind.TWO_COPIES
    likelihood: float = 0.0
    evidence: tuple[Claim, ...] = ()
    reading: int = STRAIGHT


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


def left_to_judge(store: Store) -> int:
    """How many likely pairs nobody has judged."""
    rows = store.rows(
        f"SELECT count(*) AS n {_LIKELY} WHERE p.bits >= ? AND {_UNJUDGED}", (LIKELY_BITS,)
    )
    return int(rows[0]["n"])


def next_after(store: Store, a: int, b: int) -> tuple[int, int] | None:
    """The likeliest unjudged pair that is less likely than this one; the likeliest of all if
    this one is not among the likely ones; None at the end."""
    first, second = sorted((a, b))
    here = store.rows(
        "SELECT bits FROM likely_pairs WHERE recording_a = ? AND recording_b = ?", (first, second)
    )
    bits = here[0]["bits"] if here else math.inf
    rows = store.rows(
        f"""SELECT p.recording_a AS a, p.recording_b AS b {_LIKELY} WHERE p.bits >= ?
        AND {_UNJUDGED} AND (p.bits < ? OR p.bits = ? AND (p.recording_a, p.recording_b) > (?, ?))
        ORDER BY p.bits DESC, p.recording_a, p.recording_b LIMIT 1""",
        (LIKELY_BITS, bits, bits, first, second),
    )
    return (rows[0]["a"], rows[0]["b"]) if rows else None


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


def judge(store: Store, a: int, b: int, verdict: str, who: str, now: datetime) -> int:
    """Keep what somebody says of two recordings; a later word replaces an earlier one.

    Returns the judgement's id. Raises BadInput for an unknown verdict or one recording twice,
    NotFound for an unknown recording.
    """
    said = checked(verdict)
    if a == b:
        raise BadInput("That is one recording, not two.")
    first, second = sorted((a, b))
    with undo.action(store, who, f"judged recordings {first} and {second}: {said}", now):
        known = recordings(store, [first, second])
        for wanted in (first, second):
            if wanted not in known:
                raise NotFound(f"There is no recording number {wanted}.")
        store.db.execute(
            """INSERT INTO judgements (recording_a, recording_b, verdict, signed_by, at)
            VALUES (?, ?, ?, ?, ?) ON CONFLICT (recording_a, recording_b) DO UPDATE SET
            verdict = excluded.verdict, signed_by = excluded.signed_by, at = excluded.at""",
            (first, second, said, who, now.isoformat(timespec="seconds")),
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
    reading = int(told.pop("reading", [STRAIGHT])[0])
    claims = [Claim(name, CLAIMS[name][level].name, bits) for name, (level, bits) in told.items()]
    claims.sort(key=lambda claim: -abs(claim.bits))
    kind = _kind(store, a, b, told)
    likelihood = round(chance(row["bits"]), 4)
    return Pair(a, b, agrees, differs, kind, likelihood, tuple(claims), reading)


def _kind(store: Store, a: Recording, b: Recording, told: dict[str, list[float]]) -> Kind:
    if told.get("sound", [1])[0] == 0:
        return Kind.SAME_FILE
    holdings = holdings_of(store, [a.id, b.id])
    on = [
        {h.disc_id for h in holdings[side.id] if h.carrier is not Carrier.FILE} for side in (a, b)
    ]
    if any(
        disc_doubles.look_like_one(store, x, y) for x in on[0] for y in on[1] if x and y and x != y
    ):
        return Kind.SAME_DISC
    if plain(a.title) != plain(b.title) or plain(a.artist) != plain(b.artist):
        return Kind.TWO_SPELLINGS
    return Kind.TWO_COPIES


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
