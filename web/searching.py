"""A search for doubles in the background: a process of its own beside the server.

Comparing a million recordings takes a minute of arithmetic and gigabytes; in the server's own
process the phone desk would feel it, and the memory would stay. How far the search is stands in
`search_runs`, where any page can read it. `python -m web.searching FOLDER RUN` is the process.
"""

from __future__ import annotations

import logging
import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalogue import duplicate_search, search_runs
from catalogue.errors import CatalogueError
from catalogue.store import Store
from web.opening import DATABASE, local_time

_log = logging.getLogger(__name__)


def start(
    store: Store, who: str, clock: Callable[[], datetime], *, again: bool = False
) -> threading.Thread:
    """Begin a search; returns the thread that waits for its end.

    Raises ChangedMeanwhile if one goes on already.
    """
    run = search_runs.begin(store, who, clock(), again=again)
    waiting = threading.Thread(target=_wait, args=(store, run, clock), daemon=True)
    waiting.start()
    return waiting


def _wait(store: Store, run: int, clock: Callable[[], datetime]) -> None:
    command = [sys.executable, "-m", "web.searching", str(store.path.parent), str(run)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode:
            _log.warning("A search for doubles failed: %s", done.stderr.strip()[-500:])
    except OSError as problem:
        _log.warning("A search for doubles could not begin: %s", problem)
    search_runs.fail(store, run, search_runs.BROKEN_OFF, clock())  # unless it ended well


def run(folder: Path, run_id: int) -> None:
    """Do the search that was begun under this number, noting how far it is."""
    store = Store(folder / DATABASE)
    again = (found := search_runs.latest(store)) is not None and found.again
    try:
        searched = duplicate_search.search(
            store, lambda done, total: search_runs.note(store, run_id, done, total), again=again
        )
        search_runs.end(store, run_id, searched, local_time())
    except CatalogueError as problem:
        search_runs.fail(store, run_id, problem.message, local_time())
    finally:
        store.close()


if __name__ == "__main__":
    run(Path(sys.argv[1]), int(sys.argv[2]))
