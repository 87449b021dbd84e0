"""The tables of jobs, for `schema.py`: what is taken in or measured beside the desks."""

from __future__ import annotations

JOBS = (
    """CREATE TABLE jobs (
        id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, source TEXT NOT NULL,
        options TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL, state TEXT NOT NULL,
        what TEXT NOT NULL DEFAULT '', done INTEGER NOT NULL DEFAULT 0, total INTEGER,
        rate REAL, wish TEXT NOT NULL DEFAULT '', report TEXT NOT NULL DEFAULT '{}')""",
    """CREATE TABLE job_remarks (
        id INTEGER PRIMARY KEY, job_id INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE,
        kind TEXT NOT NULL, source TEXT NOT NULL, text TEXT NOT NULL,
        raw TEXT NOT NULL DEFAULT '{}', mend TEXT NOT NULL DEFAULT '{}')""",
    "CREATE INDEX job_remarks_job ON job_remarks(job_id, kind)",
    # No reference to raw_entries: those that were taken back stay, and so do these.
    """CREATE TABLE looked_at (
        id INTEGER PRIMARY KEY AUTOINCREMENT, entry_id INTEGER NOT NULL UNIQUE)""",
    "CREATE INDEX raw_entries_noted ON raw_entries(id) WHERE note <> ''",
)
"""Jobs, their remarks, and what somebody has looked at since."""
