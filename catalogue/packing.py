"""A whole station in one file, to move it to another PC, and out of it again.

The file is a ZIP with the database, made and checked like any copy, and whatever else lies in the
station's folder. Left out is what is made anew (the index), what stays behind (copies, logs), and
the keys of sessions and of HTTPS: on the new PC people sign in again, and desks trust it anew.
"""

from __future__ import annotations

import secrets
import shutil
import struct
import zipfile
import zlib
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path, PurePosixPath

from catalogue import backup, caller_rows, settings
from catalogue.errors import CopyProblem, UnreadableFile
from catalogue.store import Store

_LEFT_BEHIND = frozenset({
    "sound_index", backup.FOLDER, "logs", "session_key", "certificates", "demo_people.txt",
})  # fmt: skip
_CALLERS_FILES = "call_recordings"
"""The folder of recorded callers: left out with their details."""

NETWORK_KEY = "network_key.json"
_NETWORK_FILES = frozenset({NETWORK_KEY, settings.TOKEN_FILE})
"""The key with which the station signs what it publishes, and the token by which others let it
ask: they move with the station, and stay out of what is packed without callers, which is made to
be given away."""

_OF_THE_ZIP = (
    zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError, RuntimeError,
    ValueError, OverflowError,
)  # fmt: skip
"""What reading a damaged ZIP raises, found by damaging some."""

_LARGEST_BYTES = 200 << 30
"""More than any station's folder; a ZIP that claims more is not one of ours."""


def pack(store: Store, target: Path, *, with_callers: bool = True) -> list[str]:
    """Write the station into `target`; returns the names inside. Raises CopyProblem.

    Music is not in it: files stay where they are, and only their places are in the database.
    """
    station, name = store.path.parent, store.path.name
    if target.exists():
        raise CopyProblem(f"{target} is there already. Give another name, or remove it first.")
    work = backup.folder_of(store.path) / f"draft-{secrets.token_hex(6)}.db"
    draft = target.with_name(f"{target.name}.{secrets.token_hex(4)}")
    try:
        backup.make_at(store, work, with_callers=with_callers)
        others = _others(station, name, with_callers)
        with zipfile.ZipFile(draft, "x", zipfile.ZIP_DEFLATED, compresslevel=1) as file:
            draft.chmod(0o600)
            file.write(work, name)
            for path in others:
                file.write(path, path.relative_to(station).as_posix())
        backup.sync(draft)
        draft.replace(target)
    except OSError as problem:
        raise CopyProblem(
            f"{target} cannot be written ({problem.strerror or problem}). The station is as it "
            "was. Make room there, or give another place."
        ) from problem
    finally:
        for left in (work, draft):
            with suppress(OSError):
                left.unlink(missing_ok=True)
    return [name, *(path.relative_to(station).as_posix() for path in others)]


def unpack(source: Path, station: Path, database: str, now: datetime) -> list[str]:
    """Make a station of a packed one in a folder that holds none; returns the names inside.

    What is overdue of callers is erased before the database is put in place, which is done last:
    before that there is no station. Raises UnreadableFile for a file that is not a packed
    station, CopyProblem if the folder holds one already or cannot be written.
    """
    if (station / database).exists():
        raise CopyProblem(
            f"{station} holds a station already, and nothing was changed. Give another folder "
            "with --station."
        )
    draft = station / f"draft-{secrets.token_hex(6)}"
    try:
        with zipfile.ZipFile(source) as file:
            names = _names(file, source, database)
            draft.mkdir(mode=0o700, parents=True)
            _refuse_without_room(file, station)
            for name in names:
                _extract(file, name, draft / name)
        _clean(draft / database, now)
        for name in sorted(names, key=lambda name: name == database):
            (station / name).parent.mkdir(parents=True, exist_ok=True)
            (draft / name).replace(station / name)
        backup.sync(station)
    except _OF_THE_ZIP as problem:
        raise UnreadableFile(
            f"{source} is not a packed station, or it is damaged. Pack it again on the old PC with "
            "“asheard pack”."
        ) from problem
    except OSError as problem:
        raise CopyProblem(
            f"The station cannot be unpacked ({problem.strerror or problem}). Look at {source} and "
            f"at {station}, then do it again."
        ) from problem
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return names


def _others(station: Path, database: str, with_callers: bool) -> list[Path]:
    left = _LEFT_BEHIND if with_callers else _LEFT_BEHIND | {_CALLERS_FILES} | _NETWORK_FILES
    return sorted(
        path
        for path in station.rglob("*")
        if path.is_file()
        and not path.is_symlink()
        and path.relative_to(station).parts[0] not in left
        and not path.relative_to(station).parts[0].startswith((database, "draft-"))
    )


def _names(file: zipfile.ZipFile, source: Path, database: str) -> list[str]:
    """The files inside, if all of them stay inside the folder."""
    # Not `is_dir`: it fails for a file without a name.
    names = [info.filename for info in file.infolist() if not info.filename.endswith("/")]
    parts = [PurePosixPath(name).parts for name in names]
    odd = any(
        not part or name.startswith("/") or "\\" in name or ":" in name or ".." in part
        for name, part in zip(names, parts, strict=True)
    )
    if odd or database not in names or len(set(names)) < len(names):
        raise UnreadableFile(
            f"{source} is not a packed station. Pack it on the old PC with “asheard pack”."
        )
    return names


def _refuse_without_room(file: zipfile.ZipFile, station: Path) -> None:
    size = sum(info.file_size for info in file.infolist())
    if size > _LARGEST_BYTES or size > shutil.disk_usage(station).free:
        raise CopyProblem(f"There is no room in {station} for {size / 1e6:,.0f} MB.")


def _extract(file: zipfile.ZipFile, name: str, target: Path) -> None:
    """One file, and not a byte more than the ZIP said it would be."""
    left = file.getinfo(name).file_size
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with file.open(name) as packed, target.open("xb") as unpacked:
        target.chmod(0o600)
        while piece := packed.read(1 << 20):
            left -= len(piece)
            if left < 0:
                raise zipfile.BadZipFile("larger than it says")
            unpacked.write(piece)
    backup.sync(target)


def _clean(database: Path, now: datetime) -> None:
    if wrong := backup.what_is_wrong(database):
        raise UnreadableFile(f"The packed station cannot be used: {wrong}. Pack it again.")
    with closing(backup.connect(database)) as db:
        if due := caller_rows.due(db, now.date()):
            caller_rows.erase(db, due)
