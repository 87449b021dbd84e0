"""The tables of the shelves themselves, for `schema.py`."""

from __future__ import annotations

FILING = (
    # The rules of the list as a whole are the row without a shelf.
    """CREATE TABLE filing_rules (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        shelf_by TEXT NOT NULL CHECK (shelf_by IN ('mark', 'room')),
        shelf TEXT NOT NULL COLLATE NOCASE, articles TEXT NOT NULL, mac TEXT NOT NULL,
        saint TEXT NOT NULL, numerals TEXT NOT NULL, UNIQUE (shelf_by, shelf))""",
)
"""The statements of the migration, in order."""

STOCK_TAKES = (
    """CREATE TABLE shelf_places (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL UNIQUE COLLATE NOCASE, kind TEXT NOT NULL,
        in_use INTEGER NOT NULL DEFAULT 1)""",
    # The report is kept as it was written: discs get other marks and titles later.
    """CREATE TABLE stocktakes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        shelf_by TEXT NOT NULL CHECK (shelf_by IN ('mark', 'room')), shelf TEXT NOT NULL,
        carrier TEXT NOT NULL DEFAULT '', from_mark TEXT NOT NULL DEFAULT '',
        to_mark TEXT NOT NULL DEFAULT '',
        state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'finished', 'given up')),
        started_at TEXT NOT NULL, started_by TEXT NOT NULL,
        finished_at TEXT, finished_by TEXT NOT NULL DEFAULT '',
        report TEXT NOT NULL DEFAULT '')""",
    # Not tracked: a tick is taken back by ticking again. No reference to discs: a taking-in can
    # be taken back though its discs were seen. `number` counts the changes of one stock-take.
    """CREATE TABLE stocktake_finds (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        stocktake_id INTEGER NOT NULL REFERENCES stocktakes(id),
        key TEXT NOT NULL, disc_id INTEGER, typed TEXT NOT NULL DEFAULT '',
        about TEXT NOT NULL DEFAULT '', stays INTEGER NOT NULL DEFAULT 0,
        who TEXT NOT NULL, at TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0,
        late INTEGER NOT NULL DEFAULT 0, number INTEGER NOT NULL, UNIQUE (stocktake_id, key))""",
    "CREATE INDEX stocktake_finds_number ON stocktake_finds(stocktake_id, number)",
)
"""The places of the station, and the tables of the stock-take."""
FILED = (
    # What is to be filed anew, written by triggers: "recording" or "copy", and its number.
    """CREATE TABLE to_file (
        kind TEXT NOT NULL, id INTEGER NOT NULL, PRIMARY KEY (kind, id)) WITHOUT ROWID""",
    """CREATE TABLE rule_sets (
        id INTEGER PRIMARY KEY, articles TEXT NOT NULL, mac TEXT NOT NULL, saint TEXT NOT NULL,
        numerals TEXT NOT NULL, filed_to INTEGER NOT NULL DEFAULT 0,
        ready INTEGER NOT NULL DEFAULT 0, UNIQUE (articles, mac, saint, numerals))""",
    """CREATE TABLE filed_recordings (
        recording_id INTEGER PRIMARY KEY, words TEXT NOT NULL)""",
    """CREATE VIRTUAL TABLE filed_words USING fts5(
        words, content='filed_recordings', content_rowid='recording_id', tokenize='trigram',
        detail='none')""",
    """CREATE TABLE filed_keys (
        rule_set INTEGER NOT NULL REFERENCES rule_sets(id), recording_id INTEGER NOT NULL,
        title TEXT NOT NULL, name TEXT NOT NULL, year INTEGER NOT NULL, words TEXT NOT NULL,
        PRIMARY KEY (rule_set, recording_id)) WITHOUT ROWID""",
    # The words are in the indexes too, so that a long list is read from them alone.
    """CREATE INDEX filed_by_title ON filed_keys(
        rule_set, title, name, year, recording_id, words)""",
    """CREATE INDEX filed_by_name ON filed_keys(
        rule_set, name, title, year, recording_id, words)""",
    """CREATE TABLE filed_places (
        holding_id INTEGER PRIMARY KEY, mark TEXT NOT NULL, side TEXT NOT NULL,
        track TEXT NOT NULL, recording_id INTEGER NOT NULL, disc_id INTEGER NOT NULL)""",
    """CREATE INDEX filed_along ON filed_places(
        mark, side, track, recording_id, holding_id, disc_id)""",
    *(
        f"""CREATE TRIGGER recordings_to_file_{event.split()[0].lower()} AFTER {event}
        ON recordings BEGIN INSERT OR IGNORE INTO to_file VALUES ('recording', {row}.id); END"""
        for event, row in (
            ("INSERT", "new"),
            ("UPDATE OF title, artist_id, song_id, year", "new"),
            ("DELETE", "old"),
        )
    ),
    """CREATE TRIGGER artists_to_file AFTER UPDATE OF name ON artists BEGIN
        INSERT OR IGNORE INTO to_file
        SELECT 'recording', id FROM recordings WHERE artist_id = new.id; END""",
    """CREATE TRIGGER songs_to_file AFTER UPDATE OF title ON songs BEGIN
        INSERT OR IGNORE INTO to_file
        SELECT 'recording', id FROM recordings WHERE song_id = new.id; END""",
    *(
        f"""CREATE TRIGGER holdings_to_file_{event.split()[0].lower()} AFTER {event}
        ON holdings WHEN {row}.disc_id IS NOT NULL
        BEGIN INSERT OR IGNORE INTO to_file VALUES ('copy', {row}.id); END"""
        for event, row in (
            ("INSERT", "new"),
            ("UPDATE OF recording_id, disc_id, side, track", "new"),
            ("DELETE", "old"),
        )
    ),
    """CREATE TRIGGER discs_to_file AFTER UPDATE OF shelf_mark ON discs BEGIN
        INSERT OR IGNORE INTO to_file
        SELECT 'copy', id FROM holdings WHERE disc_id = new.id; END""",
    "INSERT INTO to_file SELECT 'recording', id FROM recordings",
    "INSERT INTO to_file SELECT 'copy', id FROM holdings WHERE disc_id IS NOT NULL",
)
"""The order of the list, made from names and marks when they are written (`filed_order.py`)."""

PARTS = (
    # A long work is done in several transactions: each further one names the first.
    "ALTER TABLE actions ADD COLUMN part_of INTEGER REFERENCES actions(id)",
    "CREATE INDEX actions_part_of ON actions(part_of) WHERE part_of IS NOT NULL",
)
"""A work in several parts, which is one to whoever reads of it."""

_FIELDS_COUNTED = (
    "title, artist_id, song_id, year, tempo, composer, length_s, genre, language, voice, isrc, "
    "album"
)

FACTS = (
    """CREATE TABLE held_recordings (
        recording_id INTEGER PRIMARY KEY, lacks INTEGER NOT NULL, decade INTEGER,
        genre TEXT NOT NULL, carriers TEXT NOT NULL)""",
    "CREATE INDEX held_recordings_carriers ON held_recordings(carriers)",
    """CREATE TABLE held_counts (
        fact TEXT NOT NULL, value TEXT NOT NULL, n INTEGER NOT NULL,
        PRIMARY KEY (fact, value)) WITHOUT ROWID""",
    """CREATE TABLE copy_places (
        holding_id INTEGER PRIMARY KEY, recording_id INTEGER NOT NULL, album TEXT NOT NULL,
        number INTEGER)""",
    "CREATE INDEX copy_places_album ON copy_places(album) WHERE album <> ''",
    """CREATE TABLE album_gaps (
        key TEXT PRIMARY KEY, album TEXT NOT NULL, artist TEXT NOT NULL, mark TEXT NOT NULL,
        side TEXT NOT NULL, missing TEXT NOT NULL, held INTEGER NOT NULL,
        recording_id INTEGER NOT NULL) WITHOUT ROWID""",
    "CREATE INDEX album_gaps_held ON album_gaps(held DESC, album, side)",
    # One recording on two discs is one of the marks of a disc that was shelved twice.
    """CREATE INDEX holdings_on_discs ON holdings(recording_id, disc_id)
        WHERE disc_id IS NOT NULL""",
    "CREATE INDEX holdings_gone ON holdings(id) WHERE missing AND path IS NOT NULL",
    """CREATE INDEX discs_not_ready ON discs(id) WHERE missing OR condition = 'damaged'""",
    """CREATE TRIGGER recordings_uncompared AFTER DELETE ON recordings BEGIN
        DELETE FROM compared_recordings WHERE recording_id = old.id; END""",
    "DELETE FROM compared_recordings WHERE recording_id NOT IN (SELECT id FROM recordings)",
    "DROP TRIGGER recordings_to_file_update",
    f"""CREATE TRIGGER recordings_to_file_update AFTER UPDATE OF {_FIELDS_COUNTED}
        ON recordings BEGIN INSERT OR IGNORE INTO to_file VALUES ('recording', new.id); END""",
    *(f"DROP TRIGGER holdings_to_file_{event}" for event in ("insert", "update", "delete")),
    *(
        f"""CREATE TRIGGER holdings_to_file_{event.split()[0].lower()} AFTER {event}
        ON holdings BEGIN INSERT OR IGNORE INTO to_file VALUES ('copy', {row}.id); END"""
        for event, row in (
            ("INSERT", "new"),
            ("UPDATE OF recording_id, disc_id, side, track", "new"),
            ("DELETE", "old"),
        )
    ),
    "DROP TRIGGER discs_to_file",
    """CREATE TRIGGER discs_to_file AFTER UPDATE OF shelf_mark, title, carrier ON discs BEGIN
        INSERT OR IGNORE INTO to_file
        SELECT 'copy', id FROM holdings WHERE disc_id = new.id; END""",
    "INSERT OR IGNORE INTO to_file SELECT 'recording', id FROM recordings",
    "INSERT OR IGNORE INTO to_file SELECT 'copy', id FROM holdings",
)
"""What the librarian's pages count, kept record by record (`held_facts.py`)."""

SHELF_LOOKS = (
    """CREATE TABLE shelf_looks (
        id INTEGER PRIMARY KEY AUTOINCREMENT, disc_id INTEGER NOT NULL UNIQUE REFERENCES discs(id),
        seen TEXT NOT NULL CHECK (seen IN ('not there', 'all listed')),
        signed_by TEXT NOT NULL DEFAULT '', at TEXT NOT NULL)""",
)
"""What somebody found who looked for a disc."""
