"""A short piece of music for a track.

The tune comes from the song, the playing from the artist: two artists' records of one
song have the same tune in another key, at another tempo, on other instruments.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass

import numpy as np

from sample_library.recipe.instruments import TIMBRES, Samples, beat, note
from sample_library.recipe.songbook import Track
from sample_library.recipe.styles import Style, style_of
from sample_library.recipe.tables import chance

MAJOR = (0, 2, 4, 5, 7, 9, 11)
MINOR = (0, 2, 3, 5, 7, 8, 10)
# Chords by their step in the scale, one for each bar.
PROGRESSIONS = (
    (0, 3, 4, 0), (0, 5, 3, 4), (0, 4, 5, 3), (0, 1, 4, 0), (0, 3, 0, 4), (5, 3, 0, 4),
)  # fmt: skip
# Lengths of the notes in a bar, in half beats, for bars of four and of three beats.
RHYTHMS = {
    4: ((2, 2, 2, 2), (3, 1, 2, 2), (2, 1, 1, 4), (4, 2, 2), (1, 1, 2, 3, 1), (3, 3, 2)),
    3: ((2, 2, 2), (4, 2), (3, 1, 2), (2, 1, 1, 2)),
}
THREE_BEATS = re.compile(r"waltz|valse|walc|menuetto|ワルツ", re.IGNORECASE)
ENDING = 0.7
# Up to these years records sound as old ones do: (last year, lowest Hz, highest Hz, crackle).
AGES = ((1949, 220, 3600, 0.05), (1963, 90, 6500, 0.012))
LEVELS = {"lead": 0.42, "chords": 0.10, "bass": 0.34, "beats": 0.34}
PEAK = 0.8


@dataclass(frozen=True)
class Tune:
    """``bars`` hold (step in the scale, length in half beats) for each note."""

    beats_in_bar: int
    scale: tuple[int, ...]
    chords: tuple[int, ...]
    bars: tuple[tuple[tuple[int, int], ...], ...]


def tune_of(track: Track) -> Tune:
    """The tune of a song: the same whoever sings it, bracketed versions too."""
    song = re.sub(r" \([^)]*\)$", "", track.title)
    rng = chance(f"tune {song} {track.composer}")
    beats = 3 if THREE_BEATS.search(song) else 4
    chords = rng.choice(PROGRESSIONS)
    rhythms = rng.sample(RHYTHMS[beats], 2)
    step = rng.choice((2, 4, 7))
    bars = []
    for number, chord in enumerate(chords):
        notes = []
        for order, length in enumerate(rhythms[1 if number == 2 else 0]):
            if order == 0:
                step = _nearest_chord_step(step, chord)
            else:
                step = min(9, max(-2, step + rng.choice((-2, -1, -1, 1, 1, 2))))
            notes.append((step, length))
        bars.append(tuple(notes))
    scale = MINOR if rng.random() < 0.35 or " minor" in song else MAJOR
    return Tune(beats, scale, chords, tuple(bars))


def _nearest_chord_step(step: int, chord: int) -> int:
    steps = [chord + third + octave for third in (0, 2, 4) for octave in (-7, 0, 7)]
    return min(steps, key=lambda candidate: abs(candidate - step))


def length_of_piece(track: Track, about: float) -> tuple[int, float]:
    """Bars, and seconds with the ending, of a piece about so many seconds long."""
    bar = tune_of(track).beats_in_bar * 60 / track.tempo
    bars = max(1, round((about - ENDING) / bar))
    return bars, bars * bar + ENDING


def compose(track: Track, about: float, rate: int) -> Samples:
    """Mono samples of a piece about so many seconds long, exactly at the track's tempo."""
    tune, style = tune_of(track), style_of(track)
    rng = chance(f"playing {track.artist} {track.title}")
    bars, seconds = length_of_piece(track, about)
    key = 57 + rng.randint(-4, 5)
    band = _Band(tune, style, key, 60 / track.tempo, rate, np.zeros(int(seconds * rate)))
    for bar in range(bars):
        band.play_bar(bar, rng)
    return _aged(_with_ending(band.sound, rate), track.year, rate)


@dataclass
class _Band:
    """Plays bar after bar into ``sound``. ``key`` is a MIDI note number, ``beat`` in seconds."""

    tune: Tune
    style: Style
    key: int
    beat: float
    rate: int
    sound: Samples

    def play_bar(self, bar: int, rng: random.Random) -> None:
        chord = self.tune.chords[bar % len(self.tune.chords)]
        start = bar * self.tune.beats_in_bar * 2
        at = start
        for step, length in self.tune.bars[bar % len(self.tune.bars)]:
            self._play(self.style.lead, step + 7, at, length, LEVELS["lead"] * rng.uniform(0.9, 1))
            at += length
        for half in self._struck(self.style.chord_pattern):
            for third in (0, 2, 4):
                self._play(self.style.chords, chord + third, start + half, 2, LEVELS["chords"])
        for order, half in enumerate(self._struck(self.style.bass_pattern)):
            step = chord - 7 + (4 if order % 2 and chord < 4 else 0)
            self._play(self.style.bass, step - 7, start + half, 2, LEVELS["bass"])
        for kind, pattern in self.style.beats:
            for half in self._struck(pattern):
                self._mix(LEVELS["beats"] * beat(kind, self.rate), start + half)

    def _struck(self, pattern: str) -> list[int]:
        halves = 2 * self.tune.beats_in_bar
        if halves == 6 and pattern == "..x...x.":
            pattern = "..x.x."
        elif halves == 6:
            pattern = pattern[:6]
        return [half for half, sign in enumerate(pattern) if sign == "x"]

    def _play(self, instrument: str, step: int, half: int, length: int, level: float) -> None:
        octave, degree = divmod(step, 7)
        midi = self.key + 12 * octave + self.tune.scale[degree]
        hertz = 440 * 2 ** ((midi - 69) / 12)
        seconds = length * self.beat / 2 * 0.95
        self._mix(level * note(TIMBRES[instrument], hertz, seconds, self.rate), half)

    def _mix(self, samples: Samples, half: int) -> None:
        late = self.style.swing if half % 2 else 0.0
        at = int((half / 2 + late) * self.beat * self.rate)
        room = self.sound[at : at + samples.size]
        room += samples[: room.size]


def _with_ending(sound: Samples, rate: int) -> Samples:
    """A little echo, so that the last note does not stop dead, and a fade."""
    wet = sound.copy()
    for delay, gain in ((0.031, 0.22), (0.047, 0.18), (0.083, 0.12)):
        shift = int(delay * rate)
        wet[shift:] += gain * sound[:-shift]
    fade = int(0.4 * rate)
    wet[-fade:] *= np.linspace(1, 0, fade)
    return wet


def _aged(sound: Samples, year: int, rate: int) -> Samples:
    """Old records: a narrow band and crackle. Then the level is set for all."""
    for last_year, lowest, highest, crackle in AGES:
        if year <= last_year:
            spectrum = np.fft.rfft(sound)
            frequency = np.fft.rfftfreq(sound.size, 1 / rate)
            spectrum[(frequency < lowest) | (frequency > highest)] *= 0.03
            sound = np.fft.irfft(spectrum, sound.size)
            rng = np.random.default_rng(year)
            clicks = rng.random(sound.size) < 12 / rate
            sound = sound + crackle * (clicks * rng.uniform(-3, 3, sound.size))
            sound = sound + crackle * 0.1 * rng.uniform(-1, 1, sound.size)
            break
    sound = np.tanh(1.2 * sound / np.percentile(np.abs(sound), 99.5))
    levelled: Samples = PEAK * sound / np.max(np.abs(sound))
    return levelled
