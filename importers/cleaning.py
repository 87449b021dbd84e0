"""The road every tag and every row takes: small named steps, then numbers are read.

Each step is a function of its own with one example beside it, which is also its test. The raw
values stay in the entry whatever the steps do. To add one, write it in the `cleaning_*` file of
its subject and put it into that file's list.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from catalogue.records import NewRecording
from importers import identifiers, values
from importers.cleaning_names import LAST_STEPS, NAME_STEPS
from importers.cleaning_steps import Step
from importers.cleaning_text import TEXT_STEPS
from importers.cleaning_titles import TITLE_STEPS
from importers.entries import LONGEST_TEXT, Draft

STEPS: tuple[Step, ...] = (*TEXT_STEPS, *NAME_STEPS, *TITLE_STEPS, *LAST_STEPS)

_AS_THEY_STAND = (
    "title", "artist", "version", "genre", "album", "composer", "work", "movement", "soloist",
    "conductor", "label",
)  # fmt: skip

_GENRE_NUMBER = re.compile(r"\(\d+\)\s*")


def clean(draft: Draft) -> Draft:
    """The draft after all steps, in their order.

    One with a text too long to be a name stays as it is: some steps would go through it for
    minutes, and it is refused where it is taken in.
    """
    if any(len(draft.get(name)) > LONGEST_TEXT for name in _AS_THEY_STAND):
        return draft
    for step in STEPS:
        draft = step.apply(draft)
    return draft


def recording_of(draft: Draft, this_year: int) -> tuple[NewRecording, Draft]:
    """The recording that a cleaned draft describes, and the draft with what else was noted.

    What cannot be read as a year, a tempo or a length is left out with a note. A year that may
    be the pressing's is marked as guessed; `this_year` is the latest that can be.
    """
    draft, year = _year(draft, this_year)
    tempo = values.tempo(draft.get("tempo"))
    if draft.get("tempo") and tempo is None and draft.get("tempo").strip("0., "):
        draft = draft.note(f"“{draft.get('tempo')}” is no tempo in beats a minute; left out")
    length = values.length_s(draft.get("length"))
    if draft.get("length") and length is None and draft.get("length").strip("0:., "):
        draft = draft.note(f"“{draft.get('length')}” is no length; left out")
    draft, isrc = _identified(draft)
    texts = {name: draft.get(name) for name in _AS_THEY_STAND}
    texts["genre"] = _GENRE_NUMBER.sub("", texts["genre"])
    recording = NewRecording(
        **texts,
        year=year,
        tempo=tempo,
        length_s=length,
        language=values.language(draft.get("language")),
        voice=values.voice(draft.get("voice")),
        isrc=isrc,
    )
    return recording, draft


def _identified(draft: Draft) -> tuple[Draft, str]:
    """The draft with its identifiers checked, and the ISRC; a wrong one is a note."""
    isrc = ""
    if said := draft.get("isrc"):
        isrc, wrong = identifiers.isrc_of(said)
        draft = draft.note(wrong) if wrong else draft
    for name, check in (("barcode", identifiers.barcode_of), ("isni", identifiers.isni_of)):
        if said := draft.get(name):
            digits, wrong = check(said)
            draft = draft.put(**{name: digits})
            draft = draft.note(wrong) if wrong else draft
    return draft, isrc


def _year(draft: Draft, this_year: int) -> tuple[Draft, int | None]:
    first = values.year(draft.get("first_year"), this_year)
    if first is not None:
        return replace(draft, guessed=draft.guessed - {"year"}), first
    year = values.year(draft.get("year"), this_year)
    said = draft.get("year") or draft.get("first_year")
    if year is None and said.strip("0-. "):
        return draft.note(f"“{said}” is no year; left out"), None
    guessed = draft.guessed | ({"year"} if year else frozenset())
    return replace(draft, guessed=frozenset(guessed)), year


def without_blanks(fields: Mapping[str, str]) -> dict[str, str]:
    """Only the fields that say something."""
    return {name: text for name, text in fields.items() if text.strip()}
