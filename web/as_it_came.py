"""What files and rows said of a recording, as it came, beside what was made of it and from what.

And what was measured from the sound of its files, beside what people wrote.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

from catalogue import browse, measures
from catalogue.browse import AsItCame
from catalogue.records import NewRecording, Recording
from catalogue.store import Store
from web import wording
from web.texts import has, t

_SHOWN = 5
"""Files and rows shown for one recording: the latest few."""

_NOBODY = "Unknown artist"
"""The artist where nobody was named (`catalogue_rows`)."""

_MANY = "\0"
"""Between several values of one tag."""

_SURE = 0.2
"""Confidence from which a tempo fills a blank (`importers/measuring.py`)."""


@dataclass(frozen=True, slots=True)
class Line:
    """A field: as it came (empty where nothing was said), from where, as it was read, and what it
    is now where that differs."""

    field: str
    came: str
    origin: str
    read: str
    now: str


@dataclass(frozen=True, slots=True)
class Source:
    """A file or row: its name, its fields, and whatever else it said, which is only kept."""

    name: str
    lines: tuple[Line, ...]
    rest: tuple[tuple[str, str], ...]


def sources(store: Store, recording: Recording) -> tuple[Source, ...]:
    """What files and rows said of a recording, latest first."""
    return tuple(
        Source(one.source, _lines(one, recording), _rest(one))
        for one in browse.as_it_came(store, recording.id, _SHOWN)
    )


def _lines(one: AsItCame, recording: Recording) -> tuple[Line, ...]:
    found = []
    for field in fields(NewRecording):
        name = "length" if field.name == "length_s" else field.name
        value = one.read_as.get(field.name)
        under = one.came_from.get(name) or _stands_in(one, name)
        if value in ("", None, "unknown") and not under:
            continue
        read, now = _worded(field.name, value), _worded(field.name, getattr(recording, field.name))
        found.append(
            Line(
                t(f"field.{field.name}"),
                _whole(one.said.get(under, "")) if under else "",
                _origin(one, name, under),
                read or t("came.left_out"),
                ""
                if now == read or (not read and now == _NOBODY)
                else t("came.now", value=now or t("came.blank")),
            )
        )
    return tuple(found)


_ALSO_FROM = {"year": "first_year", "title": "work", "album": "disc_title"}
"""A field may be filled from what stood under another."""


def _stands_in(one: AsItCame, name: str) -> str:
    return one.came_from.get(_ALSO_FROM.get(name, ""), "")


def _origin(one: AsItCame, name: str, under: str) -> str:
    """From where a value is; what nobody said outright is called guessed."""
    guessed = (name if name != "length" else "length_s") in one.guessed
    if under:
        key = "came.tag" if one.is_file else "came.column"
        words = t(key, name=under)
        if not guessed:
            return words
        return t("came.pressing" if name == "year" else "came.guessed_from", origin=words)
    if guessed:
        return t("came.guessed_path" if one.is_file else "came.guessed")
    return t("came.sound" if one.is_file and name == "length" else "came.made")


def _worded(name: str, value: object) -> str:
    if value in (None, "", "unknown"):
        return ""
    if name == "length_s" and isinstance(value, int | float):
        return wording.length(float(value))
    if name == "voice":
        return t(f"voice.{value}") if has(f"voice.{value}") else str(value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _whole(text: str) -> str:
    return " / ".join(part for part in text.split(_MANY) if part)


def _rest(one: AsItCame) -> tuple[tuple[str, str], ...]:
    """What else was said; gains as the number they were read as."""
    used = set(one.came_from.values())
    rest = [(name, _whole(text)) for name, text in one.said.items() if name not in used]
    numbers = [
        (t("came.read_as", name=name), f"{number:g}" if "peak" in name else f"{number:+.2f} dB")
        for name, number in one.numbers.items()
    ]
    return tuple(rest + numbers)


def measured(store: Store, holding_ids: Sequence[int]) -> tuple[str, ...]:
    """What was measured from the sound of these copies, as sentences."""
    said: list[str] = []
    for found in measures.of(store, holding_ids).values():
        tempo, loudness = found.get("tempo"), found.get("loudness")
        if tempo is not None and tempo.number:
            sure = (tempo.confidence or 0) >= _SURE
            key = "measured.tempo_sure" if sure else "measured.tempo_unsure"
            said.append(
                t(key, beats=f"{tempo.number:.0f}",
                  other=f"{tempo.other or tempo.number:.0f}", how=tempo.how)
            )  # fmt: skip
        if loudness is not None and loudness.number is not None:
            said.append(t("measured.loudness", lufs=f"{loudness.number:.1f}", how=loudness.how))
        before, after = found.get("silence_before"), found.get("silence_after")
        if before is not None and after is not None:
            said.append(t("measured.silence", before=before.value, after=after.value))
    return tuple(said)
