"""The way of one folder, one shelf list, one list of what is known: read this first.

A file goes `audio_tags` → `cleaning` → `Entry` → `accession` → the catalogue; a row goes
`shelf_lists` → `cleaning` → `Entry`, and the same road from there. One bad file or row never
stops a run: it comes back in the report, with the reason.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from catalogue.errors import BadInput, UnreadableFile, UnreadableList
from catalogue.store import Store
from importers import accession, audio_tags, reference_lists, shelf_lists
from importers.accession import Progress
from importers.entries import Entry, Refused, Taken, Unchanged
from importers.report import Report


def add_files(
    store: Store, folder: Path, who: str, now: datetime, progress: Progress | None = None
) -> Report:
    """Take in all the audio files of a folder and its folders.

    `progress(done, total)` is called as files are read. Raises BadInput for a folder that is
    not there or may not be read, StoreProblem where the catalogue cannot be written.
    """
    root = _folder(folder)
    everything = list(audio_tags.walk(root))
    files = [path for path in everything if audio_tags.is_audio(path)]
    known = accession.known_files(store)
    report = accession.take_in(
        store, _files(files, root, known, progress), who, f"files from {root.name or root}", now
    )
    report.left_alone = len(everything) - len(files)
    if not report.stopped:
        found = {str(path) for path in files}
        inside = str(root) + os.sep
        report.gone = sorted(p for p in known if p.startswith(inside) and p not in found
                             and not Path(p).exists())  # fmt: skip
    return report


def _folder(folder: Path) -> Path:
    try:
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
    files: list[Path],
    root: Path,
    known: dict[str, tuple[int | None, float | None]],
    progress: Progress | None,
) -> Iterator[Taken]:
    for done, path in enumerate(files, start=1):
        yield _file(path, root, known)
        if progress:
            progress(done, len(files))


def _file(
    path: Path, root: Path, known: dict[str, tuple[int | None, float | None]]
) -> Entry | Refused | Unchanged:
    inside = str(path.relative_to(root))
    if not _can_be_kept(str(path)):
        name = inside.encode("utf-8", "replace").decode("utf-8")
        return Refused(name, "Its name has letters that this computer cannot read. Rename it.")
    try:
        if str(path) in known:
            found = path.stat()
            if known[str(path)] == (found.st_size, found.st_mtime):
                return Unchanged(inside)
        return audio_tags.read(path, root)
    except UnreadableFile as problem:
        return Refused(inside, problem.message)
    except OSError as problem:
        return Refused(inside, f"{path.name} cannot be read ({problem.strerror or problem}).")


def _can_be_kept(path: str) -> bool:
    try:
        path.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def add_list(
    store: Store, file: Path, who: str, now: datetime, progress: Progress | None = None
) -> Report:
    """Take in a shelf list: text with any separator, xlsx, xls or ods.

    Raises UnreadableList for a file that is missing, empty, no list or without shelf marks.
    """
    return _list(store, file, shelf_lists.entry_of, f"the list {file.name}", who, now, progress)


def add_known(
    store: Store, file: Path, who: str, now: datetime, progress: Progress | None = None
) -> Report:
    """Take in a list of recordings that are known of, but not held.

    Raises UnreadableList for a file that is missing, empty or no list.
    """
    what = f"what is known, from {file.name}"
    return _list(store, file, reference_lists.entry_of, what, who, now, progress)


def _list(
    store: Store,
    file: Path,
    entry_of: Callable[[shelf_lists.Row], Entry | Refused],
    what: str,
    who: str,
    now: datetime,
    progress: Progress | None,
) -> Report:
    rows, said = shelf_lists.read_rows(file)
    if entry_of is shelf_lists.entry_of and not any("shelf_mark" in row.fields for row in rows):
        raise UnreadableList(
            f"In {file.name} no column can be told to hold shelf marks. Write “Shelf mark” over "
            "it. A list of what is only known of is taken in with add-known."
        )
    report = accession.take_in(store, map(entry_of, rows), who, what, now, progress, len(rows))
    report.read_as = said
    return report
