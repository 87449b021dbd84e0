"""What the caller can say of a record, as fields: said already first, then what narrows fastest."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import settings, sorts_held
from catalogue.basis import Pace
from catalogue.genres import GENTLE, LIVELY
from catalogue.narrowing import Question
from catalogue.records import Answer, Voice
from catalogue.said_of_it import Said
from catalogue.store import Store
from web.texts import has, t

_FIELD_OF = {
    Question.WHEN: "about_when",
    Question.PACE: "pace",
    Question.VOICE: "voice",
    Question.SORT: "sort",
    Question.LANGUAGE: "language",
    Question.MOOD: "mood",
    Question.OCCASION: "occasion",
}
_CHOICES = {
    "pace": (Pace.SLOW, Pace.QUICK),
    "voice": (Voice.MAN, Voice.WOMAN, Voice.GROUP, Voice.NONE),
    "mood": (GENTLE, LIVELY),
}


@dataclass(frozen=True, slots=True)
class Field:
    """One question as a field: a list to choose from, or words with some to choose."""

    name: str
    label: str
    value: str
    choices: tuple[tuple[str, str], ...] = ()
    offered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Narrowing:
    """The fields in the order of asking; `riddle` says what was not understood."""

    fields: tuple[Field, ...]
    riddle: str = ""


def narrowing(store: Store, answer: Answer, given: Said, occasion: str) -> Narrowing | None:
    """The fields, if there is a list to narrow or something was said already."""
    if not answer.questions and given == Said():
        return None
    if not answer.stand_ins and answer.matches:
        return None
    values = {name: getattr(given, name) for name in Said.__slots__} | {"occasion": occasion}
    asked = [_FIELD_OF[Question(one)] for one in answer.questions]
    told = [name for name in _FIELD_OF.values() if values[name]]
    order = dict.fromkeys((*told, *asked, *_FIELD_OF.values()))
    return Narrowing(
        fields=tuple(_field(store, name, values[name]) for name in order),
        riddle=t("said.riddle", when=given.about_when) if given.when_is_a_riddle else "",
    )


def _field(store: Store, name: str, value: str) -> Field:
    label = t(f"said.{name}")
    if name in _CHOICES:
        choices = tuple((str(one), t(f"said.{name}.{one}")) for one in _CHOICES[name])
        return Field(name, label, value, choices)
    if name == "occasion":
        listed = settings.lines(store, "occasions")
        return Field(name, label, value, tuple((one, _occasion(one)) for one in listed))
    if name == "sort":
        return Field(name, label, value, offered=tuple(sorts_held.sorts(store)))
    if name == "language":
        return Field(name, label, value, offered=tuple(sorts_held.languages(store)))
    return Field(name, label, value)


def _occasion(name: str) -> str:
    key = f"occasion.{name}"
    return t(key) if has(key) else name
