"""What paths say where tags are silent, and where the two do not agree."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from mutagen import id3
from mutagen.flac import FLAC

from importers.audio_tags import read

Tone = Callable[..., Path]


@pytest.mark.parametrize(
    ("name", "artist", "more", "told"),
    [
        ("Ann Oke/Quays/01 Tide.flac", "Ada Sluice", {}, True),
        ("Ada Sluice/Quays/01 Tide.flac", "Ada Sluice", {}, False),
        ("Sluice, Ada/Quays/01 Tide.flac", "Ada Sluice", {}, False),
        ("Ada Sluice/Quays/CD 1/01 Tide.flac", "Ada Sluice feat. Ann Oke", {}, False),
        ("Ann Oke/Quays/01 Tide.flac", "Ada Sluice", {"albumartist": "Ann Oke"}, False),
        ("Various Artists/Quays/01 Tide.flac", "Ada Sluice", {}, False),
        ("Country/Quays/01 Tide.flac", "Ada Sluice", {}, False),
        ("Shanties/Quays/01 Tide.flac", "Ada Sluice", {"genre": "shanties"}, False),
        ("Incoming/2019/01 Tide.flac", "Ada Sluice", {}, False),
        ("Ann Oke/01 Tide.flac", "Ada Sluice", {}, False),
        ("Ann Oke/Quays/01 Tide.flac", "", {}, False),
    ],
)
def test_tags_that_contradict_the_folders(
    tone: Tone, music: Path, name: str, artist: str, more: dict[str, str], told: bool
) -> None:
    """The tag counts, and somebody is told; folders by kind of music name nobody."""
    path = tone(name)
    audio = FLAC(path)
    audio["title"] = "Tide"
    audio.update({"artist": artist, **more} if artist else more)
    audio.save()

    entry = read(path, music)

    assert told == any("its folders say “Ann Oke”" in note for note in entry.notes)
    assert not told or entry.recording.artist == "Ada Sluice"


@pytest.mark.parametrize(
    ("name", "title", "artist", "album"),
    [
        ("Ada Sluice/Low Water/03 My Lantern.mp3", "My Lantern", "Ada Sluice", "Low Water"),
        ("Ada Sluice/Low Water/CD 2/2-03 My Lantern.mp3", "My Lantern", "Ada Sluice", "Low Water"),
        ("Ada Sluice - My Lantern.mp3", "My Lantern", "Ada Sluice", ""),
        ("03 - Ada Sluice - My Lantern.mp3", "My Lantern", "Ada Sluice", ""),
        ("Ada Sluice - Low Water - 03 - My Lantern.mp3", "My Lantern", "Ada Sluice", "Low Water"),
        ("Ada_Sluice_-_My_Lantern.mp3", "My Lantern", "Ada Sluice", ""),
        ("Various Artists/Quay Hits/03 Ada Sluice - My Lantern.mp3", "My Lantern", "Ada Sluice",
         "Quay Hits"),
        ("Ada Sluice - Low Water/03. My Lantern.mp3", "My Lantern", "Ada Sluice", "Low Water"),
        ("Unsorted/My Lantern.mp3", "My Lantern", "", ""),
        ("99 Herons.mp3", "99 Herons", "", ""),
        ("09 Herons.mp3", "Herons", "", ""),
        ("Music/Ada Sluice/1-2-3.mp3", "1-2-3", "Ada Sluice", ""),
    ],
)  # fmt: skip
def test_without_tags_the_path_is_read(
    tone: Tone, music: Path, name: str, title: str, artist: str, album: str
) -> None:
    """Folders and names fill in, and what they fill in is marked as guessed."""
    entry = read(tone(name), music)

    recording = entry.recording
    assert (title, artist, album) == (recording.title, recording.artist, recording.album)
    assert "title" in entry.guessed
    assert ("artist" in entry.guessed) == bool(artist)


def test_tags_go_before_the_path(tone: Tone, music: Path) -> None:
    """A path only fills in what no tag says."""
    path = tone("Somebody/Something/01 Nothing.mp3")
    tags = id3.ID3()
    tags.add(id3.TIT2(encoding=3, text="My Lantern"))
    tags.save(path)

    entry = read(path, music)

    assert (entry.recording.title, entry.recording.artist) == ("My Lantern", "Somebody")
    assert "title" not in entry.guessed
    assert "artist" in entry.guessed


def test_folders_above_the_one_taken_in_say_nothing(tone: Tone, music: Path) -> None:
    """The folder given may lie anywhere; its own name is nobody's."""
    entry = read(tone("My Lantern.mp3"), music)

    assert entry.recording.artist == ""
    assert any("no artist" in note for note in entry.notes)
