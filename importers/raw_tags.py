"""The tags of an audio file as they stand: what is kept and shown, whatever is made of it."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import mutagen
from mutagen.apev2 import APEv2
from mutagen.flac import FLAC
from mutagen.id3 import ID3, TCON, ID3TimeStamp
from mutagen.mp4 import MP4FreeForm
from mutagen.ogg import OggFileType
from mutagen.wave import WAVE

from importers import tag_names
from importers.audio_bytes import comment_bytes, riff_info
from importers.cleaning_text import LOST
from importers.entries import MANY


def raw_tags(audio: mutagen.FileType, path: Path) -> dict[str, str]:
    """The tags as the file has them, names as its format has them; pictures are left out."""
    tags = audio.tags
    if isinstance(tags, ID3):
        raw = _raw_id3(tags)
    elif isinstance(tags, APEv2):
        raw = {n.lower(): str(v).replace("\0", MANY) for n, v in tags.items() if not v.kind & 1}
    else:
        raw = {}
        for name, value in _several(audio):
            texts = [_text(v) for v in (value if isinstance(value, list) else [value])]
            if said := MANY.join(text for text in texts if text):
                raw[str(name)] = said
    if isinstance(audio, WAVE) and not raw:
        return riff_info(path)
    if any(LOST in text for text in raw.values()):
        raw = {n: comment_bytes(path, n, t) if LOST in t else t for n, t in raw.items()}
    return raw


def _several(audio: mutagen.FileType) -> Iterable[tuple[str, object]]:
    """The names of tags, and all values of each; Vorbis comments without their pictures."""
    if not isinstance(audio, FLAC | OggFileType):
        return (audio.tags or {}).items()
    said: dict[str, list[str]] = {}
    for name, text in audio.tags or ():  # asked for by name, it goes through all of them for each
        if (lower := name.lower()) not in tag_names.PICTURES:
            said.setdefault(lower, []).append(text)
    return said.items()


def _raw_id3(tags: ID3) -> dict[str, str]:
    raw: dict[str, str] = {}
    for key, frame in tags.items():
        if hasattr(frame, "people"):
            for role, name in frame.people:
                raw[f"{frame.FrameID}:{role}"] = str(name)
        elif isinstance(frame, TCON):
            raw[key] = MANY.join(frame.genres)  # numbers of ID3v1 as the words they stand for
        elif key.startswith("RVA2:"):
            raw[key] = f"{frame.gain:+.2f} dB"
        elif key.startswith(("T", "MV", "COMM")) and hasattr(frame, "text"):
            raw[key] = MANY.join(
                t.text if isinstance(t, ID3TimeStamp) else str(t) for t in frame.text
            ) if isinstance(frame.text, list) else str(frame.text)  # fmt: skip
    return raw


def _text(value: object) -> str:
    """One value of a tag as text; numbers out of a total as "3/12", pictures as nothing."""
    if isinstance(value, MP4FreeForm):
        return bytes(value).decode("utf-8", "replace")
    if isinstance(value, tuple):
        return "/".join(str(part) for part in value if part)
    if isinstance(value, bool):
        return "1" if value else ""
    if isinstance(value, bytes):
        return ""
    if isinstance(value, str | int | float):
        return str(value)
    inner = getattr(value, "value", "")  # attributes of ASF
    return str(inner) if isinstance(inner, str | int) else ""
