"""Is all well? Everything that can be looked at, and what to do, one sentence each.

`look` never raises: what cannot be looked at is a finding itself.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from catalogue import backup, caller_rows, forgetting, index_state, roots, settings
from catalogue.errors import SQLITE_TROUBLE, CatalogueError
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

_SPARE_BYTES = 500 << 20
"""Room that should be left on the drive: a few copies and a season of slips."""

_SLOW_CLOCK = timedelta(minutes=5)
"""How far a clock may run behind the newest entry: two PCs of a network differ by less."""

_COPY_DAYS = 2
"""Days without a copy from which it is told; a weekend station is told on its next day."""

_OLDEST_SQLITE = (3, 35, 0)

_NEWEST = (
    "SELECT max(at) AS newest FROM (SELECT max(at) AS at FROM actions "
    "UNION SELECT max(at) FROM plays UNION SELECT max(at) FROM erasures)"
)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: whether it is well, and the sentence that says so or what to do."""

    well: bool
    about: str
    sentence: str


Progress = Callable[[int, int | None], None]


def look(
    database: Path,
    index_folder: Path,
    now: datetime,
    progress: Progress | None = None,
    *,
    at_length: bool = True,
) -> list[Finding]:
    """Look at everything of a station, without changing a record.

    The index is brought up to date on the way, as any search would do. `progress` is told how
    many library files were looked at. Without `at_length` what takes minutes at a large station
    is left out: the checks of the database and of every copy, and each file of the library.
    """
    found = [_versions(), _space(database), _file(database, at_length)]
    found.extend(_copies(database, now, at_length))
    if not found[2].well:
        return found
    try:
        store = Store(database)
    except CatalogueError as problem:
        return [*found, Finding(False, "database", problem.message)]
    try:
        steps: list[Callable[[], Finding]] = [
            lambda: _clock(store, now),
            lambda: _callers(store, now),
            lambda: _index(store, index_folder, at_length),
            lambda: _folders(store),
        ]
        if at_length:
            steps.append(lambda: _files(store, progress))
        found += [_safely(step) for step in steps]
    finally:
        store.close()
    return found


def _safely(step: Callable[[], Finding]) -> Finding:
    try:
        return step()
    except CatalogueError as problem:
        return Finding(False, "station", problem.message)
    except (OSError, *SQLITE_TROUBLE) as problem:
        return Finding(False, "station", f"Something could not be looked at ({problem}).")


def _versions() -> Finding:
    python = ".".join(map(str, sys.version_info[:3]))
    said = f"Python {python}, SQLite {sqlite3.sqlite_version}"
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        return Finding(False, "versions", f"{said}: SQLite is too old. Install a newer Python.")
    return Finding(True, "versions", f"{said}.")


def _space(database: Path) -> Finding:
    try:
        free = shutil.disk_usage(database.parent).free
        size = database.stat().st_size if database.exists() else 0
    except OSError as problem:
        told = problem.strerror or problem
        return Finding(False, "space", f"The drive with {database.parent} is not there ({told}).")
    said = f"{free / 1e9:,.1f} GB are free on the station's drive"
    if free < max(_SPARE_BYTES, 3 * size):
        return Finding(False, "space", f"Only {said}. Make room soon: copies need it.")
    return Finding(True, "space", f"{said}.")


def _file(database: Path, at_length: bool) -> Finding:
    """The database's own checks, before anything opens it for writing."""
    if not database.exists():
        return Finding(False, "database", f"There is no station in {database.parent}.")
    if not all(os.access(place, os.W_OK) for place in (database, database.parent)):
        # It cannot even be looked at there, so it must not be called damaged.
        return Finding(
            False, "database",
            f"{database} cannot be written. Give this user the right to write there and in its "
            "folder.",
        )  # fmt: skip
    if not at_length:
        return Finding(True, "database", "The database opens, and what is asked of it comes back.")
    wrong = backup.what_is_wrong(database)
    if wrong == backup.NEWER:
        return Finding(
            False, "database",
            "The database was written by a newer version of this program. Install the newer "
            "version.",
        )  # fmt: skip
    if wrong:
        return Finding(
            False, "database",
            f"The database cannot be used: {wrong}. Stop the station and put a copy back with "
            "“asheard restore”.",
        )  # fmt: skip
    with closing(backup.connect(database, read_only=True)) as db:
        pending = len(backup.known_migrations() - backup.migrations_of(db))
    if pending:
        return Finding(True, "database", "The database is of an older version; a copy is made "
                       "before it is brought up to date.")  # fmt: skip
    return Finding(True, "database", "The database is whole, and its entries fit together.")


def _copies(database: Path, now: datetime, at_length: bool) -> Iterator[Finding]:
    copies = backup.all_copies(backup.folder_of(database))
    daily = [copy for copy in copies if copy.kind is backup.Kind.DAILY]
    if not daily:
        yield Finding(False, "copies", "There is no daily copy. Make one with “asheard copy”.")
        return
    age = (now.date() - daily[0].on).days
    if age > _COPY_DAYS:
        yield Finding(
            False, "copies",
            f"The last copy is {age} days old. Make one with “asheard copy”; a running station "
            "makes one every day.",
        )  # fmt: skip
    else:
        said = "today" if age <= 0 else "yesterday" if age == 1 else f"{age} days ago"
        many = "is one copy" if len(copies) == 1 else f"are {len(copies)} copies"
        yield Finding(True, "copies", f"There {many}; the last of the day was made {said}.")
    for copy in copies if at_length else ():
        if wrong := backup.what_is_wrong(copy.path):
            yield Finding(False, "copies", f"The copy {copy.path.name} is of no use: {wrong}. "
                          "Remove it, and look at the drive it is on.")  # fmt: skip


def _clock(store: Store, now: datetime) -> Finding:
    newest = store.rows(_NEWEST)[0]["newest"]
    if newest and datetime.fromisoformat(newest).replace(tzinfo=None) > now + _SLOW_CLOCK:
        return Finding(
            False, "clock",
            f"This PC's clock says {now:%d %B %Y, %H:%M}, but the newest entry is of {newest[:16]}."
            " Set the clock right: until then callers' details are erased late.",
        )  # fmt: skip
    return Finding(True, "clock", f"The clock says {now:%d %B %Y, %H:%M}.")


def _callers(store: Store, now: datetime) -> Finding:
    late = caller_rows.overdue(store.db.conn, now.date())
    copies = forgetting.holding_callers(store, now.date())
    if late or copies:
        said = [f"details of {late} callers"] if late else []
        said += [f"details in the copy {copy.path.name}" for copy in copies]
        return Finding(
            False, "callers",
            f"Overdue to be erased: {', '.join(said)}. Start the station: it erases them first.",
        )  # fmt: skip
    days = settings.number(store, "caller_days")
    return Finding(True, "callers", f"Nothing is overdue; details are kept {days} days.")


def _index(store: Store, folder: Path, at_length: bool) -> Finding:
    """Whether every recording is filed; without `at_length` only whether as many names as that
    are, up to the last change."""
    try:
        behind = _last_change(store) - index_state.read(folder).last
    except (OSError, ValueError):
        behind = -1
    index = SoundIndex(folder, store)
    try:
        if at_length:
            held = [row[0] for row in store.db.execute("SELECT id FROM recordings")]
            agrees = index.recording_ids() == set(held)
        else:
            recordings = store.rows("SELECT count(*) AS n FROM recordings")[0]["n"]
            up_to_date = index_state.read(folder).last == _last_change(store)
            agrees = up_to_date and len(index) >= recordings
    finally:
        index.close()
    if not agrees:
        return Finding(
            False, "index",
            f"The sound index does not agree with the catalogue. Stop the station, remove the "
            f"folder {folder.name}, and start it: the index is made anew.",
        )  # fmt: skip
    said = "was made anew" if behind < 0 else f"took in {behind} changes" if behind else "agrees"
    if not at_length:
        return Finding(True, "index", f"The sound index {said}.")
    return Finding(True, "index", f"The sound index {said}; every recording can be found.")


def _last_change(store: Store) -> int:
    last = store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")
    return int(last[0]["seq"]) if last else 0


def _folders(store: Store) -> Finding:
    gone = [root.path for root in roots.all_roots(store) if not Path(root.path).is_dir()]
    if gone:
        return Finding(
            False, "folders",
            f"These library folders are not there: {'; '.join(gone)}. Plug the drive in, or say "
            "where they are now.",
        )  # fmt: skip
    return Finding(True, "folders", "The library folders are there.")


def _files(store: Store, progress: Progress | None) -> Finding:
    """Whether the files of the holdings can be reached; not those of a folder that is away."""
    away = [root.path for root in roots.all_roots(store) if not Path(root.path).is_dir()]
    paths = [
        row["path"]
        for row in store.rows("SELECT path FROM holdings WHERE path IS NOT NULL AND missing = 0")
        if roots.root_of(row["path"], away) is None
    ]
    gone: list[str] = []
    for number, path in enumerate(paths, 1):
        if not _is_file(path):
            gone.append(path)
        if progress and (number % 100 == 0 or number == len(paths)):
            progress(number, len(paths))
    if gone:
        return Finding(
            False, "files",
            f"{len(gone):,} of {len(paths):,} files are not where they were, such as {gone[0]}. "
            "Take the folder in again with “asheard add-files”: what moved is found.",
        )  # fmt: skip
    return Finding(True, "files", f"{len(paths):,} files are where they should be.")


def _is_file(path: str) -> bool:
    try:
        return Path(path).is_file()
    except (OSError, ValueError):
        return False
