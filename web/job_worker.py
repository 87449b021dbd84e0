"""A program that does one job beside the desks: `python -m web.job_worker DATABASE NUMBER`.

A program of its own, so that reading a drive does not slow the phone desk down. It stops, keeping
what is done, when its standard input ends: when the server that started it is gone.
"""

from __future__ import annotations

import signal
import sys
import threading
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalogue import edit_many, standing_back, work_in_parts
from catalogue.errors import CatalogueError
from catalogue.store import Store
from importers import jobs, measuring, taking_in
from importers.jobs import Doing, Job
from web import edit_jobs

_NICER = 5
"""How far it stands back for the desks, where the system knows of that. Not as far as it could:
while it writes, a desk that writes waits for it."""

_BREATH_S = 0.03
"""Between two parts of a long edit: a desk that waits looks every 4 ms whether it may write
(`catalogue/turns.py`), so that it gets in between any two. Without it some waited four seconds."""


def do(store: Store, job_id: int, now: datetime) -> None:
    """Do a job that was written down. Raises CatalogueError; why is kept with the job."""
    asked = jobs.get(store, job_id)
    with jobs.doing(store, job_id) as doing:
        threading.Thread(target=_until_left_alone, args=(doing,), daemon=True).start()
        _work(store, asked, doing, now)


def _work(store: Store, asked: Job, doing: Doing, now: datetime) -> None:
    source, options = Path(asked.source), asked.options
    if asked.kind == "files":
        taking_in.add_files(
            store, source, asked.who, now, doing.progress, job=doing,
            again=bool(options.get("again")), gone=bool(options.get("gone")),
        )  # fmt: skip
    elif asked.kind == "measure":
        doing.keep_measured(
            measuring.run(
                store, asked.who, now, doing.progress, doing.stop,
                again=bool(options.get("again")),
            )
        )  # fmt: skip
    elif asked.kind == "edit":
        outcome = edit_many.run(
            store, options["ids"], edit_jobs.edit_of(options["edit"]), asked.who,
            str(options["what"]), now, _with_breath(doing), doing.stop,
        )  # fmt: skip
        doing.keep_counts(edit_jobs.counts_of(outcome), stopped=outcome.stopped)
    elif asked.kind == "undo":
        work_in_parts.take_back(
            store, int(options["action_id"]), asked.who, now, _with_breath(doing), doing.stop
        )
    else:
        columns = {shape: tuple(said) for shape, said in options.get("columns", {}).items()}
        if asked.kind == "known":
            taking_in.add_known(store, source, asked.who, now, doing.progress, columns, doing)
        else:  # given in a browser: it says which files of this PC are opened
            taking_in.add_list(store, source, asked.who, now, doing.progress, columns, doing,
                               only_in_library=True)  # fmt: skip


def _with_breath(doing: Doing) -> Callable[[int, int | None], None]:
    """Notes how far it is, and leaves the desks room to write before the next part."""

    def progress(done: int, total: int | None = None) -> None:
        doing.progress(done, total)
        time.sleep(_BREATH_S)

    return progress


def _until_left_alone(doing: Doing) -> None:
    sys.stdin.buffer.read()
    doing.ask_to_stop()


def main() -> None:
    """Do the job named in the arguments; its time is that of the desk that asked for it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the server, which ends our input
    standing_back.this_process(_NICER)
    path, job_id = Path(sys.argv[1]), int(sys.argv[2])
    store = Store(path)
    try:
        do(store, job_id, datetime.fromisoformat(jobs.get(store, job_id).at))
    except CatalogueError:
        sys.exit(1)  # the page tells why
    finally:
        store.close()


if __name__ == "__main__":
    main()
