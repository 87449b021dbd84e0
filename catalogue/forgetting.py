"""Forgetting a caller everywhere: in the database, and in the copies that hold details.

`callers.py` erases from the database; this file does the same in the copies, and answers the
question "What do you hold about me?". A copy that was carried away cannot be reached from here:
`asheard copy FOLDER` therefore leaves callers out.
"""

from __future__ import annotations

from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import date, datetime

from catalogue import backup, caller_rows, callers, donors, settings, who_left
from catalogue.backup import Copy
from catalogue.callers import STAMPS
from catalogue.errors import SQLITE_TROUBLE, BadInput, NotFound
from catalogue.schema import OF_CALLERS
from catalogue.spelling import plain
from catalogue.store import Row, Store


@dataclass(frozen=True, slots=True)
class Held:
    """Something held about a person: where, and what it says there."""

    where: str
    lines: tuple[tuple[str, str], ...]


def erase_due(store: Store, now: datetime) -> int:
    """Erase what is overdue in the database and in every copy; how many slips' details went.

    Names of volunteers and of donors whose own periods are over go too.
    """
    gone = callers.erase_due(store, now)
    erase_in_copies(store, now)
    who_left.erase_due(store, now)
    donors.erase_due(store, now)
    return gone


def erase_in_copies(store: Store, now: datetime) -> int:
    """Erase from every copy what is overdue; from one older than the callers' period, all.

    Returns how many copies were cleaned. A copy that cannot be opened is removed when it is
    older than the period, since nobody can tell what it holds.
    """
    days, today, cleaned = settings.number(store, "caller_days"), now.date(), 0
    for copy in backup.all_copies(backup.folder_of(store.path)):
        too_old = (today - copy.on).days > days
        try:
            with closing(backup.connect(copy.path)) as db:
                due = caller_rows.slips(db) if too_old else caller_rows.due(db, today)
                if due:
                    caller_rows.erase(db, due)
                    cleaned += 1
        except SQLITE_TROUBLE:
            if too_old:
                _remove(copy)
    return cleaned


def forget(store: Store, slip_id: int, now: datetime) -> int:
    """Erase the details of one slip's caller at once, here and in the copies.

    Returns in how many places they were. Raises NotFound for an unknown slip.
    """
    if not store.rows("SELECT 1 FROM slips WHERE id = ?", (slip_id,)):
        raise NotFound(f"There is no slip number {slip_id}.")
    places = callers.erase_now(store, slip_id, now)
    for copy in backup.all_copies(backup.folder_of(store.path)):
        with suppress(*SQLITE_TROUBLE), closing(backup.connect(copy.path)) as db:
            if slip_id in caller_rows.slips(db):
                caller_rows.erase(db, {slip_id})
                places += 1
    return places


def held_about(store: Store, name: str) -> list[Held]:
    """All that is held about somebody of this name, in words to print.

    Callers' details in which all the words of the name occur, and the copies that hold them;
    the name on the list of people, and what was done under it; loans and programmes. Raises
    BadInput for no name.
    """
    wanted = set(plain(name).split())
    if not wanted:
        raise BadInput("Write the name to look for.")
    found = [*_of_callers(store, wanted), *_of_staff(store, wanted)]
    numbers = {int(dict(held.lines)["slip_id"]) for held in found if "slip_id" in dict(held.lines)}
    for copy in backup.all_copies(backup.folder_of(store.path)):
        if kept := _in_copy(copy) & numbers:
            said = ", ".join(str(number) for number in sorted(kept))
            found.append(Held("in a copy", (("copy", copy.path.name), ("slips", said))))
    return found


def _of_callers(store: Store, wanted: set[str]) -> list[Held]:
    places = {row["id"]: row["name"] for row in store.rows("SELECT id, name FROM places")}
    held = []
    for table in OF_CALLERS:
        for row in store.rows(f"SELECT * FROM [{table}] ORDER BY slip_id"):
            if not _mentions(row, wanted):
                continue
            if row.get("place_id") is not None:
                row["place_id"] = places.get(row["place_id"], row["place_id"])
            lines = tuple(
                (key, str(value)) for key, value in row.items() if value not in ("", None)
            )
            held.append(Held("on a slip", lines))
    return held


def _of_staff(store: Store, wanted: set[str]) -> list[Held]:
    held = []
    for where, sql in _STAFF:
        for row in store.rows(sql):
            if _mentions({"name": row["name"]}, wanted):
                lines = tuple((key, str(value)) for key, value in row.items() if value is not None)
                held.append(Held(where, lines))
    return held


_STAFF = (
    ("on the list of people", "SELECT name, role, active, left_on FROM people ORDER BY name"),
    (
        "as who did what",
        "SELECT who AS name, count(*) AS times, min(at) AS first, max(at) AS last FROM actions "
        "GROUP BY who ORDER BY who",
    ),
    (
        "as who judged duplicates",
        "SELECT signed_by AS name, count(*) AS times, min(at) AS first, max(at) AS last "
        "FROM judgements GROUP BY signed_by ORDER BY signed_by",
    ),
    ("as a donor", "SELECT name, erase_on FROM donors ORDER BY name"),
    ("on a loan", "SELECT lent_to AS name, since, due, back FROM loans ORDER BY since"),
    (
        "as a presenter",
        "SELECT presenter AS name, count(*) AS programmes, max(starts_at) AS last FROM programmes "
        "WHERE presenter <> '' GROUP BY presenter ORDER BY presenter",
    ),
    (
        "as who noted a consent",
        "SELECT name, count(*) AS times FROM ("
        + " UNION ALL ".join(
            f"SELECT {by} AS name FROM caller_details" for _, by in STAMPS.values()
        )
        + ") WHERE name <> '' GROUP BY name ORDER BY name",
    ),
)


def _mentions(row: Row, wanted: set[str]) -> bool:
    words = set(plain(" ".join(v for v in row.values() if isinstance(v, str))).split())
    return wanted <= words


def _in_copy(copy: Copy) -> set[int]:
    try:
        with closing(backup.connect(copy.path, read_only=True)) as db:
            return caller_rows.slips(db)
    except SQLITE_TROUBLE:
        return set()


def _remove(copy: Copy) -> None:
    with suppress(OSError):
        copy.path.unlink()


def holding_callers(store: Store, today: date) -> list[Copy]:
    """The copies that hold details which should have been erased by now."""
    found = []
    for copy in backup.all_copies(backup.folder_of(store.path)):
        with suppress(*SQLITE_TROUBLE), closing(backup.connect(copy.path, read_only=True)) as db:
            if caller_rows.overdue(db, today):
                found.append(copy)
    return found
