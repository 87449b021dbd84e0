"""What to fetch from the shelves before a programme, and what to put away after it.

A disc that was pulled is with the programme until somebody says that it is home again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from catalogue import catalogue_rows, loans, programmes, undo
from catalogue.errors import BadInput
from catalogue.filing import MarkOrder, mark_order
from catalogue.records import Disc
from catalogue.running_order import RunningOrder
from catalogue.store import Store


@dataclass(frozen=True, slots=True)
class Pull:
    """One disc of a list: what is wanted on it (title, side and track), and where it is.

    `lent_to` is who has it; `pulled_at` when it was fetched for this programme (ISO 8601);
    `used` whether something of it went out."""

    disc: Disc
    wanted: tuple[tuple[str, str, str], ...]
    lent_to: str = ""
    pulled_at: str | None = None
    used: bool = False


def of(store: Store, order: RunningOrder) -> list[Pull]:
    """The discs of a programme's list in the order of the shelf, pulled already or not."""
    wanted: dict[int, list[tuple[str, str, str]]] = {}
    used: set[int] = set()
    for item in order.items:
        if item.holding is None or item.holding.disc_id is None or item.recording is None:
            continue
        disc_id = item.holding.disc_id
        if item.played_at is not None:
            used.add(disc_id)
        line = (item.recording.title, item.holding.side, item.holding.track)
        if line not in wanted.setdefault(disc_id, []):
            wanted[disc_id].append(line)
    pulled = _out(store, order.programme.id)
    lent = loans.out(store, wanted)
    found = [
        Pull(
            catalogue_rows.disc(store, disc_id),
            tuple(lines),
            lent[disc_id].lent_to if disc_id in lent else "",
            pulled.get(disc_id),
            disc_id in used,
        )
        for disc_id, lines in wanted.items()
    ]
    return sorted(found, key=lambda pull: _along_the_shelf(pull.disc))


def to_put_away(store: Store, programme_id: int | None = None) -> list[tuple[Disc, str]]:
    """The discs that were pulled and are not home, in the order of the shelf, each with the name
    of the programme that has it; of one programme, or of all."""
    chosen = "AND p.id = ?" if programme_id is not None else ""
    rows = store.rows(
        "SELECT d.disc_id, p.name FROM pulled_discs d JOIN programmes p ON p.id = d.programme_id "
        f"WHERE d.put_away_at IS NULL {chosen}",
        (programme_id,) if programme_id is not None else (),
    )
    found = [(catalogue_rows.disc(store, row["disc_id"]), str(row["name"])) for row in rows]
    return sorted(found, key=lambda pair: _along_the_shelf(pair[0]))


def pull(store: Store, programme_id: int, disc_ids: list[int], who: str, now: datetime) -> int:
    """Note that these discs were fetched for a programme; returns how many were not out yet.

    Raises NotFound for an unknown programme or disc, BadInput for one that is lent.
    """
    with undo.action(store, who, "fetched discs for a programme", now):
        programmes.get(store, programme_id)
        out = _out(store, None)
        new = [disc_id for disc_id in dict.fromkeys(disc_ids) if disc_id not in out]
        lent = loans.out(store, new)
        for disc_id in new:
            mark = catalogue_rows.disc(store, disc_id).shelf_mark
            if disc_id in lent:
                raise BadInput(
                    f"{mark} is on loan to {lent[disc_id].lent_to}. Bring it back first."
                )
            store.db.execute(
                "INSERT INTO pulled_discs (programme_id, disc_id, pulled_at) VALUES (?, ?, ?)",
                (programme_id, disc_id, now.isoformat(timespec="seconds")),
            )
    return len(new)


def put_away(store: Store, disc_ids: list[int], who: str, now: datetime) -> int:
    """Note that these discs are home again; returns how many were out."""
    with undo.action(store, who, "put discs away", now):
        out = _out(store, None)
        home = [disc_id for disc_id in dict.fromkeys(disc_ids) if disc_id in out]
        for disc_id in home:
            store.db.execute(
                "UPDATE pulled_discs SET put_away_at = ? WHERE disc_id = ? AND put_away_at IS NULL",
                (now.isoformat(timespec="seconds"), disc_id),
            )
    return len(home)


def with_programmes(store: Store) -> dict[int, tuple[str, str]]:
    """The discs that were pulled and are not home: the programme's name, and since when."""
    rows = store.rows(
        "SELECT d.disc_id, p.name, d.pulled_at FROM pulled_discs d "
        "JOIN programmes p ON p.id = d.programme_id WHERE d.put_away_at IS NULL ORDER BY d.id"
    )
    return {row["disc_id"]: (str(row["name"]), str(row["pulled_at"])) for row in rows}


def point_at_disc(store: Store, gone: int, kept: int) -> None:
    """What was fetched of one disc is another's; inside an action."""
    store.db.execute("UPDATE pulled_discs SET disc_id = ? WHERE disc_id = ?", (kept, gone))


def _out(store: Store, programme_id: int | None) -> dict[int, str]:
    chosen = "AND programme_id = ?" if programme_id is not None else ""
    rows = store.rows(
        f"SELECT disc_id, pulled_at FROM pulled_discs WHERE put_away_at IS NULL {chosen}",
        (programme_id,) if programme_id is not None else (),
    )
    return {row["disc_id"]: row["pulled_at"] for row in rows}


def _along_the_shelf(disc: Disc) -> tuple[str, str, MarkOrder]:
    """Room, carrier, then shelf mark: one walk along the shelves."""
    return (disc.place.casefold(), disc.carrier.value, mark_order(disc.shelf_mark))
