"""Files that move, are renamed, retagged, vanish and come back: their history goes with them."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from mutagen.flac import FLAC

from catalogue import catalogue_rows, play_log, undo
from catalogue.records import Carrier
from catalogue.store import Store
from importers import accession, known_copies, report_text, taking_in, vanished
from importers.entries import Copy
from importers.report import Report

Tone = Callable[..., Path]
Take = Callable[..., Report]


def tag(path: Path, title: str, artist: str = "Ada Sluice") -> Path:
    audio = FLAC(path)
    audio["title"], audio["artist"] = title, artist
    audio.save()
    return path


def copies(store: Store) -> list[tuple[int, str, bool]]:
    """(recording, file's name, missing) of every file."""
    rows = store.rows("SELECT recording_id, path, missing FROM holdings ORDER BY path")
    return [(r["recording_id"], Path(r["path"]).name, bool(r["missing"])) for r in rows]


def titles(store: Store) -> list[str]:
    return [row["title"] for row in store.rows("SELECT title FROM recordings ORDER BY id")]


@pytest.fixture
def take(store: Store, music: Path, now: datetime) -> Take:
    return lambda **how: taking_in.add_files(store, music, "Ann", now, **how)


@pytest.fixture
def played(store: Store, tone: Tone, take: Take, now: datetime) -> Path:
    """One file among three, taken in and played."""
    path = tag(tone("Ada Sluice/Low Water/Tide.flac"), "Tide")
    tag(tone("Ada Sluice/Low Water/Ebb.flac"), "Ebb")
    tag(tone("Ann Oke/Quay.flac"), "Quay", "Ann Oke")
    take()
    (row,) = store.rows("SELECT id, recording_id FROM holdings WHERE path = ?", (str(path),))
    play_log.record(store, row["recording_id"], row["id"], "Studio 1", None, "Ben", now)
    return path


def still_the_same(store: Store, path: Path) -> bool:
    """The play is that of the copy at this path, and there is one recording for each song."""
    rows = store.rows(
        "SELECT h.missing, p.id FROM holdings h JOIN plays p ON p.holding_id = h.id "
        "AND p.recording_id = h.recording_id WHERE h.path = ?", (str(path),)
    )  # fmt: skip
    return len(rows) == 1 and not rows[0]["missing"] and len(titles(store)) == 3


def test_a_file_in_another_folder(store: Store, played: Path, take: Take, music: Path) -> None:
    """Moved, it is the same copy of the same recording."""
    new = music / "Sluice" / "Tide.flac"
    new.parent.mkdir()
    played.rename(new)

    report = take()

    assert still_the_same(store, new)
    assert (report.moved, report.changed, report.added, report.gone) == (1, 1, 0, [])
    assert "        1  moved or renamed; their history goes with them" in report_text.lines(report)
    assert take().already_held == 3


def test_a_file_under_another_name(store: Store, played: Path, take: Take) -> None:
    """Renamed in its folder."""
    new = played.rename(played.with_name("01 - Tide (copy).flac"))

    assert (take().moved, still_the_same(store, new)) == (1, True)


def test_a_file_moved_and_retagged_at_once(store: Store, played: Path, take: Take) -> None:
    """Known by its sound: the new title is its own, and nothing is new."""
    new = tag(played.rename(played.with_name("x.flac")), "The Tide")

    report = take()

    assert still_the_same(store, new)
    assert (report.moved, "The Tide" in titles(store), "Tide" in titles(store)) == (1, True, False)


def test_a_moved_file_of_which_a_person_wrote_the_title(
    store: Store, played: Path, take: Take, now: datetime
) -> None:
    """What was written stays through move and retagging."""
    number = titles(store).index("Tide") + 1
    with undo.action(store, "Ben", "wrote it", now):
        catalogue_rows.change_recording(store, number, title="Tide of Home")
    tag(played.rename(played.with_name("x.flac")), "The Tide")

    report = take()

    assert "Tide of Home" in titles(store)
    assert any("stays “Tide of Home”" in remark.text for remark in report.needs_a_look)


def test_a_vanished_file_is_missing(store: Store, played: Path, take: Take, now: datetime) -> None:
    """Never deleted; with the day it was missed."""
    played.unlink()

    report = take()

    assert report.gone == [str(played)]
    assert [name for _, name, missing in copies(store) if missing] == ["Tide.flac"]
    (row,) = store.rows("SELECT missing_since FROM holdings WHERE missing")
    assert row["missing_since"] == now.isoformat(timespec="seconds")
    assert take().gone == []


def test_a_vanished_file_that_returns(store: Store, played: Path, take: Take, music: Path) -> None:
    """At its old place or at a new one, it is the old copy."""
    aside = music.parent / "aside.flac"
    shutil.move(played, aside)
    take()
    shutil.copy(aside, played)
    take()
    assert still_the_same(store, played)

    played.unlink()
    take()
    new = Path(shutil.move(aside, played.with_name("Tide again.flac")))
    take()

    assert still_the_same(store, new)
    assert store.rows("SELECT id FROM holdings WHERE missing_since NOT NULL") == []


def test_marking_as_missing_is_taken_back(
    store: Store, played: Path, take: Take, now: datetime
) -> None:
    """With the taking-in that missed it."""
    played.unlink()
    report = take()

    accession.take_back_all(store, report.what, "Ben", now + timedelta(hours=1))

    assert [name for _, name, missing in copies(store) if missing] == []


def test_a_copy_in_a_second_folder(store: Store, played: Path, take: Take, music: Path) -> None:
    """While the first is still there, it is a second copy of one recording."""
    (music / "Backup").mkdir()
    shutil.copy(played, music / "Backup" / "Tide.flac")

    report = take()

    assert (report.new_copies, report.moved, len(titles(store))) == (1, 0, 3)


def test_a_copy_without_tags_is_known_by_its_sound(
    store: Store, played: Path, take: Take, music: Path
) -> None:
    """ "Track 01" of nobody is the song it sounds like."""
    (music / "Backup").mkdir()
    bare = Path(shutil.copy(played, music / "Backup" / "Heron - Mist.flac"))
    FLAC(bare).delete()

    assert take().new_copies == 1
    assert len(titles(store)) == 3


def test_one_sound_with_two_names_needs_a_look(
    store: Store, played: Path, take: Take, music: Path
) -> None:
    """Which of the names is right, a person must say; nothing is thrown together."""
    tag(Path(shutil.copy(played, music / "b.flac")), "Something Else", "Una Fell")

    report = take()

    assert report.added == 1
    assert [str(played) in remark.text for remark in report.needs_a_look] == [True]


def test_another_song_under_a_known_name(store: Store, tone: Tone, music: Path, take: Take) -> None:
    """A name that is used again does not rename the song that was there."""
    path = tag(tone("Tide.flac"), "Tide")
    take()
    other = tag(tone("z.flac"), "Ebb")
    shutil.move(other, path)

    report = take()

    assert titles(store) == ["Tide", "Ebb"]
    assert copies(store) == [(2, "Tide.flac", False)]
    assert "another recording has this file’s name now" in report.needs_a_look[0].text


def test_two_files_that_change_their_names(store: Store, tone: Tone, take: Take) -> None:
    """Each stays a copy of its own song."""
    one, two = tag(tone("1.flac"), "Tide"), tag(tone("2.flac"), "Ebb")
    take()
    aside = one.rename(one.with_name("3.flac"))
    two.rename(one)
    aside.rename(two)

    take()

    assert titles(store) == ["Tide", "Ebb"]
    assert copies(store) == [(2, "1.flac", False), (1, "2.flac", False)]


def test_a_better_copy_in_its_place(store: Store, tone: Tone, take: Take) -> None:
    """The same name and tags, another sound: the copy is renewed, nothing else."""
    path = tag(tone("Tide.flac"), "Tide")
    take()
    better = tag(tone("better.flac", seconds=1.2), "Tide")
    shutil.move(better, path)

    take()

    assert (titles(store), copies(store)) == (["Tide"], [(1, "Tide.flac", False)])


def test_a_drive_that_is_not_plugged_in(store: Store, tone: Tone, music: Path, take: Take) -> None:
    """The folder is there and bare, as a mount point is: nothing is missing."""
    for number in range(3):
        tone(f"{number}.flac")
    take()
    for path in music.iterdir():
        path.rename(music.parent / path.name)

    report = take()

    assert [missing for *_, missing in copies(store)] == [False] * 3
    assert report.gone == []
    assert "3 files known from" in report.out_of_reach[0]
    assert "run it with --gone" in " ".join(report_text.lines(report))
    assert len(take(gone=True).gone) == 3


@pytest.mark.parametrize("folder_stays", [True, False])
def test_one_drive_of_several(
    store: Store, tone: Tone, music: Path, take: Take, monkeypatch: pytest.MonkeyPatch,
    folder_stays: bool,
) -> None:  # fmt: skip
    """A whole folder of the library that is gone at once is taken for a drive."""
    monkeypatch.setattr(vanished, "WHOLE", 4)
    for number in range(4):
        tone(f"Drive B/Ann/{number}.flac")
    for number in range(9):
        tone(f"Drive A/{number}.flac")
    take()
    shutil.move(music / "Drive B", music.parent / "aside")
    if folder_stays:
        (music / "Drive B").mkdir()
    (music / "Drive A" / "0.flac").unlink()

    report = take()

    assert [Path(path).name for path in report.gone] == ["0.flac"]
    assert "4 files known from" in report.out_of_reach[0]
    assert "Drive B" in report.out_of_reach[0]
    if folder_stays:
        (music / "Drive B").rmdir()
    shutil.move(music.parent / "aside", music / "Drive B")
    assert take().already_held == 12


def test_a_copy_on_another_drive_is_no_move(
    store: Store, tone: Tone, music: Path, now: datetime, take: Take
) -> None:
    """The first drive is only away; its copies are not taken for moved ones."""
    for number in range(2):
        tone(f"{number}.flac")
    take()
    shutil.copytree(music, music.parent / "second")
    music.rename(music.parent / "away")

    report = taking_in.add_files(store, music.parent / "second", "Ann", now)

    assert (report.new_copies, report.moved) == (2, 0)
    assert len(copies(store)) == 4


def test_a_folder_that_cannot_be_read(
    store: Store, tone: Tone, music: Path, take: Take, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A failing drive, a forbidden folder: what is in it stays as it was, and that is told."""
    tone("a/1.flac")
    tone("b/2.flac")
    take()
    real = os.scandir

    def scandir(where: str) -> object:
        if str(where).endswith(f"{os.sep}b"):
            raise PermissionError(13, "Permission denied", str(where))
        return real(where)

    monkeypatch.setattr(os, "scandir", scandir)
    report = take()

    assert (report.gone, [missing for *_, missing in copies(store)]) == ([], [False, False])
    assert any("could not be read" in sentence for sentence in report.out_of_reach)


def test_again_reads_every_file(store: Store, played: Path, take: Take) -> None:
    """Also those whose size and time are as they were."""
    kept = played.stat()
    audio = FLAC(played)
    audio["title"] = "Tied"
    audio.save()
    os.utime(played, ns=(kept.st_atime_ns, kept.st_mtime_ns))
    assert played.stat().st_size == kept.st_size

    assert take().changed == 0
    assert take(again=True).changed == 1
    assert "Tied" in titles(store)


def test_a_file_is_looked_for_by_its_sound_through_the_index(store: Store) -> None:
    """Without it every file would be compared with every other: hours, in a large library."""
    asked: list[str] = []
    store.db.conn.set_trace_callback(asked.append)
    known_copies.of_this_sound(store, Copy(Carrier.FILE, path="/a.flac", audio="0f"))
    store.db.conn.set_trace_callback(None)
    (plan,) = (store.rows(f"EXPLAIN QUERY PLAN {sql}") for sql in asked if "audio" in sql)

    assert "SEARCH h USING INDEX holdings_audio" in " ".join(row["detail"] for row in plan)
