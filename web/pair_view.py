"""Two entries side by side: what is the same and what differs, and what speaks for and against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher

from flask import url_for

from catalogue import (
    catalogue_rows,
    duplicates,
    merging,
    pair_weights,
    play_log,
    undo,
)
from catalogue.duplicates import Claim, Pair
from catalogue.records import Carrier, Holding, Recording, Voice
from catalogue.store import Store
from importers import audio_tags
from web import wording
from web.station import now
from web.texts import t

SURE = ((0.99, "surest"), (0.9, "sure"), (0.0, "likely"))
"""From which chance on it is said how: almost certainly, very likely, likely."""

_TELLS = 0.7
"""Bits that a piece of evidence must add or take to be worth a line."""

_STRENGTHS = ((4.0, "strongly"), (1.5, "clearly"), (0.0, "a_little"))
_UNLIKE = 0.5
"""Likeness of letters below which a whole value is marked, not the letters that differ."""


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy: its label, and the address of its sound if it can be heard here."""

    label: wording.Label
    sound: str
    heard_as: str


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two entries. `which` is "a" or "b"; `seen` the number of its last change."""

    which: str
    id: int
    title: str
    artist: str
    plays: str
    copies: tuple[Copy, ...]
    stays: bool
    seen: int


@dataclass(frozen=True, slots=True)
class Value:
    """A field's value on one side, in pieces, each with whether it differs; and whether it is the
    one to keep unless somebody says otherwise."""

    which: str
    pieces: tuple[tuple[str, bool], ...]
    keep: bool


@dataclass(frozen=True, slots=True)
class FieldRow:
    """One field on both sides, and in a word whether they agree."""

    name: str
    words: str
    values: tuple[Value, Value]
    mark: str
    differs: bool


@dataclass(frozen=True, slots=True)
class Point:
    """One thing that speaks for or against, and how much, in words."""

    strength: str
    sentence: str


@dataclass(frozen=True, slots=True)
class PairPage:
    """All that is shown of two entries."""

    sides: tuple[Side, Side]
    kind: str
    sure: str
    rows: tuple[FieldRow, ...]
    speaks_for: tuple[Point, ...]
    against: tuple[Point, ...]
    judged: str
    said_at: str
    following: str


def page(store: Store, one: int, other: int) -> PairPage:
    """Two entries side by side, whether a search found them or not. Raises NotFound."""
    first, second = sorted((one, other))
    a, b = (catalogue_rows.recording(store, number) for number in (first, second))
    found = duplicates.pair(store, first, second)
    plays = play_log.times_played(store, [first, second])
    stays = "a" if _worth(a, plays) >= _worth(b, plays) else "b"
    copies = catalogue_rows.holdings_of(store, [first, second])
    points = _points(found) if found else []
    said = duplicates.judgement(store, first, second)
    after = duplicates.next_after(store, first, second)
    return PairPage(
        (
            _side(store, "a", a, copies[first], plays, stays),
            _side(store, "b", b, copies[second], plays, stays),
        ),
        t(f"doubling.{found.kind}") if found else t("duplicates.not_found"),
        t(f"duplicates.{sure(found.likelihood)}") if found else "",
        _rows(a, b, stays),
        tuple(_point(bits, words) for bits, words in points if bits > 0),
        tuple(_point(bits, words) for bits, words in points if bits < 0),
        t(
            "duplicates.judged_before",
            verdict=t(f"verdict.{said.verdict}"),
            who=said.signed_by,
            at=wording.clock_time(said.at, now().date()),
        )
        if said
        else "",
        said.at if said else "",
        url_for("doubles.pair", one=after[0], other=after[1]) if after else "",
    )


def sure(likelihood: float) -> str:
    """How sure it is, as the key of its words."""
    return next(word for least, word in SURE if likelihood >= least)


def copies_of(holdings: list[Holding], title: str) -> tuple[Copy, ...]:
    """Copies with their labels; files that are there can be heard."""
    return tuple(_copy(holding, title) for holding in holdings)


def _copy(holding: Holding, title: str) -> Copy:
    label = wording.label(holding)
    there = holding.carrier is Carrier.FILE and not holding.missing
    sound = there and audio_tags.is_audio(holding.path)
    return Copy(
        label,
        url_for("doubles.listen", holding_id=holding.id) if sound else "",
        t("duplicates.listen", title=title, mark=label.mark),
    )


def _side(
    store: Store,
    which: str,
    recording: Recording,
    holdings: list[Holding],
    plays: Mapping[int, int],
    stays: str,
) -> Side:
    times = plays.get(recording.id, 0)
    keys = {0: "duplicates.plays_none", 1: "duplicates.plays_once"}
    return Side(
        which,
        recording.id,
        recording.title,
        recording.artist,
        t(keys[times]) if times in keys else t("duplicates.plays", count=wording.count(times)),
        copies_of(holdings, recording.title),
        stays == which,
        undo.row_number(store, "recordings", recording.id),
    )


def _worth(recording: Recording, plays: Mapping[int, int]) -> tuple[int, int]:
    """Which entry to keep if nobody says: the one that says more, then the one played more."""
    known = sum(_said(getattr(recording, name)) for name in merging.FIELDS)
    return known, plays.get(recording.id, 0)


def _said(value: object) -> bool:
    return value not in (None, "", Voice.UNKNOWN)


def _rows(a: Recording, b: Recording, stays: str) -> tuple[FieldRow, ...]:
    rows = []
    for name in merging.FIELDS:
        values = (getattr(a, name), getattr(b, name))
        if not any(_said(value) for value in values):
            continue
        texts = tuple(value_in_words(name, value) for value in values)
        only = [which for which, value in zip("ab", values, strict=True) if _said(value)]
        keep = only[0] if len(only) == 1 else stays
        differs = values[0] != values[1]
        pieces = _marked(*texts) if differs and len(only) == 2 else _plain(*texts)
        mark = "same" if not differs else "differs" if len(only) == 2 else "only"
        rows.append(
            FieldRow(
                name,
                t(f"field.{name}"),
                (Value("a", pieces[0], keep == "a"), Value("b", pieces[1], keep == "b")),
                t(f"duplicates.mark_{mark}"),
                differs,
            )
        )
    return tuple(rows)


def value_in_words(field: str, value: object) -> str:
    """A field's value for people."""
    if not _said(value):
        return ""
    if field == "length_s":
        return wording.length(float(str(value)))
    if field == "voice":
        return t(f"voice.{value}")
    return f"{value:g}" if isinstance(value, float) else str(value)


_Pieces = tuple[tuple[str, bool], ...]


def _plain(one: str, other: str) -> tuple[_Pieces, _Pieces]:
    return ((one, False),), ((other, False),)


def _marked(one: str, other: str) -> tuple[_Pieces, _Pieces]:
    """Both texts in pieces, with the letters that differ marked."""
    matcher = SequenceMatcher(None, one, other, autojunk=False)
    if matcher.ratio() < _UNLIKE:
        return ((one, True),), ((other, True),)
    first, second = list[tuple[str, bool]](), list[tuple[str, bool]]()
    for what, i, j, k, m in matcher.get_opcodes():
        for pieces, text in ((first, one[i:j]), (second, other[k:m])):
            if text:
                pieces.append((text, what != "equal"))
    return tuple(first), tuple(second)


def _points(pair: Pair) -> list[tuple[float, str]]:
    """What tells, most telling first: bits, and a sentence."""
    claims = list(pair.evidence)
    found = []
    if pair.reading != pair_weights.STRAIGHT:
        names = [claim for claim in claims if claim.name in ("title", "artist")]
        claims = [claim for claim in claims if claim not in names]
        turned = pair.reading == pair_weights.TURNED
        words = t("evidence.turned") if turned else t("evidence.run_together")
        found.append((sum(claim.bits for claim in names), words))
    found += [(claim.bits, _sentence(claim, pair)) for claim in claims]
    return sorted((p for p in found if abs(p[0]) >= _TELLS), key=lambda p: -abs(p[0]))


_VALUES = {"length": "length_s", "identifier": "isrc"}


def _sentence(claim: Claim, pair: Pair) -> str:
    field = _VALUES.get(claim.name, claim.name)
    a, b = (
        value_in_words(field, getattr(side, field)) if field in merging.FIELDS else ""
        for side in (pair.a, pair.b)
    )
    return t(f"evidence.{claim.name}: {claim.level}", a=a, b=b)


def _point(bits: float, words: str) -> Point:
    strength = next(name for least, name in _STRENGTHS if abs(bits) >= least)
    return Point(t(f"evidence.{strength}"), words)
