"""Taking in at the terminal: columns shown and corrected, reports kept, folders, measuring."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from click.testing import CliRunner, Result

from catalogue.store import Store
from web import taking_in_commands
from web.command_line import main
from web.opening import DATABASE

Asheard = Callable[..., Result]

LIST = "Mark;Carrier;Donor;Song\nC 1;CD;Ada Sluice;Tide\nC 2;CD;Ann Oke;\nC 3;LP;Una Fell;Mist\n"


@pytest.fixture
def asheard(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Asheard:
    """Run the command on a new station in a window of 80 columns."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("ASHEARD_STATION", str(tmp_path / "station"))

    def run(*words: object, answers: str | None = None) -> Result:
        monkeypatch.setattr(taking_in_commands, "at_a_terminal", lambda: answers is not None)
        return CliRunner().invoke(main, [str(word) for word in words], input=answers)

    return run


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = tmp_path / "shelf.csv"
    path.write_text(LIST)
    return path


@pytest.fixture
def music(tmp_path: Path) -> Path:
    """A folder with a click track and a text that is called a song."""
    folder = tmp_path / "music"
    folder.mkdir()
    sound = np.zeros(22_050 * 8)
    sound[:: 22_050 * 2 // 3] = 0.9  # 90 a minute
    soundfile.write(folder / "Ada Sluice - Tide.flac", sound, 22_050)
    (folder / "Ebb.mp3").write_text("a text")
    return folder


def rows(tmp_path: Path, sql: str) -> list[tuple[object, ...]]:
    store = Store(tmp_path / "station" / DATABASE)
    found = [tuple(row.values()) for row in store.rows(sql)]
    store.close()
    return found


def artists(tmp_path: Path) -> list[object]:
    return [row[0] for row in rows(tmp_path, "SELECT name FROM artists ORDER BY id")]


def test_the_guess_is_shown_before_anything_is_stored(
    asheard: Asheard, shelf: Path, tmp_path: Path
) -> None:
    """Each column with what it was read as and three samples, within 80 columns; “stop” stops."""
    stopped = asheard("add-list", shelf, answers="stop\n")

    assert stopped.exit_code == 1
    assert "Nothing was taken in" in stopped.output
    assert artists(tmp_path) == []
    shown = stopped.output.splitlines()
    assert "The columns of shelf.csv were read by its headings:" in shown
    assert "  1 Mark            shelf mark     C 1 | C 2 | C 3" in shown
    assert "  3 Donor           -              Ada Sluice | Ann Oke | Una Fell" in shown
    assert max(map(len, shown)) <= 80


def test_the_guess_fits_the_window_however_long_the_cells(asheard: Asheard, tmp_path: Path) -> None:
    """Three long samples under a long heading."""
    row = ",".join(["C 1", "a word of many letters", "another as long as that"]) + "\n"
    (tmp_path / "long.csv").write_text("Shelf mark,Title,Performing artist or group\n" + row * 4)

    shown = asheard("add-list", tmp_path / "long.csv", answers="stop\n").output.splitlines()

    assert any(line.count("…") >= 4 for line in shown)
    assert max(map(len, shown)) <= 80


def test_columns_are_corrected_and_remembered(
    asheard: Asheard, shelf: Path, tmp_path: Path
) -> None:
    """A slip is told and asked again; the next list of this shape is read as this one."""
    answers = "mark, carrier, colour, title\nshelf mark, carrier, artist, title\n"
    first = asheard("add-list", shelf, answers=answers)
    assert "“colour” is nothing that a column can hold" in first.output.replace("\n  ", " ")
    assert artists(tmp_path) == ["Ada Sluice", "Una Fell"]

    shelf.write_text(LIST.replace("Sluice", "Fenn"))
    second = asheard("add-list", shelf, answers="\n")

    assert "as you said for a list like this" in second.output
    assert "Ada Fenn" in artists(tmp_path)


def test_columns_said_in_the_command(asheard: Asheard, shelf: Path, tmp_path: Path) -> None:
    """Nobody is asked."""
    done = asheard("add-list", shelf, "--columns", "shelf mark, carrier, artist, title")

    assert done.exit_code == 0
    assert artists(tmp_path) == ["Ada Sluice", "Una Fell"]
    wrong = asheard("add-list", shelf, "--columns", "artist, year")
    assert (wrong.exit_code, "No column would be the title" in wrong.output) == (1, True)


def test_without_a_terminal_nobody_is_asked(asheard: Asheard, shelf: Path) -> None:
    """A script takes the guess; so does --yes at a terminal."""
    assert asheard("add-list", shelf).exit_code == 0
    assert "were read" not in asheard("add-list", shelf, "--yes", answers="").output


def test_refused_rows_and_the_report_are_kept(
    asheard: Asheard, shelf: Path, tmp_path: Path
) -> None:
    """Two files; the rows mended and given again are taken in."""
    back, report = tmp_path / "back.csv", tmp_path / "report.txt"

    done = asheard("add-list", shelf, "--refused", back, "--report", report)

    assert "1 that were not taken in are in" in done.output
    assert "It has no title" in report.read_text()
    back.write_text(back.read_text("utf-8-sig").replace("Ann Oke,,", "Ann Oke,Ebb,"))
    assert "1  new" in asheard("add-list", back).output
    assert rows(tmp_path, "SELECT title FROM recordings WHERE title = 'Ebb'")


def test_files_gone_and_again(asheard: Asheard, music: Path, tmp_path: Path) -> None:
    """--again reads what has not changed, --gone believes that a bare folder is bare."""
    asheard("add-files", music, "--refused", tmp_path / "back.csv")
    assert "Ebb.mp3" in (tmp_path / "back.csv").read_text()
    assert asheard("add-files", music, "--again").exit_code == 0
    for path in music.iterdir():
        path.unlink()

    careful, sure = asheard("add-files", music), asheard("add-files", music, "--gone")

    assert "run it with --gone" in " ".join(careful.output.split())
    assert "1 known before is no longer there; marked missing:" in sure.output
    assert rows(tmp_path, "SELECT missing FROM holdings") == [(1,)]


def test_folders_as_desks_see_them(asheard: Asheard, music: Path, tmp_path: Path) -> None:
    """Listed, said for a desk, and moved as a whole."""
    asheard("add-files", music)

    said = asheard("folders", music, "--seen-by", "Studio 1", "--as", "M:\\Music")
    assert said.output.splitlines() == [str(music), "  Studio 1: M:\\Music"]
    new = tmp_path / "songs"
    music.rename(new)
    moved = asheard("folders", music, "--moved-to", new)
    again = asheard("add-files", new)

    assert "1  files are at their new place" in moved.output
    assert "1  in already, unchanged" in again.output
    assert asheard("folders").output.splitlines() == [str(new), "  Studio 1: M:\\Music"]
    assert asheard("folders", music).exit_code == 1


def test_measuring(asheard: Asheard, music: Path, tmp_path: Path) -> None:
    """The file is listened to once, and its blank tempo filled."""
    asheard("add-files", music)

    first, second = asheard("measure"), asheard("measure")

    assert "1  measured" in first.output
    assert "1  blank tempos filled" in first.output
    assert "Every file was measured already." in second.output
    ((tempo,),) = rows(tmp_path, "SELECT tempo FROM recordings")
    assert tempo == pytest.approx(90, rel=0.04)


@pytest.mark.parametrize("command", ["add-files", "add-list", "add-known", "measure", "folders"])
def test_help_fits_the_window(asheard: Asheard, command: str) -> None:
    """And says what each option is for."""
    shown = asheard(command, "--help").output

    assert max(len(line) for line in shown.splitlines() if os.sep not in line) <= 80
    assert "--station" in shown


@pytest.mark.parametrize(
    "command",
    [("add-files", "gone"), ("add-files", ""), ("add-list", "gone.csv"), ("add-list", "a.pdf"),
     ("add-known", "gone.csv"), ("find", "--batch", "gone.csv")],
)  # fmt: skip
def test_what_is_not_there_is_a_sentence_and_makes_no_station(
    asheard: Asheard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: tuple[str, ...]
) -> None:
    """No error number, no folder of a station that was never wanted."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.pdf").write_text("%PDF-1.4 a letter\n")
    told = asheard(*command)

    assert told.exit_code == 1
    assert "Errno" not in told.output
    assert told.output.strip()
    assert not (tmp_path / "station").exists()


def test_a_batch_that_is_not_there_is_a_sentence(asheard: Asheard, shelf: Path) -> None:
    asheard("add-list", shelf)
    told = asheard("find", "--batch", shelf.with_name("gone.csv"))

    assert told.exit_code == 1
    assert "There is no file" in told.output
    assert "Errno" not in told.output


def test_the_list_itself_is_never_written_over(asheard: Asheard, shelf: Path) -> None:
    """And a place that cannot be written is told before the list is read, not after."""
    before = shelf.read_text()
    told = asheard("add-list", shelf, "--refused", shelf)
    nowhere = asheard("add-list", shelf, "--report", shelf.parent / "no folder" / "report.txt")

    assert (told.exit_code, nowhere.exit_code) == (1, 1)
    assert "three files" in told.output
    assert "cannot be written" in nowhere.output
    assert shelf.read_text() == before
    assert not (shelf.parent / "station").exists()
