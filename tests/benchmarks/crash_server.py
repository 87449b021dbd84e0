"""The real server for `crashes.py`, which tells in shared memory when it is inside a write.

    python -m tests.benchmarks.crash_server FOLDER STATE [SYNCED]

Runs `asheard serve --station FOLDER --port 0`. STATE is a file of two bytes, mapped: the first is
1 inside a transaction that writes, 2 while it is committed, else 0. With SYNCED, a folder, the
database's files are copied there whenever SQLite has promised that they are on the drive: after a
commit under `synchronous = FULL` (sqlite.org/pragma.html#pragma_synchronous), and never otherwise.
The second byte names the copy that is whole (0 none yet, 1 or 2).

CRASH_SYNCHRONOUS=NORMAL in the environment takes FULL away, to see that the harness notices.
"""

from __future__ import annotations

import mmap
import os
import shutil
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from catalogue import backup
from catalogue import store as store_module
from catalogue.store import Store
from web import serving
from web.command_line import main

IDLE, WRITING, COMMITTING = 0, 1, 2
_FULL = 2
_lock = threading.RLock()
_transaction = Store.transaction


def copied(folder: Path, target: Path) -> None:
    """The database and its log, as they are now."""
    target.mkdir(exist_ok=True)
    for name in ("asheard.db", "asheard.db-wal"):
        if (folder / name).exists():
            shutil.copyfile(folder / name, target / name)


def install(folder: Path, state: Any, synced: Path | None) -> None:
    """Mark every transaction in `state`, and copy what is synced."""

    @contextmanager
    def marked(store: Store) -> Iterator[Any]:
        if store.db.conn.in_transaction:
            with _transaction(store) as db:
                yield db
            return
        with _lock:  # so that a copy of the files is of one moment
            try:
                with _transaction(store) as db:
                    state[0] = WRITING
                    yield db
                    state[0] = COMMITTING
            finally:
                state[0] = IDLE
            if synced is not None and store.db.execute("PRAGMA synchronous").fetchone()[0] >= _FULL:
                other = 2 if state[1] == 1 else 1
                copied(folder, synced / str(other))
                state[1] = other

    Store.transaction = marked  # type: ignore[method-assign, assignment]


def copies_without_end(station: Any, clock: Any) -> None:
    """A copy is made again and again, so that kills meet it too."""
    backup.make(station.store, backup.Kind.DAILY, clock())


def run() -> None:
    """Serve until killed."""
    folder, state_file, *rest = sys.argv[1:]
    synced = Path(rest[0]) if rest else None
    with Path(state_file).open("r+b") as file:
        state = mmap.mmap(file.fileno(), 2)
    if weaker := os.environ.get("CRASH_SYNCHRONOUS"):
        store_module._PRAGMAS = (*store_module._PRAGMAS, f"synchronous = {weaker}")
        store_module._MUST_BE = {"journal_mode": "wal"}
    if synced is not None:
        copied(Path(folder), synced / "1")  # what lies there before the start is on the drive
        state[1] = 1
    install(Path(folder), state, synced)
    serving.FIRST_COPY_S, serving.COPY_EVERY_S = 0.1, 0.4
    serving._keep_up = copies_without_end  # type: ignore[assignment]
    main(["serve", "--station", folder, "--port", "0"])


if __name__ == "__main__":
    run()
