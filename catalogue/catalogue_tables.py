"""The tables of the catalogue: who, what, where, as it came; for `schema.py`."""

from __future__ import annotations

CATALOGUE = (
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
"""The statements of the first migration, in order."""
