"""Which question narrows the list fastest: expected remaining entropy over what is ready.

Each recording that could be offered is wanted with some chance; an answer to a question changes
the chances. Shannon's entropy (1948) of the chances, in bits, is how many yes-or-no questions are
still to be asked; the best question leaves the fewest bits on average. A recording of which the
answer is not known stays as likely whatever is answered, so that asking for what the catalogue
does not know is worth nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from catalogue import genres
from catalogue.basis import Basis, Pace, pace_of
from catalogue.records import Recording, Voice

_YEARS_A_TIME = 10
"""Years that callers can tell apart by "about when" (common practice, no source)."""

_TEMPERATURE = 0.5
"""Relevance that makes one recording *e* times as likely to be the one as another. By judgement:
half of what a near year is worth."""


class Question(StrEnum):
    """What a caller can be asked; the words are in `sayings.py`."""

    WHEN = "when"
    PACE = "pace"
    VOICE = "voice"
    SORT = "sort"
    LANGUAGE = "language"
    MOOD = "mood"
    OCCASION = "occasion"


@dataclass(frozen=True, slots=True)
class Narrowing:
    """A question, the bits left before it, and those expected after its answer."""

    question: Question
    bits_now: float
    bits_after: float

    @property
    def gained(self) -> float:
        """Bits that the answer is expected to save."""
        return self.bits_now - self.bits_after


def _when(recording: Recording) -> str:
    return "" if recording.year is None else str(recording.year // _YEARS_A_TIME)


def _pace(recording: Recording) -> str:
    pace = pace_of(recording.tempo)
    return "" if recording.tempo is None else "neither" if pace is Pace.UNKNOWN else pace


_ANSWERS: Mapping[Question, Callable[[Recording], str]] = {
    Question.WHEN: _when,
    Question.PACE: _pace,
    Question.VOICE: lambda r: "" if r.voice is Voice.UNKNOWN else r.voice,
    Question.SORT: lambda r: genres.family(r.genre),
    Question.LANGUAGE: lambda r: r.language.strip().lower(),
    Question.MOOD: lambda r: genres.mood(r.genre),
}
"""What a recording would be answered with; "" where that is not known."""


def _known(basis: Basis) -> set[Question]:
    """What need not be asked any more."""
    said = {
        Question.WHEN: basis.year is not None,
        Question.PACE: basis.pace is not Pace.UNKNOWN or bool(basis.tempo),
        Question.VOICE: basis.voice is not Voice.UNKNOWN,
        Question.SORT: bool(basis.genre),
        Question.LANGUAGE: bool(basis.language),
        Question.MOOD: bool(basis.mood),
        Question.OCCASION: bool(basis.occasion),
    }
    return {question for question, answered in said.items() if answered}


def entropy(chances: Sequence[float]) -> float:
    """Bits of a distribution; the chances need not add up to 1.

    >>> entropy([1, 1, 1, 1]), entropy([1, 0]), entropy([])
    (2.0, 0.0, 0.0)
    """
    total = sum(chances)
    shares = [chance / total for chance in chances if chance > 0] if total > 0 else []
    return -sum(share * math.log2(share) for share in shares) + 0.0


def expected_after(chances: Sequence[float], answers: Sequence[str]) -> float:
    """Bits expected to be left once the answer is known.

    Each answer is as likely as the recordings it is true of; those of which it is not known ("")
    are shared out among the answers in the same measure.

    >>> expected_after([1, 1, 1, 1], ["a", "a", "b", "b"]), expected_after([1, 1], ["", ""])
    (1.0, 1.0)
    """
    weight: dict[str, float] = {}
    for chance, answer in zip(chances, answers, strict=True):
        if answer:
            weight[answer] = weight.get(answer, 0.0) + chance
    known = sum(weight.values())
    if not known:
        return entropy(chances)
    left = 0.0
    for answer, own in weight.items():
        still = [
            chance if given == answer else chance * own / known if not given else 0.0
            for chance, given in zip(chances, answers, strict=True)
        ]
        left += own / known * entropy(still)
    return left


def best_questions(ready: Sequence[tuple[Recording, float]], basis: Basis) -> tuple[Narrowing, ...]:
    """The questions still open, the one that narrows fastest first; none for a list of one.

    `ready` are recordings with their relevance. Those that save nothing here come after those that
    do; what it is for tells nothing of any recording, and comes last.
    """
    if len(ready) < 2:
        return ()
    most = max(relevance for _, relevance in ready)
    chances = [math.exp((relevance - most) / _TEMPERATURE) for _, relevance in ready]
    now, known = entropy(chances), _known(basis)
    found = [
        Narrowing(question, now, expected_after(chances, [told(one) for one, _ in ready]))
        for question, told in _ANSWERS.items()
        if question not in known
    ]
    useful = sorted(found, key=lambda n: round(n.bits_after, 9))
    last = () if Question.OCCASION in known else (Narrowing(Question.OCCASION, now, now),)
    return (*useful, *last)
