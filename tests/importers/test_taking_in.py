"""A folder, a list and a list of what is known, as somebody takes them in."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from mutagen.flac import FLAC

from catalogue import catalogue_rows, undo
from catalogue.errors import BadInput, CatalogueError, ReadOnlyStore, UnreadableList
from catalogue.store import Store
from importers import accession, report_text, taking_in

Tone = Callable[..., Path]
Written = Callable[[str, str | bytes], Path]


def tag(path: Path, **texts: str) -> Path:
    audio = FLAC(path)
    audio.update(texts)
    audio.save()
    return path


def test_a_folder_twice(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """The second time no file is even opened."""
    for n in range(3):
        tag(tone(f"Ada Sluice/Low Water/0{n} Song {n}.flac"), title=f"Song {n}")

    first = taking_in.add_files(store, music, "Ann", now)
    for path in music.rglob("*.flac"):  # as long and as old, but no audio any more
        kept = path.stat()
        path.write_bytes(b"x" * kept.st_size)
        os.utime(path, ns=(kept.st_atime_ns, kept.st_mtime_ns))
    second = taking_in.add_files(store, music, "Ann", now)

    assert (first.added, first.already_held) == (3, 0)
    assert (second.added, second.already_held, len(second.refused)) == (0, 3, 0)


def test_a_retagged_file(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """A new tag is seen by the file's size and time."""
    path = tag(tone("a.flac"), title="Tied", artist="Ada Sluice")
    taking_in.add_files(store, music, "Ann", now)
    tag(path, title="Tide")
    os.utime(path, (1, 1))

    report = taking_in.add_files(store, music, "Ann", now)

    assert report.changed == 1
    assert [row["title"] for row in store.rows("SELECT title FROM recordings")] == ["Tide"]


def test_files_that_went_are_told(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """They stay in the catalogue; somebody should know."""
    path = tone("Ada Sluice - Tide.flac")
    tone("Ada Sluice - Ebb.flac")
    taking_in.add_files(store, music, "Ann", now)
    path.unlink()

    report = taking_in.add_files(store, music, "Ann", now)

    assert [str(path)] == report.gone
    assert any("no longer there" in line for line in report_text.lines(report))


def test_a_missing_file_that_is_back(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """Marked as missing at the shelves, found again by the next taking-in."""
    tone("Ada Sluice - Tide.flac")
    taking_in.add_files(store, music, "Ann", now)
    with undo.action(store, "Ben", "missed it", now):
        catalogue_rows.change_holding(store, 1, missing=1)

    report = taking_in.add_files(store, music, "Ann", now)

    assert not catalogue_rows.holding(store, 1).missing
    assert report.already_held == 1


def test_progress_counts_every_file(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """From the first to the last of all."""
    tone("a.flac")
    tone("b.flac")
    told: list[tuple[int, int | None]] = []

    taking_in.add_files(store, music, "Ann", now, lambda *at: told.append(at))

    assert told == [(1, 2), (2, 2)]


def test_a_folder_that_is_not_there(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """A wrong name, or a file in its place: one sentence each."""
    path = tone("a.flac")

    with pytest.raises(BadInput, match="There is no folder"):
        taking_in.add_files(store, music / "none", "Ann", now)
    with pytest.raises(BadInput, match="is a file. Give the folder"):
        taking_in.add_files(store, path, "Ann", now)


def test_a_folder_that_may_not_be_read(
    store: Store, music: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tests may run as an administrator, to whom nothing is forbidden: so access is."""
    monkeypatch.setattr("os.access", lambda *_: False)

    with pytest.raises(BadInput, match="may not be read by this user"):
        taking_in.add_files(store, music, "Ann", now)


def test_a_catalogue_that_cannot_be_written(store: Store, written: Written, now: datetime) -> None:
    """Reading goes on, the store says that it may not write, and nothing is half done."""
    store.db.execute("PRAGMA query_only = ON")
    path = written("a.csv", "Mark,Carrier,Artist,Title\nC 1,CD,Ann,Ebb\n")

    with pytest.raises(ReadOnlyStore, match="Nothing was changed"):
        taking_in.add_list(store, path, "Ann", now)


def test_an_empty_folder(store: Store, music: Path, now: datetime) -> None:
    """Nothing to do is said, not hidden."""
    report = taking_in.add_files(store, music, "Ann", now)

    assert report_text.lines(report) == ["Nothing was found to take in."]


def test_a_list_and_a_folder_meet(
    store: Store, tone: Tone, music: Path, written: Written, now: datetime
) -> None:
    """The file on the drive and the disc on the shelf are copies of one recording."""
    tag(tone("x.flac"), title="Tide", artist="Sluice, Ada")
    path = written("a.csv", "Mark;Carrier;Artist;Title\nC 1;CD;Ada Sluice;Tide\n")

    taking_in.add_files(store, music, "Ann", now)
    report = taking_in.add_list(store, path, "Ann", now)

    assert (report.added, report.new_copies) == (0, 1)


def test_what_is_known_is_not_held(store: Store, written: Written, now: datetime) -> None:
    """It can be found and asked for, but has no copy; a copy that comes later joins it."""
    known = written("known.csv", "Artist,Title,Year\nAda Sluice,Tide,1962\n")
    shelf = written("a.csv", "Mark;Carrier;Artist;Title\nC 1;CD;Ada Sluice;Tide\n")

    first = taking_in.add_known(store, known, "Ann", now)
    assert store.rows("SELECT id FROM holdings") == []
    second = taking_in.add_list(store, shelf, "Ann", now)
    third = taking_in.add_known(store, known, "Ann", now)

    assert (first.added, second.new_copies, third.already_held) == (1, 1, 1)
    assert len(store.rows("SELECT id FROM recordings")) == 1


@pytest.mark.parametrize("add", [taking_in.add_list, taking_in.add_known])
def test_a_bad_list_changes_nothing(
    store: Store, written: Written, now: datetime, add: Callable[..., object]
) -> None:
    """An empty list, no list, a missing list: a sentence, and no action."""
    for path in (written("a.csv", ""), written("b.csv", bytes(range(1, 32)) * 9),
                 Path("none.csv")):  # fmt: skip
        with pytest.raises(UnreadableList):
            add(store, path, "Ann", now)

    assert store.rows("SELECT id FROM actions") == []


def test_a_list_without_shelf_marks(store: Store, written: Written, now: datetime) -> None:
    """One sentence, not one for each of its rows; as what is known it is welcome."""
    path = written("a.csv", "Artist,Title\nAnn Oke,Ebb\n")

    with pytest.raises(UnreadableList, match="no column can be told to hold shelf marks"):
        taking_in.add_list(store, path, "Ann", now)
    assert taking_in.add_known(store, path, "Ann", now).added == 1


def test_a_taking_in_is_undone_whole(store: Store, tone: Tone, music: Path, now: datetime) -> None:
    """The name that takes it back is in the report."""
    tone("Ada Sluice - Tide.flac")
    report = taking_in.add_files(store, music, "Ann", now)

    accession.take_back_all(store, report.what, "Ben", now)

    assert store.rows("SELECT id FROM recordings") == []
    assert taking_in.add_files(store, music, "Ann", now).added == 1


def test_every_error_is_of_one_family() -> None:
    """What the functions raise is what the command line and the pages catch."""
    assert issubclass(UnreadableList, CatalogueError)
    assert issubclass(BadInput, CatalogueError)


def test_the_sample_library(store: Store, now: datetime) -> None:
    """Our own world comes in whole, and a second time nothing changes."""
    sample = Path(__file__).parents[2] / "sample_library"
    if not (sample / "shelf_list.csv").exists():
        pytest.skip("the sample library has not been made")

    files = taking_in.add_files(store, sample / "audio", "Ann", now)
    shelf = taking_in.add_list(store, sample / "shelf_list.csv", "Ann", now)
    sheet = taking_in.add_list(store, sample / "shelf_list.xlsx", "Ann", now)
    known = taking_in.add_known(store, sample / "known_not_held.csv", "Ann", now)

    assert files.added > 50
    assert shelf.added > 500
    assert [len(report.refused) for report in (files, shelf, known)] == [0, 0, 0]
    assert (sheet.added, sheet.new_copies, sheet.changed) == (0, 0, 0)
    assert known.added > 50
