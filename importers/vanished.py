"""Files that were known from a folder and are not found there any more.

A vanished file is marked as missing, with the day; its recording and its history stay. Where a
whole drive seems not to be plugged in, nothing is marked, and that is told.
"""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import islice
from pathlib import Path

from catalogue import catalogue_rows, undo
from catalogue.store import Store
from importers.reach import Reach

WHOLE = 50
"""Files from which on a folder that lost all of them, or a library that lost half, is taken for
a drive that is not there: nobody deletes so many at once without knowing it."""

_AT_ONCE = 250
"""Files marked in one transaction."""


@dataclass(slots=True)
class Vanished:
    """What came of looking: files to be marked, and sentences on what was out of reach."""

    missing: list[str] = field(default_factory=list)
    out_of_reach: list[str] = field(default_factory=list)


def look(
    reach: Reach, root: str, known: Sequence[str], found: set[str], unread: Sequence[str],
    for_good: bool = False,
) -> Vanished:  # fmt: skip
    """Which known files of a folder are gone.

    `known` are all paths known below `root`, `found` those of this walk, `unread` folders that
    could not be read. `for_good` says that a person has looked: whatever is not there is gone.
    """
    came = Vanished()
    vanished = [path for path in known if path not in found]
    hidden = [path for path in vanished if any(_below(path, folder) for folder in unread)]
    vanished = sorted(set(vanished) - set(hidden))
    if hidden:
        came.out_of_reach.append(
            f"{len(hidden):,} known files are in folders that could not be read, such as "
            f"{unread[0]}. They stay as they were."
        )
    if for_good:
        came.missing = [path for path in vanished if not os.path.lexists(path)]
        return came
    if vanished and (not found or (len(vanished) > len(known) / 2 and len(vanished) >= WHOLE)):
        came.out_of_reach.append(_sentence(len(vanished), root))
        return came
    for folder, paths in _by_folder(root, vanished).items():
        all_of_it = len(paths) == sum(_top(root, path) == folder for path in known)
        if folder and all_of_it and len(paths) >= WHOLE:
            came.out_of_reach.append(_sentence(len(paths), folder))
            continue
        came.missing += [path for path in paths if reach.is_gone(path)]
    return came


def mark(store: Store, paths: Sequence[str], who: str, what: str, now: datetime) -> None:
    """Mark files as missing since now, some hundred at a time, as part of the taking-in `what`."""
    waiting = iter(paths)
    while part := list(islice(waiting, _AT_ONCE)):
        with undo.action(store, who, what, now):
            for path in part:
                for row in store.rows("SELECT id FROM holdings WHERE path = ?", (path,)):
                    catalogue_rows.change_holding(
                        store, row["id"], missing=1,
                        missing_since=now.isoformat(timespec="seconds"),
                    )  # fmt: skip


def _sentence(count: int, folder: str) -> str:
    return (
        f"{count:,} files known from {folder} are not there, all at once. If it is a drive, plug "
        "it in and run this again. If they are gone for good, run it with --gone. Nothing was "
        "changed for them."
    )


def _by_folder(root: str, paths: Sequence[str]) -> dict[str, list[str]]:
    """The paths by their first folder below the root; "" for files in the root itself."""
    groups: dict[str, list[str]] = defaultdict(list)
    for path in paths:
        groups[_top(root, path)].append(path)
    return groups


def _top(root: str, path: str) -> str:
    parts = Path(path).relative_to(root).parts
    return str(Path(root, parts[0])) if len(parts) > 1 else ""


def _below(path: str, folder: str) -> bool:
    return path.startswith(folder.rstrip(os.sep) + os.sep)
