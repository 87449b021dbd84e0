"""The tables of likely doubles, of what was merged and of who waits, for `schema.py`."""

from __future__ import annotations

DUPLICATES = (
    # Not tracked: comparing again brings them back. No reference to recordings: a taking-in can
    # be taken back though it was compared.
    """CREATE TABLE likely_pairs (
        recording_a INTEGER NOT NULL, recording_b INTEGER NOT NULL, bits REAL NOT NULL,
        evidence TEXT NOT NULL, PRIMARY KEY (recording_a, recording_b)) WITHOUT ROWID""",
    "CREATE INDEX likely_pairs_b ON likely_pairs(recording_b)",
    "CREATE INDEX likely_pairs_bits ON likely_pairs(bits)",
    """CREATE TABLE compared_recordings (
        recording_id INTEGER PRIMARY KEY, digest INTEGER NOT NULL)""",
    # What was merged into what: files and rows said things of the record that is gone.
    """CREATE TABLE merged_recordings (
        id INTEGER PRIMARY KEY AUTOINCREMENT, gone INTEGER NOT NULL UNIQUE,
        kept INTEGER NOT NULL REFERENCES recordings(id), taken TEXT NOT NULL DEFAULT '',
        signed_by TEXT NOT NULL, at TEXT NOT NULL)""",
    "CREATE INDEX merged_recordings_kept ON merged_recordings(kept)",
    # One row for each time it was asked for: the slip and the place by number, nothing said.
    """CREATE TABLE want_asks (
        id INTEGER PRIMARY KEY AUTOINCREMENT, want_id INTEGER NOT NULL REFERENCES wants(id),
        slip_id INTEGER REFERENCES slips(id), place_id INTEGER REFERENCES places(id),
        at TEXT NOT NULL)""",
    "CREATE INDEX want_asks_want ON want_asks(want_id)",
    "CREATE INDEX want_asks_slip ON want_asks(slip_id)",
)
"""The statements of the migration, in order."""
