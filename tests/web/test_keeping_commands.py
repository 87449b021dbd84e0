"""The keeper's commands, as somebody types them."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalogue import backup, callers, request_slips
from catalogue.store import Store
from web.command_line import main
from web.opening import DATABASE, local_time, opened

ROOT = Path(__file__).parents[2]
Asheard = Callable[..., Result]


@pytest.fixture
def station(tmp_path: Path) -> Path:
    """A station with two records and one slip."""
    folder = tmp_path / "station"
    shelf = tmp_path / "shelf.csv"
    shelf.write_text("Title,Artist,Shelf,Format\nMy Lantern,Ann Oke,C 114,LP\n", encoding="utf-8")
    CliRunner().invoke(main, ["add-list", str(shelf), "--station", str(folder)])
    with opened(folder) as there:
        slip = request_slips.start(there.store, "request", "Nell", local_time())
        details = {"caller_name": "Wilhelmina Fenn", "why": "for her sister"}
        callers.write(there.store, slip, details, "Nell", local_time())
    return folder


@pytest.fixture
def asheard(monkeypatch: pytest.MonkeyPatch, station: Path) -> Asheard:
    monkeypatch.setenv("COLUMNS", "80")

    def run(*words: object, answer: str = "", at: Path = station) -> Result:
        words = (*words, "--station", at) if words[0] != "papers" else words
        return CliRunner().invoke(main, [str(word) for word in words], input=answer)

    return run


def _said(result: Result) -> str:
    assert "Traceback" not in result.output
    wide = [line for line in result.output.splitlines() if len(line) > 80 and os.sep not in line]
    assert wide == []
    return " ".join(result.output.split())


def test_copies_are_made_listed_and_put_back(asheard: Asheard, station: Path) -> None:
    """It says first what would be lost, asks, and does nothing without a yes."""
    assert "There are no copies yet" in _said(asheard("restore"))
    made = asheard("copy")
    assert made.exit_code == 0 and "made and checked" in _said(made)
    listed = _said(asheard("restore"))
    name = re.search(r"daily-[\d-]+", listed)
    assert name is not None and "of the day" in listed
    store = Store(station / DATABASE)
    request_slips.start(store, "request", "Nell", local_time())
    store.close()

    asked = asheard("restore", name.group(), answer="n\n")
    said = _said(asked)
    assert "would be lost: 1 slip 1 action" in said
    assert "callers' details of 1 slips" in said and "Nothing was changed." in said
    assert _count(station, "slips") == 2
    done = asheard("restore", name.group(), answer="y\n")
    assert done.exit_code == 0 and "was put back" in _said(done)
    assert _count(station, "slips") == 1
    assert "replaced-" in _said(asheard("restore"))


def _count(station: Path, table: str) -> int:
    store = Store(station / DATABASE)
    (row,) = store.rows(f"SELECT count(*) AS n FROM [{table}]")
    store.close()
    return int(row["n"])


def test_what_is_overdue_does_not_come_back(
    asheard: Asheard, station: Path, tmp_path: Path
) -> None:
    """From a copy elsewhere, where nothing could erase it; the record of erasures has a line."""
    elsewhere = tmp_path / "stick.db"
    asheard("copy", elsewhere, "--with-callers")
    with backup.connect(elsewhere) as db:
        db.execute("UPDATE caller_details SET erase_on = '2020-01-01'")
    assert b"Wilhelmina" in elsewhere.read_bytes()
    assert asheard("restore", elsewhere, "--yes").exit_code == 0
    assert b"Wilhelmina" not in (station / DATABASE).read_bytes()
    assert _count(station, "caller_details") == 0


def test_a_copy_elsewhere_leaves_callers_out_unless_told(
    asheard: Asheard, station: Path, tmp_path: Path
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    without, with_them = asheard("copy", stick), asheard("copy", stick / "a.db", "--with-callers")
    assert "not in it" in _said(without) and "nothing erases them there" in _said(with_them)
    (plain,) = stick.glob("asheard-*.db")
    assert b"Wilhelmina" not in plain.read_bytes()
    assert b"Wilhelmina" in (stick / "a.db").read_bytes()
    again = asheard("copy", stick / "a.db")
    assert again.exit_code == 1 and "is there already" in _said(again)


def test_a_station_moves_with_one_command_each(
    asheard: Asheard, station: Path, tmp_path: Path
) -> None:
    packed, new = tmp_path / "p.zip", tmp_path / "new"
    assert "asheard unpack" in _said(asheard("pack", packed))
    assert asheard("unpack", packed, at=new).exit_code == 0
    assert "My Lantern" in _said(asheard("find", "my lantern", at=new))
    assert _count(new, "slips") == 1


def test_a_slip_is_forgotten_after_asking(asheard: Asheard, station: Path) -> None:
    asheard("copy")
    assert "Nothing was erased" in _said(asheard("forget", 1, answer="n\n"))
    assert _count(station, "caller_details") == 1
    assert "are erased" in _said(asheard("forget", 1, answer="y\n"))
    assert "Nothing was held" in _said(asheard("forget", 1, "--yes"))
    for path in (p for p in station.rglob("*") if p.is_file()):
        assert b"Wilhelmina" not in path.read_bytes(), path


def test_what_is_held_is_printed(asheard: Asheard, station: Path) -> None:
    """With how to have it erased."""
    asheard("copy")
    said = _said(asheard("what-do-you-hold", "wilhelmina"))
    assert "caller name: Wilhelmina Fenn" in said and "why: for her sister" in said
    assert "In a copy" in said and "asheard forget SLIP" in said
    assert "Nothing is held about “Bo Quay”" in _said(asheard("what-do-you-hold", "Bo Quay"))


def test_check_says_what_to_do_and_ends_with_one(asheard: Asheard, station: Path) -> None:
    """Without a copy there is something to do; with one all is well."""
    bad = asheard("check")
    assert bad.exit_code == 1
    assert "to do There is no daily copy. Make one with “asheard copy”." in _said(bad)
    asheard("copy")
    good = asheard("check")
    assert good.exit_code == 0 and "to do" not in _said(good)
    gone = asheard("check", at=station / "gone")
    assert gone.exit_code == 1 and not (station / "gone").exists()


def test_papers_are_listed_shown_and_written(asheard: Asheard, tmp_path: Path) -> None:
    """And never written over."""
    listed = _said(asheard("papers"))
    for name in ("data-protection-assessment", "after-a-breach", "encrypted-disk"):
        assert name in listed
        text = asheard("papers", name).output
        assert text.startswith("# ") and "policy" in text
    written = asheard("papers", "--to", tmp_path / "papers")
    assert written.exit_code == 0 and len(list((tmp_path / "papers").iterdir())) == 3
    again = asheard("papers", "--to", tmp_path / "papers")
    assert again.exit_code == 1 and "not written over" in _said(again)
    assert asheard("papers", "nothing").exit_code == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("restore", "daily-1999-01-01"), "no copy “daily-1999-01-01”"),
        (("restore", "{shelf}"), "cannot be put back"),
        (("restore", "{database}"), "database itself"),
        (("unpack", "{shelf}"), "holds a station already"),
        (("forget", "99", "--yes"), "no slip number 99"),
        (("what-do-you-hold", " "), "name to look for"),
        (("copy", "{shelf}/x.db"), "could not be made"),
        (("pack", "{shelf}/x.zip"), "cannot be written"),
    ],
)
def test_every_fault_is_a_sentence(
    asheard: Asheard, station: Path, tmp_path: Path, words: tuple[str, ...], sentence: str
) -> None:
    names = {"shelf": tmp_path / "shelf.csv", "database": station / DATABASE}
    told = asheard(*(word.format(**names) for word in words))
    assert told.exit_code == 1
    assert isinstance(told.exception, SystemExit)
    assert sentence in _said(told) and told.stdout == ""


def test_a_file_that_is_no_station_is_not_unpacked(asheard: Asheard, tmp_path: Path) -> None:
    told = asheard("unpack", tmp_path / "shelf.csv", at=tmp_path / "new")
    assert told.exit_code == 1 and "not a packed station" in _said(told)
    assert not (tmp_path / "new" / DATABASE).exists()


@pytest.fixture
def running(station: Path) -> Iterator[str]:
    """The station, served by a process of its own."""
    server = subprocess.Popen(
        [sys.executable, "-c", "from web.command_line import main; main()", "serve", "--station",
         str(station), "--port", "0"], cwd=ROOT, stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1", "COLUMNS": "80"},
    )  # fmt: skip
    assert server.stdout is not None
    try:
        while not (found := re.search(r"http://127\.0\.0\.1:\d+", server.stdout.readline())):
            assert server.poll() is None
        yield found.group()
    finally:
        server.terminate()
        server.stdout.close()
        server.wait(timeout=20)


def test_beside_a_running_station(
    asheard: Asheard, station: Path, running: str, tmp_path: Path
) -> None:
    """Copying, packing, forgetting and checking go on; putting a copy back is refused."""
    assert asheard("copy").exit_code == 0
    assert asheard("pack", tmp_path / "p.zip").exit_code == 0
    assert asheard("forget", 1, "--yes").exit_code == 0
    checked = asheard("check")
    assert checked.exit_code == 0, checked.output
    assert "can be sent as it is" in _said(checked)
    (copy,) = [c.path.stem for c in backup.all_copies(station / "copies")]
    refused = asheard("restore", copy, "--yes")
    assert refused.exit_code == 1 and "Stop it first" in _said(refused)
    assert _count(station, "slips") == 1
