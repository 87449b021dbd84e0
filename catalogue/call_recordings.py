"""Recordings of callers made beforehand: files beside the database, each named on one slip.

The name of the file is with the caller's details (`callers.py`), and when these are erased the
file goes too: its bytes are written over before it is removed. What a drive keeps of old blocks
by itself, and what backups hold, no program can reach.
"""

from __future__ import annotations

import os
import secrets
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from catalogue.errors import BadInput, NotFound, StationProblem
from catalogue.store import Store

FOLDER = "call_recordings"
LARGEST_BYTES = 300 * 1024 * 1024
"""Half an hour as an uncompressed stereo WAV, at 44.1 kHz and 16 bits."""

_PIECE = 1 << 20
_ARRIVING_S = 3600


def folder(store: Store) -> Path:
    """Where this station's recordings of callers are."""
    return store.path.parent / FOLDER


def new_name(suffix: str) -> str:
    """A name for a file that says nothing of the caller."""
    return f"{secrets.token_hex(12)}{suffix.lower()}"


def path_of(store: Store, name: str) -> Path:
    """The file of this name. Raises NotFound for one that is not there."""
    path = folder(store) / name
    if not name or Path(name).name != name or not path.is_file():
        raise NotFound("The recording is not there any more; perhaps its time was over.")
    return path


def keep(store: Store, name: str, source: BinaryIO, length: int) -> Path:
    """Write `length` bytes of a recording to its file, whole or not at all.

    Raises BadInput for an empty, cut or too large one, StationProblem if it cannot be written.
    """
    if length > LARGEST_BYTES:
        raise BadInput(f"That recording is larger than {LARGEST_BYTES >> 20} MB. Shorten it first.")
    path = folder(store) / name
    try:
        folder(store).mkdir(mode=0o700, exist_ok=True)
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            left = length
            while left and (piece := source.read(min(_PIECE, left))):
                file.write(piece)
                left -= len(piece)
            file.flush()
            os.fsync(file.fileno())
    except OSError as problem:
        wipe(path)
        raise StationProblem(
            f"The recording cannot be written ({problem.strerror or problem}). Make room on the "
            "drive, or give this user the right to write there."
        ) from problem
    if left or not length:
        wipe(path)
        raise BadInput("The recording did not arrive whole. Give it again.")
    return path


def wipe(path: Path) -> None:
    """Write over a file and remove it; nothing happens if it is not there."""
    with suppress(FileNotFoundError):
        with path.open("r+b") as file:
            left = path.stat().st_size
            while left > 0:
                left -= file.write(bytes(min(_PIECE, left)))
            file.flush()
            os.fsync(file.fileno())
        path.unlink()


def wipe_orphans(store: Store, names: Iterable[str]) -> None:
    """Remove recordings that are not among these names and have lain for an hour.

    A younger one may be arriving just now, before its slip names it.
    """
    kept = set(names)
    if not folder(store).is_dir():
        return
    for path in folder(store).iterdir():
        if path.name not in kept and time.time() - path.stat().st_mtime > _ARRIVING_S:
            wipe(path)
