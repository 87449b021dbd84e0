"""The network's commands, as somebody types them; and what a single station does not load."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalogue import settings, union_layout
from catalogue.records import NewRecording
from catalogue.store import Store
from tests import made_unions
from web.command_line import main

from .conftest import EVENING, Held

_LOADED = """
import sys
import {module}
print(sorted(name for name in sys.modules if name.partition(".")[0] in
      ("ray", "pyarrow") or name.startswith("catalogue.union")))
"""


def _run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def _told(*words: object) -> str:
    done = _run(*words)
    assert done.exit_code == 0, done.output
    return " ".join(done.output.split())


def _refused(*words: object) -> str:
    done = _run(*words)
    assert done.exit_code in (1, 2), done.output
    assert "Traceback" not in done.output
    return " ".join(done.output.split())


@pytest.fixture
def folder(store: Store) -> Path:
    """The small station's folder, closed."""
    store.close()
    return store.path.parent


@pytest.mark.parametrize("module", ["web", "web.command_line", "web.serving", "web.job_worker"])
def test_a_single_station_loads_nothing_of_the_network(module: str) -> None:
    """Neither its libraries nor its files, whichever program is started."""
    done = subprocess.run(
        [sys.executable, "-c", _LOADED.format(module=module)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.stdout.strip() == "[]", done.stderr


def test_a_station_publishes_what_changed_and_withdraws(folder: Path, held: Held) -> None:
    """The key is made on first use, and what is missing in the rules is said."""
    first = _told("union", "publish", "--station", folder)
    assert "Publication 1, whole: 4 recordings written, 0 removed, 4 shared in all." in first
    assert "Others are not told how to ask for a loan" in first
    assert "A key was made" in first
    assert (folder / "publication" / "manifest.sig").stat().st_size == 64
    assert "Nothing has changed" in _told("union", "publish", "--station", folder)
    store = Store(folder / "asheard.db")
    settings.put(store, "network_loan", "Write to Ann.", "Dora", EVENING)
    settings.put(store, "network_place", "Wharf End", "Dora", EVENING)
    store.close()
    again = _told("union", "publish", "--station", folder)
    assert "Publication 2, what changed: 0 recordings written" in again
    assert "Others are not told" not in again
    assert "whole: 4" in _told("union", "publish", "--whole", "--station", folder)
    gone = _told("union", "publish", "--withdraw", "--station", folder)
    assert "Publication 4" in gone and "nothing is shared any more" in gone


def test_keys_are_made_shown_trusted_and_withdrawn(folder: Path, tmp_path: Path) -> None:
    """From the station's card to the network's list and out of it."""
    card, listed = tmp_path / "card.json", tmp_path / "trust.json"
    assert "no key yet" in _refused("union", "keys", "show", "--station", folder)
    assert "was made" in _told("union", "keys", "make", "--station", folder)
    assert "has a key already" in _refused("union", "keys", "make", "--station", folder)
    assert '"name": "Saltmarsh Radio"' in _told("union", "keys", "show", "--station", folder)
    _told("union", "keys", "show", "--to", card, "--station", folder)
    assert "--trust FILE" in _refused("union", "keys", "trust", card)
    assert "is trusted" in _told("union", "keys", "trust", card, "--trust", listed)
    assert "trusted already" in _refused("union", "keys", "trust", card, "--trust", listed)
    assert "Saltmarsh Radio" in _told("union", "keys", "show", "--trust", listed)
    withdrawn = _told("union", "keys", "withdraw", "saltmarsh radio", "--trust", listed)
    assert "is withdrawn" in withdrawn
    assert "withdrawn 20" in _told("union", "keys", "show", "--trust", listed)
    assert "not taken again" in _refused("union", "keys", "trust", card, "--trust", listed)
    old = json.loads(card.read_text())
    assert "withdraw the old one" in _told("union", "keys", "make", "--new", "--station", folder)
    _told("union", "keys", "show", "--to", card, "--station", folder)
    new = json.loads(card.read_text())
    assert (new["station"] == old["station"], new["key"] == old["key"]) == (True, False)
    assert "is trusted" in _told("union", "keys", "trust", card, "--trust", listed)


def test_the_demo_publishes_nothing(folder: Path) -> None:
    """What it holds is made up."""
    store = Store(folder / "asheard.db")
    settings.put(store, "demo", "yes", "Dora", EVENING)
    store.close()

    assert "That is the demo" in _refused("union", "publish", "--station", folder)


def test_a_station_without_a_name_publishes_nothing(folder: Path) -> None:
    """Two of “Our station” could not be told apart, and each would take the other for itself."""
    store = Store(folder / "asheard.db")
    name = settings.DEFAULTS["station_name"].value
    settings.put(store, "station_name", name, "Dora", EVENING)
    store.close()

    assert "has no name yet" in _refused("union", "publish", "--station", folder)
    assert not (folder / "publication").exists()
    assert "nothing is shared" in _told("union", "publish", "--withdraw", "--station", folder)


def test_what_cannot_be_served_is_refused_before_anything_starts(tmp_path: Path) -> None:
    """A folder without a union, other shards, an open address, a cluster that is not there."""
    recordings = made_unions.numbered([NewRecording("Tarred Rope", "Albie Cruttenden")])
    made_unions.make(tmp_path / "union", recordings, shards=2)
    with socket.create_server(("127.0.0.1", 0)) as server:
        free = server.getsockname()[1]
    words = ("union", "serve", tmp_path / "union")

    assert "There is no union in" in _refused("union", "serve", tmp_path)
    assert "built in 2 shards, not 3" in _refused(*words, "--shards", "3")
    assert "not an address of this machine" in _refused(*words, "--host", "0.0.0.0")
    started = time.monotonic()
    refused = _refused(*words, "--address", f"127.0.0.1:{free}")
    assert f"No Ray cluster can be reached at 127.0.0.1:{free}" in refused
    assert time.monotonic() - started < 30


def test_a_build_of_nothing_leaves_nothing(tmp_path: Path, folder: Path) -> None:
    """Not even an empty folder that looks like a union."""
    _told("union", "publish", "--to", tmp_path / "pool", "--station", folder)
    _told("union", "keys", "show", "--to", tmp_path / "card.json", "--station", folder)
    _told("union", "keys", "trust", tmp_path / "card.json", "--trust", tmp_path / "trust.json")
    (tmp_path / "empty").mkdir()
    refused = _refused("union", "build", tmp_path / "empty", "--out", tmp_path / "union",
                       "--trust", tmp_path / "trust.json")  # fmt: skip

    assert "Nothing was built. " in refused and "no manifest.json" in refused
    assert not (tmp_path / "union").exists()
    done = _told("union", "build", tmp_path / "pool", "--out", tmp_path / "union",
                 "--trust", tmp_path / "trust.json")  # fmt: skip
    assert "Ray" not in done, "so little is built at once, without Ray"


_WITHOUT = """
import sys
sys.modules["pyarrow"] = None
from web.command_line import main
main(["union", "publish", "--station", sys.argv[1]])
"""


def test_without_the_libraries_it_says_what_to_install(folder: Path) -> None:
    """In a sentence, not with a traceback."""
    done = subprocess.run(
        [sys.executable, "-c", _WITHOUT, folder], capture_output=True, text=True, check=False
    )

    assert done.returncode == 1
    assert "pip install 'asheard[network]'" in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_a_union_is_built_and_what_is_refused_is_said(folder: Path, tmp_path: Path) -> None:
    """From the stations' folders, each in a folder of its own, to what `union serve` reads."""
    listed, pool, out = tmp_path / "trust.json", tmp_path / "pool", tmp_path / "union"
    words = ("union", "build", pool, "--out", out, "--workers", "1")
    pool.mkdir()
    assert "--trust FILE" in _refused(*words)
    assert "no list of trusted keys" in _refused(*words, "--trust", listed)
    _told("union", "publish", "--to", pool / "quay", "--station", folder)
    _told("union", "keys", "show", "--to", tmp_path / "card.json", "--station", folder)
    _told("union", "keys", "trust", tmp_path / "card.json", "--trust", listed)
    done = _told(*words, "--shards", "2", "--trust", listed)
    assert "1 station, 4 recordings: 4 different, in 2 shards, 2 written anew." in done
    (pool / "tide").mkdir()
    (pool / "tide" / "manifest.json").write_text("{")
    done = _refused(*words, "--shards", "2", "--trust", listed)
    assert "0 written anew" in done
    assert "manifest is cut short" in done and "left out" in done
    (pool / "quay" / "manifest.sig").unlink()
    done = _refused(*words, "--trust", listed)
    assert "Nothing was built" in done and "signed by nobody" in done
    assert union_layout.read(out).entries == 4
