"""Playlists, XSPF and M3U: as files to take in, or as recordings that are known of.

Sources: the XSPF specification, version 1 (xspf.org); M3U as it is commonly written, with
`#EXTINF:seconds,artist - title` before a path (common practice, no source).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from urllib.parse import unquote, urlsplit

from catalogue import roots
from catalogue.errors import NotFound, UnreadableList
from importers import audio_tags, list_text, plain_xml, shelf_lists
from importers.entries import Entry, Refused
from importers.list_rows import Row
from importers.path_names import said_by_path
from importers.reading_worker import read_one
from importers.shelf_lists import ReadList

_XSPF = "http://xspf.org/ns/0/"
_HEAD = 4096
_FIELDS = {"title": "title", "creator": "artist", "album": "album", "trackNum": "track",
           "duration": "length"}  # fmt: skip
_EXTINF = re.compile(r"#EXTINF:\s*(-?\d+)[^,]*,(.*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a playlist: where its file is, and what is said of it by our fields."""

    source: str
    location: str
    fields: dict[str, str]


def is_playlist(file: Path) -> bool:
    """Whether a file is an XSPF or an M3U playlist, by what is in it or by its name."""
    try:
        with file.open("rb") as opened:
            start = opened.read(_HEAD)
    except OSError:
        return False
    return (
        _XSPF.encode() in start
        or start.lstrip(b"\xef\xbb\xbf").startswith(b"#EXTM3U")
        or file.suffix.lower() in {".m3u", ".m3u8", ".xspf"}
    )


def rows(file: Path) -> ReadList:
    """The recordings of a playlist. Raises UnreadableList."""
    found: list[Row | Refused] = []
    for item in items(file):
        said = dict(item.fields)
        if not said.get("title"):
            by_path = said_by_path(PurePath(*PurePath(_path(item.location)).parts[-3:]))
            said = {**by_path, **said}
        raw = {**item.fields, "location": item.location}
        guessed = frozenset(said) - frozenset(item.fields)
        found.append(Row(item.source, raw, said, guessed & {"title", "artist"}, raw))
    return ReadList(found, [], ["title", "artist", "album", "track", "length", "location"])


def files(file: Path, only_in: Sequence[str] | None = None) -> Iterator[Entry | Refused]:
    """The files of a playlist, read as add-files reads them. Raises UnreadableList.

    Where a file has no tags of its own, the playlist's words stand in. With `only_in` no file
    outside of these folders is opened: a playlist may come from anybody.
    """
    return (_read(item, file.parent, only_in) for item in items(file))


def _read(item: Item, folder: Path, only_in: Sequence[str] | None) -> Entry | Refused:
    where = _path(item.location)
    if not where:
        why = "It is no file of this computer. Only files that are there can be taken in."
        return Refused(item.source, why, item.fields, {**item.fields, "location": item.location})
    # An absolute path stays as it is; others are beside the playlist.
    path = _path_of(folder, where)
    if only_in is not None:
        try:
            path = roots.within(only_in, str(path))
        except NotFound as problem:
            fields = {**item.fields, "location": item.location}
            return Refused(item.source, problem.message, item.fields, fields)
    if not _is_there(path):
        why = f"There is no file {where}. Mend the path, or plug the drive in."
        return Refused(item.source, why, item.fields, {**item.fields, "location": item.location})
    if not audio_tags.is_audio(path):
        why = f"{path.name} is no audio file by its name."
        return Refused(item.source, why, item.fields, {**item.fields, "location": item.location})
    read = read_one(str(path), path.parent.parent.parent)
    if isinstance(read, Refused):
        return replace(read, source=item.source)
    said = {n: item.fields[n] for n in ("title", "artist") if item.fields.get(n)}
    silent = {n: text for n, text in said.items() if n in read.guessed}
    if silent:
        raw = {**read.raw, **{f"playlist {n}": text for n, text in silent.items()}}
        new = read.recording
        named = replace(new, title=silent.get("title", new.title),
                        artist=silent.get("artist", new.artist))  # fmt: skip
        read = replace(read, raw=raw, recording=named)
    return read


def _path_of(folder: Path, where: str) -> Path:
    """The path that a playlist names; one that no drive can have is nowhere."""
    try:
        return (folder / where.replace("\\", "/")).resolve() if ":" not in where else Path(where)
    except (OSError, ValueError, RuntimeError):  # a NUL, a link to itself
        return folder / "nowhere"


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name too long for any drive
        return False


def _path(location: str) -> str:
    """The path that a location names; empty for what is on the network.

    >>> _path("file:///srv/music/Ada%20Sluice.mp3"), _path("file:///C:/Music/a.mp3")
    ('/srv/music/Ada Sluice.mp3', 'C:/Music/a.mp3')
    >>> _path("Low%20Water/Tide.mp3"), _path("http://example.org/a.mp3"), _path("M:\\\\100%.mp3")
    ('Low Water/Tide.mp3', '', 'M:\\\\100%.mp3')
    """
    if re.match(r"[A-Za-z]:[\\/]", location):
        return location
    try:
        parts = urlsplit(location)
    except ValueError:
        return location
    if parts.scheme == "file":
        path = unquote(parts.path)
        return path[1:] if re.match(r"/[A-Za-z]:", path) else path
    if parts.scheme and "//" in location:
        return ""
    return unquote(location) if re.search(r"%[0-9A-Fa-f]{2}", location) else location


def items(file: Path) -> list[Item]:
    """The lines of a playlist. Raises UnreadableList."""
    data = shelf_lists.bytes_of(file)
    # By what it is, wherever its first 4,096 bytes end: XML is never read as anything else.
    is_xml = data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<")
    found = _xspf(file, data) if is_xml else _m3u(file, data)
    if not found:
        raise UnreadableList(f"{file.name} is empty: there is nothing in this playlist.")
    return found


def _xspf(file: Path, data: bytes) -> list[Item]:
    if plain_xml.has_doctype(data):
        raise UnreadableList(f"{file.name} is no playlist of the usual kind. Save it anew as XSPF.")
    try:
        root = ET.fromstring(data)
    except (ET.ParseError, ValueError, LookupError) as problem:  # the last: of its encoding
        raise UnreadableList(
            f"{file.name} cannot be read as XSPF ({problem}). Save it anew."
        ) from problem
    found = []
    for number, track in enumerate(root.iter(f"{{{_XSPF}}}track"), start=1):
        said = {
            ours: " ".join((track.findtext(f"{{{_XSPF}}}{theirs}") or "").split())
            for theirs, ours in _FIELDS.items()
        }
        if said["length"].isdigit():
            said["length"] = f"{int(said['length']) / 1000:g}"  # milliseconds, says the standard
        location = (track.findtext(f"{{{_XSPF}}}location") or "").strip()
        fields = {name: text for name, text in said.items() if text}
        found.append(Item(f"{file.name} track {number}", location, fields))
    return found


def _m3u(file: Path, data: bytes) -> list[Item]:
    text, _ = list_text.decode(data)
    if not list_text.is_text(text):
        raise UnreadableList(f"{file.name} is no playlist. Save it anew as M3U or XSPF.")
    found = []
    fields: dict[str, str] = {}
    for number, line in enumerate(map(str.strip, text.splitlines()), start=1):
        if said := _EXTINF.fullmatch(line):
            fields = {"title": said.group(2).strip()} if said.group(2).strip() else {}
            if int(said.group(1)) > 0:
                fields["length"] = said.group(1)
        elif line and not line.startswith("#"):
            artist, dash, title = fields.get("title", "").partition(" - ")
            if dash and artist.strip() and title.strip():
                fields |= {"artist": artist.strip(), "title": title.strip()}
            found.append(Item(f"{file.name} line {number}", line, fields))
            fields = {}
    return found
