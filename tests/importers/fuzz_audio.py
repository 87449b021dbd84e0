"""Damaged audio files of every format, read or refused: no crash, none slower than 5 s.

    python -m tests.importers.fuzz_audio [--count 2400] [--json]

Each is made from a valid, tagged file by one of several kinds of damage, half of them beyond the
header; the seed is fixed. The suite tries a sample (`test_damaged_files.py`), this script all.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import mutagen
import numpy as np
import soundfile
from mutagen import id3

from catalogue.errors import UnreadableFile
from importers.audio_tags import read

SEED = 21
SLOWEST_S = 5.0
"""What no file may take."""

HEADER = 2048
"""Bytes that count as the header: half of the damage is behind them."""

_KINDS = {
    ".mp3": ("MP3", "MPEG_LAYER_III"),
    ".flac": ("FLAC", "PCM_16"),
    ".ogg": ("OGG", "VORBIS"),
    ".opus": ("OGG", "OPUS"),
    ".wav": ("WAV", "PCM_16"),
    ".aiff": ("AIFF", "PCM_16"),
}
_DATA = Path(__file__).parent / "data"
FORMATS = (*_KINDS, ".m4a", ".wma")


@dataclass(frozen=True, slots=True)
class Damaged:
    """One file to try: how it was damaged, and its bytes."""

    suffix: str
    how: str
    deep: bool
    data: bytes


def valid_files(folder: Path) -> dict[str, bytes]:
    """A short tagged file of every format, with a picture where the format takes one."""
    made = {}
    noise = 0.1 * np.random.default_rng(SEED).standard_normal(3 * 16_000)
    for suffix in FORMATS:
        path = folder / f"valid{suffix}"
        if suffix in _KINDS:
            kind, coding = _KINDS[suffix]
            soundfile.write(path, noise, 16_000, format=kind, subtype=coding)
        else:
            shutil.copy(_DATA / f"silence{suffix}", path)
        _tag(path)
        assert read(path).recording.title == "Tide"
        made[suffix] = path.read_bytes()
        path.unlink()
    return made


def _tag(path: Path) -> None:
    audio = mutagen.File(path, easy=path.suffix == ".m4a")
    if path.suffix in {".mp3", ".wav", ".aiff"}:
        if audio.tags is None:
            audio.add_tags()
        for frame in (id3.TIT2, id3.TPE1, id3.TALB, id3.TCON):
            audio.tags.add(frame(encoding=3, text="Tide"))
        audio.tags.add(id3.APIC(encoding=0, mime="image/jpeg", type=3, desc="", data=b"\xff" * 900))
        audio.save()
        return
    names = ("Title", "Author") if path.suffix == ".wma" else ("title", "artist", "album", "genre")
    for name in names:
        audio[name] = "Tide"
    audio.save()


def damaged(valid: dict[str, bytes], count: int) -> Iterator[Damaged]:
    """So many damaged files, formats in turns, every second one beyond the header."""
    chance = random.Random(SEED)
    for number in range(count):
        suffix = FORMATS[number % len(FORMATS)]
        deep = number // len(FORMATS) % 2 == 1
        data = bytearray(valid[suffix])
        first = min(HEADER, len(data) // 2) if deep else 0
        last = len(data) if deep else min(HEADER, len(data))
        how = chance.choice(list(_DAMAGES))
        yield Damaged(suffix, how, deep, bytes(_DAMAGES[how](data, first, last, chance)))


def _cut(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    return data[: chance.randrange(first, last)]


def _flipped(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    for _ in range(chance.choice((1, 3, 20, 200))):
        data[chance.randrange(first, last)] ^= 1 << chance.randrange(8)
    return data


def _zeroed(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    at = chance.randrange(first, last)
    size = min(chance.choice((4, 64, 4096)), len(data) - at)
    data[at : at + size] = bytes(size)
    return data


def _blown_up(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    """Four bytes of ones, where they are a length one beyond all measure."""
    at = chance.randrange(first, max(first + 1, last - 4))
    data[at : at + 4] = chance.choice((b"\xff\xff\xff\xff", b"\x7f\xff\xff\xff", b"\0\0\0\x01"))
    return data


def _filled(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    at = chance.randrange(first, last)
    data[at:at] = chance.randbytes(chance.choice((1, 7, 1000)))
    return data


def _lost(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    at = chance.randrange(first, last)
    del data[at : at + chance.choice((1, 16, 2000))]
    return data


def _twice(data: bytearray, first: int, last: int, chance: random.Random) -> bytearray:
    """A piece repeated over and over, as a reading head stuck on a disc."""
    at = chance.randrange(first, last)
    return data[:at] + data[at : at + 64] * 300 + data[at + 64 :]


_DAMAGES = {
    "cut": _cut, "flipped bits": _flipped, "zeros": _zeroed, "a length blown up": _blown_up,
    "bytes put in": _filled, "bytes lost": _lost, "a piece repeated": _twice,
}  # fmt: skip


@dataclass(slots=True)
class Tried:
    """What came of trying: counts, and how long the slowest took."""

    files: int = 0
    deep: int = 0
    read: int = 0
    refused: int = 0
    slowest_s: float = 0.0


def try_all(folder: Path, count: int) -> Tried:
    """Read each; raises whatever is not a refusal, and AssertionError for a slow one."""
    tried = Tried()
    for number, one in enumerate(damaged(valid_files(folder), count)):
        path = folder / f"{number}{one.suffix}"
        path.write_bytes(one.data)
        started = time.perf_counter()
        try:
            assert read(path).recording.title
            tried.read += 1
        except UnreadableFile as problem:
            assert path.name in problem.message
            tried.refused += 1
        except Exception as problem:
            raise AssertionError(f"{one.suffix}, {one.how}, number {number}") from problem
        spent = time.perf_counter() - started
        assert spent < SLOWEST_S, f"{one.suffix}, {one.how}, number {number}: {spent:.1f} s"
        tried.slowest_s = max(tried.slowest_s, spent)
        tried.files += 1
        tried.deep += one.deep
        path.unlink()
    return tried


def main() -> None:
    """Try them all, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=2400)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tried = try_all(Path(folder), options.count)
    print(f"{tried.files:,} damaged files, {tried.deep:,} of them beyond the header: "
          f"{tried.read:,} read, {tried.refused:,} refused, the slowest in "
          f"{tried.slowest_s:.2f} s.")  # fmt: skip
    if options.json:
        print(
            json.dumps(
                {
                    "files": tried.files,
                    "beyond_header": tried.deep,
                    "read": tried.read,
                    "refused": tried.refused,
                    "slowest_s": round(tried.slowest_s, 3),
                }
            )
        )


if __name__ == "__main__":
    main()
