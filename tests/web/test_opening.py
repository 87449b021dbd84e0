"""Opening a station's folder, its key, and its first account."""

from __future__ import annotations

import os
import stat
import sys
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import letter_to_sound, staff
from catalogue.errors import ReadOnlyStore, StationProblem, StoreProblem
from catalogue.private_file import write_privately
from web.opening import DATABASE, INDEX, first_keeper, give_back, opened, secret_key, warmed

NOW = datetime(2026, 11, 25, 19, 30)


def test_the_first_question_finds_everything_loaded(tmp_path: Path) -> None:
    """Also where nothing is held yet; nothing is written by that."""
    letter_to_sound.shipped_model.cache_clear()
    with opened(tmp_path / "station", make=True) as station:
        warmed(station)
        assert letter_to_sound.shipped_model.cache_info().currsize == 1
        assert station.store.rows("SELECT * FROM actions") == []


def _own_kb() -> int:
    status = Path("/proc/self/status").read_text()
    return int(next(line for line in status.splitlines() if line.startswith("RssAnon")).split()[1])


@pytest.mark.skipif(sys.platform != "linux", reason="memory is given back by glibc")
def test_freed_memory_is_given_back() -> None:
    """The last block is kept, so that the allocator cannot give back by itself what is below."""
    blocks = [bytes([1]) * 60_000 for _ in range(1_000)]
    last = blocks[-1]
    blocks.clear()
    before = _own_kb()
    give_back()
    assert _own_kb() < before - 30_000
    assert last


def test_a_folder_is_made_with_all_a_station_needs(tmp_path: Path) -> None:
    """Also several folders deep; the database and the index lie in it, and nothing is held open."""
    folder = tmp_path / "deep" / "down"
    with opened(folder, make=True) as station:
        assert len(station.index) == 0
        assert (folder / DATABASE).exists()
        assert (folder / INDEX).is_dir()
    with opened(folder) as again:
        assert again.store.rows("SELECT * FROM recordings") == []


def test_a_folder_without_a_station_is_refused_and_stays_as_it_was(tmp_path: Path) -> None:
    """A search in the wrong folder must not make a station there."""
    for folder in (tmp_path, tmp_path / "gone"):
        with pytest.raises(StationProblem, match="no station in.*asheard serve.*--station"):
            with opened(folder):
                pass
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    """A file is in its place."""
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(ReadOnlyStore, match="cannot be made.*--station"):
        with opened(tmp_path / "taken" / "station", make=True):
            pass


def test_an_index_that_cannot_be_made_closes_the_store(tmp_path: Path) -> None:
    """Else Windows would not let go of the file."""
    (tmp_path / INDEX).write_text("a file")
    with pytest.raises(StoreProblem, match="for the index cannot be made"):
        with opened(tmp_path, make=True):
            pass
    (tmp_path / DATABASE).rename(tmp_path / "elsewhere.db")


def test_the_home_folder_may_be_written_with_a_tilde(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As people type it."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    with opened(Path("~/station"), make=True) as station:
        assert station.folder == tmp_path / "station"


def test_the_key_is_made_once_and_is_its_users_alone(tmp_path: Path) -> None:
    """Long enough, the same ever after, another in another folder, made anew when cut short."""
    key = secret_key(tmp_path)
    other = tmp_path / "other"
    other.mkdir()

    assert len(key) >= 32
    assert secret_key(tmp_path) == key
    assert secret_key(other) != key
    (other / "session_key").write_bytes(key[:8])
    assert len(secret_key(other)) >= 32
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / "session_key").stat().st_mode) == 0o600


def test_a_key_that_cannot_be_read_says_so(tmp_path: Path) -> None:
    """A folder of that name is in the way."""
    (tmp_path / "session_key").mkdir()
    with pytest.raises(StationProblem, match="session_key cannot be read"):
        secret_key(tmp_path)


def test_a_private_file_becomes_private_and_is_whole_or_not_at_all(tmp_path: Path) -> None:
    """Also one that all could read before; nothing is left beside it."""
    path = tmp_path / "people.txt"
    path.write_text("old")
    path.chmod(0o644)
    write_privately(path, b"new")

    assert path.read_bytes() == b"new"
    assert [p.name for p in tmp_path.iterdir()] == ["people.txt"]
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with pytest.raises(StationProblem, match="cannot be written"):
        write_privately(tmp_path / "gone" / "people.txt", b"new")


def test_the_first_keeper_is_made_once(tmp_path: Path) -> None:
    """With a passphrase for one sign-in, and another at each start until they have come in."""
    with opened(tmp_path, make=True) as station:
        keeper = first_keeper(station.store, NOW)
        assert keeper is not None
        person = staff.check(station.store, *keeper)
        assert person is not None and person.role is staff.Role.KEEPER
        again = first_keeper(station.store, NOW)
        assert again is not None and again[0] == keeper[0] and again[1] != keeper[1]
        assert staff.check(station.store, *keeper) is None
        staff.new_words_for(station.store, person.id, "four plain words")
        assert first_keeper(station.store, NOW) is None
