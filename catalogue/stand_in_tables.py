"""The tables and triggers of stand-ins, for `schema.py`: who sings with whom, and what callers took
and refused in place of what."""

from __future__ import annotations

_JOINED = (
    "json_each('[\"' || replace(replace(replace(replace(replace(replace({plain}, "
    "' featuring ', ' and '), ' feat ', ' and '), ' ft ', ' and '), ' with ', ' and '), "
    "' vs ', ' and '), ' and ', '\",\"') || '\"]')"
)
"""SQL for the names joined in an artist's plain name, one a row. Plain names are words of a-z, 0-9
and apostrophes, so that they are safe inside JSON; "&" and "+" are "and" there already."""


def _parts_of(which: str) -> str:
    """SQL that files the parts of artists that have more than one."""
    source = {"new": "json_each", "artists": "artists, json_each"}[which]
    joined = _JOINED.format(plain=f"{which}.plain").replace("json_each", source, 1)
    return (
        "INSERT OR IGNORE INTO artist_parts (part, artist_id) "
        f"SELECT trim(value), {which}.id FROM {joined} "
        f"WHERE trim(value) NOT IN ('', {which}.plain)"
    )


_LESSON = """INSERT INTO stand_in_lessons (asked_id, offered_id, {what}) VALUES
    (new.stand_in_for, new.recording_id, {first})
    ON CONFLICT (asked_id, offered_id) DO UPDATE SET {what} = max(0, {what} {step});"""

STAND_INS = (
    """CREATE TABLE artist_parts (
        part TEXT NOT NULL, artist_id INTEGER NOT NULL, PRIMARY KEY (part, artist_id))
        WITHOUT ROWID""",
    "CREATE INDEX artist_parts_artist ON artist_parts(artist_id)",
    _parts_of("artists"),
    f"""CREATE TRIGGER artist_parts_insert AFTER INSERT ON artists BEGIN
        {_parts_of("new")}; END""",
    f"""CREATE TRIGGER artist_parts_update AFTER UPDATE OF plain ON artists BEGIN
        DELETE FROM artist_parts WHERE artist_id = old.id; {_parts_of("new")}; END""",
    """CREATE TRIGGER artist_parts_delete AFTER DELETE ON artists BEGIN
        DELETE FROM artist_parts WHERE artist_id = old.id; END""",
    # Counts alone, no times and no slip: nothing here leads back to a call. Not tracked, since
    # an action's time would. asked_id 0 is a request that named no record.
    """CREATE TABLE stand_in_lessons (
        id INTEGER PRIMARY KEY, asked_id INTEGER NOT NULL, offered_id INTEGER NOT NULL,
        taken INTEGER NOT NULL DEFAULT 0, refused INTEGER NOT NULL DEFAULT 0,
        UNIQUE (asked_id, offered_id))""",
    "CREATE INDEX stand_in_lessons_offered ON stand_in_lessons(offered_id)",
    # Taking back "played" takes the lesson back as well.
    f"""CREATE TRIGGER stand_in_lessons_played AFTER UPDATE OF state ON slips
        WHEN new.state = 'played' AND old.state <> 'played'
            AND new.stand_in_for IS NOT NULL AND new.recording_id IS NOT NULL
        BEGIN {_LESSON.format(what="taken", first=1, step="+ 1")} END""",
    f"""CREATE TRIGGER stand_in_lessons_unplayed AFTER UPDATE OF state ON slips
        WHEN old.state = 'played' AND new.state <> 'played'
            AND new.stand_in_for IS NOT NULL AND new.recording_id IS NOT NULL
        BEGIN {_LESSON.format(what="taken", first=0, step="- 1")} END""",
    "CREATE INDEX recordings_album ON recordings(album) WHERE album <> ''",
)
"""The statements of the migration, in order."""

WHAT_WAS_SAID = (
    # In place of which recording it was refused, 0 for none: so that a refusal can be taken back.
    "ALTER TABLE turned_down ADD COLUMN asked_id INTEGER NOT NULL DEFAULT 0",
    # What the caller can say of a record nobody can name: never tracked, erased with the details.
    """CREATE TABLE said_of_it (
        slip_id INTEGER PRIMARY KEY REFERENCES slips(id) ON DELETE CASCADE,
        about_when TEXT NOT NULL, pace TEXT NOT NULL, voice TEXT NOT NULL, sort TEXT NOT NULL,
        language TEXT NOT NULL, mood TEXT NOT NULL)""",
    # For "a hymn", "something in Welsh": an artist's year and tempo tell nothing of these.
    "CREATE INDEX recordings_genre ON recordings(lower(genre)) WHERE genre <> ''",
    "CREATE INDEX recordings_language ON recordings(lower(language)) WHERE language <> ''",
)
"""The statements of a later migration: what a caller can say, and finding by it."""
