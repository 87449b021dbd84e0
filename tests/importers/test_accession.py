"""Entries into the catalogue: once each, never over what a person wrote, and undone whole."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.errors import CannotTakeBack, NotFound, StoreBusy
from catalogue.records import Carrier, NewRecording
from catalogue.store import Store
from importers import accession
from importers.entries import Copy, Entry, Refused, Taken, Unchanged
from importers.report import Report


def on_disc(title: str = "Tide", artist: str = "Ada Sluice", mark: str = "C 1", track: str = "1",
            source: str = "list.csv row 2", **more: Any) -> Entry:  # fmt: skip
    copy = Copy(Carrier.CD, shelf_mark=mark, track=track)
    return Entry(source, {"Title": title}, NewRecording(title, artist, **more), copy)


def in_file(title: str = "Tide", artist: str = "Ada Sluice", path: str = "/m/tide.mp3",
            mtime: float = 1.5, **more: Any) -> Entry:  # fmt: skip
    copy = Copy(Carrier.FILE, path=path, size=1000, mtime=mtime)
    return Entry(path, {"TIT2": title}, NewRecording(title, artist, **more), copy)


def known(title: str = "Tide", artist: str = "Ada Sluice", **more: Any) -> Entry:
    return Entry("known.csv row 2", {"Title": title}, NewRecording(title, artist, **more))


@pytest.fixture
def take(store: Store, now: datetime) -> Any:
    def take(*entries: Taken) -> Report:
        return accession.take_in(store, entries, "Ann", "a test", now)

    return take


def count(store: Store, table: str) -> int:
    return int(store.rows(f"SELECT count(*) AS n FROM {table}")[0]["n"])


def counts(report: Report) -> tuple[int, int, int, int, int]:
    return (report.added, report.new_copies, report.already_held, report.changed,
            len(report.refused))  # fmt: skip


def everything(store: Store) -> dict[str, list[Any]]:
    tables = ("artists", "songs", "recordings", "discs", "holdings")
    return {table: store.rows(f"SELECT * FROM {table} ORDER BY id") for table in tables}


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
    """The same song of the same size, and no file any more where it was."""
    take(in_file(path="/m/old/tide.mp3"))

    report = take(in_file(path="/m/new/tide.mp3"))

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


def test_taking_back_leaves_nothing(
    store: Store, take: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A taking-in of many batches is undone whole, and what was there before is as it was."""
    monkeypatch.setattr(accession, "BATCH", 7)
    take(in_file(genre=""), known("Ebb"))
    before = everything(store)
    report = take(
        *(on_disc(f"Song {n}", f"Artist {n % 5}", f"C {n // 6}", str(n)) for n in range(40)),
        on_disc(genre="folk", mark="C 99"),
    )
    assert len(report.action_ids) == 6

    assert accession.take_back_all(store, report.what, "Ben", now) == 6

    assert before == everything(store)
    assert [(report.what, True)] == [
        (one.what, one.taken_back) for one in accession.takings_in(store)
    ][:1]
    with pytest.raises(NotFound):
        accession.take_back_all(store, report.what, "Ben", now)


def test_taken_back_entries_can_be_taken_in_again(store: Store, take: Any, now: datetime) -> None:
    """Raw values of a taking-in that was undone do not count as said before."""
    accession.take_back_all(store, take(in_file("Tied", year=1985)).what, "Ben", now)

    report = take(in_file("Tide", year=1962))

    assert counts(report) == (1, 0, 0, 0, 0)
    assert [row["year"] for row in store.rows("SELECT year FROM recordings")] == [1962]


def test_what_was_taken_back_was_not_said(store: Store, take: Any, now: datetime) -> None:
    """A year that a person wrote is no guess, though a taking-in that was undone guessed it."""
    with undo.action(store, "Ben", "wrote it down", now):
        number = rows.add_recording(store, NewRecording("Tide", "Ada Sluice"))
    guess = replace(in_file(year=1985), guessed=frozenset({"year"}))
    accession.take_back_all(store, take(guess).what, "Ben", now)
    with undo.action(store, "Ben", "wrote the year", now):
        rows.change_recording(store, number, year=1985)

    take(on_disc(year=1984))

    assert rows.recording(store, number).year == 1985


def test_taking_back_is_all_or_nothing(
    store: Store, take: Any, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Later work on one record of the first batch keeps all batches."""
    monkeypatch.setattr(accession, "BATCH", 2)
    report = take(*(on_disc(f"Song {n}", track=str(n)) for n in range(6)))
    with undo.action(store, "Ben", "wrote the year", now):
        rows.change_recording(store, 1, year=1962)
    before = everything(store)

    with pytest.raises(CannotTakeBack):
        accession.take_back_all(store, report.what, "Ben", now)

    assert before == everything(store)


def test_two_takings_in_have_different_names(store: Store, take: Any, now: datetime) -> None:
    """The same folder on the same evening: only the second is taken back."""
    first, second = take(on_disc()), take(on_disc("Ebb", track="2"))

    accession.take_back_all(store, second.what, "Ben", now)

    assert first.what != second.what
    assert [row["title"] for row in store.rows("SELECT title FROM recordings")] == ["Tide"]


def test_ctrl_c_loses_the_batch_at_hand_only(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was finished stays, and the report says so."""
    monkeypatch.setattr(accession, "BATCH", 3)

    def entries() -> Any:
        for n in range(8):
            if n == 7:
                raise KeyboardInterrupt
            yield on_disc(f"Song {n}", track=str(n))

    report = accession.take_in(store, entries(), "Ann", "a test", now)

    assert (report.added, count(store, "recordings")) == (6, 6)
    assert "run it again" in report.stopped


def test_a_store_that_fails_on_the_way(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Finished batches are kept and told; with none, the store's sentence is raised."""
    monkeypatch.setattr(accession, "BATCH", 3)
    calls = iter([0, 0, 0, 0, 1])
    real = rows.add_recording

    def fail_at_the_fifth(*arguments: Any) -> int:
        if next(calls):
            raise StoreBusy("Another program holds the catalogue.")
        return real(*arguments)

    monkeypatch.setattr(rows, "add_recording", fail_at_the_fifth)
    entries = [on_disc(f"Song {n}", track=str(n)) for n in range(6)]

    report = accession.take_in(store, entries, "Ann", "a test", now)

    assert (report.added, count(store, "recordings")) == (3, 3)
    assert report.stopped.startswith("Another program holds the catalogue.")
    monkeypatch.setattr(rows, "add_recording", lambda *_: (_ for _ in ()).throw(StoreBusy("Busy.")))
    with pytest.raises(StoreBusy):
        accession.take_in(store, entries[3:], "Ann", "a test", now)


def test_progress_is_told(store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    """After each batch: how many of how many."""
    monkeypatch.setattr(accession, "BATCH", 2)
    told: list[tuple[int, int | None]] = []
    entries = [on_disc(f"Song {n}", track=str(n)) for n in range(5)]

    accession.take_in(store, entries, "Ann", "x", now, lambda *at: told.append(at), 5)

    assert told == [(2, 5), (4, 5), (5, 5)]
