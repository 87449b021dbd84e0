"""The way of one folder, one shelf list, one list of what is known: read this first.

A file goes `audio_tags` → `cleaning` → `Entry` → `accession` → the catalogue; a row goes
`shelf_lists` → `cleaning` → `Entry`, and the same road from there. One bad file or row never
stops a run: it comes back in the report, with the reason.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from catalogue import roots
from catalogue.errors import BadInput, UnreadableList
from catalogue.store import Store
from importers import (
    accession,
    audio_tags,
    list_layouts,
    marc_lists,
    playlists,
    reading_ahead,
    reference_lists,
    shelf_entries,
    shelf_lists,
    vanished,
)
from importers.accession import Progress
from importers.entries import Entry, Refused, Taken, Unchanged
from importers.jobs import Doing
from importers.list_rows import Row
from importers.reach import Reach
from importers.report import Report
from importers.shelf_lists import Guess, Layouts


def add_files(
    store: Store,
    folder: Path,
    who: str,
    now: datetime,
    progress: Progress | None = None,
    *,
    again: bool = False,
    gone: bool = False,
    job: Doing | None = None,
) -> Report:
    """Take in all the audio files of a folder and its folders.

    Files whose size and time are as they were are left unread, unless `again`. Files that were
    known from here and have vanished are marked as missing; a whole drive only with `gone`.
    `progress(done, total)` is called as files are read. Raises BadInput for a folder that is
    not there or may not be read, StoreProblem where the catalogue cannot be written.
    """
    root = folder_of(folder)
    unread: list[str] = []
    everything = list(audio_tags.walk(root, unread))
    files = [path for path in everything if audio_tags.is_audio(path)]
    if files:
        roots.add(store, str(root), who, now)
    known = accession.known_files(store)
    report = accession.take_in(
        store,
        _files(files, root, {} if again else known, progress),
        who,
        f"files from {root.name or root}",
        now,
        job=job,
    )
    report.left_alone = len(everything) - len(files)
    report.out_of_reach += [f"The folder {path} could not be read." for path in unread]
    if not report.stopped:
        _settle(store, root, known, files, unread, report, who, now, gone)
    if job:
        job.keep(report)
    return report


def _settle(
    store: Store, root: Path, known: Iterable[str], files: Sequence[str], unread: Sequence[str],
    report: Report, who: str, now: datetime, gone: bool,
) -> None:  # fmt: skip
    """Mark what has vanished. What moved in this run is at its new place by now."""
    inside = str(root).rstrip(os.sep) + os.sep
    if not any(path.startswith(inside) for path in known):
        return
    here = [path for path in accession.known_files(store) if path.startswith(inside)]
    came = vanished.look(Reach(store), str(root), here, set(files), unread, gone)
    vanished.mark(store, came.missing, who, report.what, now)
    report.gone = came.missing
    report.out_of_reach += came.out_of_reach


def folder_of(folder: Path) -> Path:
    """The whole path of a folder that is to be taken in. Raises BadInput if it cannot be."""
    try:
        if not folder.parts:
            raise BadInput("Give the folder that the files are in.")
        root = folder.expanduser().resolve()
        if root.is_file():
            raise BadInput(f"{folder} is a file. Give the folder that it is in.")
        if not root.is_dir():
            raise BadInput(f"There is no folder {folder}. Check the name, or plug the drive in.")
    except OSError as problem:
        raise BadInput(f"{folder} cannot be opened ({problem.strerror or problem}).") from problem
    if not os.access(root, os.R_OK | os.X_OK):
        raise BadInput(f"{folder} may not be read by this user. Give the right to read it.")
    return root


def _files(
    files: Sequence[str],
    root: Path,
    known: Mapping[str, tuple[int | None, float | None]],
    progress: Progress | None,
) -> Iterator[Taken]:
    """Each file in order, the unchanged ones unread."""
    changed = [path for path in files if not _is_unchanged(path, known)]
    to_read = set(changed)
    read = reading_ahead.read_all(changed, root)
    for done, path in enumerate(files, start=1):
        yield next(read) if path in to_read else Unchanged(path)
        if progress:
            progress(done, len(files))


def _is_unchanged(path: str, known: Mapping[str, tuple[int | None, float | None]]) -> bool:
    if path not in known:
        return False
    try:
        found = os.stat(path)  # noqa: PTH116 - a hundred thousand times
    except OSError:
        return False
    return known[path] == (found.st_size, found.st_mtime)


def add_list(
    store: Store,
    file: Path,
    who: str,
    now: datetime,
    progress: Progress | None = None,
    columns: Layouts | None = None,
    job: Doing | None = None,
    *,
    only_in_library: bool = False,
) -> Report:
    """Take in a shelf list: text with any separator, xlsx, xls, ods, MARC 21; or a playlist,
    whose files are taken in.

    `columns` says what columns hold, by the shape that `look_at_list` tells; it is remembered
    for the next list of that shape. With `only_in_library` a playlist opens no file outside of
    the library folders. Raises UnreadableList for a file that is missing, empty, no list or
    without shelf marks.
    """
    if playlists.is_playlist(file):
        folders = [root.path for root in roots.all_roots(store)] if only_in_library else None
        entries = playlists.files(file, folders)
        return accession.take_in(
            store, entries, who, f"the list {file.name}", now, progress, job=job
        )
    what = f"the list {file.name}"
    return _list(store, file, shelf_entries.entry_of, what, who, now, progress, columns, job)


def add_known(
    store: Store,
    file: Path,
    who: str,
    now: datetime,
    progress: Progress | None = None,
    columns: Layouts | None = None,
    job: Doing | None = None,
) -> Report:
    """Take in a list of recordings that are known of, but not held: any list, or a playlist.

    Raises UnreadableList for a file that is missing, empty or no list.
    """
    what = f"what is known, from {file.name}"
    return _list(store, file, reference_lists.entry_of, what, who, now, progress, columns, job)


def look_at_list(store: Store | None, file: Path) -> list[Guess]:
    """How the columns of a list would be understood, with three sample rows; nothing is stored.

    Without a store no earlier list of that shape is remembered. Empty for MARC 21 and playlists,
    whose fields are named. Raises UnreadableList.
    """
    shelf_lists.bytes_of(file)
    if playlists.is_playlist(file) or marc_lists.is_marc(file):
        return []
    return shelf_lists.look(file, list_layouts.remembered(store) if store else {})


def _list(
    store: Store,
    file: Path,
    entry_of: Callable[[Row], Entry | Refused],
    what: str,
    who: str,
    now: datetime,
    progress: Progress | None,
    columns: Layouts | None,
    job: Doing | None,
) -> Report:
    if playlists.is_playlist(file):
        read = playlists.rows(file)
    elif marc_lists.is_marc(file):
        read = marc_lists.rows(file)
    else:
        read = shelf_lists.read_rows(file, {**list_layouts.remembered(store), **(columns or {})})
        shelved = any(isinstance(r, Row) and "shelf_mark" in r.fields for r in read.rows)
        if entry_of is shelf_entries.entry_of and not shelved:
            raise UnreadableList(
                f"In {file.name} no column can be told to hold shelf marks. Write “Shelf mark” "
                "over it. A list of what is only known of is taken in with add-known."
            )
    entries = shelf_entries.each(read.rows, entry_of)
    report = accession.take_in(store, entries, who, what, now, progress, len(read.rows), job)
    report.read_as, report.headings = read.said, read.headings
    if job:
        job.keep(report)
    if columns:
        list_layouts.remember(store, columns, who, now)
    return report
