"""Audio files to entries. `raw_tags` beside it also knows mutagen; nothing else does.

A file is known by what is in it, not by its name: a text called "song.mp3" is refused.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import date
from pathlib import Path, PurePath
from typing import BinaryIO

import mutagen
from mutagen.aac import AAC
from mutagen.aiff import AIFF
from mutagen.apev2 import APEv2
from mutagen.asf import ASF
from mutagen.flac import FLAC
from mutagen.id3 import ID3, TCON
from mutagen.mp3 import MP3
from mutagen.mp4 import MP4
from mutagen.oggopus import OggOpus
from mutagen.oggvorbis import OggVorbis
from mutagen.wave import WAVE

from catalogue.errors import UnreadableFile
from catalogue.records import Carrier
from importers import tag_names, values
from importers.audio_bytes import looks_like, signature
from importers.audio_digest import digest
from importers.audio_wholeness import Promise, missing
from importers.cleaning import clean, recording_of
from importers.cleaning_titles import PLACEHOLDER, is_various
from importers.entries import Copy, Draft, Entry
from importers.path_names import contradiction, said_by_path
from importers.raw_tags import raw_tags
from importers.words import plain

EXTENSIONS = frozenset({
    ".mp3", ".flac", ".ogg", ".oga", ".opus", ".m4a", ".m4b", ".mp4", ".aac", ".wav", ".wave",
    ".aif", ".aiff", ".aifc", ".wma", ".ape", ".wv", ".mpc",
})  # fmt: skip
"""Names of files that are looked into; others (pictures, texts) are left alone."""

_KIND_OF = {
    ".mp3": "MP3", ".flac": "FLAC", ".ogg": "Ogg", ".oga": "Ogg", ".opus": "Opus", ".m4a": "MP4",
    ".m4b": "MP4", ".mp4": "MP4", ".wav": "WAV", ".wave": "WAV", ".aif": "AIFF", ".aiff": "AIFF",
    ".aifc": "AIFF", ".wma": "WMA",
}  # fmt: skip
_KIND = {
    "MP3": "MP3", "EasyMP3": "MP3", "FLAC": "FLAC", "OggFLAC": "Ogg", "OggVorbis": "Ogg",
    "OggOpus": "Opus", "OggSpeex": "Ogg", "MP4": "MP4", "WAVE": "WAV", "AIFF": "AIFF", "ASF": "WMA",
}  # fmt: skip
_BY_SIGNATURE = {
    "FLAC": FLAC, "WAV": WAVE, "AIFF": AIFF, "MP4": MP4, "WMA": ASF, "Ogg": OggVorbis,
    "Opus": OggOpus,
}  # fmt: skip
"""Formats that begin unmistakably, whatever the file is called; mutagen tells the others."""

_LOWERED = {
    id(table): [(name.lower(), field) for field, names in table.items() for name in names]
    for table in (tag_names.ID3, tag_names.COMMENTS, tag_names.MP4, tag_names.ASF,
                  tag_names.RIFF_INFO)
}  # fmt: skip
"""The tables of `tag_names` turned round: each name in small letters, and the field it means."""

_GENRES = frozenset(plain(genre) for genre in TCON.GENRES)
"""The kinds of music of ID3v1, and those added to them since."""

_BUFFER = 32 * 1024
"""Bytes read at once: tags are read in many small pieces."""

_OLD_TAG_LETTERS = 30
"""ID3v1 keeps this many letters of a title or a name; a text as long is likely cut off."""


def walk(folder: Path, unread: list[str] | None = None) -> Iterator[str]:
    """The paths of all files of a folder and its folders, in order.

    Hidden ones and loops of links are left out. Folders that cannot be read go into `unread`.
    """
    seen: set[str] = set()

    def failed(problem: OSError) -> None:
        if unread is not None and problem.filename is not None:
            unread.append(str(problem.filename))

    for where, folders, names in os.walk(folder, onerror=failed, followlinks=True):
        real = os.path.realpath(where)
        if real in seen:
            folders.clear()
            continue
        seen.add(real)
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if not name.startswith(".") and name not in {"Thumbs.db", "desktop.ini"}:
                yield os.path.join(where, name)  # noqa: PTH118 - a hundred thousand times


def is_audio(path: str | Path) -> bool:
    """Whether a file's name says that it is audio."""
    return os.path.splitext(path)[1].lower() in EXTENSIONS  # noqa: PTH122


def read(path: Path, root: Path | None = None) -> Entry:
    """What one audio file says, its path filling in where the tags are silent.

    `root` is the folder that is taken in: folders above it say nothing about the music. Raises
    UnreadableFile, with a sentence, for a file that is missing, empty, cut short, locked or not
    audio.
    """
    file, size, mtime = _opened(path)
    with file:
        audio, sound = _heard(file, size, path)
    raw = raw_tags(audio, path)
    inside = _inside(path, root)
    draft, came_from = _draft(audio, raw)
    by_path = said_by_path(inside)
    draft = clean(_with_path(draft, by_path))
    if not draft.get("title"):
        draft = draft.guess(title=path.stem).note(
            "the title is only the file’s name; write the true one"
        )
    if root is not None and (wrong := contradiction(inside, by_path, draft, _GENRES)):
        draft = draft.note(wrong)
    recording, draft = recording_of(draft, date.today().year)
    length = float(getattr(audio.info, "length", 0) or 0)
    if length > 0:
        recording = replace(recording, length_s=round(length, 2))
    said, found = _KIND_OF.get(path.suffix.lower()), _KIND.get(type(audio).__name__)
    if said and found and said != found and {said, found} != {"Ogg", "Opus"}:
        draft = draft.note(f"the name says {said}, but the file is {found}; rename it")
    copy = Copy(Carrier.FILE, path=str(path), size=size, mtime=mtime, audio=sound)
    return Entry(str(inside), raw, recording, copy, draft.guessed, draft.notes, came_from,
                 values.gains(raw))  # fmt: skip


def _opened(path: Path) -> tuple[BinaryIO, int, float]:
    """The open file, its size in bytes and the time of its last change."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise UnreadableFile(f"{path.name} is no file that can be played. Take it away.")
        file = path.open("rb", _BUFFER)
    except PermissionError as problem:
        raise UnreadableFile(
            f"{path.name} may not be read by this user. Give the right to read it."
        ) from problem
    except OSError as problem:
        raise UnreadableFile(
            f"{path.name} cannot be read ({problem.strerror or problem}). Copy it again."
        ) from problem
    found = os.fstat(file.fileno())
    if found.st_size == 0:
        file.close()
        raise UnreadableFile(f"{path.name} is empty. Copy it again from where it came.")
    return file, found.st_size, found.st_mtime


def _heard(file: BinaryIO, size: int, path: Path) -> tuple[mutagen.FileType, str]:
    """The file as mutagen reads it, and the digest of its sound."""
    known = signature(file.read(64))
    try:
        audio = _read_by_mutagen(file, known, path)
    except Exception as problem:  # mutagen lets IndexError and others through, and MemoryError
        # where a damaged size asks for gigabytes: nothing of those was used.
        _refuse_if_cut(file, size, path, known, Promise())
        raise UnreadableFile(_not_audio(path)) from problem
    if audio is None:
        raise UnreadableFile(_not_audio(path))
    kind = _KIND.get(type(audio).__name__, "")
    _refuse_if_cut(file, size, path, kind, _promise(audio))
    if not getattr(audio.info, "length", 0):
        raise UnreadableFile(f"{path.name} has no sound in it. Copy it again from where it came.")
    return audio, digest(file, size, kind)


def _read_by_mutagen(file: BinaryIO, known: str, path: Path) -> mutagen.FileType | None:
    """By what the file begins with; an MP3 may begin with almost anything, so is tried first."""
    file.seek(0)
    if known in _BY_SIGNATURE:
        return _BY_SIGNATURE[known](file)
    if first := {".mp3": MP3, ".aac": _aac}.get(path.suffix.lower()):
        try:
            return first(file)
        except mutagen.MutagenError:
            file.seek(0)
    try:
        return mutagen.File(file)
    except mutagen.MutagenError:
        # Tags of an MP3 under another format's name: mutagen goes by the name.
        file.seek(0)
        if (found := MP3(file)).info.sketchy:
            raise
        return found


def _aac(file: BinaryIO) -> AAC:
    """With its tags, which are no part of the format: mutagen takes either, and not both."""
    audio = AAC(file)
    for tags in (ID3, APEv2):
        with suppress(mutagen.MutagenError):
            file.seek(0)
            audio.tags = tags(file)
    return audio


def _refuse_if_cut(file: BinaryIO, size: int, path: Path, kind: str, promised: Promise) -> None:
    if lost := missing(file, size, kind, promised):
        raise UnreadableFile(
            f"{path.name} is cut short: some {lost} % of it is missing. Copy it again from "
            "where it came."
        )


def _promise(audio: mutagen.FileType) -> Promise:
    """What the header of a file says about its size."""
    info = audio.info
    if isinstance(audio, FLAC):
        return Promise(samples=info.total_samples, block=info.max_blocksize)
    if isinstance(audio, WAVE | AIFF):
        return Promise(info.length * info.sample_rate * info.channels * info.bits_per_sample / 8)
    if isinstance(audio, MP3):
        return Promise(info.length * info.bitrate / 8)
    return Promise()


def _not_audio(path: Path) -> str:
    if what := looks_like(path):
        return f"{path.name} is not audio, whatever its name says: it looks like {what}."
    return f"{path.name} is not audio that can be played, or it is damaged. Copy it again."


def _draft(audio: mutagen.FileType, raw: dict[str, str]) -> tuple[Draft, dict[str, str]]:
    """Our fields from the format's names, the first name that says something, and which it was."""
    tags = audio.tags
    table = tag_names.COMMENTS
    if isinstance(tags, ID3):
        table = tag_names.ID3
    elif isinstance(audio, WAVE):
        table = tag_names.RIFF_INFO
    elif isinstance(audio, MP4):
        table = tag_names.MP4
    elif isinstance(audio, ASF):
        table = tag_names.ASF
    said = {name.lower(): name for name, text in raw.items() if text.strip("\0 ")}
    came_from: dict[str, str] = {}
    for name, field in _LOWERED[id(table)]:
        if name in said and field not in came_from:
            came_from[field] = said[name]
    fields = {field: raw[name] for field, name in came_from.items()}
    if fields.get("tempo", "").strip("\0 ") in {"0", "0.0"}:
        del fields["tempo"]
    draft = Draft(fields)
    if not isinstance(audio, FLAC) and getattr(tags, "version", (2,))[0] == 1:
        cut = {n for n in ("title", "artist") if len(draft.get(n)) >= _OLD_TAG_LETTERS}
        if cut:
            draft = replace(draft, guessed=draft.guessed | cut).note(
                f"the {' and the '.join(sorted(cut))} may be cut off after 30 letters"
            )
    return draft, came_from


def _with_path(draft: Draft, by_path: Mapping[str, str]) -> Draft:
    """The path's words in the place of missing or empty ones, marked as guessed."""
    silent = {
        name: text
        for name, text in by_path.items()
        if not draft.get(name).strip("\0 ") or _says_nothing(name, draft.get(name))
    }
    of_album = draft.get("album_artist")
    if "artist" in silent and of_album and not is_various(of_album):
        del silent["artist"]
    # A title tag with "artist - title" in it knows better than the folder.
    if "artist" in silent and "title" not in silent and " - " in draft.get("title"):
        del silent["artist"]
    return draft.guess(**silent)


def _says_nothing(name: str, text: str) -> bool:
    text = text.strip("\0 ")
    if name == "artist":
        return is_various(text) or text.lower() in {"unknown", "unknown artist", "artist"}
    return name == "title" and bool(PLACEHOLDER.fullmatch(text)) and not text.isdigit()


def _inside(path: Path, root: Path | None) -> PurePath:
    """The path below the folder taken in; without one, with two folders above the file."""
    if root is not None and str(path).startswith(above := str(root).rstrip(os.sep) + os.sep):
        return PurePath(str(path)[len(above) :])
    return (
        PurePath(*path.parts[-3:]) if path.parts[0] != path.parts[-3:][0] else PurePath(path.name)
    )
