"""The demo station: Saltmarsh Radio, taken in from `sample_library` on its first start."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import sample_library
from catalogue import loans, passphrases, places, programmes, settings, staff
from catalogue.errors import BadInput, NotFound
from catalogue.private_file import write_privately
from catalogue.store import Store
from importers import jobs, taking_in
from importers.accession import Progress
from web.demo_month import add_month, rows_of
from web.opening import OpenStation

PEOPLE = (
    ("Nell", staff.Role.SEARCHER),
    ("Walter", staff.Role.PRESENTER),
    ("Dilys", staff.Role.LIBRARIAN),
    ("Keeper", staff.Role.KEEPER),
)
"""The volunteers of Saltmarsh Radio, one for each desk."""

_NAME = "Saltmarsh Radio"
_PROGRAMME = "Requests from the Estuary"
_PEOPLE_FILE = "demo_people.txt"
_DONE = "demo"
_LENT = (("C", "the north studio", 3), ("L", "Walter, for his Sunday programme", 9))
"""First letter of a shelf mark, to whom a disc is lent, and for how many days already."""


def prepare(station: OpenStation, now: datetime, progress: Progress | None = None) -> bool:
    """Take in the sample library unless that is done already; returns whether it did.

    Raises BadInput for the folder of a real station.
    """
    store, folder = station.store, sample_library.folder()
    if settings.get(store, _DONE) == "yes":
        if not (station.folder / _PEOPLE_FILE).exists():
            _add_people(station, now)
        return False
    begun = settings.get(store, "station_name") == _NAME
    if not begun and (staff.all_people(store) or store.rows("SELECT 1 FROM recordings LIMIT 1")):
        raise BadInput(
            f"{station.folder} holds a station of its own. Give the demo another folder with "
            "--station."
        )
    settings.put(store, "station_name", _NAME, "demo", now)
    for kind, add, name in (
        ("files", taking_in.add_files, "audio"),
        ("list", taking_in.add_list, "shelf_list.csv"),
        ("known", taking_in.add_known, "known_not_held.csv"),
    ):
        job_id = jobs.ask(store, kind, str(folder / name), {}, "demo", now)
        with jobs.doing(store, job_id) as job:
            add(store, folder / name, "demo", now, progress, job=job)
    _add_places(store, folder / "places.csv", now)
    _add_programme(store, now)
    add_month(store, folder, now)
    _lend_some(store, now)
    _add_people(station, now)
    # Last, so that a demo broken off in the middle begins again.
    settings.put(store, _DONE, "yes", "demo", now)
    station.index.catch_up()
    return True


def people(folder: Path) -> list[tuple[str, str, str]]:
    """(name, role, passphrase) of this folder's demo people."""
    lines = (folder / _PEOPLE_FILE).read_text(encoding="utf-8").splitlines()
    return [tuple(line.split("\t")) for line in lines if line]  # type: ignore[misc]


def _add_people(station: OpenStation, now: datetime) -> None:
    lines = []
    there = {person.name: person for person in staff.all_people(station.store)}
    for name, role in PEOPLE:
        passphrase = passphrases.new()
        if name in there:
            staff.new_words_for(station.store, there[name].id, passphrase)
        else:
            staff.add(station.store, name, role, passphrase, "demo", now)
        lines.append(f"{name}\t{role}\t{passphrase}\n")
    write_privately(station.folder / _PEOPLE_FILE, "".join(lines).encode())


def _add_places(store: Store, file: Path, now: datetime) -> None:
    there = {place.name for place in places.all_places(store)}
    for row in rows_of(file):
        if row["place"] not in there:
            on_air = row["say_on_air"].strip().lower() == "yes"
            places.add(store, row["place"], row["how_to_say"], on_air, "demo", now)


def _add_programme(store: Store, now: datetime) -> None:
    """Something is on, so that the studio has a programme to count down."""
    if programmes.current(store, now) is None:
        begun = now.replace(minute=0, second=0)
        programmes.add(store, _PROGRAMME, PEOPLE[1][0], begun, begun + timedelta(hours=3),
                       "demo", now)  # fmt: skip


def _lend_some(store: Store, now: datetime) -> None:
    """Put two discs out on loan, so that the phone desk has something to say."""
    for letter, borrower, days in _LENT:
        found = store.rows(
            "SELECT id FROM discs WHERE shelf_mark LIKE ? ORDER BY shelf_mark LIMIT 1",
            (f"{letter}%",),
        )
        if not found:
            raise NotFound("The sample library has no disc to lend.")
        if not loans.out(store, {found[0]["id"]}):
            loans.lend(store, found[0]["id"], borrower, None, "demo", now - timedelta(days=days))
