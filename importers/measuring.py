"""The background job that measures files: with progress, pausable, and it goes on where it was.

What is measured is kept beside what people and tags said (`catalogue/measures.py`). Only a blank
tempo is filled from it, and gives way as soon as somebody says another.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalogue import catalogue_rows, measures, undo
from catalogue.errors import CatalogueError, StoreProblem
from catalogue.measures import Measure, Unmeasured
from catalogue.store import Store
from importers import sound_measures
from importers.accession import Progress
from importers.report import Measured, Remark

SURE = 0.2
"""Confidence from which a measured tempo fills a blank: below it chance repeats as well (tried on
the sample library, where the one wrong tempo had 0.13)."""

_AT_ONCE = 20
"""Files in one action: what a power cut may lose, some ten seconds of work."""


def run(
    store: Store,
    who: str,
    now: datetime,
    progress: Progress | None = None,
    stop: Callable[[], bool] = lambda: False,
    *,
    again: bool = False,
) -> Measured:
    """Measure every file that was not measured yet, or all of them `again`.

    `stop` is asked before each file: a pause keeps what was done, and the next run goes on.
    Ctrl-C does the same. A file that cannot be decoded is told, and not tried again until its
    sound changes. Raises BadInput without the extra `audio`.
    """
    sound_measures.require()
    if again:
        measures.forget_outcomes(store)
    came, total, last = Measured(), measures.how_many_wait(store), 0
    try:
        while part := measures.waiting(store, last, _AT_ONCE):
            done: list[tuple[Unmeasured, list[Measure], str]] = []
            try:
                for file in part:
                    if stop():
                        came.stopped = True
                        break
                    done.append((file, *_measured(file, came)))
                    if progress:
                        progress(came.files + len(done), total)
            finally:
                _keep(store, done, who, now, came)
            if came.stopped:
                break
            last = part[-1].holding_id
    except KeyboardInterrupt:
        came.stopped = True
    return came


def left(store: Store) -> int:
    """How many files wait to be measured."""
    return measures.how_many_wait(store)


def _measured(file: Unmeasured, came: Measured) -> tuple[list[Measure], str]:
    """(what was measured, why nothing was); a file that is not there now is left for later."""
    try:
        return sound_measures.measure(Path(file.path)), ""
    except StoreProblem:
        raise
    except CatalogueError as problem:
        came.failed.append(Remark(file.path, problem.message))
        return [], problem.message
    except Exception as problem:  # decoders fail in many ways on damaged files
        name = Path(file.path).name
        why = f"{name} cannot be measured ({type(problem).__name__}); it may be damaged."
        came.failed.append(Remark(file.path, why))
        return [], why


def _keep(
    store: Store, done: list[tuple[Unmeasured, list[Measure], str]], who: str, now: datetime,
    came: Measured,
) -> None:  # fmt: skip
    came.files += len(done)
    with store.transaction():
        for file, found, problem in done:
            if problem and not os.path.lexists(file.path):
                continue  # its drive may be plugged in again
            measures.keep(store, file, found, problem, now)
        filling = [(f.recording_id, tempo) for f, found, _ in done if (tempo := _sure_tempo(found))]
        blank = catalogue_rows.recordings(store, [recording_id for recording_id, _ in filling])
        wanted = {n: bpm for n, bpm in filling if n in blank and blank[n].tempo is None}
        if wanted:
            with undo.action(store, who, f"filled {len(wanted)} tempos by measuring", now):
                for recording_id, bpm in wanted.items():
                    catalogue_rows.change_recording(store, recording_id, tempo=bpm)
        came.filled += len(wanted)


def _sure_tempo(found: list[Measure]) -> float | None:
    one = next((m for m in found if m.name == "tempo"), None)
    return one.number if one is not None and (one.confidence or 0) >= SURE else None
