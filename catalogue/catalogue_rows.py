"""Artists, songs, recordings, discs, holdings and other names: written and read here only.

Writes happen inside `undo.action`. A song is told apart by its plain title, without a bracketed
version, and its composer; where no composer is known, records of one title share a song.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import fields
from enum import StrEnum
from itertools import starmap
from typing import Any

from catalogue.errors import BadInput, NotFound
from catalogue.records import (
    Carrier,
    Condition,
    Disc,
    Holding,
    NewDisc,
    NewHolding,
    NewRecording,
    Recording,
    Voice,
)
from catalogue.spelling import plain, without_version
from catalogue.store import Row, Store

_RECORDING_COLUMNS = tuple(f.name for f in fields(NewRecording) if f.name != "artist")
_THESE = "(SELECT value FROM json_each(?))"
"""Ids given as one parameter: the statement's text stays the same, so that it is prepared once."""

_SELECT_RECORDING = (
    "SELECT r.id, r.title, a.name AS artist, r.artist_id, r.song_id, "
    + ", ".join(f"r.{c}" for c in _RECORDING_COLUMNS if c != "title")
    + " FROM recordings r JOIN artists a ON a.id = r.artist_id"
)
_VOICE = [field.name for field in fields(Recording)].index("voice")
"""Place of the voice among the columns of `_SELECT_RECORDING`, which are those of `Recording`."""

_SELECT_HOLDING = """SELECT h.id, h.recording_id, coalesce(d.carrier, 'file') AS carrier,
    coalesce(h.path, '') AS path, h.disc_id, coalesce(d.shelf_mark, '') AS shelf_mark,
    coalesce(d.title, '') AS disc_title, h.side, h.track, h.speed,
    coalesce(d.place, '') AS place, coalesce(d.condition, 'unknown') AS condition,
    max(h.missing, coalesce(d.missing, 0)) AS missing
    FROM holdings h LEFT JOIN discs d ON d.id = h.disc_id"""


def artist_id(store: Store, name: str) -> int:
    """The artist of this name, made if new. Spellings with the same plain words are one."""
    key = plain(name) or "unknown artist"
    found = store.db.execute("SELECT id FROM artists WHERE plain = ?", (key,)).fetchone()
    if found:
        return int(found[0])
    cursor = store.db.execute(
        "INSERT INTO artists (name, plain) VALUES (?, ?)", (name.strip() or "Unknown artist", key)
    )
    return int(cursor.lastrowid or 0)


def _artist_spelt(store: Store, name: str) -> int:
    """The artist of this name, from now on spelt so: capitals and accents make no other artist,
    but whoever corrects them wants them seen."""
    number = artist_id(store, name)
    store.db.execute(
        "UPDATE artists SET name = ?1 WHERE id = ?2 AND name <> ?1 AND ?1 <> ''",
        (name.strip(), number),
    )
    return number


def song_id(store: Store, title: str, composer: str = "") -> int:
    """The song of this title and composer, made if new."""
    bare = without_version(title)
    key = (plain(bare), plain(composer))
    found = store.db.execute(
        "SELECT id FROM songs WHERE plain = ? AND composer_plain = ?", key
    ).fetchone()
    if found:
        return int(found[0])
    cursor = store.db.execute(
        "INSERT INTO songs (title, plain, composer, composer_plain) VALUES (?, ?, ?, ?)",
        (bare, key[0], composer.strip(), key[1]),
    )
    return int(cursor.lastrowid or 0)


def add_recording(store: Store, new: NewRecording) -> int:
    """Put a recording in; returns its id. Raises BadInput for an empty title."""
    if not new.title.strip():
        raise BadInput("A recording needs a title. Write what is on the label, or “Untitled”.")
    values = [getattr(new, column) for column in _RECORDING_COLUMNS]
    columns = (*_RECORDING_COLUMNS, "artist_id", "song_id")
    values += [artist_id(store, new.artist), song_id(store, new.title, new.composer)]
    cursor = store.db.execute(
        f"INSERT INTO recordings ({', '.join(columns)}) VALUES ({', '.join('?' for _ in columns)})",
        values,
    )
    return int(cursor.lastrowid or 0)


def change_recording(store: Store, recording_id: int, **changes: Any) -> None:
    """Set fields of a recording by their names in `NewRecording`, `artist` by its name.

    Raises NotFound for an unknown recording, BadInput for an unknown field or empty title.
    """
    known = {f.name for f in fields(NewRecording)}
    if unknown := set(changes) - known:
        raise BadInput(f"A recording has no field {', '.join(sorted(unknown))}.")
    if not str(changes.get("title", "x")).strip():
        raise BadInput("A recording needs a title. Write what is on the label, or “Untitled”.")
    _check_words(changes, voice=Voice)
    held = recording(store, recording_id)
    if "artist" in changes:
        changes["artist_id"] = _artist_spelt(store, changes.pop("artist"))
    if "title" in changes or "composer" in changes:
        changes["song_id"] = song_id(
            store, changes.get("title", held.title), changes.get("composer", held.composer)
        )
    if changes:
        sets = ", ".join(f"{name} = ?" for name in changes)
        store.db.execute(
            f"UPDATE recordings SET {sets} WHERE id = ?", [*changes.values(), recording_id]
        )


def _check_words(changes: dict[str, Any], **kinds: type[StrEnum]) -> None:
    """Refuse a word that could not be read back, such as a voice that is none of ours."""
    for name, kind in kinds.items():
        if name in changes and changes[name] not in list(kind):
            words = ", ".join(kind)
            raise BadInput(f"“{changes[name]}” is no {name}. It must be one of: {words}.")


def recording(store: Store, recording_id: int) -> Recording:
    """One recording. Raises NotFound."""
    found = recordings(store, [recording_id])
    if recording_id not in found:
        raise NotFound(f"There is no recording number {recording_id}.")
    return found[recording_id]


def recordings(store: Store, ids: Sequence[int]) -> dict[int, Recording]:
    """The recordings of these ids that exist."""
    rows = store.tuples(f"{_SELECT_RECORDING} WHERE r.id IN {_THESE}", (json.dumps(list(ids)),))
    # By place, not by name: an offer of stand-ins looks at a hundred of them.
    made = starmap(
        Recording, ((*row[:_VOICE], Voice(row[_VOICE]), *row[_VOICE + 1 :]) for row in rows)
    )
    return {recording.id: recording for recording in made}


def recordings_where(
    store: Store, where: str, parameters: Sequence[Any] = (), limit: int = 200
) -> list[Recording]:
    """Recordings by a condition on `r` (recordings) and `a` (artists), for owners of queries."""
    rows = store.rows(f"{_SELECT_RECORDING} WHERE {where} LIMIT ?", [*parameters, limit])
    return [as_recording(row) for row in rows]


def names_of(store: Store, ids: Sequence[int]) -> list[tuple[int, str, str]]:
    """(id, title, artist) of the recordings of these ids: all that comparing needs."""
    rows = _by_ids(
        store,
        "SELECT r.id, r.title, a.name FROM recordings r JOIN artists a ON a.id = r.artist_id "
        "WHERE r.id IN ",
        ids,
    )
    return [(row["id"], row["title"], row["name"]) for row in rows]


def as_recording(row: Row) -> Recording:
    """A row of `_SELECT_RECORDING` as a dataclass."""
    return Recording(**{**row, "voice": Voice(row["voice"])})


def shelve_disc(store: Store, new: NewDisc) -> int:
    """The disc with this carrier and shelf mark, made if new; returns its id."""
    if not new.shelf_mark.strip():
        raise BadInput("A disc needs a shelf mark, so that somebody can find it.")
    found = store.db.execute(
        "SELECT id FROM discs WHERE carrier = ? AND shelf_mark = ?",
        (new.carrier, new.shelf_mark.strip()),
    ).fetchone()
    if found:
        return int(found[0])
    cursor = store.db.execute(
        "INSERT INTO discs (carrier, shelf_mark, title, place, condition, label, number, note, "
        "barcode) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            new.carrier, new.shelf_mark.strip(), new.title, new.place, new.condition,
            new.label, new.number, new.note, new.barcode,
        ),
    )  # fmt: skip
    return int(cursor.lastrowid or 0)


def change_disc(store: Store, disc_id: int, **changes: Any) -> None:
    """Set fields of a disc by their names in `Disc`. Raises NotFound or BadInput."""
    allowed = {f.name for f in fields(Disc)} - {"id"}
    if unknown := set(changes) - allowed:
        raise BadInput(f"A disc has no field {', '.join(sorted(unknown))}.")
    _check_words(changes, carrier=Carrier, condition=Condition)
    before = disc(store, disc_id)
    if not changes:
        return
    if {"carrier", "shelf_mark"} & set(changes):
        changes["shelf_mark"] = str(changes.get("shelf_mark", before.shelf_mark)).strip()
        _refuse_taken_mark(store, disc_id, changes.get("carrier", before.carrier),
                           changes["shelf_mark"])  # fmt: skip
    sets = ", ".join(f"{name} = ?" for name in changes)
    store.db.execute(f"UPDATE discs SET {sets} WHERE id = ?", [*changes.values(), disc_id])


def _refuse_taken_mark(store: Store, disc_id: int, carrier: str, mark: str) -> None:
    if not mark:
        raise BadInput("A disc needs a shelf mark, so that somebody can find it.")
    if store.rows(
        "SELECT 1 FROM discs WHERE carrier = ? AND shelf_mark = ? AND id <> ?",
        (carrier, mark, disc_id),
    ):
        raise BadInput(f"Another {carrier} stands at {mark} already. Give this one another mark.")


def disc(store: Store, disc_id: int) -> Disc:
    """One disc. Raises NotFound."""
    rows = store.rows("SELECT * FROM discs WHERE id = ?", (disc_id,))
    if not rows:
        raise NotFound(f"There is no disc number {disc_id}.")
    row = rows[0]
    return Disc(
        **{
            **row,
            "carrier": Carrier(row["carrier"]),
            "condition": Condition(row["condition"]),
            "missing": bool(row["missing"]),
        }
    )


def add_holding(store: Store, new: NewHolding) -> int:
    """File a copy of a recording; returns the holding's id."""
    if bool(new.path) == bool(new.disc_id):
        raise BadInput("A copy is either a file or on a disc: give one of the two.")
    cursor = store.db.execute(
        "INSERT INTO holdings (recording_id, path, disc_id, side, track, speed, file_size, "
        "file_time, audio) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            new.recording_id, new.path or None, new.disc_id, new.side, new.track, new.speed,
            new.file_size, new.file_time, new.audio,
        ),
    )  # fmt: skip
    return int(cursor.lastrowid or 0)


def change_holding(store: Store, holding_id: int, **changes: Any) -> None:
    """Set columns of a holding: recording_id, path, side, track, speed, file_size, file_time,
    audio, missing, missing_since. Raises NotFound or BadInput."""
    allowed = {"recording_id", "path", "side", "track", "speed", "file_size", "file_time",
               "audio", "missing", "missing_since"}  # fmt: skip
    if unknown := set(changes) - allowed:
        raise BadInput(f"A copy has no field {', '.join(sorted(unknown))}.")
    holding(store, holding_id)
    if not changes:
        return
    sets = ", ".join(f"{name} = ?" for name in changes)
    store.db.execute(f"UPDATE holdings SET {sets} WHERE id = ?", [*changes.values(), holding_id])


def holding(store: Store, holding_id: int) -> Holding:
    """One holding. Raises NotFound."""
    rows = store.rows(f"{_SELECT_HOLDING} WHERE h.id = ?", (holding_id,))
    if not rows:
        raise NotFound(f"There is no copy number {holding_id}.")
    return _as_holding(rows[0])


def holdings_of(store: Store, recording_ids: Sequence[int]) -> dict[int, list[Holding]]:
    """The holdings of each of these recordings; files first, then discs."""
    found: dict[int, list[Holding]] = {recording_id: [] for recording_id in recording_ids}
    rows = _by_ids(store, f"{_SELECT_HOLDING} WHERE h.recording_id IN ", recording_ids)
    for row in sorted(rows, key=lambda r: (r["disc_id"] is not None, r["id"])):
        found[row["recording_id"]].append(_as_holding(row))
    return found


def _as_holding(row: Row) -> Holding:
    return Holding(
        **{
            **row,
            "carrier": Carrier(row["carrier"]),
            "condition": Condition(row["condition"]),
            "missing": bool(row["missing"]),
        }
    )


def add_other_name(
    store: Store, kind: str, name: str, *, artist: int | None = None, recording: int | None = None
) -> int:
    """Another name of an artist or a recording; kind: also known as, refrain, hearing.

    Raises BadInput for a blank name, or unless it is of one of the two.
    """
    if not name.strip():
        raise BadInput("Another name must not be blank.")
    if (artist is None) == (recording is None):
        raise BadInput("Another name is either an artist's or a recording's.")
    cursor = store.db.execute(
        "INSERT INTO other_names (kind, artist_id, recording_id, name) VALUES (?, ?, ?, ?)",
        (kind, artist, recording, name.strip()),
    )
    return int(cursor.lastrowid or 0)


def change_other_name(store: Store, other_name_id: int, kind: str, name: str) -> None:
    """Spell another name anew, or call it another kind."""
    store.db.execute(
        "UPDATE other_names SET kind = ?, name = ? WHERE id = ?", (kind, name, other_name_id)
    )


def remove_other_name(store: Store, other_name_id: int) -> None:
    """Forget another name, such as a wrong lesson."""
    store.db.execute("DELETE FROM other_names WHERE id = ?", (other_name_id,))


def other_names_of(store: Store, recording_ids: Sequence[int]) -> list[tuple[int, str, str, str]]:
    """(recording id, kind, name, whose: "artist" or "recording") for these recordings."""
    by_artist = _by_ids(
        store,
        "SELECT r.id, o.kind, o.name, 'artist' AS whose FROM other_names o "
        "JOIN recordings r ON r.artist_id = o.artist_id WHERE r.id IN ",
        recording_ids,
    )
    own = _by_ids(
        store,
        "SELECT recording_id AS id, kind, name, 'recording' AS whose FROM other_names "
        "WHERE recording_id IN ",
        recording_ids,
    )
    return [(r["id"], r["kind"], r["name"], r["whose"]) for r in (*by_artist, *own)]


def _by_ids(store: Store, sql: str, ids: Sequence[int]) -> list[Row]:
    return store.rows(f"{sql}{_THESE}", (json.dumps(list(ids)),))
