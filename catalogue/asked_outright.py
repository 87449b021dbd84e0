"""What was asked for outright, where no record is known: "a hymn", "a slow one by Ann Oke".

Then what was said leads the list, not what callers here like, and what has all of it comes before
what has some.
"""

from __future__ import annotations

from dataclasses import replace

from catalogue import genres
from catalogue.basis import Basis, Pace, pace_of
from catalogue.records import Recording, Voice
from catalogue.spelling import plain
from catalogue.worth import Worth

_OUTRIGHT = 3.0
"""By how much more anything said weighs where nothing else is known: one thing said, half agreed
with, is then above all that is only popular. By judgement."""

SAME_TIME = 6
"""Years apart that are still "about the same time": of a decade, all but its neighbours' halves."""


def weighed(worth: Worth, basis: Basis) -> Worth:
    """The worths for a request that names no record: what was said weighs more."""
    if basis.recording is not None:
        return worth
    return replace(
        worth, years=worth.years * _OUTRIGHT, genre=worth.genre * _OUTRIGHT,
        mood=worth.mood * _OUTRIGHT, pace=worth.pace * _OUTRIGHT, voice=worth.voice * _OUTRIGHT,
        language=worth.language * _OUTRIGHT,
    )  # fmt: skip


def agreed(recording: Recording, basis: Basis) -> int:
    """How many of the things said are true of this recording, as far as that is known."""
    pace = basis.pace
    if pace is Pace.UNKNOWN and basis.mood and not genres.mood(recording.genre):
        pace = Pace.QUICK if basis.mood == genres.LIVELY else Pace.SLOW
    return sum((
        basis.artist_id is not None and recording.artist_id == basis.artist_id,
        bool(basis.year and recording.year and abs(basis.year - recording.year) <= SAME_TIME),
        pace is not Pace.UNKNOWN and pace_of(recording.tempo) is pace,
        basis.voice is not Voice.UNKNOWN and recording.voice is basis.voice,
        bool(sort_alike(recording, basis.genre)),
        bool(basis.mood) and genres.mood(recording.genre) == basis.mood,
        bool(basis.language) and recording.language.lower() == basis.language.lower(),
    ))  # fmt: skip


def sort_alike(recording: Recording, genre: str) -> float:
    """How far a recording is of a sort of music, 0 to 1: its title may say so as well.

    A "Quay Street Waltz" is a waltz, whatever the shelf list calls it.
    """
    own = genres.genres_alike(genre, recording.genre) if genre else 0.0
    if not genre or own == genres.SAME:
        return own
    return genres.SAME if said_in(recording.title, genre) else own


def said_in(title: str, genre: str) -> bool:
    """Whether a title says the sort of music itself, in the singular or the plural.

    >>> said_in("Quay Street Waltz", "waltzes"), said_in("The Waltzer", "waltz")
    (True, False)
    """
    sort, words = plain(genre) if genre else "", f" {plain(title)} "
    if not sort:
        return False
    forms = {sort, f"{sort}s", f"{sort}es", sort.removesuffix("s"), sort.removesuffix("es")}
    return any(f" {form} " in words for form in forms)
