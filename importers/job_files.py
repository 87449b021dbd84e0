"""Files of what came of a taking-in: the whole report, and the rows to be mended."""

from __future__ import annotations

from collections.abc import Iterator

from catalogue import plain_csv
from catalogue.store import Store
from importers import jobs, refused_file
from importers.jobs import Job
from importers.report import Report

_COLUMNS = ("What came of it", "File or row", "Title", "Artist", "Why")
_UNCHANGED = "its size and time, or its words, are as they were: there was nothing to do"
_GONE = "known before, and no longer there; marked as missing"
_WHY = {
    "added": "new here",
    "new copy": "one more copy of a recording that was known",
    "changed": "brought up to date",
    "moved": "known by its sound, at another place now",
}


def report(store: Store, job: Job) -> str:
    """The whole report as CSV: a line for each file or row, with what came of it and why.

    What was held already and has not changed is one line with its number.
    """
    return plain_csv.text(_COLUMNS, _rows(store, job))


def _rows(store: Store, job: Job) -> Iterator[tuple[str, str, str, str, str]]:
    taken = store.db.execute(
        """SELECT e.outcome, e.source, e.note, r.title, a.name FROM actions t
        JOIN raw_entries e ON e.action_id = t.id LEFT JOIN recordings r ON r.id = e.recording_id
        LEFT JOIN artists a ON a.id = r.artist_id
        WHERE t.what = ? AND t.takes_back IS NULL ORDER BY e.id""",
        (job.what,),
    )
    for outcome, source, note, title, artist in taken:
        whys = [_WHY.get(outcome, ""), *note.split("\n")]
        yield outcome, source, title or "", artist or "", "; ".join(filter(None, whys))
    if held := job.report.get("already_held"):
        yield "already held", f"{held} files or rows", "", "", _UNCHANGED
    for kind, said in (("refused", "refused"), ("look", "needs a look"), ("failed", "failed")):
        for one in jobs.remarks(store, job.id, kind):
            yield said, one.source, "", "", one.text
    for one in jobs.remarks(store, job.id, "gone"):
        yield "missing", one.source, "", "", _GONE
    for sentence in (*job.report.get("read_as", ()), *job.report.get("out_of_reach", ())):
        yield "", "", "", "", sentence


def to_mend(store: Store, job: Job) -> str:
    """The rows that could not be used as CSV, under the list's own headings, each with its why."""
    made = Report(job.what, headings=list(job.report.get("headings", ())))
    made.refused = jobs.remarks(store, job.id, "refused")
    return refused_file.text(made)
