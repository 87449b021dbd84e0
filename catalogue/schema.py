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

from catalogue.caller_tables import CONSENTS
from catalogue.catalogue_tables import CATALOGUE
from catalogue.desk_tables import DESKS, SENT_BACK
from catalogue.donation_tables import BOXES
from catalogue.duplicate_tables import DUPLICATES, LIBRARIAN, WAITING
from catalogue.job_tables import JOBS
from catalogue.programme_tables import PROGRAMME, TRACKED_ANEW, TRACKED_NEW
from catalogue.shelf_tables import FACTS, FILED, FILING, PARTS, SHELF_LOOKS, STOCK_TAKES
from catalogue.sign_in_tables import SIGN_IN
from catalogue.stand_in_tables import STAND_INS, WHAT_WAS_SAID
from catalogue.station_tables import STATION

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
    "said_of_it": "said_of_it",
    "rounds": "rounds",
    "programme_items": "running_order",
    "pulled_discs": "pull_list",
    "place_counts": "place_counts",
    "jobs": "jobs",
    "job_remarks": "jobs",
    "looked_at": "looked_at",
    "search_runs": "search_runs",
    "disc_judgements": "disc_doubles",
    "not_meant": "wants",
    "filing_rules": "filing",
    "waiting": "waiting",
    "shelf_looks": "shelf_looks",
    "shelf_places": "shelf_places",
    "stocktakes": "stocktake",
    "stocktake_finds": "stocktake",
    "browsers": "browsers",
    "known_browsers": "browsers",
    "pins": "pins",
    "sessions": "sessions",
    "sign_in_tries": "tries",
    "to_file": "filed_order",
    "rule_sets": "filed_order",
    "filed_recordings": "filed_order",
    "filed_keys": "filed_order",
    "filed_places": "filed_order",
    "held_recordings": "held_facts",
    "held_counts": "held_facts",
    "copy_places": "held_facts",
    "album_gaps": "held_facts",
    "donated_boxes": "donated_boxes",
    "box_rows": "donated_boxes",
    "donors": "donors",
}

_TRACKED_FIRST = (
    "artists", "songs", "recordings", "discs", "holdings", "other_names", "settings", "places",
    "programmes", "plays", "loans", "slips", "wants", "judgements", "library_roots", "root_views",
    "desks", "merged_recordings", "want_asks",
)  # fmt: skip

TRACKED = (*_TRACKED_FIRST, *TRACKED_NEW, "looked_at", "disc_judgements", "not_meant",
           "filing_rules", "shelf_places", "stocktakes", "donated_boxes", "box_rows",
           "shelf_looks")  # fmt: skip
"""Tables whose rows can be taken back; their ids are never used twice, so that the history of a
row is its own. None of them may hold a caller's words."""

OF_CALLERS = ("caller_details", "said_of_it", "waiting")
"""Tables that hold what callers said; each has a `slip_id`. A copy without callers has them
empty, and from every copy their rows go when the time of `caller_details.erase_on` is over."""

migrations = Migrations("asheard")


@migrations()
def m001_catalogue(db: Database) -> None:
    """Artists, songs, recordings, discs, holdings and other names."""
    for statement in CATALOGUE:
        db.execute(statement)


@migrations()
def m002_station(db: Database) -> None:
    """Slips, callers, plays, loans, places, programmes, wants, people and judgements."""
    for statement in (*STATION, *DESKS, *DUPLICATES):
        db.execute(statement)


@migrations()
def m003_actions_and_triggers(db: Database) -> None:
    """Who changed what, and the triggers that write it."""
    for statement in _ACTIONS:
        db.execute(statement)
    for table in _TRACKED_FIRST:
        track(db, table)
    for statement in _INDEX_TRIGGERS:
        db.execute(statement)


@migrations()
def m004_stand_ins(db: Database) -> None:
    """Who sings with whom, and what callers took and refused in place of what."""
    for statement in STAND_INS:
        db.execute(statement)


@migrations()
def m005_programmes(db: Database) -> None:
    """The round, the programme's list, what is pulled for it, and how long a play was heard."""
    for table in TRACKED_ANEW:
        for event in ("insert", "update", "delete"):
            db.execute(f"DROP TRIGGER IF EXISTS {table}_noted_{event}")
    for statement in PROGRAMME:
        db.execute(statement)
    for table in (*TRACKED_ANEW, *TRACKED_NEW):
        track(db, table)


@migrations()
def m006_sent_back(db: Database) -> None:
    """Slips that came back from a studio, and why."""
    for statement in SENT_BACK:
        db.execute(statement)
    track(db, "slips")


@migrations()
def m007_jobs(db: Database) -> None:
    """What is taken in and measured beside the desks, what came of it, and what was looked at."""
    for statement in JOBS:
        db.execute(statement)
    track(db, "looked_at")


@migrations()
def m008_what_was_said(db: Database) -> None:
    """What a caller can say of a record, and finding by it."""
    for statement in WHAT_WAS_SAID:
        db.execute(statement)


@migrations()
def m009_librarian(db: Database) -> None:
    """Searches for doubles, judgements of discs, and what a want did not mean."""
    for statement in LIBRARIAN:
        db.execute(statement)
    for table in ("disc_judgements", "not_meant"):
        track(db, table)


@migrations()
def m010_consents(db: Database) -> None:
    """Whether the place may be said on air, and who noted an adult's consent, and when."""
    for statement in CONSENTS:
        db.execute(statement)


@migrations()
def m011_who_left(db: Database) -> None:
    """On which day somebody was let in no longer; of those of before, today."""
    db.execute("ALTER TABLE people ADD COLUMN left_on TEXT")
    db.execute("UPDATE people SET left_on = date('now', 'localtime') WHERE active = 0")


@migrations()
def m012_filing(db: Database) -> None:
    """How each shelf is filed."""
    for statement in FILING:
        db.execute(statement)
    track(db, "filing_rules")


@migrations()
def m013_waiting(db: Database) -> None:
    """Which slip waits for which want."""
    for statement in WAITING:
        db.execute(statement)


@migrations()
def m014_stock_takes(db: Database) -> None:
    """The places of the station, and walking the shelves; the places that discs are at are on the
    list from the start."""
    for statement in STOCK_TAKES:
        db.execute(statement)
    db.execute(
        "INSERT OR IGNORE INTO shelf_places (name, kind) SELECT DISTINCT trim(place), 'other' "
        "FROM discs WHERE trim(place) <> '' ORDER BY 1"
    )
    for table in ("shelf_places", "stocktakes"):
        track(db, table)


@migrations()
def m015_sign_in(db: Database) -> None:
    """One-time passphrases, browsers that are known, PINs, sessions, and wrong tries."""
    for statement in SIGN_IN:
        db.execute(statement)


@migrations()
def m016_filed(db: Database) -> None:
    """The order of the list and of the shelves, kept in tables of its own."""
    for statement in FILED:
        db.execute(statement)


@migrations()
def m017_parts(db: Database) -> None:
    """Works in several parts."""
    for statement in PARTS:
        db.execute(statement)


@migrations()
def m018_facts(db: Database) -> None:
    """What is counted of the records that are held, and which tracks of albums are missing."""
    for statement in FACTS:
        db.execute(statement)


@migrations()
def m019_donated_boxes(db: Database) -> None:
    """Donated boxes, row by row, and who gave them."""
    for statement in BOXES:
        db.execute(statement)
    for table in ("donated_boxes", "box_rows"):
        track(db, table)


@migrations()
def m020_shelf_looks(db: Database) -> None:
    """What was found by looking on the shelf."""
    for statement in SHELF_LOOKS:
        db.execute(statement)
    track(db, "shelf_looks")


@migrations()
def m021_missing_copies(db: Database) -> None:
    """The few copies that are missing, for the figures of what is held."""
    db.execute("CREATE INDEX holdings_missing ON holdings(recording_id) WHERE missing")


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
