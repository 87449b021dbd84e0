"""The tables, which file owns each, and the migrations that make them.

Only the owner of a table writes it. Two things are written by triggers, in the same
transaction as the row itself, so that no owner can forget them:

- `changes`: which row of a tracked table was changed by which action, and for an update or a
  deletion what it held before (the method of sqlite.org/undoredo.html). `undo.py` reads it.
  A write to a tracked table outside an action fails.
- `index_changes`: a numbered list of recordings whose names changed. `sound_index.py` reads it.

Words that a caller said are in `caller_details` alone, which is not tracked: what is erased
there is erased.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

from catalogue.desk_tables import DESKS
from catalogue.duplicate_tables import DUPLICATES
from catalogue.stand_in_tables import STAND_INS

OWNERS: dict[str, str] = {
    "artists": "store",
    "songs": "store",
    "recordings": "store",
    "discs": "store",
    "holdings": "store",
    "other_names": "store",
    "actions": "undo",
    "current_action": "undo",
    "changes": "undo",
    "index_changes": "sound_index",
    "settings": "settings",
    "places": "places",
    "programmes": "programmes",
    "plays": "play_log",
    "loans": "loans",
    "slips": "request_slips",
    "caller_details": "callers",
    "erasures": "callers",
    "wants": "wants",
    "want_asks": "wants",
    "judgements": "duplicates",
    "likely_pairs": "duplicate_search",
    "compared_recordings": "duplicate_search",
    "merged_recordings": "merging",
    "people": "staff",
    "raw_entries": "batch",
    "library_roots": "roots",
    "root_views": "roots",
    "list_layouts": "list_layouts",
    "measures": "measures",
    "artist_parts": "store",
    "stand_in_lessons": "stand_in_lessons",
    "desks": "desks",
    "turned_down": "turned_down",
}

TRACKED = (
    "artists", "songs", "recordings", "discs", "holdings", "other_names", "settings", "places",
    "programmes", "plays", "loans", "slips", "wants", "judgements", "library_roots", "root_views",
    "desks", "merged_recordings", "want_asks",
)  # fmt: skip
"""Tables whose rows can be taken back; their ids are never used twice, so that the history of a
row is its own. None of them may hold a caller's words."""

OF_CALLERS = ("caller_details",)
"""Tables that hold what callers said; each has a `slip_id`. A copy without callers has them
empty, and from every copy their rows go when the time of `caller_details.erase_on` is over."""

migrations = Migrations("asheard")


@migrations()
def m001_catalogue(db: Database) -> None:
    """Artists, songs, recordings, discs, holdings and other names."""
    for statement in _CATALOGUE:
        db.execute(statement)


@migrations()
def m002_station(db: Database) -> None:
    """Slips, callers, plays, loans, places, programmes, wants, people and judgements."""
    for statement in (*_STATION, *DESKS, *DUPLICATES):
        db.execute(statement)


@migrations()
def m003_actions_and_triggers(db: Database) -> None:
    """Who changed what, and the triggers that write it."""
    for statement in _ACTIONS:
        db.execute(statement)
    for table in TRACKED:
        track(db, table)
    for statement in _INDEX_TRIGGERS:
        db.execute(statement)


@migrations()
def m004_stand_ins(db: Database) -> None:
    """Who sings with whom, and what callers took and refused in place of what."""
    for statement in STAND_INS:
        db.execute(statement)


_CATALOGUE = (
    """CREATE TABLE artists (
        id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL, plain TEXT NOT NULL UNIQUE)""",
    """CREATE TABLE songs (
        id INTEGER PRIMARY KEY AUTOINCREMENT, title TEXT NOT NULL, plain TEXT NOT NULL,
        composer TEXT NOT NULL DEFAULT '', composer_plain TEXT NOT NULL DEFAULT '',
        UNIQUE (plain, composer_plain))""",
    "CREATE INDEX songs_composer ON songs(composer_plain) WHERE composer_plain <> ''",
    """CREATE TABLE recordings (
        id INTEGER PRIMARY KEY AUTOINCREMENT, title TEXT NOT NULL,
        artist_id INTEGER NOT NULL REFERENCES artists(id),
        song_id INTEGER NOT NULL REFERENCES songs(id),
        version TEXT NOT NULL DEFAULT '', year INTEGER, tempo REAL, length_s REAL,
        genre TEXT NOT NULL DEFAULT '', language TEXT NOT NULL DEFAULT '',
        voice TEXT NOT NULL DEFAULT 'unknown', album TEXT NOT NULL DEFAULT '',
        composer TEXT NOT NULL DEFAULT '', work TEXT NOT NULL DEFAULT '',
        movement TEXT NOT NULL DEFAULT '', soloist TEXT NOT NULL DEFAULT '',
        conductor TEXT NOT NULL DEFAULT '', label TEXT NOT NULL DEFAULT '',
        isrc TEXT NOT NULL DEFAULT '')""",
    "CREATE INDEX recordings_artist ON recordings(artist_id)",
    "CREATE INDEX recordings_song ON recordings(song_id)",
    "CREATE INDEX recordings_year_tempo ON recordings(year, tempo)",
    """CREATE TABLE discs (
        id INTEGER PRIMARY KEY AUTOINCREMENT, carrier TEXT NOT NULL, shelf_mark TEXT NOT NULL,
        title TEXT NOT NULL DEFAULT '', place TEXT NOT NULL DEFAULT '',
        condition TEXT NOT NULL DEFAULT 'unknown', label TEXT NOT NULL DEFAULT '',
        number TEXT NOT NULL DEFAULT '', missing INTEGER NOT NULL DEFAULT 0,
        note TEXT NOT NULL DEFAULT '', barcode TEXT NOT NULL DEFAULT '',
        UNIQUE (carrier, shelf_mark))""",
    """CREATE TABLE holdings (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        recording_id INTEGER NOT NULL REFERENCES recordings(id),
        path TEXT, disc_id INTEGER REFERENCES discs(id),
        side TEXT NOT NULL DEFAULT '', track TEXT NOT NULL DEFAULT '',
        speed TEXT NOT NULL DEFAULT '', file_size INTEGER, file_time REAL,
        missing INTEGER NOT NULL DEFAULT 0, missing_since TEXT,
        audio TEXT NOT NULL DEFAULT '',
        CHECK ((path IS NULL) <> (disc_id IS NULL)))""",
    "CREATE INDEX holdings_recording ON holdings(recording_id)",
    "CREATE INDEX holdings_disc ON holdings(disc_id)",
    "CREATE UNIQUE INDEX holdings_path ON holdings(path) WHERE path IS NOT NULL",
    "CREATE INDEX holdings_audio ON holdings(audio) WHERE audio <> ''",
    """CREATE TABLE other_names (
        id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL,
        artist_id INTEGER REFERENCES artists(id), recording_id INTEGER REFERENCES recordings(id),
        name TEXT NOT NULL, CHECK ((artist_id IS NULL) <> (recording_id IS NULL)))""",
    "CREATE INDEX other_names_artist ON other_names(artist_id)",
    "CREATE INDEX other_names_recording ON other_names(recording_id)",
    """CREATE TABLE raw_entries (
        id INTEGER PRIMARY KEY, action_id INTEGER NOT NULL, source TEXT NOT NULL,
        recording_id INTEGER, holding_id INTEGER, outcome TEXT NOT NULL,
        note TEXT NOT NULL DEFAULT '', raw TEXT NOT NULL)""",
    "CREATE INDEX raw_entries_recording ON raw_entries(recording_id)",
    "CREATE INDEX raw_entries_action ON raw_entries(action_id)",
    """CREATE TABLE library_roots (
        id INTEGER PRIMARY KEY AUTOINCREMENT, path TEXT NOT NULL UNIQUE)""",
    """CREATE TABLE root_views (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        root_id INTEGER NOT NULL REFERENCES library_roots(id),
        desk TEXT NOT NULL, path TEXT NOT NULL, UNIQUE (root_id, desk))""",
    """CREATE TABLE list_layouts (
        id INTEGER PRIMARY KEY, shape TEXT NOT NULL UNIQUE, layout TEXT NOT NULL,
        who TEXT NOT NULL, at TEXT NOT NULL)""",
    # No reference to holdings: a taking-in can be taken back though its files were measured.
    """CREATE TABLE measures (
        id INTEGER PRIMARY KEY, holding_id INTEGER NOT NULL, name TEXT NOT NULL, value TEXT,
        other REAL, confidence REAL, audio TEXT NOT NULL DEFAULT '', how TEXT NOT NULL,
        at TEXT NOT NULL, UNIQUE (holding_id, name))""",
)

_STATION = (
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

_ACTIONS = (
    """CREATE TABLE actions (
        id INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, who TEXT NOT NULL,
        what TEXT NOT NULL, takes_back INTEGER REFERENCES actions(id))""",
    """CREATE TABLE current_action (
        one INTEGER PRIMARY KEY CHECK (one = 1), action_id INTEGER)""",
    "INSERT INTO current_action VALUES (1, NULL)",
    """CREATE TABLE changes (
        id INTEGER PRIMARY KEY AUTOINCREMENT, action_id INTEGER NOT NULL REFERENCES actions(id),
        table_name TEXT NOT NULL, row_id INTEGER NOT NULL, kind TEXT NOT NULL,
        before TEXT, after TEXT)""",
    "CREATE INDEX actions_takes_back ON actions(takes_back) WHERE takes_back IS NOT NULL",
    "CREATE INDEX changes_row ON changes(table_name, row_id)",
    "CREATE INDEX changes_action ON changes(action_id)",
    "CREATE INDEX changes_table ON changes(table_name, id)",
    """CREATE TABLE index_changes (
        number INTEGER PRIMARY KEY AUTOINCREMENT, recording_id INTEGER NOT NULL)""",
)

_IN_ACTION = (
    "SELECT CASE WHEN (SELECT action_id FROM current_action) IS NULL "
    "THEN RAISE(ABORT, 'a write outside an action') END;"
)


def _whole(column: str, kind: str) -> str:
    """SQL for a column's value in JSON that loses nothing.

    SQLite writes a REAL into JSON with 15 digits, too few for a file's time. It goes in as text
    of 17, and the column makes a number of it again when it is put back.
    """
    if kind != "REAL":
        return column
    return f"CASE typeof({column}) WHEN 'real' THEN printf('%!.17g', {column}) ELSE {column} END"


def track(db: Database, table: str) -> None:
    """Make the triggers that note inserts, updates and deletions of one table anew.

    A migration that adds a column to a tracked table calls this, so that the column is kept too.
    """
    columns = db[table].columns
    row = {
        which: ", ".join(f"'{c.name}', {_whole(f'{which}.{c.name}', c.type)}" for c in columns)
        for which in ("old", "new")
    }
    note = (
        "INSERT INTO changes (action_id, table_name, row_id, kind, before, after) "
        f"SELECT (SELECT action_id FROM current_action), '{table}',"
    )
    kept = {
        "insert": "new.id, 'insert', NULL, NULL",
        "update": f"old.id, 'update', json_object({row['old']}), json_object({row['new']})",
        "delete": f"old.id, 'delete', json_object({row['old']}), NULL",
    }
    for event, values in kept.items():
        db.execute(f"DROP TRIGGER IF EXISTS {table}_noted_{event}")
        db.execute(
            f"CREATE TRIGGER {table}_noted_{event} AFTER {event} ON {table} "
            f"BEGIN {_IN_ACTION} {note} {values}; END"
        )


_INDEX_TRIGGERS = (
    """CREATE TRIGGER recordings_reindex_insert AFTER INSERT ON recordings BEGIN
        INSERT INTO index_changes (recording_id) VALUES (new.id); END""",
    """CREATE TRIGGER recordings_reindex_update AFTER UPDATE OF
        title, artist_id, version, composer, work, movement, soloist, conductor ON recordings
        BEGIN INSERT INTO index_changes (recording_id) VALUES (new.id); END""",
    """CREATE TRIGGER recordings_reindex_delete AFTER DELETE ON recordings BEGIN
        INSERT INTO index_changes (recording_id) VALUES (old.id); END""",
    """CREATE TRIGGER artists_reindex AFTER UPDATE OF name ON artists BEGIN
        INSERT INTO index_changes (recording_id)
        SELECT id FROM recordings WHERE artist_id = new.id; END""",
    *(
        f"""CREATE TRIGGER other_names_reindex_{event}_{row} AFTER {event} ON other_names BEGIN
        INSERT INTO index_changes (recording_id)
        SELECT id FROM recordings WHERE artist_id = {row}.artist_id
        UNION SELECT {row}.recording_id WHERE {row}.recording_id IS NOT NULL; END"""
        for event, row in (
            ("INSERT", "new"),
            ("UPDATE", "old"),
            ("UPDATE", "new"),
            ("DELETE", "old"),
        )
    ),
)
