"""Why these matches: how a request was read and what each part gave, in words."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.explaining import Explained, Explanation
from catalogue.records import Reading
from web import wording
from web.texts import said, t


@dataclass(frozen=True, slots=True)
class Taken:
    """One match taken apart: its name, its chance in words, and what each part gave."""

    name: str
    chance: str
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Why:
    """How a request was read, its sounds, and the first matches taken apart."""

    readings: tuple[str, ...]
    sounds: str
    compared: str
    matches: tuple[Taken, ...]


def view(explanation: Explanation) -> Why:
    """The explanation as the fold shows it."""
    return Why(
        readings=tuple(dict.fromkeys(reading(r) for r in explanation.wanted.readings)),
        sounds=explanation.phonemes,
        compared=t("explain.compared", count=wording.count(explanation.compared)),
        matches=tuple(_taken(match) for match in explanation.matches),
    )


def reading(one: Reading) -> str:
    """One way to read what was heard."""
    if one.title and one.artist:
        return t("answer.reading_both", title=one.title, artist=one.artist)
    if one.title:
        return t("answer.reading_title", title=one.title)
    return t("answer.reading_artist", artist=one.artist)


def _taken(match: Explained) -> Taken:
    name = t("recording.name", title=match.title, artist=match.artist) if match.artist else (
        match.title
    )  # fmt: skip
    return Taken(
        name=name,
        chance=t("explain.chance", percent=f"{match.chance * 100:.0f}"),
        parts=tuple((said(part.what), f"{part.gave:+.1f}") for part in match.parts),
    )
