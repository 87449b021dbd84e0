"""Files that only the user of this program can read: keys, tokens, passphrases to hand out."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from catalogue.errors import StationProblem


def write_privately(path: Path, content: bytes) -> None:
    """Write a file that only this user can read, whole or not at all. Raises StationProblem."""
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    except OSError as problem:
        draft.unlink(missing_ok=True)
        raise StationProblem(
            f"{path} cannot be written ({problem.strerror or problem}). "
            "Give this user the right to write there."
        ) from problem
