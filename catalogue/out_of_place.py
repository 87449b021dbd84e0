"""Discs that are not in their place: lent, or fetched for a programme; and how they come home.

A disc is known by what is typed or scanned: its shelf mark, with the carrier before it where two
discs share a mark, or the barcode of its sleeve.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from catalogue import catalogue_rows, loans, missing_copies, pull_list, undo
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.loans import Loan
from catalogue.records import Carrier, Disc
from catalogue.store import Store

_UPC = 12
"""Digits of a barcode of North America."""

_LONGEST = 80
"""Characters of what is typed or scanned: far longer than any shelf mark."""


@dataclass(frozen=True, slots=True)
class Out:
    """A disc on loan; `overdue_days` is 0 while it may be out."""

    disc: Disc
    loan: Loan
    overdue_days: int


def on_loan(store: Store, now: datetime) -> list[Out]:
    """What is lent: overdue first and longest, then by the day it is due, then by how long."""
    today = now.date()
    found = [
        Out(catalogue_rows.disc(store, disc_id), loan, _overdue(loan.due, today))
        for disc_id, loan in loans.out(store).items()
    ]
    return sorted(
        found, key=lambda out: (-out.overdue_days, out.loan.due or "9999", out.loan.since)
    )


def marked(store: Store, text: str, carriers: Mapping[str, Carrier] | None = None) -> list[Disc]:
    """The discs with this shelf mark or barcode, however it is spaced and in whatever case.

    `carriers` are words by which a carrier may be named before the mark. Raises BadInput for an
    empty text, NotFound where no disc has it.
    """
    typed = " ".join(text.split())[:_LONGEST]
    if not typed:
        raise BadInput("Type or scan the disc’s shelf mark.")
    found = _with_mark(store, typed)
    if not found:
        names = {carrier.value: carrier for carrier in Carrier} | dict(carriers or {})
        for words, carrier in sorted(names.items(), key=lambda pair: -len(pair[0])):
            if typed.casefold().startswith(f"{words.casefold()} "):
                found = [d for d in _with_mark(store, typed[len(words) :]) if d.carrier is carrier]
                break
    if not found:
        raise NotFound(f"No disc has the shelf mark “{typed}”. Look at its label again.")
    return found


def beginning(store: Store, text: str, limit: int = 1_000) -> list[Disc]:
    """The discs whose shelf marks begin so. Raises NotFound where there are none."""
    typed = " ".join(text.split())[:_LONGEST]
    rows = store.rows(
        "SELECT id FROM discs WHERE substr(lower(shelf_mark), 1, ?) = ? ORDER BY id LIMIT ?",
        (len(typed), typed.lower(), limit),
    )
    if not rows:
        raise NotFound(f"No disc has a shelf mark that begins with “{typed}”.")
    return [catalogue_rows.disc(store, row["id"]) for row in rows]


def bare(text: str) -> str:
    """A mark as it is compared: without spaces and hyphens, in small letters.

    >>> bare(" C-114 "), bare("ML410 .B4")
    ('c114', 'ml410.b4')
    """
    return "".join(text.split()).replace("-", "").casefold()


def who_has(store: Store, disc_ids: Collection[int]) -> dict[int, tuple[str, str]]:
    """Of these discs those that are out: who has each, and since when (ISO 8601)."""
    found = {
        disc_id: (loan.lent_to, loan.since) for disc_id, loan in loans.out(store, disc_ids).items()
    }
    for disc_id, (name, since) in pull_list.with_programmes(store).items():
        if disc_id in disc_ids:
            found.setdefault(disc_id, (name, since))
    return found


def shared_marks(store: Store) -> set[str]:
    """The shelf marks that discs of several kinds have: there the carrier must be said too."""
    rows = store.rows("SELECT shelf_mark FROM discs GROUP BY shelf_mark HAVING count(*) > 1")
    return {row["shelf_mark"] for row in rows}


def lend(
    store: Store, found: list[Disc], lent_to: str, due: date | str | None, who: str, now: datetime
) -> Disc:
    """Lend the one of these discs that is in its place; returns it.

    Raises ChangedMeanwhile if none is, BadInput if there are several, or as `loans.lend`.
    """
    away = _with_programmes(store)
    lent = loans.out(store, [disc.id for disc in found])
    here = [disc for disc in found if disc.id not in away and disc.id not in lent]
    if not here:
        disc = found[0]
        if disc.id in away:
            raise ChangedMeanwhile(
                f"{disc.shelf_mark} was fetched for {away[disc.id]}. Put it away first."
            )
        here = [disc]  # loans.lend says who has it
    disc = _the_one(here)
    with undo.action(store, who, f"lent {disc.shelf_mark} to {' '.join(lent_to.split())}", now):
        loans.lend(store, disc.id, lent_to, due, who, now)
        if disc.missing:  # whoever lends it has it in hand
            missing_copies.disc_found(store, disc.id, who, now)
    return disc


def come_home(store: Store, found: list[Disc], who: str, now: datetime) -> tuple[Disc, str]:
    """The one of these discs that is out is home again; returns it and who had it.

    Raises ChangedMeanwhile if none is out, BadInput if several are.
    """
    away = _with_programmes(store)
    lent = loans.out(store, [disc.id for disc in found])
    out = [disc for disc in found if disc.id in lent or disc.id in away]
    if not out:
        raise ChangedMeanwhile(
            f"{found[0].shelf_mark} is not noted as out. Put it in its place; there is nothing to "
            "note."
        )
    disc = _the_one(out)
    had_it = lent[disc.id].lent_to if disc.id in lent else away[disc.id]
    what = f"brought back {disc.shelf_mark}" if disc.id in lent else "put discs away"
    with undo.action(store, who, what, now):
        if disc.id in lent:
            loans.bring_back(store, disc.id, who, now)
        if disc.id in away:
            pull_list.put_away(store, [disc.id], who, now)
        if disc.missing:
            missing_copies.disc_found(store, disc.id, who, now)
    return disc, had_it


def _the_one(discs: list[Disc]) -> Disc:
    if len(discs) > 1:
        kinds = ", ".join(disc.carrier.value for disc in discs)
        raise BadInput(
            f"Several discs have the mark {discs[0].shelf_mark}: {kinds}. Write which before the "
            "mark."
        )
    return discs[0]


def _with_programmes(store: Store) -> dict[int, str]:
    return {disc_id: name for disc_id, (name, _) in pull_list.with_programmes(store).items()}


def _with_mark(store: Store, text: str) -> list[Disc]:
    mark = bare(text)
    if not mark:
        return []
    # SQLite's lower() knows the letters of ASCII only: Ä stays as it is.
    written = [mark, *(_ascii_lower(form) for form in (text, text.upper()))]
    codes = _barcodes(mark)
    rows = store.rows(
        f"SELECT id FROM discs WHERE barcode IN ({', '.join('?' for _ in codes)}) OR "
        "lower(replace(replace(shelf_mark, ' ', ''), '-', '')) IN (?, ?, ?) ORDER BY id",
        (*codes, *written),
    )
    return [catalogue_rows.disc(store, row["id"]) for row in rows]


def _ascii_lower(text: str) -> str:
    joined = "".join(text.split()).replace("-", "")
    return "".join(sign.lower() if sign.isascii() else sign for sign in joined)


def _barcodes(text: str) -> list[str]:
    """A barcode as readers type it: twelve digits of a UPC are thirteen of an EAN with a nought
    before them (GS1 General Specifications; from memory)."""
    if len(text) == _UPC and text.isdigit():
        return [text, f"0{text}"]
    if len(text) == _UPC + 1 and text.isdigit() and text[0] == "0":
        return [text, text[1:]]
    return [text]


def _overdue(due: str | None, today: date) -> int:
    return max(0, (today - date.fromisoformat(due)).days) if due else 0
