"""The tables of the round, the programme's list and what is pulled for it, for `schema.py`."""

from __future__ import annotations

PROGRAMME = (
    "ALTER TABLE programmes ADD COLUMN kind TEXT NOT NULL DEFAULT ''",
    # How long it was heard, which a usage return asks for; the record may have been faded out.
    "ALTER TABLE plays ADD COLUMN heard_s REAL",
    # No reference: a line may be taken out of a list though it was played.
    "ALTER TABLE plays ADD COLUMN item_id INTEGER",
    "CREATE INDEX plays_item ON plays(item_id) WHERE item_id IS NOT NULL",
    """CREATE TABLE rounds (
        id INTEGER PRIMARY KEY AUTOINCREMENT, started_at TEXT NOT NULL,
        handed_at TEXT)""",
    "ALTER TABLE slips ADD COLUMN came_by TEXT NOT NULL DEFAULT 'telephone'",
    "ALTER TABLE slips ADD COLUMN asked_by TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE slips ADD COLUMN wanted_on TEXT",
    "ALTER TABLE slips ADD COLUMN carried_from TEXT",
    "ALTER TABLE slips ADD COLUMN round_id INTEGER REFERENCES rounds(id)",
    "ALTER TABLE slips ADD COLUMN row_key TEXT",
    "ALTER TABLE slips ADD COLUMN play_id INTEGER REFERENCES plays(id)",
    "CREATE INDEX slips_round ON slips(round_id) WHERE round_id IS NOT NULL",
    "CREATE UNIQUE INDEX slips_row_key ON slips(row_key) WHERE row_key IS NOT NULL",
    "CREATE INDEX slips_play ON slips(play_id) WHERE play_id IS NOT NULL",
    "CREATE INDEX slips_programme ON slips(programme_id) WHERE programme_id IS NOT NULL",
    "UPDATE slips SET play_id = (SELECT p.id FROM plays p WHERE p.slip_id = slips.id)",
    # What is planned: a slip, or a record put in by hand.
    """CREATE TABLE programme_items (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        programme_id INTEGER NOT NULL REFERENCES programmes(id),
        position INTEGER NOT NULL, slip_id INTEGER REFERENCES slips(id),
        recording_id INTEGER REFERENCES recordings(id),
        holding_id INTEGER REFERENCES holdings(id),
        CHECK ((slip_id IS NULL) <> (recording_id IS NULL)))""",
    "CREATE INDEX programme_items_programme ON programme_items(programme_id)",
    """CREATE UNIQUE INDEX programme_items_slip ON programme_items(slip_id)
        WHERE slip_id IS NOT NULL""",
    """CREATE TABLE pulled_discs (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        programme_id INTEGER NOT NULL REFERENCES programmes(id),
        disc_id INTEGER NOT NULL REFERENCES discs(id), pulled_at TEXT NOT NULL,
        put_away_at TEXT)""",
    "CREATE INDEX pulled_discs_out ON pulled_discs(disc_id) WHERE put_away_at IS NULL",
    # Counted when details are erased: how many, never who. No link to a slip.
    """CREATE TABLE place_counts (
        month TEXT NOT NULL, place_id INTEGER NOT NULL, came_by TEXT NOT NULL,
        requests INTEGER NOT NULL, PRIMARY KEY (month, place_id, came_by)) WITHOUT ROWID""",
)
"""The statements of the migration, in order."""

TRACKED_ANEW = ("programmes", "plays", "slips")
"""Tracked tables that got a column."""

TRACKED_NEW = ("rounds", "programme_items", "pulled_discs")
"""New tables whose rows can be taken back."""
