"""A small station with four volunteers, one for each role, and a browser for each.

Invented: Alice answers the phone, Bob is in the studio, Charlie minds the shelves, Dora keeps
the station's PC.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from catalogue import catalogue_rows, loans, places, request_slips, settings, staff, undo
from catalogue.records import Carrier, NewDisc, NewHolding, NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from web import create_app

PASSPHRASE = "four plain words"
PEOPLE = {"Alice": "searcher", "Bob": "presenter", "Charlie": "librarian", "Dora": "keeper"}
PINS = {"Alice": "482915", "Bob": "159753", "Charlie": "704182", "Dora": "263908"}
EVENING = datetime(2024, 5, 7, 19, 40)


@dataclass
class Clock:
    """A clock that stands still until it is moved on."""

    at: datetime = EVENING

    def __call__(self) -> datetime:
        return self.at

    def on(self, **how_long: float) -> None:
        """Move it on."""
        self.at += timedelta(**how_long)


@dataclass
class Held:
    """The numbers of what is in the small catalogue."""

    recordings: dict[str, int] = field(default_factory=dict)
    copies: dict[str, int] = field(default_factory=dict)
    discs: dict[str, int] = field(default_factory=dict)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Held]:
    """The small station, made once; each test works on a copy."""
    folder = tmp_path_factory.mktemp("station")
    store = Store(folder / "asheard.db")
    held = _take_in(store)
    for name, role in PEOPLE.items():
        staff.add(store, name, role, PASSPHRASE, "test", EVENING)
    settings.put(store, "station_name", "Saltmarsh Radio", "Dora", EVENING)
    places.add(store, "Saltings House", "Saltings House", True, "Dora", EVENING)
    places.add(store, "Cottage Hospital, Ward 2", "the hospital", False, "Dora", EVENING)
    index = SoundIndex(folder / "sound_index", store)
    index.catch_up()
    index.close()
    store.close()
    return folder, held


@pytest.fixture
def held(made: tuple[Path, Held]) -> Held:
    """The numbers of the records, copies and discs."""
    return made[1]


@pytest.fixture
def store(made: tuple[Path, Held], tmp_path: Path) -> Iterator[Store]:
    shutil.copytree(made[0], tmp_path / "station")
    opened = Store(tmp_path / "station" / "asheard.db")
    yield opened
    opened.close()


@pytest.fixture
def app(store: Store, clock: Clock) -> Iterator[Flask]:
    index = SoundIndex(store.path.parent / "sound_index", store)
    app = create_app(store, index, clock, {"SECRET_KEY": "only for tests", "TESTING": True})
    app.config["PROPAGATE_EXCEPTIONS"] = False
    yield app
    app.extensions["asheard_workers"].close()
    index.close()


def slip_in(store: Store, held: Held, state: str, at: datetime) -> int:
    """A new slip in this state; its number."""
    slip = request_slips.start(store, "request", "Alice", at)
    choice = (held.recordings["lantern"], held.copies["lantern"])
    request_slips.choose(store, slip, *choice, "Alice", at)
    if state != "being written":
        studio = settings.lines(store, "studios")[0]
        request_slips.hand_over(store, slip, studio, "Alice", at)
    if state == "played":
        request_slips.played(store, slip, "Bob", at)
    if state == "not used":
        request_slips.not_used(store, slip, "no time", "Bob", at)
    return slip


def _take_in(store: Store) -> Held:
    """Ready on an LP, ready as a file, on loan, known but not held, and one more."""
    held = Held()
    now = EVENING - timedelta(days=30)
    with undo.action(store, "Charlie", "took in a few records", now):

        def add(key: str, title: str, artist: str, year: int) -> None:
            held.recordings[key] = catalogue_rows.add_recording(
                store, NewRecording(title, artist, year=year, tempo=96, length_s=172)
            )

        add("lantern", "Lantern on the Quay", "Marsha Herron", 1962)
        add("lantern too", "Lantern on the Quay", "The Bargemen", 1971)
        add("waltz", "Quay Street Waltz", "Marsha Herron", 1964)
        add("jetty", "The Long Jetty", "Hector Pike", 1959)
        add("heron", "Grey Heron Standing", "Ada Sluice", 1966)
        recordings, discs = held.recordings, held.discs
        discs["lp"] = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, "C 114"))
        discs["45"] = catalogue_rows.shelve_disc(store, NewDisc(Carrier.SINGLE_45, "S 20"))
        for key, copy in {
            "lantern": NewHolding(recordings["lantern"], disc_id=discs["lp"], side="2", track="3"),
            "lantern too": NewHolding(recordings["lantern too"], disc_id=discs["45"]),
            "waltz": NewHolding(recordings["waltz"], path="music/quay_street_waltz.flac"),
            "heron": NewHolding(recordings["heron"], disc_id=discs["lp"], side="1", track="1"),
        }.items():
            held.copies[key] = catalogue_rows.add_holding(store, copy)
    loans.lend(store, held.discs["45"], "the north studio", None, "Charlie", now)
    return held


class Desk:
    """A browser with somebody signed in: sends the token, as the pages do."""

    def __init__(self, client: FlaskClient) -> None:
        self.client = client

    def token(self) -> str:
        """The token that this browser's pages carry."""
        page = self.client.get("/sign-in").get_data(as_text=True)
        found = re.search(r'X-CSRFToken": "([^"]+)"', page)
        assert found
        return found.group(1)

    def get(self, path: str, **more: object) -> TestResponse:
        """Open a page."""
        return self.client.get(path, **more)  # type: ignore[arg-type]

    def send(self, address: str, /, *, page: bool = False, **form: object) -> TestResponse:
        """Send a form as htmx does, or as a page without scripts does."""
        headers = {} if page else {"HX-Request": "true"}
        headers["X-CSRFToken"] = self.token()
        return self.client.post(address, data=form, headers=headers)


@pytest.fixture
def sign_in(app: Flask) -> Callable[[str], Desk]:
    def enter(name: str) -> Desk:
        desk = Desk(app.test_client())
        answer = desk.send("/sign-in", page=True, name=name, passphrase=PASSPHRASE)
        assert answer.status_code == 303
        return desk

    return enter


@dataclass
class SharedDesk:
    """A browser that several people use, with the PINs of all of them."""

    desk: Desk
    people: dict[str, int]

    def by_pin(self, name: str, pin: str = "", **more: object) -> TestResponse:
        """Somebody comes in by PIN, over the page that is open."""
        form = {"person": self.people[name], "pin": pin or PINS[name], **more}
        return self.desk.send("/sign-in/pin", **form)


@pytest.fixture
def shared(store: Store, sign_in: Callable[[str], Desk]) -> SharedDesk:
    """A shared desk of all four; Dora is signed in there by passphrase."""
    desk = sign_in("Dora")
    assert desk.send("/desk/shared", page=True, name="North PC").status_code == 303
    for name, pin in PINS.items():
        desk.send("/sign-in", page=True, name=name, passphrase=PASSPHRASE)
        form = {"pin": pin, "again": pin, "passphrase": PASSPHRASE}
        assert desk.send("/sign-in/own/pin", page=True, **form).status_code == 303
    return SharedDesk(desk, {p.name: p.id for p in staff.all_people(store)})


@pytest.fixture
def phone(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Alice")


@pytest.fixture
def studio(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Bob")


@pytest.fixture
def shelves(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Charlie")
