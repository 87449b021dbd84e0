"""Which tracks are on the drive, under which name, and how they become sound files."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import soundfile  # type: ignore[import-untyped]

from sample_library.recipe.composing import compose
from sample_library.recipe.songbook import FILE_KINDS, VARIOUS, Track, songbook
from sample_library.recipe.tables import chance
from sample_library.recipe.tags import AudioTags, fix_ogg_serial, full_tags, write_tags


@dataclass(frozen=True)
class Encoding:
    """How a kind of file is written. ``seconds``: shortest and longest piece, to keep it small.

    ``compression`` is libsndfile's scale, 0 for largest to 1 for smallest.
    """

    container: str
    subtype: str
    rate: int
    seconds: tuple[float, float]
    compression: float | None = None


ENCODINGS = {
    "mp3": Encoding("MP3", "MPEG_LAYER_III", 24000, (6.5, 10), 0.97),
    "ogg": Encoding("OGG", "VORBIS", 24000, (6.5, 10), 0.95),
    "opus": Encoding("OGG", "OPUS", 24000, (9, 15), 0.95),
    "flac": Encoding("FLAC", "PCM_16", 16000, (3, 4.8), 1.0),
    "wav": Encoding("WAV", "PCM_16", 11025, (3.5, 5.5)),
}
# Of a disc that is on the shelves too, its first song is on the drive; a compilation, or
# what is nowhere else, comes whole.
FILES_OF_A_DISC = 1
# A folder or file may not hold these on Windows; an underscore stands in.
NOT_IN_NAMES = re.compile(r'[<>:"/\\|?*\x00-\x1f]')
LONGEST_NAME = 60


@dataclass(frozen=True)
class AudioFile:
    """One sound file: ``path`` below the collection's folder, what it plays, what its tags say."""

    path: str
    track: Track
    tags: AudioTags | None
    id3_version: int = 4


def tagged_files() -> list[AudioFile]:
    """The files whose tags are full and right, in the order of the songbook."""
    return [*_tagged_files()]


def _tagged_files() -> Iterator[AudioFile]:
    for disc in songbook().discs:
        kinds = [carrier for carrier in disc.carriers if carrier in FILE_KINDS]
        whole = disc.artist == VARIOUS or len(kinds) == len(disc.carriers)
        taken = len(disc.tracks) if whole else FILES_OF_A_DISC
        for kind in kinds:
            for number, track in enumerate(disc.tracks[:taken], start=1):
                names = (disc.artist, disc.title, f"{number:02d} {track.title}")
                path = "/".join(["audio", *map(safe_name, names)]) + f".{kind}"
                tags = full_tags(track, disc.title, disc.artist, number, len(disc.tracks))
                yield AudioFile(path, track, tags, 3 if track.year < 1970 else 4)


def safe_name(name: str) -> str:
    """A name that every file system takes, not too long, without a dot or blank at its end.

    >>> safe_name('Kipper! (?)')
    'Kipper! (_)'
    """
    return NOT_IN_NAMES.sub("_", name)[:LONGEST_NAME].rstrip(". ") or "_"


def write_audio_file(folder: Path, file: AudioFile) -> None:
    """Compose, encode and tag one file below ``folder``."""
    kind = file.path.rpartition(".")[2]
    encoding = ENCODINGS[kind]
    about = chance(f"seconds {file.path}").uniform(*encoding.seconds)
    sound = compose(file.track, about, encoding.rate)
    path = folder / file.path
    path.parent.mkdir(parents=True, exist_ok=True)
    soundfile.write(
        os.fspath(path),
        sound,
        encoding.rate,
        subtype=encoding.subtype,
        format=encoding.container,
        compression_level=encoding.compression,
        bitrate_mode="VARIABLE" if kind == "mp3" else None,
    )
    if encoding.container == "OGG":
        fix_ogg_serial(path, file.path)
    if file.tags is not None:
        write_tags(path, file.tags, file.id3_version)
