"""Entries into the catalogue: once each, and never over what a person wrote."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.records import Carrier
from catalogue.store import Store
from importers import accession
from importers.entries import Entry, Refused, Taken, Unchanged
from importers.report import Report
from tests.importers.made_entries import count, counts, everything, in_file, known, on_disc


@pytest.fixture
def take(store: Store, now: datetime) -> Any:
    def take(*entries: Taken) -> Report:
        return accession.take_in(store, entries, "Ann", "a test", now)

    return take


def test_a_disc_and_a_file_are_one_recording(store: Store, take: Any) -> None:
    """Whoever finds the song finds both copies of it."""
    report = take(on_disc(length_s=222.0), in_file(length_s=225.4))

    assert counts(report) == (1, 1, 0, 0, 0)
    (recording_id,) = (row["id"] for row in store.rows("SELECT id FROM recordings"))
    assert {Carrier.FILE, Carrier.CD} == {
        holding.carrier for holding in rows.holdings_of(store, [recording_id])[recording_id]
    }


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (on_disc(), in_file("TIDE!", "ada sluice"), True),
        (on_disc(artist="The Sluices"), in_file(artist="Sluices"), True),
        (on_disc(), in_file(artist="Ada Sluice feat. Ann Oke"), True),
        (on_disc(artist="Ada Sluice feat. Ann Oke"), in_file(), True),
        (on_disc(), in_file(version="2009 Remaster"), True),
        (on_disc("Tide (from “Low Water”)"), in_file("Tide"), True),
        (on_disc(length_s=222.0), in_file(length_s=231.0), True),
        (on_disc(length_s=600.0), in_file(length_s=650.0), True),
        (on_disc(year=1962), in_file(year=1963), True),
        (on_disc(), in_file(version="live"), False),
        (on_disc(version="live"), in_file(version="acoustic"), False),
        (on_disc(), in_file(artist="Ann Oke"), False),
        (on_disc(), in_file("Tides"), False),
        (on_disc("Tide (Morning)"), in_file("Tide (Evening)"), False),
        (on_disc(length_s=222.0), in_file(length_s=260.0), False),
        (on_disc(length_s=180.0), in_file(length_s=9.0), False),
        (on_disc(year=1962), in_file(year=1985), False),
        (on_disc(year=1962, length_s=222.0), in_file(year=1985, length_s=222.5), True),
        (on_disc(artist=""), in_file(artist=""), False),
        (on_disc(artist="Sluices"), in_file(artist="Sluice"), False),
    ],
)
def test_which_copies_are_one_recording(
    store: Store, take: Any, one: Entry, other: Entry, same: bool
) -> None:
    """Title, artist and version must agree, and length and year of first release not speak
    against it."""
    take(one, other)

    assert (1 if same else 2) == count(store, "recordings")


def test_a_pressings_year_speaks_against_nothing(store: Store, take: Any) -> None:
    """A song of 1962 stands on a collection of 1985; the earlier year is the nearer one."""
    late = replace(in_file(year=1985), guessed=frozenset({"year"}))
    early = replace(on_disc(year=1962), guessed=frozenset({"year"}))

    take(late, early)

    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]


def test_a_later_pressing_changes_no_year(store: Store, take: Any) -> None:
    """What is known to be earlier stays."""
    late = replace(in_file(year=1985), guessed=frozenset({"year"}))

    take(on_disc(year=1962), late)

    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]


def test_a_guessed_year_gives_way_to_a_said_one(store: Store, take: Any) -> None:
    """The same file, its tag completed with the year of first release."""
    take(replace(in_file(year=1985), guessed=frozenset({"year"})))

    report = take(in_file(year=1962, mtime=2.5))

    assert counts(report) == (0, 0, 0, 1, 0)
    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]


def test_a_said_year_does_not_give_way_to_a_guessed_one(store: Store, take: Any) -> None:
    """The tag lost its year of first release; the catalogue does not."""
    take(in_file(year=1962))

    report = take(replace(in_file(year=1985, mtime=2.5), guessed=frozenset({"year"})))

    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]
    assert "stays “1962”" in report.needs_a_look[0].text


def test_twice_adds_nothing(store: Store, take: Any) -> None:
    """Neither records nor an action, nor raw values."""
    entries = [on_disc(), in_file(), known("Ebb"), on_disc("Flow", "", "C 1", "2")]
    take(*entries)
    before = everything(store), count(store, "actions"), count(store, "raw_entries")

    report = take(*entries)

    assert counts(report) == (0, 0, 4, 0, 0)
    assert before == (everything(store), count(store, "actions"), count(store, "raw_entries"))
    assert report.action_ids == []


def test_the_raw_values_are_kept(store: Store, take: Any) -> None:
    """What the tag said, what it was read as, and what was guessed."""
    take(replace(in_file(), raw={"TIT2": " TIDE "}, guessed=frozenset({"artist"})))

    (row,) = store.rows("SELECT * FROM raw_entries")
    kept = json.loads(row["raw"])
    assert (
        kept["said"], kept["read_as"]["title"], kept["guessed"],
    ) == ({"TIT2": " TIDE "}, "Tide", ["artist"])  # fmt: skip
    assert (row["source"], row["outcome"]) == ("/m/tide.mp3", "added")


def test_blanks_are_filled_by_another_copy(store: Store, take: Any) -> None:
    """What the list knows and the file does not goes into the recording."""
    take(in_file(tempo=96.0), on_disc(composer="Edmund Reedmace", tempo=120.0))

    (recording,) = rows.recordings(store, [1]).values()
    assert (recording.composer, recording.tempo) == ("Edmund Reedmace", 96.0)


def test_a_retagged_file_is_brought_up_to_date(store: Store, take: Any) -> None:
    """What only the earlier tag said is renewed."""
    take(in_file("Tied", genre="pop"))

    report = take(in_file("Tide", genre="folk", mtime=2.5))

    assert counts(report) == (0, 0, 0, 1, 0)
    (recording,) = rows.recordings(store, [1]).values()
    assert (recording.title, recording.genre) == ("Tide", "folk")
    assert count(store, "recordings") == 1


def test_what_a_person_wrote_stays(store: Store, take: Any, now: datetime) -> None:
    """The tag is read again, differs from both, and somebody is told once."""
    take(in_file("Tied", genre="pop"))
    with undo.action(store, "Ben", "wrote the title", now):
        rows.change_recording(store, 1, title="The Tide", genre="shanty")

    first = take(in_file("Tide", genre="folk", mtime=2.5))
    second = take(in_file("Tide", genre="folk", mtime=3.5))

    (recording,) = rows.recordings(store, [1]).values()
    assert (recording.title, recording.genre) == ("The Tide", "shanty")
    assert len(first.needs_a_look) == 2
    assert "stays “The Tide”" in first.needs_a_look[0].text
    assert second.needs_a_look == []


def test_what_a_person_emptied_stays_empty(store: Store, take: Any, now: datetime) -> None:
    """A wrong year taken out is not put back by the next run."""
    take(in_file(year=1985))
    with undo.action(store, "Ben", "took the year out", now):
        rows.change_recording(store, 1, year=None)

    take(in_file(year=1985, mtime=2.5))

    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [None]


def test_one_copy_renamed_leaves_the_others(store: Store, take: Any) -> None:
    """A file that was tagged wrongly moves to its own recording."""
    take(on_disc(), in_file())

    take(in_file("Ebb", mtime=2.5))

    holdings = rows.holdings_of(store, [1, 2])
    assert (
        [holding.carrier for holding in holdings[1]],
        [holding.carrier for holding in holdings[2]],
    ) == ([Carrier.CD], [Carrier.FILE])


def test_a_corrected_row_corrects_the_recording(store: Store, take: Any) -> None:
    """The list is mended and taken in again: no second recording comes of it."""
    take(on_disc("Tied"))

    report = take(on_disc("Tide"))

    assert counts(report) == (0, 0, 0, 1, 0)
    assert [row["title"] for row in store.rows("SELECT title FROM recordings")] == ["Tide"]


def test_two_rows_for_one_place_are_both_kept(store: Store, take: Any) -> None:
    """A slip in the list's numbers loses no song, also when it is taken in again."""
    both = on_disc("Tide"), on_disc("Ebb", source="list.csv row 3")

    first, second = take(*both), take(*both)

    assert (counts(first), counts(second)) == ((2, 0, 0, 0, 0), (0, 0, 2, 0, 0))


def test_a_moved_file_keeps_its_recording(store: Store, take: Any) -> None:
    """The same sound, and no file any more where it was."""
    take(in_file(path="/m/old/tide.mp3", audio="5ea"))

    report = take(in_file(path="/m/new/tide.mp3", audio="5ea"))

    assert counts(report) == (0, 0, 0, 1, 0)
    assert [row["path"] for row in store.rows("SELECT path FROM holdings")] == ["/m/new/tide.mp3"]


def test_a_disc_with_two_titles_needs_a_look(store: Store, take: Any) -> None:
    """One shelf mark is for one disc."""
    one, other = on_disc(), on_disc("Ebb", track="2")
    assert one.copy is not None
    assert other.copy is not None

    report = take(
        replace(one, copy=replace(one.copy, disc_title="Low Water")),
        replace(other, copy=replace(other.copy, disc_title="High Water")),
    )

    assert [remark.text for remark in report.needs_a_look] == [
        "C 1 is “Low Water” here, but “High Water” there; one shelf mark is for one disc"
    ]


def test_blanks_of_a_disc_are_filled(store: Store, take: Any) -> None:
    """A second list that knows where the disc is says so."""
    entry = on_disc()
    assert entry.copy is not None
    take(entry)

    report = take(replace(entry, copy=replace(entry.copy, place="Store room")))

    assert rows.disc(store, 1).place == "Store room"
    assert report.changed == 1


def test_refused_and_unchanged_are_counted(take: Any) -> None:
    """Nothing is written for either, and both are in the report."""
    report = take(Refused("x.mp3", "It is a text."), Unchanged("y.mp3"), on_disc(""))

    assert counts(report) == (0, 0, 1, 0, 2)
    assert [remark.source for remark in report.refused] == ["x.mp3", "list.csv row 2"]
    assert report.seen == 3
