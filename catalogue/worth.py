"""What each thing that a stand-in shares with the record asked for is worth.

One sum orders the list. The worth of years, tempo, length, feel and of related artists is fitted
to how far the tags of real songs agree; of the sort of music and of the rest no open data tell,
so they are by judgement, set beside the fitted ones. Each number says which it is.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from catalogue.feel import FILE, FeelModel, from_json

FITTED = ("years", "tempo", "length", "feel", "related")
"""The parts in `data/stand_in_weights.json`, written by `python -m tests.benchmarks.fit_stand_ins
--write`; in units of a near year, which is worth about 1 when all is known."""


@dataclass(frozen=True, slots=True)
class Worth:
    """Named worths; all in one unit. `feel_model` is what the worth of feel is measured with."""

    feel_model: FeelModel

    years: float
    """Years of first release, through a smooth kernel. Fitted."""

    tempo: float
    """Tempo, half and double being the same. Fitted."""

    length: float
    """Length, through a smooth kernel. Fitted."""

    feel: float
    """The sort of music that years, tempo, length and names suggest. Fitted."""

    related: float
    """An artist who sings with the one asked for; less for looser ties. Fitted."""

    same_song: float = 4.0
    """The song itself: above all the rest together. By judgement; less by the chance that it is
    another song of the name."""

    same_artist: float = 3.0
    """By judgement: nearer than any stranger of the same years."""

    same_writer: float = 1.5
    """By judgement: a caller may not know the writer, but often knows the style."""

    genre: float = 1.0
    """The sort of music; half of it for its family. By judgement, as much as the year: where it is
    known it says outright what the feel only guesses."""

    language: float = 0.6
    """By judgement: a song that is not understood is another thing to many callers."""

    voice: float = 0.4
    """By judgement, a little less than a language."""

    pace: float = 0.6
    """Slow or quick, as a caller says: asked for outright, so above the tempo. By judgement."""

    mood: float = 0.6
    """Gentle or lively, likewise."""

    asked_here: float = 0.8
    """What is asked for most here, the strong plain baseline. By judgement."""

    taken_instead: float = 1.5
    """Taken here in place of this very record; rises with how often. By judgement."""

    refused: float = 1.5
    """Refused here in place of this very record: as much the other way. By judgement."""

    occasion: float = 0.4
    """Others here chose it for this occasion. By judgement."""

    too_long: float = 3.0
    """Longer than what is left of the programme, or too short to be a record: behind all that
    fits, but the song itself stays on the list. By judgement."""

    warned: float = 1.0
    """A word to be careful with, on a tender occasion: further down, never away. By judgement."""

    def without(self, part: str) -> Worth:
        """The same with one part worth nothing, to see what it adds."""
        nothing: dict[str, Any] = {part: 0.0}
        return replace(self, **nothing)


@lru_cache(maxsize=1)
def shipped() -> Worth:
    """The worths that come with the program."""
    told = json.loads(FILE.read_text(encoding="utf-8"))
    return Worth(from_json(told["feel"]), *(float(told["worth"][name]) for name in FITTED))
