"""Callers' details: in a table of their own, with a date of erasure, and then truly gone.

Nothing of this table is copied anywhere: it is not tracked, so no earlier value is kept, and
its words are in no action, want or play. Erasing writes the whole small table anew: SQLite's
secure_delete puts zeros over rows it deletes and pages it frees (sqlite.org/pragma.html), but
moving rows between pages can leave an old copy in a page still in use, so every page is freed.
The checkpoint then empties the write-ahead log, where the old pages were as well.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime, timedelta
from typing import Any

from catalogue import (
    call_recordings,
    place_counts,
    said_of_it,
    settings,
    too_much,
    turned_down,
    waiting,
)
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.store import Row, Store

CONSENTS = ("", "yes", "first name only", "no")
"""What the caller said to being named on air; "" is not asked yet."""

PLACE_CONSENTS = ("", "yes", "no")
"""What the caller said to their place being said on air; "" is not asked yet."""

STAMPED = ("consent", "place_consent", "adult_consent")
"""What was agreed to: when it was noted, and by whom, is kept beside each of these."""

MAY_HEAR = ("", "on air", "presenter", "nobody yet")
"""Who may hear a recording of the caller; "" is not said yet."""

_LONGEST = 2_000
"""Characters in one field: a slip is short."""


@dataclass(frozen=True, slots=True)
class CallerDetails:
    """Who called, from where, and why. `place_id` is on the list of places; `place_detail` a
    room or a corner. `ring_back` is the one field for a number. `erase_on` is a date. A call
    recorded beforehand has its file's name in `recording_file`, its length in seconds, its first
    and last words, and in `may_hear` who may hear it."""

    slip_id: int
    heard: str = ""
    heard_title: str = ""
    heard_artist: str = ""
    caller_name: str = ""
    say_name: str = ""
    place_id: int | None = None
    place_detail: str = ""
    for_whom: str = ""
    why: str = ""
    talk_about: str = ""
    how_on_air: str = ""
    line: str = ""
    ring_back: str = ""
    consent: str = ""
    consent_at: str | None = None
    consent_noted_by: str = ""
    place_consent: str = ""
    place_consent_at: str | None = None
    place_consent_noted_by: str = ""
    under_sixteen: bool = False
    adult_consent: str = ""
    adult_consent_at: str | None = None
    adult_consent_noted_by: str = ""
    recording_file: str = ""
    recording_length_s: float | None = None
    first_words: str = ""
    last_words: str = ""
    may_hear: str = ""
    written_at: str = ""
    erase_on: str = ""


_COLUMNS = tuple(f.name for f in fields(CallerDetails))
STAMPS = {name: (f"{name}_at", f"{name}_noted_by") for name in STAMPED}
"""For each of `STAMPED` its two columns: when (ISO 8601) and by whom."""

_KEPT_BY_US = {
    "slip_id", "written_at", "erase_on", "recording_file", "recording_length_s",
    *(column for stamp in STAMPS.values() for column in stamp),
}  # fmt: skip
WRITABLE = tuple(name for name in _COLUMNS if name not in _KEPT_BY_US)
"""The fields `write` takes."""


def begin(store: Store, slip_id: int, now: datetime, *, count_from: date | None = None) -> None:
    """An empty row for a new slip. The days to erasure count from `count_from`, the day of the
    programme; without one, from the day written."""
    with store.transaction() as db:
        db.execute(
            "INSERT INTO caller_details (slip_id, written_at, erase_on) VALUES (?, ?, ?)",
            (
                slip_id,
                now.isoformat(timespec="seconds"),
                _erase_on(store, count_from or now.date()),
            ),
        )


def count_from(store: Store, slip_id: int, day: date) -> None:
    """Count the days to erasure from another day: the request is for then. Nothing happens when
    the details were erased already."""
    with store.transaction() as db:
        db.execute(
            "UPDATE caller_details SET erase_on = ? WHERE slip_id = ?",
            (_erase_on(store, day), slip_id),
        )


def write(
    store: Store,
    slip_id: int,
    changes: dict[str, object],
    who: str,
    now: datetime,
    *,
    seen: dict[str, object] | None = None,
) -> None:
    """Write some fields; the others stay. For what is agreed to, when and by whom is noted.

    `seen` gives the values the desk last showed: if somebody has changed one of the fields to
    be written since, ChangedMeanwhile is raised and nothing is overwritten. Raises BadInput for
    an unknown field or value, NotFound when the details were erased.
    """
    values = {name: _checked(store, name, value) for name, value in changes.items()}
    with store.transaction() as db:
        held = of(store, slip_id)
        if held is None:
            raise NotFound(
                f"The caller's details of slip {slip_id} are not there any more: their time was "
                "over and they were erased. Start a new slip."
            )
        if _changed(store, held, values, seen or {}):
            raise ChangedMeanwhile(
                "Somebody else changed these details meanwhile. Nothing was overwritten: "
                "look at the slip as it is now, and write yours again."
            )
        for name, (at, by) in STAMPS.items():
            if name in values and values[name] != getattr(held, name):
                asked = bool(values[name])
                values[at] = now.isoformat(timespec="seconds") if asked else None
                values[by] = who if asked else ""
        if values:
            sets = ", ".join(f"{name} = ?" for name in values)
            db.execute(
                f"UPDATE caller_details SET {sets} WHERE slip_id = ?", [*values.values(), slip_id]
            )


def changed_meanwhile(
    store: Store, slip_id: int, changes: dict[str, object], seen: dict[str, object]
) -> list[str]:
    """The fields of `changes` that somebody else has written since the desk saw them.

    None where the same is to be written, or the details were erased. Raises BadInput.
    """
    held = of(store, slip_id)
    values = {name: _checked(store, name, value) for name, value in changes.items()}
    return _changed(store, held, values, seen) if held else []


def copy(store: Store, source: int, target: int, names: tuple[str, ...]) -> None:
    """Copy some fields from one slip to another of the same caller, with the stamps of consents.

    The date of erasure is the target's own. Nothing happens when the source was erased.
    """
    if not set(names) <= set(WRITABLE):
        raise BadInput("Only what is written on a slip can be copied.")
    stamps = (column for name in names for column in STAMPS.get(name, ()))
    columns = ", ".join((*names, *stamps))
    with store.transaction() as db:
        db.execute(
            f"UPDATE caller_details SET ({columns}) = (SELECT {columns} FROM caller_details "
            "WHERE slip_id = ?) WHERE slip_id = ? AND EXISTS "
            "(SELECT 1 FROM caller_details WHERE slip_id = ?)",
            (source, target, source),
        )


def attach(store: Store, slip_id: int, name: str, length_s: float | None) -> None:
    """Note the file of a recording, or with an empty name that there is none any more.

    A file that was there before is wiped. Raises NotFound when the details were erased.
    """
    with store.transaction() as db:
        held = of(store, slip_id)
        if held is None:
            raise NotFound(
                f"The caller's details of slip {slip_id} are not there any more: their time was "
                "over and they were erased. Start a new slip."
            )
        db.execute(
            "UPDATE caller_details SET recording_file = ?, recording_length_s = ? "
            "WHERE slip_id = ?",
            (name, length_s, slip_id),
        )
    if held.recording_file and held.recording_file != name:
        call_recordings.wipe(call_recordings.folder(store) / held.recording_file)


def of(store: Store, slip_id: int) -> CallerDetails | None:
    """The details of a slip's caller, or None when they were erased."""
    rows = store.rows(
        f"SELECT {', '.join(_COLUMNS)} FROM caller_details WHERE slip_id = ?", (slip_id,)
    )
    if not rows:
        return None
    return CallerDetails(**{**rows[0], "under_sixteen": bool(rows[0]["under_sixteen"])})


def first_due(store: Store) -> date | None:
    """The day on which the first of the details that are held will be erased."""
    first = store.rows("SELECT min(erase_on) AS day FROM caller_details")[0]["day"]
    return date.fromisoformat(first) if first else None


def erasures(store: Store, limit: int) -> list[Row]:
    """The last erasures: `at`, and of how many `slips`; whose they were is not recorded."""
    return store.rows("SELECT at, slips FROM erasures ORDER BY id DESC LIMIT ?", (limit,))


def erase_due(store: Store, now: datetime) -> int:
    """Erase the details whose date has come; returns how many. At start, and hourly.

    Not inside a transaction. The log is emptied even when nothing is due: a reader at another
    desk may have stood in the way the last time.
    """
    return _erase(store, "erase_on > ?", now.date().isoformat(), now)


def erase_now(store: Store, slip_id: int, now: datetime) -> int:
    """Erase the details of one slip's caller at once, as when they ask for it."""
    return _erase(store, "slip_id <> ?", slip_id, now)


def _erase(store: Store, keep: str, parameter: str | int, now: datetime) -> int:
    """Erase all rows but those to keep, from the table, its pages and the log."""
    columns = ", ".join(_COLUMNS)
    with store.transaction() as db:
        (held,) = db.execute("SELECT count(*) FROM caller_details").fetchone()
        # Kept in memory on the way: a temporary table could spill to a file of its own.
        kept = db.execute(
            f"SELECT {columns} FROM caller_details WHERE {keep} ORDER BY slip_id", (parameter,)
        ).fetchall()
        gone = int(held) - len(kept)
        file_at, slip_at = _COLUMNS.index("recording_file"), _COLUMNS.index("slip_id")
        kept_files = {row[file_at] for row in kept}
        files = db.execute("SELECT recording_file FROM caller_details").fetchall()
        place_counts.add(store, _from_where(store, keep, parameter))
        # Also when nothing is due: what was written over, or went with a slip taken back, may
        # have left a copy as well.
        db.execute("DELETE FROM caller_details")
        marks = ", ".join("?" for _ in _COLUMNS)
        db.conn.executemany(f"INSERT INTO caller_details ({columns}) VALUES ({marks})", kept)
        kept_slips = [row[slip_at] for row in kept]
        turned_down.forget_all_but(store, kept_slips)
        said_of_it.forget_all_but(store, kept_slips)
        waiting.forget_all_but(store, kept_slips)
        if gone:
            db.execute(
                "INSERT INTO erasures (at, slips) VALUES (?, ?)",
                (now.isoformat(timespec="seconds"), gone),
            )
    store.empty_log()
    for (name,) in files:
        if name and name not in kept_files:
            call_recordings.wipe(call_recordings.folder(store) / name)
    call_recordings.wipe_orphans(store, kept_files)
    return gone


def _from_where(store: Store, keep: str, parameter: str | int) -> list[tuple[str, int, str]]:
    """Month, place and way of what is about to be erased, and no more of it."""
    rows = store.rows(
        f"""SELECT substr(written_at, 1, 7) AS month, place_id, s.came_by
        FROM caller_details JOIN slips s ON s.id = slip_id
        WHERE place_id IS NOT NULL AND s.same_call IS NULL AND NOT ({keep})""",
        (parameter,),
    )
    return [(row["month"], row["place_id"], row["came_by"]) for row in rows]


def _erase_on(store: Store, counted_from: date) -> str:
    return (counted_from + timedelta(days=settings.number(store, "caller_days"))).isoformat()


def _checked(store: Store, name: str, value: object) -> Any:
    if name not in WRITABLE:
        raise BadInput(f"A slip has no field “{name}” for the caller's details.")
    if name == "under_sixteen":
        return int(bool(value))
    if name == "place_id":
        if value in (None, ""):
            return None
        if not str(value).isdigit() or not store.rows(
            "SELECT 1 FROM places WHERE id = ?", (int(str(value)),)
        ):
            raise BadInput("That place is not on the list. Choose one, or leave it blank.")
        return int(str(value))
    text = str(value or "").replace("\x00", "").strip()
    if name == "consent" and text not in CONSENTS:
        raise BadInput("Consent is “yes”, “first name only” or “no”, or blank: not asked yet.")
    if name == "place_consent" and text not in PLACE_CONSENTS:
        raise BadInput("Whether the place may be said is “yes” or “no”, or blank: not asked yet.")
    if name == "may_hear" and text not in MAY_HEAR:
        raise BadInput("Choose from the list who may hear the recording.")
    if len(text) > _LONGEST:
        raise BadInput(f"That is too long for a slip. Keep it under {_LONGEST:,} characters.")
    return text


def _changed(
    store: Store, held: CallerDetails, values: dict[str, Any], seen: dict[str, object]
) -> list[str]:
    """The fields to be written in which something else stands than the desk showed."""
    return [
        name
        for name, value in values.items()
        if name in seen and getattr(held, name) not in (_checked(store, name, seen[name]), value)
    ]


_LOOKED_AT = ("caller_name", "say_name", "place_detail", "for_whom", "why", "talk_about",
              "how_on_air", "adult_consent", "first_words", "last_words")  # fmt: skip


def cautions(details: CallerDetails) -> list[str]:
    """Gentle warnings about free text that should perhaps not be on a slip; nothing is refused.

    A number to ring back belongs in `ring_back`, so that field is not looked at.
    """
    text = " \n ".join(getattr(details, name) for name in _LOOKED_AT)
    said = too_much.cautions(text)
    if details.under_sixteen and not details.adult_consent.strip():
        said.append(
            "Under sixteen: ask for a grown-up's consent before the name goes on air, and follow "
            "your station's policy."
        )
    return said
