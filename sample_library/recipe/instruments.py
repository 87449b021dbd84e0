"""Notes and beats made from sine waves and noise.

Every function returns mono float64 samples, at most about 1 in size. Frequencies are in
hertz, durations in seconds, ``rate`` in samples a second.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]


@dataclass(frozen=True)
class Timbre:
    """How an instrument sounds.

    ``partials`` are strengths of the harmonics from the first on. ``decay`` is the time in
    which a note fades to a third, 0 for one that is held. ``vibrato`` is in semitones.
    ``formants`` are (hertz, width) peaks that make a tone sound sung.
    """

    partials: tuple[float, ...]
    attack: float = 0.01
    decay: float = 0.0
    vibrato: float = 0.0
    detune: float = 0.0
    formants: tuple[tuple[float, float], ...] = ()


def _falling(count: int, slope: float, odd_only: bool = False) -> tuple[float, ...]:
    return tuple(
        0.0 if odd_only and number % 2 == 0 else number**-slope for number in range(1, count + 1)
    )


# Formants of a sung "ah", rounded from the vowel tables of Peterson and Barney,
# "Control methods used in a study of the vowels", JASA 24 (1952), given from memory.
AH_MAN = ((730.0, 110.0), (1090.0, 130.0), (2440.0, 200.0))
AH_WOMAN = ((850.0, 120.0), (1220.0, 150.0), (2810.0, 220.0))

TIMBRES = {
    "piano": Timbre(_falling(9, 1.4), attack=0.004, decay=0.45),
    "electric piano": Timbre((1, 0.1, 0.02, 0.25, 0, 0, 0.06), attack=0.004, decay=0.6),
    "organ": Timbre((1, 0.8, 0.5, 0.4, 0, 0.3, 0, 0.3), attack=0.03),
    "reed organ": Timbre(_falling(12, 0.9), attack=0.05, detune=0.04),
    "accordion": Timbre(_falling(12, 0.8, odd_only=True), attack=0.04, detune=0.12),
    "fiddle": Timbre(_falling(14, 0.9), attack=0.06, vibrato=0.25),
    "strings": Timbre(_falling(12, 1.1), attack=0.12, vibrato=0.12, detune=0.08),
    "cello": Timbre(_falling(12, 1.0), attack=0.09, vibrato=0.2),
    "clarinet": Timbre(_falling(11, 0.9, odd_only=True), attack=0.03, vibrato=0.06),
    "saxophone": Timbre((0.7, 1, 0.8, 0.6, 0.5, 0.35, 0.2, 0.1), attack=0.03, vibrato=0.2),
    "cornet": Timbre((0.8, 1, 0.9, 0.7, 0.5, 0.35, 0.25, 0.15), attack=0.03, vibrato=0.15),
    "euphonium": Timbre((1, 0.7, 0.4, 0.25, 0.1), attack=0.05, vibrato=0.1),
    "flute": Timbre((1, 0.3, 0.08), attack=0.05, vibrato=0.15),
    "whistle": Timbre((1, 0.05), attack=0.03, vibrato=0.1),
    "guitar": Timbre(_falling(12, 1.1), attack=0.003, decay=0.3),
    "banjo": Timbre(_falling(14, 0.7), attack=0.002, decay=0.12),
    "electric guitar": Timbre(_falling(16, 0.6), attack=0.005, decay=1.2, detune=0.05),
    "harp": Timbre(_falling(6, 1.8), attack=0.003, decay=0.5),
    "music box": Timbre((1, 0, 0.25, 0, 0, 0.15), attack=0.002, decay=0.5),
    "steel pan": Timbre((1, 0.6, 0.1, 0.25), attack=0.005, decay=0.35, vibrato=0.1),
    "synthesiser": Timbre(_falling(14, 1.0, odd_only=True), attack=0.01, detune=0.1),
    "glass": Timbre((1, 0, 0.4, 0, 0.2), attack=0.02, decay=0.8, detune=0.05),
    "koto": Timbre(_falling(10, 1.0), attack=0.002, decay=0.25, vibrato=0.15),
    "sitar": Timbre(_falling(16, 0.5), attack=0.004, decay=0.4, vibrato=0.2),
    "singing man": Timbre(_falling(22, 0.7), attack=0.07, vibrato=0.3, formants=AH_MAN),
    "singing woman": Timbre(_falling(14, 0.6), attack=0.07, vibrato=0.35, formants=AH_WOMAN),
    "choir": Timbre(
        _falling(18, 0.7), attack=0.12, vibrato=0.15, detune=0.2, formants=AH_MAN
    ),
    "plucked bass": Timbre(_falling(5, 1.5), attack=0.006, decay=0.35),
    "bass synthesiser": Timbre(_falling(9, 1.0), attack=0.006, decay=0.5),
    "tuba": Timbre((1, 0.6, 0.3, 0.12), attack=0.03, decay=0.8),
}  # fmt: skip


@lru_cache(maxsize=400)
def note(timbre: Timbre, hertz: float, duration: float, rate: int) -> Samples:
    """One note, fading out in its last 30 ms. Notes come again and again: do not write into it."""
    time = np.arange(int(duration * rate)) / rate
    wobble = timbre.vibrato * np.clip(time / 0.3 - 0.5, 0, 1) * np.sin(2 * np.pi * 5.4 * time)
    tones = (-timbre.detune, timbre.detune) if timbre.detune else (0.0,)
    sound = np.zeros_like(time)
    for shift in tones:
        phase = 2 * np.pi * np.cumsum(hertz * 2 ** ((wobble + shift) / 12)) / rate
        for number, strength in enumerate(timbre.partials, start=1):
            frequency = number * hertz
            if strength == 0.0 or frequency > 0.45 * rate:
                continue
            loud = strength * _formant_gain(timbre, frequency)
            fading = np.exp(-time * number**0.5 / timbre.decay) if timbre.decay else 1.0
            sound += loud * fading * np.sin(number * phase)
    sound *= np.minimum(1, time / timbre.attack)
    sound *= np.minimum(1, (time[-1] - time) / 0.03) if time.size else 1.0
    largest = np.max(np.abs(sound), initial=1e-9)
    finished: Samples = sound / largest
    return finished


def _formant_gain(timbre: Timbre, frequency: float) -> float:
    if not timbre.formants:
        return 1.0
    peaks = [1 / (1 + ((frequency - centre) / width) ** 2) for centre, width in timbre.formants]
    return 0.08 + sum(peaks)


Beat = Literal["kick", "snare", "brush", "hat", "clap", "stomp", "shaker", "block", "bell"]


def _noise(duration: float, rate: int, decay: float, brightness: int) -> Samples:
    """Fading noise; each step of brightness takes away more of the low end."""
    rng = np.random.default_rng(1908)
    sound = rng.uniform(-1, 1, int(duration * rate))
    for _ in range(brightness):
        sound = np.diff(sound, prepend=0.0) / 1.5
    return sound * np.exp(-np.arange(sound.size) / rate / decay)


def _thump(rate: int, start: float, end: float, decay: float) -> Samples:
    """A drum skin: a tone that falls from one pitch to another."""
    time = np.arange(int(0.25 * rate)) / rate
    pitch = end + (start - end) * np.exp(-time / 0.02)
    return np.sin(2 * np.pi * np.cumsum(pitch) / rate) * np.exp(-time / decay)


def _tick(rate: int, hertz: float, decay: float) -> Samples:
    time = np.arange(int(0.2 * rate)) / rate
    return np.sin(2 * np.pi * hertz * time) * np.exp(-time / decay)


def _snare(rate: int) -> Samples:
    sound = _noise(0.2, rate, 0.06, 0) * 0.7
    skin = _thump(rate, 280, 180, 0.06)[: sound.size]
    sound[: skin.size] += 0.5 * skin
    return sound


_BEATS: dict[Beat, Callable[[int], Samples]] = {
    "kick": lambda rate: _thump(rate, 160, 48, 0.09),
    "snare": _snare,
    "brush": lambda rate: 0.35 * _noise(0.18, rate, 0.07, 1),
    "hat": lambda rate: 0.3 * _noise(0.07, rate, 0.02, 2),
    "clap": lambda rate: 0.7 * _noise(0.15, rate, 0.035, 1),
    "stomp": lambda rate: _thump(rate, 110, 60, 0.12) + 0.2 * _noise(0.25, rate, 0.02, 0),
    "shaker": lambda rate: 0.25 * _noise(0.08, rate, 0.03, 2),
    "block": lambda rate: 0.5 * _tick(rate, 820, 0.03),
    "bell": lambda rate: 0.3 * _tick(rate, 1560, 0.12),
}


@cache
def beat(kind: Beat, rate: int) -> Samples:
    """One stroke on the drums. Strokes come again and again: do not write into it."""
    return _BEATS[kind](rate)
