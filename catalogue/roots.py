"""Library folders, and under which path each desk sees them. Owns `library_roots`, `root_views`.

A file is stored once, under the path that this computer knows (`/srv/music/a.mp3`). Another desk
may see the same folder as `M:\\Music`: `as_seen` gives the path to copy there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from catalogue import catalogue_rows, undo
from catalogue.errors import BadInput, NotFound
from catalogue.store import Store

_SIGNS = "/\\"
"""Both kinds of stroke between the folders of a path."""


@dataclass(frozen=True, slots=True)
class Root:
    """A folder that was taken in, as this computer sees it."""

    id: int
    path: str


@dataclass(frozen=True, slots=True)
class View:
    """How one desk sees a folder."""

    desk: str
    root: str
    path: str


def all_roots(store: Store) -> list[Root]:
    """The library folders, by their paths."""
    return [Root(**row) for row in store.rows("SELECT id, path FROM library_roots ORDER BY path")]


def add(store: Store, path: str, who: str, now: datetime) -> int:
    """The folder's id, written down if it is new and inside no other."""
    path = _bare(path)
    known = root_of(path, (root.path for root in all_roots(store)))
    if known is not None:
        return next(root.id for root in all_roots(store) if root.path == known)
    with undo.action(store, who, f"added the folder {path}", now):
        cursor = store.db.execute("INSERT INTO library_roots (path) VALUES (?)", (path,))
        return int(cursor.lastrowid or 0)


def root_of(path: str, roots: Iterable[str]) -> str | None:
    """The innermost of these folders that a path lies in, or None.

    >>> root_of("/srv/music/a/b.mp3", ["/srv", "/srv/music", "/srv/mus"])
    '/srv/music'
    """
    return max((root for root in roots if _lies_in(path, root)), key=len, default=None)


def inside(store: Store, path: str) -> Path:
    """A file that lies in a library folder, every link on the way followed. Raises NotFound.

    Whatever a row says of a file, nothing outside of what was taken in is opened for it.
    """
    return within([root.path for root in all_roots(store)], path)


def within(folders: Iterable[str], path: str) -> Path:
    """A file that lies in one of these folders, links followed. Raises NotFound for any other."""
    refused = NotFound("That file lies in no library folder. Take its folder in first.")
    given = Path(path)
    # A colon beyond the drive names a stream of a file on Windows; elsewhere it is a letter.
    stream = os.name == "nt" and ":" in path[len(given.drive) :]
    if "\0" in path or stream or not given.is_absolute():
        raise refused
    try:
        real = Path(os.path.realpath(given, strict=True))
        lies = any(real.is_relative_to(os.path.realpath(folder)) for folder in folders)
        if lies and real.is_file():
            return real
    except (OSError, ValueError, RuntimeError) as problem:
        raise refused from problem
    raise refused


def see_as(store: Store, root: str, desk: str, path: str, who: str, now: datetime) -> None:
    """Say under which path a desk sees a folder; an empty path takes the saying back.

    Raises NotFound for a folder that was never taken in, BadInput for a desk without a name.
    """
    found = [known for known in all_roots(store) if known.path == _bare(root)]
    if not found:
        names = ", ".join(known.path for known in all_roots(store)) or "none yet"
        raise NotFound(f"No folder {root} was taken in. Those that were: {names}.")
    if not desk.strip():
        raise BadInput("Give the desk a name, such as “Studio 1”.")
    with undo.action(store, who, f"said how {desk.strip()} sees {found[0].path}", now):
        store.db.execute(
            "DELETE FROM root_views WHERE root_id = ? AND desk = ?", (found[0].id, desk.strip())
        )
        if path.strip():
            store.db.execute(
                "INSERT INTO root_views (root_id, desk, path) VALUES (?, ?, ?)",
                (found[0].id, desk.strip(), path.strip()),
            )


def views(store: Store) -> list[View]:
    """How every desk sees every folder, as far as it was said."""
    rows = store.rows(
        """SELECT v.desk, r.path AS root, v.path FROM root_views v
        JOIN library_roots r ON r.id = v.root_id ORDER BY v.desk, r.path"""
    )
    return [View(**row) for row in rows]


def seen_by(store: Store, desk: str) -> dict[str, str]:
    """Folder to path, for one desk: what `as_seen` wants. Case of the desk's name is no matter."""
    return {v.root: v.path for v in views(store) if v.desk.casefold() == desk.strip().casefold()}


def as_seen(path: str, seen: Mapping[str, str]) -> str:
    r"""A file's path as a desk sees it; as it is stored where nothing was said of its folder.

    >>> as_seen("/srv/music/Ada Sluice/Tide.mp3", {"/srv/music": "M:\\Music"})
    'M:\\Music\\Ada Sluice\\Tide.mp3'
    >>> as_seen("M:\\Music\\Tide.mp3", {"M:\\Music": "/Volumes/music/"})
    '/Volumes/music/Tide.mp3'
    """
    root = root_of(path, seen)
    if root is None:
        return path
    there, rest = seen[root], path[len(root) :].strip(_SIGNS)
    if "\\" in there or (len(there) > 1 and there[1] == ":"):
        return f"{there.rstrip(_SIGNS)}\\" + rest.replace("/", "\\")
    if "\\" in root:
        rest = rest.replace("\\", "/")
    return f"{there.rstrip(_SIGNS)}/{rest}"


def move(store: Store, old: str, new: str, who: str, now: datetime) -> tuple[int, int]:
    """Say that a whole folder is now elsewhere: (files moved, files left as they were).

    A file whose new path another copy has already is left. Raises NotFound for a folder that was
    never taken in.
    """
    old, new = _bare(old), _bare(new)
    found = [known for known in all_roots(store) if known.path == old]
    if not found:
        raise NotFound(f"No folder {old} was taken in, so it cannot have moved.")
    held = dict(store.db.execute("SELECT path, id FROM holdings WHERE path IS NOT NULL").fetchall())
    left = moved = 0
    with undo.action(store, who, f"moved the folder {old} to {new}", now):
        for path, holding_id in held.items():
            if not _lies_in(path, old):
                continue
            target = as_seen(path, {old: new})
            if target in held:
                left += 1
                continue
            catalogue_rows.change_holding(store, holding_id, path=target)
            moved += 1
        if not left and new not in {root.path for root in all_roots(store)}:
            store.db.execute("UPDATE library_roots SET path = ? WHERE id = ?", (new, found[0].id))
    return moved, left


def _bare(path: str) -> str:
    """Without a stroke at the end, unless there is nothing else (`/`) or a drive (`C:\\`)."""
    bare = path.strip().rstrip(_SIGNS)
    return bare if bare and not bare.endswith(":") else path.strip()


def _lies_in(path: str, root: str) -> bool:
    rest = path[len(root) :]
    return path.startswith(root) and (not rest or rest[0] in _SIGNS or root[-1] in _SIGNS)
