"""Recordings that may be one and the same, for the librarian to judge.

A pair is shown when artist and plain title are equal; what else agrees and differs is said, and
a person decides. A judgement is signed and kept, so that the same question is asked once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from catalogue import undo
from catalogue.catalogue_rows import recordings
from catalogue.errors import BadInput, NotFound
from catalogue.records import Recording
from catalogue.spelling import plain, without_version
from catalogue.store import Store

_SAME_LENGTH_S = 3.0
"""Lengths this near agree: leader and fade are cut differently (common practice, no source)."""

_PAIRS_TO_SORT = 4
"""Pairs looked at for each one shown, so that the likeliest of them come first."""


class Verdict(StrEnum):
    """What a librarian says of a pair."""

    SAME = "same"
    DIFFERENT = "different"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two recordings that may be one; the fields that agree, and those that differ."""

    a: Recording
    b: Recording
    agrees: tuple[str, ...]
    differs: tuple[str, ...]


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
    """Pairs with equal artist and plain title that nobody has judged, likeliest first.

    Stops as soon as it has enough; a large catalogue without any pair takes some seconds.
    """
    rows = store.rows(
        # CROSS JOIN keeps SQLite to this order, in which every step is one index look-up.
        """SELECT one.id AS a, two.id AS b FROM recordings one
        CROSS JOIN songs s ON s.id = one.song_id CROSS JOIN songs t ON t.plain = s.plain
        CROSS JOIN recordings two ON two.song_id = t.id
        WHERE two.artist_id = one.artist_id AND two.id > one.id AND NOT EXISTS (
            SELECT 1 FROM judgements j WHERE j.recording_a = one.id AND j.recording_b = two.id)
        LIMIT ?""",
        (limit * _PAIRS_TO_SORT,),
    )
    held = recordings(store, [row[side] for row in rows for side in ("a", "b")])
    pairs = [_compare(held[row["a"]], held[row["b"]]) for row in rows]
    pairs.sort(key=lambda pair: (len(pair.differs), -len(pair.agrees), pair.a.id, pair.b.id))
    return pairs[:limit]


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


def judgement(store: Store, a: int, b: int) -> Judgement | None:
    """What was said of two recordings, if anything was."""
    rows = store.rows(
        "SELECT * FROM judgements WHERE recording_a = ? AND recording_b = ?", sorted((a, b))
    )
    return Judgement(**{**rows[0], "verdict": Verdict(rows[0]["verdict"])}) if rows else None


def _same_words(x: object, y: object) -> bool:
    return plain(str(x)) == plain(str(y))


def _same_seconds(x: object, y: object) -> bool:
    return abs(float(str(x)) - float(str(y))) <= _SAME_LENGTH_S


def _same_value(x: object, y: object) -> bool:
    return x == y


_FIELDS: tuple[tuple[str, str, Callable[[object, object], bool]], ...] = (
    ("version", "version", _same_words),
    ("length", "length_s", _same_seconds),
    ("year", "year", _same_value),
    ("composer", "composer", _same_words),
    ("album", "album", _same_words),
    ("label", "label", _same_words),
    ("ISRC", "isrc", _same_value),
)


def _compare(a: Recording, b: Recording) -> Pair:
    """Fields that one of the two lacks neither agree nor differ; but a version is a difference."""
    agrees, differs = ["artist", "title"], list[str]()
    for name, field, same in _FIELDS:
        x, y = getattr(a, field), getattr(b, field)
        if field == "version":
            x, y = _version(a), _version(b)
            if x or y:
                (agrees if same(x, y) else differs).append(name)
        elif x not in (None, "") and y not in (None, ""):
            (agrees if same(x, y) else differs).append(name)
    return Pair(a, b, tuple(agrees), tuple(differs))


def _version(recording: Recording) -> str:
    """The version, from its own field or from a bracket in the title."""
    bare = without_version(recording.title)
    in_title = recording.title.replace(bare, "", 1).strip(" ()[]-")
    return recording.version or in_title
