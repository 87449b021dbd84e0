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
    # One row for each time it was asked for: the place by number, nothing said. The slip is in
    # `waiting` instead, and erased there.
    """CREATE TABLE want_asks (
        id INTEGER PRIMARY KEY AUTOINCREMENT, want_id INTEGER NOT NULL REFERENCES wants(id),
        slip_id INTEGER REFERENCES slips(id), place_id INTEGER REFERENCES places(id),
        at TEXT NOT NULL)""",
    "CREATE INDEX want_asks_want ON want_asks(want_id)",
    "CREATE INDEX want_asks_slip ON want_asks(slip_id)",
)
"""The statements of the migration, in order."""

_NOW = "coalesce((SELECT kept FROM merged_recordings WHERE gone = {0}), {0})"

LIBRARIAN = (
    # Not tracked: what a search did, for the page that shows how far it is.
    """CREATE TABLE search_runs (
        id INTEGER PRIMARY KEY, started_by TEXT NOT NULL, started_at TEXT NOT NULL,
        again INTEGER NOT NULL DEFAULT 0, done INTEGER NOT NULL DEFAULT 0,
        total INTEGER NOT NULL DEFAULT 0, ended_at TEXT, fresh INTEGER NOT NULL DEFAULT 0,
        compared INTEGER NOT NULL DEFAULT 0, problem TEXT NOT NULL DEFAULT '')""",
    # No reference to discs: one that was made one with another is gone.
    """CREATE TABLE disc_judgements (
        id INTEGER PRIMARY KEY AUTOINCREMENT, disc_a INTEGER NOT NULL, disc_b INTEGER NOT NULL,
        verdict TEXT NOT NULL, signed_by TEXT NOT NULL, at TEXT NOT NULL,
        UNIQUE (disc_a, disc_b))""",
    # What a want was taken for and is not, by a person's word.
    """CREATE TABLE not_meant (
        id INTEGER PRIMARY KEY AUTOINCREMENT, want_id INTEGER NOT NULL REFERENCES wants(id),
        recording_id INTEGER NOT NULL REFERENCES recordings(id), UNIQUE (want_id, recording_id))""",
    "CREATE INDEX not_meant_recording ON not_meant(recording_id)",
    # A stand-in that was played for a record since made one with another is discounted there.
    "DROP TRIGGER stand_in_lessons_unplayed",
    f"""CREATE TRIGGER stand_in_lessons_unplayed AFTER UPDATE OF state ON slips
        WHEN old.state = 'played' AND new.state <> 'played'
            AND new.stand_in_for IS NOT NULL AND new.recording_id IS NOT NULL
        BEGIN UPDATE stand_in_lessons SET taken = taken - 1 WHERE id = (
            SELECT id FROM stand_in_lessons WHERE taken > 0
                AND {_NOW.format("asked_id")} = new.stand_in_for
                AND {_NOW.format("offered_id")} = new.recording_id
            ORDER BY asked_id <> new.stand_in_for, offered_id <> new.recording_id
            LIMIT 1); END""",
)
"""The statements of a later migration: searches, judgements of discs, and what was not meant."""

WAITING = (
    # Which slip waits for which want: with the callers' details, and erased with them.
    """CREATE TABLE waiting (
        slip_id INTEGER NOT NULL REFERENCES slips(id) ON DELETE CASCADE,
        want_id INTEGER NOT NULL, PRIMARY KEY (slip_id, want_id)) WITHOUT ROWID""",
    "CREATE INDEX waiting_want ON waiting(want_id)",
)
"""The statements of a later migration: which slip waits for what."""
