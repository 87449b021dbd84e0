"""The digest of a file's sound: the same whatever its tags say, another for another sound."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import mutagen
import pytest
from mutagen.id3 import TIT2

from importers.audio_tags import read

Tone = Callable[..., Path]


@pytest.mark.parametrize(
    "name", ["a.mp3", "a.flac", "a.ogg", "a.opus", "a.wav", "a.aiff", "a.m4a", "a.wma"]
)
def test_the_sound_is_known_through_new_tags(tone: Tone, name: str, music: Path) -> None:
    """In every format tags of any length leave the sound's digest as it was; other sound does
    not."""

    def sound_of(path: Path) -> str:
        copy = read(path).copy
        assert copy is not None
        return copy.audio

    path = tone(name, seconds=3)
    before = sound_of(path)
    for words in ("Ebb", "A long title " * 900, ""):
        audio = mutagen.File(path, easy=path.suffix != ".wma")
        if audio.tags is None:
            audio.add_tags()
        if path.suffix in {".wav", ".aiff"}:
            audio.tags.add(TIT2(encoding=3, text=words))
        else:
            audio["title"] = words
        audio.save()
        assert before == sound_of(path)
    other = tone(f"other {name}", seconds=3)
    assert before
    assert (before == sound_of(other)) == (path.suffix in {".m4a", ".wma"})  # one sound for all
