"""What is known of the record asked for, when another is to be offered in its place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from catalogue.records import Recording, Voice


class Pace(StrEnum):
    """What a caller says of the tempo."""

    SLOW = "slow"
    QUICK = "quick"
    UNKNOWN = "unknown"


SLOW_BELOW, QUICK_ABOVE = 90.0, 115.0
"""Beats a minute below which a record may be called slow and above which quick, in a sentence:
about *andante* and *allegro* on a metronome's scale (common practice, no source), with a gap for
those that are neither."""


@dataclass(frozen=True, slots=True)
class Basis:
    """What is known of the record asked for: the recording itself, or its artist, or only what
    the caller can say. `Basis()` is "you choose". `tempo` is in beats a minute, `length_s` in
    seconds, `mood` a plain word, gentle or lively. Every field may be unknown."""

    recording: Recording | None = None
    artist_id: int | None = None
    year: int | None = None
    tempo: float | None = None
    genre: str = ""
    language: str = ""
    voice: Voice = Voice.UNKNOWN
    occasion: str = ""
    pace: Pace = Pace.UNKNOWN
    mood: str = ""
    length_s: float | None = None

    @classmethod
    def of(cls, recording: Recording, occasion: str = "") -> Basis:
        """All that is known of a recording."""
        return cls(
            recording, recording.artist_id, recording.year, recording.tempo, recording.genre,
            recording.language, recording.voice, occasion, length_s=recording.length_s,
        )  # fmt: skip

    @property
    def tells_nothing(self) -> bool:
        """Whether nothing is known of the record at all, whatever it is for."""
        return replace(self, occasion="", length_s=None) == Basis()

    def with_said(self, said: Basis) -> Basis:
        """The same with what the caller has said: it counts where nothing surer is known, but for
        the time, the occasion, the pace and the mood, which are the caller's to say."""
        return replace(
            self,
            year=said.year or self.year,
            tempo=self.tempo or said.tempo,
            genre=self.genre or said.genre,
            language=self.language or said.language,
            voice=said.voice if self.voice is Voice.UNKNOWN else self.voice,
            occasion=said.occasion or self.occasion,
            pace=said.pace if said.pace is not Pace.UNKNOWN else self.pace,
            mood=said.mood or self.mood,
        )


def pace_of(tempo: float | None) -> Pace:
    """The word for a tempo in beats a minute; unknown for those in between.

    >>> pace_of(72), pace_of(100), pace_of(None)
    (<Pace.SLOW: 'slow'>, <Pace.UNKNOWN: 'unknown'>, <Pace.UNKNOWN: 'unknown'>)
    """
    if not tempo or SLOW_BELOW <= tempo <= QUICK_ABOVE:
        return Pace.UNKNOWN
    return Pace.SLOW if tempo < SLOW_BELOW else Pace.QUICK
