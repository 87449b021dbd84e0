"""What the sound itself says: tempo, loudness, silence before and after, a fingerprint.

Needs the extra `audio`; its libraries are known here only, and loaded when they are needed.
Sources: loudness ITU-R BS.1770 through pyloudnorm; onset strength and autocorrelation through
librosa (McFee et al. 2015); the tempo's second reading and its tolerance after Gouyon et al. 2006.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import importlib
import importlib.util
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue.errors import BadInput, UnreadableFile
from catalogue.measures import FINGERPRINT, Measure

Sound = NDArray[np.float32]
"""Samples between -1 and 1, shape (frames, channels)."""

LONGEST_S = 30 * 60
"""Seconds that are listened to: a whole concert would fill the memory, and says no more."""

_RATE = 22_050
_HOP = 128
"""Samples a second, and between two values of onset strength, 5.8 ms apart."""

_TEMPO_S = 120
"""Seconds from the middle of a recording from which its tempo is told."""

SLOWEST, QUICKEST = 35.0, 260.0
"""Beats a minute that are looked for."""

_USUAL, _OCTAVES = 110.0, 1.2
"""Of half and double the one nearer to this tempo is said first, by a bell of so many octaves;
most songs lie near it (common practice, no source)."""

_COMB = 4
"""Multiples of a beat's length that must show too: a beat comes again and again."""

_FEWEST = 2
"""Beats that must fit into a recording for its tempo to be told."""

_BEATS_S = 2.5
"""Seconds of sound below which no tempo is told."""

QUIET_DBFS = -50.0
"""Below this a hundredth of a second is silence (common practice, no source)."""

_BLOCK_S = 0.01
_SHORTEST_S = 0.4
"""BS.1770 listens in blocks of 400 ms."""

_PRINTED_S = 120
"""Seconds that a fingerprint is made of, as is usual for Chromaprint."""


def measure(path: Path) -> list[Measure]:
    """All that can be measured of one file.

    Raises UnreadableFile where it cannot be decoded, BadInput without the extra `audio`.
    """
    sound, rate = decoded(path)
    found = [loudness(sound, rate), *silences(sound, rate), tempo(sound, rate),
             fingerprint(sound, rate)]  # fmt: skip
    return [one for one in found if one is not None]


def decoded(path: Path) -> tuple[Sound, int]:
    """(samples, samples a second) of a file. Raises as `measure` does."""
    soundfile = _library("soundfile")
    try:
        with soundfile.SoundFile(path) as file:
            sound = file.read(min(file.frames, LONGEST_S * file.samplerate), dtype="float32",
                              always_2d=True)  # fmt: skip
            rate = int(file.samplerate)
    except (RuntimeError, OSError, ValueError, TypeError) as problem:
        raise UnreadableFile(
            f"{path.name} cannot be decoded here, so it cannot be measured."
        ) from problem
    if not len(sound):
        raise UnreadableFile(f"{path.name} has no sound in it, so it cannot be measured.")
    return np.nan_to_num(sound), rate


_LIBRARIES = ("soundfile", "pyloudnorm", "librosa")


def can() -> bool:
    """Whether the extra `audio` is installed; nothing of it is loaded, which takes seconds."""
    return all(importlib.util.find_spec(name) for name in _LIBRARIES)


def require() -> None:
    """Raise BadInput, with what to do, unless the extra `audio` is installed."""
    for name in _LIBRARIES:
        _library(name)


@cache
def _library(name: str) -> Any:
    try:
        return importlib.import_module(name)
    except (ImportError, OSError) as problem:
        raise BadInput(
            "Measuring needs libraries that are not installed here. Install them with: "
            "pip install 'asheard[audio]'"
        ) from problem


def loudness(sound: Sound, rate: int) -> Measure | None:
    """Integrated loudness in LUFS to ITU-R BS.1770; None for silence and for less than 0.4 s."""
    if len(sound) <= _SHORTEST_S * rate:
        return None
    channels = sound[:, :5]  # more than five are not weighted by the standard
    with np.errstate(divide="ignore", invalid="ignore"):
        lufs = float(_library("pyloudnorm").Meter(rate).integrated_loudness(channels))
    if not np.isfinite(lufs):
        return None
    return Measure("loudness", f"{lufs:.2f}", how="ITU-R BS.1770, pyloudnorm")


def silences(sound: Sound, rate: int) -> list[Measure]:
    """Seconds of silence before and after the sound, to a hundredth."""
    size = max(1, round(_BLOCK_S * rate))
    blocks = len(sound) // size
    loud = np.abs(sound[: blocks * size]).max(axis=1).reshape(blocks, size).max(axis=1)
    heard = np.flatnonzero(loud > 10 ** (QUIET_DBFS / 20))
    before, after = (heard[0], blocks - 1 - heard[-1]) if len(heard) else (blocks, 0)
    how = f"peaks below {QUIET_DBFS:g} dBFS"
    return [
        Measure("silence_before", f"{before * _BLOCK_S:.2f}", how=how),
        Measure("silence_after", f"{after * _BLOCK_S:.2f}", how=how),
    ]


def tempo(sound: Sound, rate: int) -> Measure | None:
    """Beats a minute, with its half or double as the second reading; None where no beat is heard.

    The confidence is how well the onsets repeat after one beat, from 0 to 1.
    """
    librosa = _library("librosa")
    middle, half = len(sound) // 2, _TEMPO_S * rate // 2
    mono = sound[max(0, middle - half) : middle + half].mean(axis=1)
    if len(mono) < _BEATS_S * rate or np.abs(mono).max() < 1e-4:
        return None
    mono = librosa.resample(mono, orig_sr=rate, target_sr=_RATE)
    onsets = librosa.onset.onset_strength(y=mono, sr=_RATE, hop_length=_HOP, n_fft=1024)
    repeats = librosa.autocorrelate(onsets - onsets.mean())
    if repeats[0] <= 0:
        return None
    repeats = repeats / repeats[0]
    per_minute = 60.0 * _RATE / _HOP
    lags = np.arange(int(per_minute / QUICKEST), int(per_minute / SLOWEST) + 2)
    lags = lags[(lags + 1) * _FEWEST + 2 <= len(repeats)]
    if not len(lags):
        return None
    combed = np.array([_comb(repeats, int(lag)) for lag in lags])
    speeds = per_minute / lags
    bell = np.exp(-0.5 * (np.log2(speeds / _USUAL) / _OCTAVES) ** 2)
    best = int(np.argmax(combed * bell))
    confidence = float(np.clip(repeats[lags[best]], 0, 1))
    if combed[best] <= 0:
        return None
    bpm = per_minute / _refined(repeats, int(lags[best]))
    others = {speed: _strength(combed, speeds, speed) for speed in (bpm * 2, bpm / 2)}
    other = max(others, key=lambda speed: others[speed])
    return Measure("tempo", f"{bpm:.1f}", round(other, 1), round(confidence, 3),
                   "onsets that repeat, librosa")  # fmt: skip


def _comb(repeats: NDArray[Any], lag: int) -> float:
    """How well onsets repeat after one beat, and after two, three and four, with room for
    rounding. The first counts as much as all: half a beat's length shows only after two."""
    fitting = range(1, min(_COMB, (len(repeats) - 2) // (lag + 1)) + 1)
    heights = [repeats[n * lag - n : n * lag + n + 1].max() for n in fitting]
    return float((heights[0] + np.mean(heights)) / 2)


def _refined(repeats: NDArray[Any], lag: int) -> float:
    """The beat's length between two lags, from the farthest multiple that still shows."""
    exact = float(lag)
    for n in range(1, _COMB + 1):
        at = round(n * exact)
        if at + 3 >= len(repeats):
            break
        near = np.arange(max(1, at - 2), min(len(repeats) - 1, at + 3))
        peak = int(near[np.argmax(repeats[near])])
        before, top, after = repeats[peak - 1 : peak + 2]
        bend = before - 2 * top + after
        shift = 0.5 * (before - after) / bend if bend < 0 else 0.0
        exact = (peak + float(np.clip(shift, -0.5, 0.5))) / n
    return exact


def _strength(combed: NDArray[Any], speeds: NDArray[Any], speed: float) -> float:
    if not SLOWEST / 1.1 <= speed <= QUICKEST * 1.1:
        return -1.0
    return float(combed[int(np.argmin(np.abs(speeds - speed)))])


@cache
def _chromaprint() -> ctypes.CDLL | None:
    """The Chromaprint library, where the machine has it."""
    name = ctypes.util.find_library("chromaprint")
    if not name:
        return None
    try:
        library = ctypes.CDLL(name)
        library.chromaprint_new.restype = ctypes.c_void_p
    except (OSError, AttributeError):
        return None
    return library


def fingerprint(sound: Sound, rate: int) -> Measure | None:
    """The Chromaprint fingerprint, made here and compared with nothing outside; None without it."""
    library = _chromaprint()
    if library is None:
        return None
    part = np.ascontiguousarray(
        (np.clip(sound[: _PRINTED_S * rate, :2], -1, 1) * 32767).astype("<i2")
    )
    context = ctypes.c_void_p(library.chromaprint_new(1))
    text = ctypes.c_char_p()
    try:
        made = (
            library.chromaprint_start(context, rate, part.shape[1])
            and library.chromaprint_feed(context, part.ctypes.data_as(ctypes.c_void_p), part.size)
            and library.chromaprint_finish(context)
            and library.chromaprint_get_fingerprint(context, ctypes.byref(text))
        )
        value = (text.value or b"").decode("ascii") if made else ""
        if made:
            library.chromaprint_dealloc(text)
    finally:
        library.chromaprint_free(context)
    return Measure(FINGERPRINT, value, how="Chromaprint") if value else None
