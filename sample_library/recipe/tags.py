"""Writes tags: ID3 2.3 and 2.4, Vorbis comments (Ogg Vorbis, Opus, FLAC), ID3 inside WAV."""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from pathlib import Path

from mutagen.flac import FLAC
from mutagen.id3 import (
    ID3,
    TALB,
    TBPM,
    TCOM,
    TCON,
    TDRC,
    TIT2,
    TLAN,
    TPE1,
    TPE2,
    TPE3,
    TPUB,
    TRCK,
    TXXX,
    delete,
)
from mutagen.ogg import OggPage
from mutagen.oggopus import OggOpus
from mutagen.oggvorbis import OggVorbis
from mutagen.wave import WAVE

from sample_library.recipe.songbook import Track

# ISO 639-2 codes, the bibliographic set, as ID3 2.4 wants them in TLAN (id3.org, section 4.2.3).
LANGUAGE_CODES = {
    "English": "eng", "Welsh": "wel", "Scots": "sco", "French": "fre", "German": "ger",
    "Italian": "ita", "Portuguese": "por", "Polish": "pol", "Greek": "gre", "Ukrainian": "ukr",
    "Japanese": "jpn", "Danish": "dan", "Spanish": "spa", "Hindi": "hin",
}  # fmt: skip


@dataclass(frozen=True)
class AudioTags:
    """What the tags of one file say, as text. An empty field is left out.

    ``artist`` may hold several values, separated by a line break, where a format allows it.
    """

    title: str = ""
    artist: str = ""
    album: str = ""
    album_artist: str = ""
    track_number: str = ""
    year: str = ""
    genre: str = ""
    composer: str = ""
    conductor: str = ""
    soloist: str = ""
    tempo: str = ""
    language: str = ""
    label: str = ""


def full_tags(track: Track, album: str, album_artist: str, number: int, count: int) -> AudioTags:
    """Everything the songbook knows of a track."""
    return AudioTags(
        track.title, track.artist, album, album_artist, f"{number}/{count}", str(track.year),
        track.genre, track.composer, track.conductor, track.soloist, str(track.tempo),
        LANGUAGE_CODES.get(track.language, ""), track.label,
    )  # fmt: skip


def write_tags(path: Path, tags: AudioTags, id3_version: int = 4) -> None:
    """Write tags into a sound file. ``id3_version`` 3 or 4 is for MP3 and WAV; 1 is ID3 1 alone."""
    match path.suffix:
        case ".mp3":
            _write_id3(path, tags, id3_version)
        case ".wav":
            file = WAVE(path)
            file.add_tags()
            _fill_id3(file.tags, tags)
            if id3_version == 3:
                file.tags.update_to_v23()
            file.save(v2_version=id3_version)
        case ".flac":
            _write_comments(FLAC(path), tags)
        case ".ogg":
            _write_comments(OggVorbis(path), tags)
        case ".opus":
            _write_comments(OggOpus(path), tags)


def _write_id3(path: Path, tags: AudioTags, version: int) -> None:
    id3 = ID3()
    _fill_id3(id3, tags)
    if version == 3:
        id3.update_to_v23()
    id3.save(path, v1=2 if version == 1 else 0, v2_version=4 if version == 1 else version)
    if version == 1:
        delete(path, delete_v1=False)


def _fill_id3(id3: ID3, tags: AudioTags) -> None:
    frames = (
        (TIT2, tags.title), (TPE1, tags.artist), (TALB, tags.album), (TPE2, tags.album_artist),
        (TRCK, tags.track_number), (TDRC, tags.year), (TCON, tags.genre), (TCOM, tags.composer),
        (TPE3, tags.conductor), (TBPM, tags.tempo), (TLAN, tags.language), (TPUB, tags.label),
    )  # fmt: skip
    for frame, text in frames:
        if text:
            id3.add(frame(encoding=3, text=text.split("\n")))
    if tags.soloist:
        id3.add(TXXX(encoding=3, desc="SOLOIST", text=[tags.soloist]))


def _write_comments(file: FLAC | OggVorbis | OggOpus, tags: AudioTags) -> None:
    """Vorbis comments, with the field names of xiph.org's "Ogg Vorbis I" and common practice."""
    if file.tags is None:
        file.add_tags()
    file.tags.clear()
    comments = (
        ("TITLE", tags.title), ("ARTIST", tags.artist), ("ALBUM", tags.album),
        ("ALBUMARTIST", tags.album_artist), ("TRACKNUMBER", tags.track_number.split("/")[0]),
        ("DATE", tags.year), ("GENRE", tags.genre), ("COMPOSER", tags.composer),
        ("CONDUCTOR", tags.conductor), ("PERFORMER", tags.soloist), ("BPM", tags.tempo),
        ("LANGUAGE", tags.language), ("ORGANIZATION", tags.label),
    )  # fmt: skip
    for name, text in comments:
        if text:
            file.tags[name] = text.split("\n")
    file.save()


def fix_ogg_serial(path: Path, name: str) -> None:
    """Give an Ogg stream a serial number made from a name, in place of libsndfile's random one."""
    serial = zlib.crc32(name.encode())
    pages = []
    with path.open("rb") as file:
        while True:
            try:
                pages.append(OggPage(file))
            except EOFError:
                break
    for page in pages:
        page.serial = serial
    path.write_bytes(b"".join(page.write() for page in pages))


def misread_as_cp1252(text: str) -> str:
    """UTF-8 bytes taken for cp1252.

    >>> misread_as_cp1252("Größe")
    'GrÃ¶ÃŸe'
    """
    return text.encode("utf-8").decode("cp1252")


def misread_as_utf8(text: str) -> str:
    """cp1252 bytes taken for UTF-8: what cannot be read becomes a question-mark sign.

    >>> misread_as_utf8("Größe")
    'Gr��e'
    """
    return text.encode("cp1252").decode("utf-8", errors="replace")
