"""The tables of the station: rules, slips, callers, plays, loans, people; for `schema.py`."""

from __future__ import annotations

STATION = (
    """CREATE TABLE settings (
        id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL UNIQUE, value TEXT)""",
    """CREATE TABLE places (
        id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL UNIQUE,
        say TEXT NOT NULL DEFAULT '',
        on_air INTEGER NOT NULL DEFAULT 0, in_use INTEGER NOT NULL DEFAULT 1)""",
    """CREATE TABLE programmes (
        id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL,
        presenter TEXT NOT NULL DEFAULT '',
        starts_at TEXT NOT NULL, ends_at TEXT NOT NULL)""",
    # AUTOINCREMENT: a number that a desk still shows must never come to mean another caller.
    """CREATE TABLE slips (
        id INTEGER PRIMARY KEY AUTOINCREMENT, purpose TEXT NOT NULL, state TEXT NOT NULL,
        studio TEXT NOT NULL DEFAULT '', recording_id INTEGER REFERENCES recordings(id),
        holding_id INTEGER REFERENCES holdings(id),
        stand_in_for INTEGER REFERENCES recordings(id), occasion TEXT NOT NULL DEFAULT '',
        why_not TEXT NOT NULL DEFAULT '', started_at TEXT NOT NULL, handed_at TEXT,
        done_at TEXT, programme_id INTEGER REFERENCES programmes(id),
        version INTEGER NOT NULL DEFAULT 1, urgent INTEGER NOT NULL DEFAULT 0,
        hold_since TEXT, same_call INTEGER REFERENCES slips(id),
        in_studio TEXT NOT NULL DEFAULT '', in_studio_at TEXT)""",
    "CREATE INDEX slips_same_call ON slips(same_call) WHERE same_call IS NOT NULL",
    "CREATE INDEX slips_state ON slips(state)",
    "CREATE INDEX slips_recording ON slips(recording_id)",
    "CREATE INDEX slips_holding ON slips(holding_id)",
    "CREATE INDEX slips_stand_in_for ON slips(stand_in_for)",
    # Taking an action back restores the row, but its version must never be one seen before.
    """CREATE TRIGGER slips_version_rises AFTER UPDATE ON slips WHEN new.version <= old.version
        BEGIN UPDATE slips SET version = old.version + 1 WHERE id = new.id; END""",
    """CREATE TABLE caller_details (
        slip_id INTEGER PRIMARY KEY REFERENCES slips(id) ON DELETE CASCADE,
        heard TEXT NOT NULL DEFAULT '', heard_title TEXT NOT NULL DEFAULT '',
        heard_artist TEXT NOT NULL DEFAULT '', caller_name TEXT NOT NULL DEFAULT '',
        say_name TEXT NOT NULL DEFAULT '', place_id INTEGER REFERENCES places(id),
        place_detail TEXT NOT NULL DEFAULT '', for_whom TEXT NOT NULL DEFAULT '',
        why TEXT NOT NULL DEFAULT '', talk_about TEXT NOT NULL DEFAULT '',
        how_on_air TEXT NOT NULL DEFAULT '', line TEXT NOT NULL DEFAULT '',
        ring_back TEXT NOT NULL DEFAULT '', consent TEXT NOT NULL DEFAULT '',
        consent_at TEXT, consent_noted_by TEXT NOT NULL DEFAULT '',
        under_sixteen INTEGER NOT NULL DEFAULT 0, adult_consent TEXT NOT NULL DEFAULT '',
        recording_file TEXT NOT NULL DEFAULT '', recording_length_s REAL,
        first_words TEXT NOT NULL DEFAULT '', last_words TEXT NOT NULL DEFAULT '',
        may_hear TEXT NOT NULL DEFAULT '',
        written_at TEXT NOT NULL, erase_on TEXT NOT NULL)""",
    "CREATE INDEX caller_details_erase_on ON caller_details(erase_on)",
    "CREATE TABLE erasures (id INTEGER PRIMARY KEY, at TEXT NOT NULL, slips INTEGER NOT NULL)",
    """CREATE TABLE plays (
        id INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL,
        recording_id INTEGER NOT NULL REFERENCES recordings(id),
        holding_id INTEGER REFERENCES holdings(id),
        programme_id INTEGER REFERENCES programmes(id), slip_id INTEGER REFERENCES slips(id),
        studio TEXT NOT NULL DEFAULT '', note TEXT NOT NULL DEFAULT '')""",
    "CREATE INDEX plays_recording_at ON plays(recording_id, at)",
    "CREATE INDEX plays_at ON plays(at)",
    "CREATE INDEX plays_holding ON plays(holding_id)",
    "CREATE INDEX plays_slip ON plays(slip_id)",
    """CREATE TABLE loans (
        id INTEGER PRIMARY KEY AUTOINCREMENT, disc_id INTEGER NOT NULL REFERENCES discs(id),
        lent_to TEXT NOT NULL, since TEXT NOT NULL, due TEXT, back TEXT)""",
    "CREATE INDEX loans_disc ON loans(disc_id)",
    """CREATE TABLE wants (
        id INTEGER PRIMARY KEY AUTOINCREMENT, artist TEXT NOT NULL DEFAULT '',
        title TEXT NOT NULL DEFAULT '',
        recording_id INTEGER REFERENCES recordings(id), times INTEGER NOT NULL DEFAULT 1,
        first_asked TEXT NOT NULL, last_asked TEXT NOT NULL,
        state TEXT NOT NULL DEFAULT 'wanted')""",
    "CREATE INDEX wants_recording ON wants(recording_id)",
    """CREATE TABLE judgements (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        recording_a INTEGER NOT NULL, recording_b INTEGER NOT NULL,
        verdict TEXT NOT NULL, signed_by TEXT NOT NULL, at TEXT NOT NULL,
        UNIQUE (recording_a, recording_b))""",
    """CREATE TABLE people (
        id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, role TEXT NOT NULL,
        passphrase_hash TEXT NOT NULL, session_key TEXT NOT NULL,
        active INTEGER NOT NULL DEFAULT 1)""",
)
"""The statements of the second migration, in order."""
