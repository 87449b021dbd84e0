"""The tables of signing in, for `schema.py`: known browsers, PINs, sessions, and wrong tries.

No token, passphrase or PIN is in them, only hashes; a token of 256 bits needs no slow hash. When
somebody's row goes from the list of people, what is theirs here goes with it, by triggers, in
whatever way the row is taken out.
"""

from __future__ import annotations

SIGN_IN = (
    # When a one-time passphrase is over; NULL for a passphrase of their own.
    "ALTER TABLE people ADD COLUMN phrase_until TEXT",
    # `shared_as` is the name of a desk that several people use; empty for other browsers.
    """CREATE TABLE browsers (
        id INTEGER PRIMARY KEY AUTOINCREMENT, token_hash TEXT NOT NULL UNIQUE,
        shared_as TEXT NOT NULL DEFAULT '', since TEXT NOT NULL)""",
    """CREATE TABLE known_browsers (
        browser_id INTEGER NOT NULL REFERENCES browsers(id) ON DELETE CASCADE,
        person_id INTEGER NOT NULL, last_used TEXT NOT NULL,
        PRIMARY KEY (browser_id, person_id)) WITHOUT ROWID""",
    """CREATE TABLE pins (
        browser_id INTEGER NOT NULL REFERENCES browsers(id) ON DELETE CASCADE,
        person_id INTEGER NOT NULL, pin_hash TEXT NOT NULL, since TEXT NOT NULL,
        wrong INTEGER NOT NULL DEFAULT 0,
        PRIMARY KEY (browser_id, person_id)) WITHOUT ROWID""",
    """CREATE TABLE sessions (
        id INTEGER PRIMARY KEY AUTOINCREMENT, token_hash TEXT NOT NULL UNIQUE,
        person_id INTEGER NOT NULL, person_key TEXT NOT NULL, browser_id INTEGER,
        by_pin INTEGER NOT NULL, started_at TEXT NOT NULL, seen_at TEXT NOT NULL)""",
    "CREATE INDEX sessions_person ON sessions(person_id)",
    """CREATE TABLE sign_in_tries (
        who TEXT PRIMARY KEY, tries INTEGER NOT NULL, last TEXT NOT NULL) WITHOUT ROWID""",
    """CREATE TRIGGER people_gone AFTER DELETE ON people BEGIN
        DELETE FROM known_browsers WHERE person_id = old.id;
        DELETE FROM pins WHERE person_id = old.id;
        DELETE FROM sessions WHERE person_id = old.id; END""",
)
"""The statements of the migration, in order."""
