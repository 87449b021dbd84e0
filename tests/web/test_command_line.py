"""The `asheard` command, as somebody types it."""

from __future__ import annotations

import csv
import errno
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalogue import staff
from catalogue.store import Store
from web import demo
from web.command_line import main
from web.opening import DATABASE, opened

ROOT = Path(__file__).parents[2]
NOW = datetime(2026, 11, 25, 19, 30)
RUN = [sys.executable, "-c", "from web.command_line import main; main()"]
Asheard = Callable[..., Result]


@pytest.fixture(scope="module")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo station, taken in once."""
    folder = tmp_path_factory.mktemp("demo")
    with opened(folder, make=True) as station:
        demo.prepare(station, NOW)
    return folder


@pytest.fixture
def station(demo_folder: Path, tmp_path: Path) -> Path:
    """A copy of it for each test."""
    shutil.copytree(demo_folder, tmp_path / "station")
    return tmp_path / "station"


@pytest.fixture
def asheard(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Asheard:
    """Run the command in a window of 80 columns, with a home folder that is empty."""
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(tmp_path))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("ASHEARD_STATION", raising=False)
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words])


def _subprocess(*words: object, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*RUN, *map(str, words)], cwd=ROOT, env={**os.environ, "COLUMNS": "80", **env},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def _name(station: Path, of: str) -> tuple[str, str]:
    """(title, artist) of the first recording with a copy of this kind ("path" or "disc_id")."""
    store = Store(station / DATABASE)
    row = store.rows(
        f"""SELECT r.title, a.name FROM recordings r JOIN artists a ON a.id = r.artist_id
        JOIN holdings h ON h.recording_id = r.id WHERE h.{of} NOT NULL ORDER BY r.id LIMIT 1"""
    )[0]
    store.close()
    return row["title"], row["name"]


def _narrow(text: str) -> list[str]:
    """The lines wider than 80 columns that hold no path."""
    return [line for line in text.splitlines() if len(line) > 80 and os.sep not in line]


# Help


def test_help_names_every_command_and_each_has_its_own(asheard: Asheard) -> None:
    """What it does, in one sentence, within the window."""
    overview = asheard("--help")
    assert overview.exit_code == 0
    assert _narrow(overview.output) == []
    for name, command in main.commands.items():
        told = asheard(name, "-h")
        assert told.exit_code == 0
        assert f" {name} " in told.output and f"  {name} " in overview.output
        assert (command.help or "").split(".")[0].split()[0] in told.output
        assert _narrow(told.output) == []


def test_the_version_is_told(asheard: Asheard) -> None:
    """As it is installed."""
    told = asheard("--version")

    assert told.exit_code == 0
    assert re.search(r"\d+\.\d+", told.output)


# Finding


def test_find_tells_what_to_say_and_where_it_is(asheard: Asheard, station: Path) -> None:
    """On a shelf; nothing wider than the window."""
    title, artist = _name(station, "disc_id")
    told = asheard("find", f"{title} by {artist}", "--station", station, "--explain")

    assert told.exit_code == 0
    assert told.stderr == ""
    assert title in told.output.splitlines()[0] or title in " ".join(told.output.splitlines()[:2])
    assert "How it was read:" in told.output
    assert _narrow(told.output) == []


@pytest.mark.parametrize(
    "text", ["you choose", "zebra vacuum kwik polka", "anything by nobody", "?"]
)
def test_every_answer_fits_the_window(asheard: Asheard, station: Path, text: str) -> None:
    """Stand-ins and questions too."""
    told = asheard("find", text, "--station", station)

    assert told.exit_code == 0
    assert _narrow(told.output) == []


def test_what_was_heard_needs_no_quotation_marks(asheard: Asheard, station: Path) -> None:
    """Several words are one request."""
    loose = asheard("find", "you", "choose", "--station", station)

    assert loose.exit_code == 0
    assert loose.output == asheard("find", "you choose", "--station", station).output
    assert asheard("stand-in", "you", "choose", "--station", station).exit_code == 0


def test_a_path_is_told_in_one_piece(asheard: Asheard, station: Path) -> None:
    """Spaces and all, whatever the window's width."""
    title, artist = _name(station, "path")
    store = Store(station / DATABASE)
    paths = {row["path"] for row in store.rows("SELECT path FROM holdings WHERE path NOT NULL")}
    store.close()
    told = asheard("find", f"{title} by {artist}", "--station", station).output.splitlines()
    there = [line.strip() for line in told if line.strip().startswith("/")]

    assert there
    assert set(there) <= paths


def test_what_is_typed_wrongly_is_told_within_the_window(asheard: Asheard) -> None:
    """With the way to type it."""
    told = asheard("add-person", "Bob", "janitor")

    assert told.exit_code == 2
    assert "add-person [OPTIONS] NAME" in told.stderr
    assert "'janitor' is not one of" in " ".join(told.stderr.split())
    assert _narrow(told.stderr) == []


def test_find_prints_json_for_programs(asheard: Asheard, station: Path) -> None:
    """With title and artist heard apart; nothing but JSON on the output."""
    title, artist = _name(station, "path")
    told = asheard("find", "--title", title, "--artist", artist, "--json", "--station", station)
    answer = json.loads(told.stdout)

    assert (answer["matches"][0]["title"], answer["matches"][0]["artist"]) == (title, artist)
    assert asheard("find", "--json", "--station", station).exit_code == 0


def test_find_answers_a_batch(asheard: Asheard, station: Path, tmp_path: Path) -> None:
    """Beside the CSV unless told otherwise."""
    title, artist = _name(station, "path")
    source = tmp_path / "heard.csv"
    with source.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("row_id", "heard"), ("r1", f"{title} by {artist}")])
    told = asheard("find", "--batch", source, "--station", station)

    assert told.exit_code == 0
    assert "1 rows answered in" in told.output
    with (tmp_path / "heard.answers.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert row["row_id"] == "r1" and row["recording_ids"]


def test_stand_in_offers_something_else(asheard: Asheard, station: Path) -> None:
    """As lines and as JSON."""
    title, artist = _name(station, "path")
    told = asheard("stand-in", f"{title} by {artist}", "--station", station)
    answer = json.loads(
        asheard("stand-in", f"{title} by {artist}", "--json", "--station", station).stdout
    )

    assert told.exit_code == 0
    assert "Instead, ready now:" in told.output
    assert answer["stand_ins"]
    assert _narrow(told.output) == []


def test_the_station_may_be_named_in_the_environment(
    asheard: Asheard, station: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that nobody types it each time."""
    monkeypatch.setenv("ASHEARD_STATION", str(station))

    assert asheard("find", "you choose").exit_code == 0


# Filling and taking back


def test_files_are_taken_in_found_and_taken_back(asheard: Asheard, tmp_path: Path) -> None:
    """A list, by its name; afterwards nothing of it is found."""
    station, shelf = tmp_path / "new", tmp_path / "shelf.csv"
    shelf.write_text("Title,Artist,Shelf,Format\nMy Lantern,Ann Oke,C 114,LP\n", encoding="utf-8")
    taken = asheard("add-list", shelf, "--station", station)
    assert taken.exit_code == 0
    assert "1  new" in taken.output
    assert "My Lantern" in asheard("find", "my lantern by ann oke", "--station", station).output
    listed = asheard("take-back", "--station", station).output
    name = re.search(r"took in .*?\(no\. \d+\)", listed.replace("\n", " "))
    assert name is not None

    assert asheard("take-back", name.group(), "--station", station).exit_code == 0
    assert "I cannot find" in asheard("find", "my lantern", "--station", station).output


def test_a_person_is_added_and_can_sign_in(asheard: Asheard, station: Path) -> None:
    """With the words that are printed, once."""
    told = asheard("add-person", "Wilf", "searcher", "--station", station)
    words = re.search(r"sign in with: (.+)", told.output)
    store = Store(station / DATABASE)

    assert words is not None
    assert staff.check(store, "Wilf", words.group(1).strip()) is not None
    store.close()


# What goes wrong


def _newer(station: Path) -> None:
    store = Store(station / DATABASE)
    store.db.execute(
        "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) "
        "VALUES ('asheard', 'm999_of_the_future', '2031-01-01')"
    )
    store.close()


FAULTS = [
    (("find", "x", "--station", "{gone}"), "There is no station in"),
    (("stand-in", "x", "--station", "{gone}"), "There is no station in"),
    (("add-files", "{gone}", "--station", "{station}"), "gone"),
    (("add-list", "{gone}", "--station", "{station}"), "gone"),
    (("add-list", "{empty}", "--station", "{station}"), "empty.csv"),
    (("add-known", "{gone}", "--station", "{station}"), "gone"),
    (("find", "--batch", "{gone}", "--station", "{station}"), "There is no file"),
    (("find", "--batch", "{empty}", "--station", "{station}"), "needs rows"),
    (("find", "x", "--batch", "{empty}", "--station", "{station}"), "or --batch"),
    (("find", "x", "--out", "{new}", "--station", "{station}"), "or --batch"),
    (("take-back", "no such thing", "--station", "{station}"), "There is no"),
    (("take-back-action", "999999", "--station", "{station}"), "no action number 999999"),
    (("add-person", "Nell", "searcher", "--station", "{station}"), "Nell"),
    (("add-files", "{here}", "--station", "{empty}/deep"), "cannot be made"),
    (("serve", "--station", "{station}", "--port", "0"), "holds the demo"),
    (("serve", "--station", "{new}", "--port", "{port}"), "is in use"),
    (("demo", "--station", "{station}", "--port", "{port}"), "is in use"),
]


@pytest.mark.parametrize(("words", "sentence"), FAULTS, ids=lambda w: w[0] if w else "")
def test_every_fault_is_a_sentence_on_the_error_output(
    asheard: Asheard, station: Path, tmp_path: Path, words: tuple[str, ...], sentence: str
) -> None:
    """Exit code 1, nothing on the other output, no traceback, within the window."""
    (tmp_path / "empty.csv").write_text("")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        names = {"gone": tmp_path / "gone", "here": tmp_path, "station": station,
                 "empty": tmp_path / "empty.csv",
                 "new": tmp_path / "new", "port": taken.getsockname()[1]}  # fmt: skip
        told = asheard(*(word.format(**names) for word in words))

    said = " ".join(told.stderr.split())
    assert told.exit_code == 1
    assert isinstance(told.exception, SystemExit)
    assert sentence in said
    assert said.endswith(".")
    assert told.stdout.strip() == ""
    assert _narrow(told.stderr) == []


def test_a_long_path_stays_in_one_piece(asheard: Asheard, tmp_path: Path) -> None:
    """So that it can be copied; the words around it are broken at the window's width."""
    gone = tmp_path / ("a-very-long-name " * 3).strip() / ("x-" * 60)
    told = asheard("find", "x", "--station", gone)

    assert "x-" * 60 in told.stderr
    assert _narrow(told.stderr) == []


def test_a_newer_database_is_refused_by_every_command(asheard: Asheard, station: Path) -> None:
    """And stays as it is."""
    _newer(station)
    before = (station / DATABASE).read_bytes()
    for words in (("find", "x"), ("serve",), ("add-files", station), ("take-back",)):
        told = asheard(*words, "--station", station)
        assert told.exit_code == 1
        assert "newer version" in told.stderr
    assert (station / DATABASE).read_bytes() == before


@pytest.mark.parametrize(
    "words", [("find", "x"), ("check",), ("restore",), ("copy",), ("unpack", "station.zip")]
)
def test_a_folder_that_may_not_be_entered_is_a_sentence(
    asheard: Asheard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """Whichever look at it comes first."""

    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied", str(path))

    monkeypatch.setattr(Path, "stat", refuse)
    told = asheard(*words, "--station", tmp_path / "shut")

    assert told.exit_code == 1
    assert isinstance(told.exception, SystemExit)
    assert "Permission denied" in told.stderr
    assert told.stderr.rstrip().endswith(".")


def test_a_port_that_this_user_may_not_use_is_told_in_plain_words(
    asheard: Asheard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In the system's words alone: no brackets of Python's."""

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", refuse)
    told = asheard("serve", "--station", tmp_path / "new", "--port", 80)

    assert told.exit_code == 1
    assert "Nothing can be served at 127.0.0.1, port 80 (Permission denied)." in " ".join(
        told.stderr.split()
    )


def test_a_port_in_use_is_told_before_the_library_is_read(asheard: Asheard, tmp_path: Path) -> None:
    """A large one takes an hour."""
    (tmp_path / "music").mkdir()
    (tmp_path / "music" / "broken.mp3").write_text("no sound")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        told = asheard("serve", "--library", tmp_path / "music", "--station", tmp_path / "new",
                       "--port", taken.getsockname()[1])  # fmt: skip

    assert told.exit_code == 1
    assert "is in use" in told.stderr
    assert told.stdout == ""


def test_a_port_in_use_costs_no_keeper(asheard: Asheard, tmp_path: Path) -> None:
    """The passphrase is shown once, so the account must not be made before the station runs."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        asheard("serve", "--station", tmp_path / "new", "--port", taken.getsockname()[1])
    store = Store(tmp_path / "new" / DATABASE)

    assert staff.all_people(store) == []
    store.close()


def test_odd_bytes_and_a_terminal_without_letters_are_no_matter(station: Path) -> None:
    """A lone byte in the request, a terminal that shows ASCII only."""
    told = _subprocess("find", b"\xff my lantern".decode("utf-8", "surrogateescape"), "--station",
                       station, "--explain", PYTHONIOENCODING="ascii")  # fmt: skip

    assert told.returncode == 0
    assert "Traceback" not in told.stderr
    assert told.stdout.strip()


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_station_runs_until_it_is_stopped(tmp_path: Path, command: str) -> None:
    """It shows its address and who may sign in; Ctrl-C ends it quietly."""
    with (tmp_path / "problems").open("w") as problems:
        server = subprocess.Popen(
            [*RUN, command, "--station", str(tmp_path / "station"), "--port", "0"], cwd=ROOT,
            env={**os.environ, "COLUMNS": "80", "PYTHONUNBUFFERED": "1"},
            stdout=subprocess.PIPE, stderr=problems, text=True,
        )  # fmt: skip
    assert server.stdout is not None
    try:
        shown = ""
        while not (found := re.search(r"http://127\.0\.0\.1:\d+", shown)):
            line = server.stdout.readline()
            assert line, shown
            shown += line
        with urllib.request.urlopen(f"{found.group()}/sign-in", timeout=5) as page:
            assert page.status == 200
    finally:
        server.send_signal(signal.SIGINT)
        rest = server.stdout.read()

    assert server.wait(timeout=20) == 0
    assert "eeper" in shown + rest
    assert rest.rstrip().endswith("Stopped.")
    assert (tmp_path / "problems").read_text().strip() == ""
    assert _narrow(shown + rest) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add-person", "Nell \udcff", "searcher"), "cannot read"),
        (("find-duplicates", "--limit", str(2**63)), "not in the range"),
    ],
)
def test_what_no_computer_can_read_or_count_is_told_in_a_sentence(
    asheard: Asheard, station: Path, words: tuple[str, ...], said: str
) -> None:
    """Both were found by damaged commands, and ended in a traceback."""
    told = asheard(*words, "--station", station)

    assert told.exit_code in (1, 2)
    assert isinstance(told.exception, SystemExit)
    assert said in " ".join(told.output.split())
