"""What a file's own name and its folders say, where its tags say nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import PurePath

from importers.cleaning_names import turned_round
from importers.cleaning_titles import PLACEHOLDER, is_various
from importers.entries import Draft
from importers.words import plain

_DISC_FOLDER = re.compile(r"(?:cd|disc|disk|dis[ck] no|side|seite)\s*[\d a-d]{1,2}", re.IGNORECASE)
_NUMBER_FIRST = re.compile(r"(?:(\d)-)?(\d{1,3})(\s*[.)_-]\s*|\s+)(?=\D)")
_DASH = re.compile(r"\s+[-–—]\s+|_-_")
_STORES = frozenset({
    "music", "audio", "songs", "mp3", "mp3s", "flac", "wav", "tracks", "recordings", "library",
    "musik", "musique", "new", "incoming", "downloads", "media", "files", "albums", "artists",
    "singles", "desktop", "documents", "my music", "home", "users", "tmp", "mnt", "volumes",
    "unsorted", "sorted", "misc", "miscellaneous", "other", "old", "temp", "transfers",
})  # fmt: skip
"""Folders named for what is kept in them, not for anybody."""

_NOBODY = re.compile(
    r"\b(?:memory stick|usb|sd card|back ?up|copies|copy of|hard drive|disk|drive|from|transfers?|"
    r"collection|playlist|folder|requests|to (?:do|sort|file)|unsorted|misc|various|\d{4})\b"
)
"""Words in a folder's name that tell that it is not the name of an artist."""


def said_by_path(inside: PurePath) -> dict[str, str]:
    """Fields that a path says; `inside` is the path below the folder that is taken in.

    >>> said_by_path(PurePath("Ada Sluice/Low Water/03 My Lantern.mp3"))
    {'track': '3', 'title': 'My Lantern', 'artist': 'Ada Sluice', 'album': 'Low Water'}
    >>> said_by_path(PurePath("Ada Sluice - My Lantern.mp3"))
    {'artist': 'Ada Sluice', 'title': 'My Lantern'}
    """
    said = _said_by_name(inside.stem, in_album=len(inside.parts) > 2)
    folders = [_spaced(name) for name in inside.parts[:-1] if not _DISC_FOLDER.fullmatch(name)]
    folders = [name for name in folders if plain(name) not in _STORES]
    if folders and (both := _DASH.split(folders[-1])) and len(both) == 2:
        folders[-1:] = both
    if len(folders) >= 2:
        artist, album = folders[-2:]
        if _may_be_artist(artist):
            said.setdefault("artist", artist)
        said.setdefault("album", album)
    elif folders and _may_be_artist(folders[0]):
        said.setdefault("artist", folders[0])
    if plain(said.get("album", "")) == plain(said.get("artist", "")):
        said.pop("album", None)
    return said


def contradiction(
    inside: PurePath, by_path: Mapping[str, str], draft: Draft, genres: frozenset[str]
) -> str:
    """Where the tags and the folders name different people, a sentence; else empty.

    `by_path` is what `said_by_path` makes of the path. Only folders by artist and album are
    believed to name anybody, and none that is called after a kind of music (`genres`, plain
    words).
    """
    folders = [n for n in inside.parts[:-1] if not _DISC_FOLDER.fullmatch(n)]
    said = by_path.get("artist", "")
    folder = plain(said)
    if len(folders) < 2 or not folder or folder in genres or folder == plain(draft.get("genre")):
        return ""
    if folder != plain(_spaced(folders[-2])) or draft.guessed & {"artist"}:
        return ""
    people = [plain(draft.get(n)) for n in ("artist", "album_artist", "composer", "soloist",
                                            "conductor", "album", "title")]  # fmt: skip
    turned = plain(turned_round(said))
    if not people[0] or any(f in p or p in f for f in (folder, turned) for p in people if p):
        return ""
    return f"its folders say “{said}”, its tags “{draft.get('artist')}”: one of them is wrong"


def _may_be_artist(folder: str) -> bool:
    return not is_various(folder) and not _NOBODY.search(plain(folder))


def _said_by_name(stem: str, in_album: bool) -> dict[str, str]:
    """Fields in a file's name. A bare number before a word is a track's only where it looks like
    one or the file lies among an album's: there are songs such as "99 Herons"."""
    said: dict[str, str] = {}
    name = _spaced(stem)
    number = _NUMBER_FIRST.match(name)
    if number and (in_album or number.group(3).strip() or number.group(2).startswith("0")):
        said["track"] = str(int(number.group(2)))
        if number.group(1):
            said["disc"] = number.group(1)
        name = name[number.end() :].strip()
    parts = [part.strip() for part in _DASH.split(name) if part.strip()]
    if len(parts) >= 3 and parts[-2].isdigit():  # Artist - Album - 03 - Title
        said["track"] = str(int(parts.pop(-2)))
    if len(parts) >= 3 and parts[1].isdigit():
        said["track"] = str(int(parts.pop(1)))
    if len(parts) == 2:
        said["artist"], said["title"] = parts
    elif len(parts) >= 3:
        said["artist"], said["album"] = parts[0], parts[1]
        said["title"] = " - ".join(parts[2:])
    elif parts and not PLACEHOLDER.fullmatch(parts[0]):
        said["title"] = parts[0]
    return said


def _spaced(name: str) -> str:
    """A name with spaces where somebody wrote underscores instead."""
    return " ".join((name if " " in name else name.replace("_", " ")).split())
