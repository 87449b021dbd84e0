"""Starting jobs beside the desks, and telling whether one is under way."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from catalogue.errors import BadInput
from catalogue.store import Store
from importers import jobs, one_at_a_time
from importers.jobs import Job, State
from web.texts import t

_UNDER_WAY = (State.WAITING, State.RUNNING)


class Workers:
    """The programs that this server has started, by the number of their job."""

    def __init__(self) -> None:
        self._processes: dict[int, subprocess.Popen[bytes]] = {}
        self._lock = threading.Lock()

    def start(
        self, store: Store, kind: str, source: str, options: Mapping[str, Any], who: str,
        now: datetime,
    ) -> int:  # fmt: skip
        """Start a job; returns its number. Raises BadInput while another is under way."""
        with self._lock:
            if self.under_way(store):
                raise BadInput(t("taking.one_at_a_time"))
            job_id = jobs.ask(store, kind, source, options, who, now)
            self._processes[job_id] = subprocess.Popen(
                [sys.executable, "-m", "web.job_worker", str(store.path), str(job_id)],
                stdin=subprocess.PIPE,  # its end tells the program that this server is gone
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
            )
        return job_id

    def under_way(self, store: Store) -> Job | None:
        """The job that is done just now, by this server or by a command."""
        latest = jobs.latest(store, 1)
        return latest[0] if latest and self.is_under_way(store, latest[0]) else None

    def is_under_way(self, store: Store, job: Job) -> bool:
        """Whether a job is being done: one that says so may have been broken off."""
        if job.state not in _UNDER_WAY:
            return False
        process = self._processes.get(job.id)
        if process is not None and process.poll() is None:
            return True
        return one_at_a_time.is_held(store.path.parent)

    def close(self) -> None:
        """Have what is under way stop, and wait a moment for it."""
        for process in self._processes.values():
            if process.stdin is not None:
                process.stdin.close()
        for process in self._processes.values():
            try:
                process.wait(_LAST_BATCH_S)
            except subprocess.TimeoutExpired:
                process.kill()
        self._processes.clear()


_LAST_BATCH_S = 10
"""How long a program may take to keep what is done when the server ends."""
