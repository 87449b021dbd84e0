"""The demo station: taken in once, whole, and never into a real one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows, loans, settings, staff, undo
from catalogue.enquiry import enquire
from catalogue.errors import BadInput
from catalogue.heard import Heard
from catalogue.records import NewRecording, Outcome
from catalogue.spelling import plain, without_featured
from catalogue.store import Store
from web import demo
from web.opening import OpenStation, opened

NOW = datetime(2026, 11, 25, 19, 30)
TABLES = ("recordings", "holdings", "discs", "plays", "slips", "wants", "places", "loans", "people")


def _counts(store: Store) -> dict[str, int]:
    return {t: store.rows(f"SELECT count(*) AS n FROM [{t}]")[0]["n"] for t in TABLES}


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenStation]:
    with opened(tmp_path_factory.mktemp("demo"), make=True) as open_station:
        assert demo.prepare(open_station, NOW)
        yield open_station


def test_every_desk_has_something_to_do(station: OpenStation) -> None:
    """Records, copies, a month of plays and requests, wants, places, and two discs out."""
    counts = _counts(station.store)

    assert all(counts.values())
    assert counts["loans"] == len(loans.out(station.store)) == 2
    assert settings.get(station.store, "station_name") == "Saltmarsh Radio"


def test_the_month_lies_in_the_past(station: OpenStation) -> None:
    """Nothing was played later than now, and everything within five weeks."""
    first, last = station.store.rows("SELECT min(at) AS first, max(at) AS last FROM plays")[
        0
    ].values()

    assert last < NOW.isoformat()
    assert (NOW - datetime.fromisoformat(first)).days <= 35


def test_nothing_is_wanted_that_is_held(station: OpenStation) -> None:
    """Though the lists write guests and versions into the title, and a record is there twice."""
    held = {
        (plain(f"{row['title']} {row['version'] or ''}"), plain(without_featured(row["name"])))
        for row in station.store.rows(
            """SELECT r.title, r.version, a.name FROM recordings r
            JOIN artists a ON a.id = r.artist_id JOIN holdings h ON h.recording_id = r.id"""
        )
    }
    wanted = {
        (plain(without_featured(row["title"])), plain(without_featured(row["artist"])))
        for row in station.store.rows("SELECT title, artist FROM wants")
    }

    assert wanted
    assert wanted & held == set()


def test_no_caller_is_in_the_month(station: OpenStation) -> None:
    """What was asked for, not by whom."""
    rows = station.store.rows(
        "SELECT caller_name, say_name, for_whom, ring_back FROM caller_details"
    )

    assert {value for row in rows for value in row.values()} <= {""}


def test_everyone_can_sign_in_with_what_is_shown(station: OpenStation) -> None:
    """One for each role."""
    people = demo.people(station.folder)

    assert {role for _, role, _ in people} == {str(role) for role in staff.Role}
    for name, role, passphrase in people:
        person = staff.check(station.store, name, passphrase)
        assert person is not None and person.role == role


def test_a_held_record_is_found_by_its_name(station: OpenStation) -> None:
    """The index knows all of it."""
    row = station.store.rows(
        """SELECT r.title, a.name FROM recordings r JOIN artists a ON a.id = r.artist_id
        JOIN holdings h ON h.recording_id = r.id WHERE h.path NOT NULL LIMIT 1"""
    )[0]
    answer = enquire(station.store, station.index, Heard(f"{row['title']} by {row['name']}"), NOW)

    assert answer.outcome in (Outcome.FOUND, Outcome.NOT_READY)
    assert answer.matches[0].recording.title == row["title"]


def test_a_second_start_takes_nothing_in(station: OpenStation) -> None:
    """And the passphrases stay."""
    before, people = _counts(station.store), demo.people(station.folder)

    assert not demo.prepare(station, NOW)
    assert _counts(station.store) == before
    assert demo.people(station.folder) == people


def test_lost_passphrases_are_made_anew(station: OpenStation) -> None:
    """Somebody tidied the folder."""
    (station.folder / "demo_people.txt").unlink()

    assert not demo.prepare(station, NOW)
    name, _, passphrase = demo.people(station.folder)[0]
    assert staff.check(station.store, name, passphrase) is not None


@pytest.mark.parametrize("broken_off_at", ["add_month", "_add_people"])
def test_a_start_broken_off_begins_again_and_ends_the_same(
    station: OpenStation, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken_off_at: str
) -> None:
    """In the middle and at its last step."""

    def broken_off(*_: object) -> None:
        raise KeyboardInterrupt

    with opened(tmp_path, make=True) as other:
        with monkeypatch.context() as once:
            once.setattr(demo, broken_off_at, broken_off)
            with pytest.raises(KeyboardInterrupt):
                demo.prepare(other, NOW)
        assert demo.prepare(other, NOW)
        assert _counts(other.store) == _counts(station.store)


def test_a_real_station_never_becomes_the_demo(tmp_path: Path) -> None:
    """Its records would be among invented ones."""
    with opened(tmp_path, make=True) as real:
        with undo.action(real.store, "Dilys", "added one", NOW):
            catalogue_rows.add_recording(real.store, NewRecording("My Lantern", "Ann Oke"))
        before = _counts(real.store)

        with pytest.raises(BadInput, match="a station of its own.*--station"):
            demo.prepare(real, NOW)
        assert _counts(real.store) == before
