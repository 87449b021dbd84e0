"""Tiny audio files with tags, and a store for each test."""

from __future__ import annotations

import shutil
import zlib
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
import soundfile

from catalogue import turns
from catalogue.store import Store

DATA = Path(__file__).parent / "data"
FORMATS = {
    ".mp3": ("MP3", "MPEG_LAYER_III"),
    ".flac": ("FLAC", "PCM_16"),
    ".ogg": ("OGG", "VORBIS"),
    ".opus": ("OGG", "OPUS"),
    ".wav": ("WAV", "PCM_16"),
    ".aiff": ("AIFF", "PCM_16"),
}

Tone = Callable[..., Path]


@pytest.fixture(autouse=True)
def whole_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    """However slow the machine is that runs the tests."""
    for held in ("_LONGEST_HELD_S", "_LONGEST_BESIDE_DESKS_S"):
        monkeypatch.setattr(turns, held, 60.0)
    monkeypatch.setattr(turns, "_GIVES_WAY_S", 0.0)


@pytest.fixture
def now() -> datetime:
    return datetime(2026, 3, 14, 19, 30)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    folder = tmp_path / "station"
    folder.mkdir()
    store = Store(folder / "asheard.db")
    yield store
    store.close()


@pytest.fixture
def tone(tmp_path: Path) -> Tone:
    """Make an audio file without tags: `tone("Artist/Album/01 Title.mp3", seconds=2)`."""

    def make(name: str, seconds: float = 1.0) -> Path:
        path = tmp_path / "music" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        suffix = path.suffix.lower()
        if suffix in {".m4a", ".wma"}:
            shutil.copy(DATA / f"silence{suffix}", path)
            return path
        kind, coding = FORMATS[suffix]
        rate = 16_000
        t = np.arange(int(seconds * rate)) / rate
        # Each name has a sound of its own, as files have: what sounds alike is one file twice.
        pitch = 200 + 4 * (zlib.crc32(name.encode()) % 500)
        sound = 0.1 * np.sin(2 * np.pi * pitch * t)
        soundfile.write(path, sound, rate, format=kind, subtype=coding)
        return path

    return make


@pytest.fixture
def music(tmp_path: Path) -> Path:
    folder = tmp_path / "music"
    folder.mkdir(exist_ok=True)
    return folder


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str, str | bytes], Path]:
    """Write a list into a file: `written("shelf.csv", "Shelf mark;Title\\n…")`."""

    def write(name: str, content: str | bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write
