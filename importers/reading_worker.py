"""A process that reads files for another: `python -m importers.reading_worker`.

It takes parts, each a pickled (paths, folder) after its length, from its standard input and
answers each with the pickled list of what the files say. It ends with its input: nothing is left
behind when the other process is killed.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import struct
import sys
from pathlib import Path
from typing import IO

from catalogue import standing_back
from catalogue.errors import UnreadableFile
from importers import audio_tags
from importers.entries import Entry, Refused

Read = Entry | Refused

_NICER = 10
"""How much further it stands back than whoever writes: it holds nothing that a desk waits for."""


def read_part(paths: list[str], root: Path) -> list[Read]:
    """What each of a few files says."""
    return [read_one(path, root) for path in paths]


def read_one(path: str, root: Path) -> Read:
    """What one file says, or why it cannot be used."""
    try:
        path.encode("utf-8")
    except UnicodeEncodeError:
        name = os.path.relpath(path, root).encode("utf-8", "replace").decode("utf-8")
        return Refused(name, "Its name has letters that this computer cannot read. Rename it.")
    try:
        return audio_tags.read(Path(path), root)
    except UnreadableFile as problem:
        return Refused(os.path.relpath(path, root), problem.message)
    except OSError as problem:
        why = f"{Path(path).name} cannot be read ({problem.strerror or problem})."
        return Refused(os.path.relpath(path, root), why)


def main() -> None:
    """Answer parts until there are no more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the process that writes
    standing_back.this_process(_NICER)
    gc.freeze()  # what is loaded by now stays: no need to look through it again and again
    while True:
        try:
            paths, root = pickle.loads(unpacked(sys.stdin.buffer))
        except EOFError:
            return
        sys.stdout.buffer.write(packed(read_part(paths, root)))
        sys.stdout.buffer.flush()


_LENGTH = struct.Struct(">I")


def packed(what: object) -> bytes:
    """Something pickled, after its length."""
    data = pickle.dumps(what, pickle.HIGHEST_PROTOCOL)
    return _LENGTH.pack(len(data)) + data


def unpacked(pipe: IO[bytes]) -> bytes:
    """The next pickled thing of a pipe. Raises EOFError at its end."""
    head = pipe.read(_LENGTH.size)
    if len(head) < _LENGTH.size:
        raise EOFError
    (length,) = _LENGTH.unpack(head)
    data = pipe.read(length)
    if len(data) < length:
        raise EOFError
    return data


if __name__ == "__main__":
    main()
