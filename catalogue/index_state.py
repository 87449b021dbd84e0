"""What a sound index says of itself, in one small file beside its folders, and their removal."""

from __future__ import annotations

import json
import os
import shutil
import time
from dataclasses import asdict, dataclass, fields
from pathlib import Path

NAME = "state.json"

_FORSAKEN_S = 3600.0
"""Age from which a folder that nothing points to was left by a process that was ended."""


@dataclass(frozen=True, slots=True)
class IndexState:
    """The index's make, whose it is, how far it has come, the folder it is in, and how many bytes
    of forms lie there with what CRC-32."""

    make: int = 0
    identity: int = 0
    last: int = -1
    folder: str = ""
    forms: int = 0
    checksum: int = 0


def read(folder: Path) -> IndexState:
    """The state kept in `folder`.

    Raises FileNotFoundError if there is none, ValueError or another OSError if it cannot be read.
    """
    data = json.loads((folder / NAME).read_text(encoding="utf-8"))
    if isinstance(data, dict):  # of an older make, it lacks what was not known then
        data = {**asdict(IndexState()), **data}
    kinds = {f.name: type(f.default) for f in fields(IndexState)}
    if not isinstance(data, dict) or {k: type(v) for k, v in data.items()} != kinds:
        raise ValueError("the state of the index is not what it should be")
    state = IndexState(**data)
    if Path(state.folder).name != state.folder or state.folder == ".." or state.forms < 0:
        raise ValueError("the state of the index leads somewhere else")
    return state


def write(folder: Path, state: IndexState) -> None:
    """Put the state in place of the old one, whole or not at all."""
    draft = folder / f"{NAME}.{os.getpid()}"
    draft.write_text(json.dumps(asdict(state)), encoding="utf-8")
    draft.replace(folder / NAME)


def clear_away(folder: Path, keep: str, old: str) -> None:
    """Remove the folder that was in use before, and those left by processes that were ended.

    A young folder stays: another process may be making it just now.
    """
    for other in folder.iterdir():
        forsaken = time.time() - other.stat().st_mtime > _FORSAKEN_S
        if other.is_dir() and other.name != keep and (other.name == old or forsaken):
            shutil.rmtree(other, ignore_errors=True)
