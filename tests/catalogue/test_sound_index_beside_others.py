"""The sound index while other threads and other processes are at work on it."""

from __future__ import annotations

import logging
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import index_files, undo
from catalogue import sound_index as module
from catalogue.records import NewRecording
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from tests.catalogue.filed import WORDS, add_many, assert_right, first

AddRecording = Callable[..., int]
ROOT = Path(__file__).parents[2]


@pytest.fixture
def index(store: Store, tmp_path: Path) -> Iterator[SoundIndex]:
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()


@pytest.fixture
def many(store: Store, now: datetime) -> dict[int, tuple[str, str]]:
    return add_many(store, now)


def test_a_reader_answers_while_another_writes(
    index: SoundIndex, store: Store, add: AddRecording
) -> None:
    """It answers from what is there; when the writer is gone, it catches up by itself."""
    one = add("My Lantern", "Ann Oke")
    assert first(index, "My Lantern") == one
    reader = SoundIndex(index.folder, store)
    two = add("The Long Jetty", "Ann Oke")
    assert first(reader, "My Lantern") == one
    assert first(reader, "The Long Jetty") is None

    assert first(index, "The Long Jetty") == two
    assert first(reader, "The Long Jetty") == two
    index.close()
    three = add("Her Candle", "Ann Oke")
    assert first(reader, "Her Candle") == three
    reader.close()


def test_what_another_program_has_half_written_is_not_looked_at(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]],
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """Deletions of its next commit, a segment that it merges into: tantivy lists neither yet."""
    index.catch_up()
    for file in sorted(index.folder.rglob("*.idx")):
        file.with_suffix(".9999999.del").write_bytes(b"half")
        file.with_name(f"{'ab' * 16}.idx").write_bytes(b"half")
    caplog.clear()
    with caplog.at_level(logging.INFO):
        again = SoundIndex(index.folder, store)

    assert caplog.messages == []
    again.close()


def test_files_that_go_while_they_are_compared_are_not_missed(
    index: SoundIndex, add: AddRecording, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program has gone on with the index meanwhile, and cleared away what it was."""
    add("My Lantern", "Ann Oke")
    index.catch_up()
    folder = next(path for path in index.folder.iterdir() if path.is_dir())
    compare = index_files._check
    gone: list[Path] = []

    def go_on_first(path: Path) -> None:
        if not gone:
            gone.append(path)
            add("Her Candle", "Ann Oke")
            index.catch_up()
            raise FileNotFoundError(path)
        compare(path)

    monkeypatch.setattr(index_files, "_check", go_on_first)
    index_files.check(folder)
    assert gone

    next(folder.glob("*.store")).unlink()
    with pytest.raises(FileNotFoundError):
        index_files.check(folder)


def test_one_that_follows_another_compares_only_what_is_new(
    index: SoundIndex, store: Store, add: AddRecording, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All of a million names for one that was added would keep a caller waiting."""
    add("My Lantern", "Ann Oke")
    index.catch_up()
    reader = SoundIndex(index.folder, store)
    compare, compared = index_files._check, list[str]()
    monkeypatch.setattr(
        index_files, "_check", lambda path: (compared.append(path.stem), compare(path))
    )
    before = {path.stem for path in index.folder.rglob("*.idx")}
    new = add("Her Candle", "Ann Oke")
    index.catch_up()

    assert first(reader, "Her Candle") == new
    assert set(compared) == {path.stem for path in index.folder.rglob("*.idx")} - before != set()
    reader.close()


def test_one_that_was_made_anew_while_it_was_opened_is_not_made_again(
    index: SoundIndex, store: Store, add: AddRecording, monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    """The folder went that was being compared; another was told of by then."""
    add("My Lantern", "Ann Oke")
    index.catch_up()
    check, gone = index_files.check, list[Path]()

    def go_first(path: Path, compared: frozenset[str] = frozenset()) -> frozenset[str]:
        if not gone:
            gone.append(path)
            with index._lock:
                index._rebuild("it was asked for")
        return check(path, compared)

    monkeypatch.setattr(index_files, "check", go_first)
    caplog.clear()
    again = SoundIndex(index.folder, store)

    assert gone
    assert not gone[0].exists()
    assert caplog.messages == ["The sound index was made anew, because it was asked for."]
    assert first(again, "My Lantern") is not None
    again.close()


def test_a_question_beside_a_taking_in_waits_for_none_of_it(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], add: AddRecording
) -> None:
    """Kept up by a server: what came by the hundred is found after the next round, and so is what
    a person adds meanwhile; what a person adds afterwards is found at once."""
    index.catch_up()
    index.kept_up = True
    one = add("My Lantern", "Ann Oke")
    assert first(index, "My Lantern") == one
    later = add_many(store, datetime(2026, 3, 15, 19, 30))
    two = add("The Long Jetty", "Ann Oke")
    assert len(index) == len(many) + 1
    assert first(index, "The Long Jetty") is None

    index.catch_up()
    assert first(index, "The Long Jetty") == two
    three = add("Her Candle", "Ann Oke")
    assert first(index, "Her Candle") is None, "many came with the last round"
    index.catch_up()
    index.catch_up()
    four = add("Low Water", "Ann Oke")
    assert [first(index, name) for name in ("Her Candle", "Low Water")] == [three, four]
    assert len(index) == len(many) + len(later) + 4


def test_a_question_waits_a_moment_only_for_another_that_takes_in(
    index: SoundIndex, add: AddRecording, monkeypatch: pytest.MonkeyPatch
) -> None:
    index.kept_up = True
    monkeypatch.setattr(module, "_WAITS_S", 0.01)
    number = add("My Lantern", "Ann Oke")
    with index._lock:
        assert first(index, "My Lantern") is None
    assert first(index, "My Lantern") == number


def test_an_index_made_anew_beside_it_is_followed(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], add: AddRecording,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """A command beside the server takes in very many; the server goes on with the new one."""
    with monkeypatch.context() as few:
        few.setattr(module, "_ONE_BY_ONE", 50)
        other = SoundIndex(index.folder, store)
        other.close()
    assert_right(index, many)
    number = add("My Lantern", "Ann Oke")

    assert first(index, "My Lantern") == number
    again = SoundIndex(index.folder, store)
    assert first(again, "My Lantern") == number
    again.close()


_INDEXING = """
import sys
from pathlib import Path
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
folder = Path(sys.argv[1])
store = Store(folder / "asheard.db")
print("begun", flush=True)
while True:
    index = SoundIndex(folder / "sound_index", store)
    index._state = index._state.__class__(index._state.make, store.identity, 0, index._state.folder)
    index.catch_up()
    index.close()
"""


@pytest.mark.parametrize("after", [0.02, 0.1, 0.3])
def test_a_process_killed_while_indexing_does_no_harm(
    store: Store, tmp_path: Path, many: dict[int, tuple[str, str]], after: float
) -> None:
    """Killed at different moments; the next one opens it, finds everything once, and may write."""
    victim = subprocess.Popen(
        [sys.executable, "-c", _INDEXING, str(tmp_path)], cwd=ROOT, stdout=subprocess.PIPE
    )
    assert victim.stdout is not None and victim.stdout.readline() == b"begun\n"
    time.sleep(after)
    os.kill(victim.pid, signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    victim.communicate()

    again = SoundIndex(tmp_path / "sound_index", store)
    assert_right(again, many)
    assert again._may_write()
    again.close()


def test_threads_search_and_write_at_once(
    index: SoundIndex, store: Store, many: dict[int, tuple[str, str]], now: datetime
) -> None:
    """Two search while two add; every answer is right, and all is found at the end."""
    problems: list[BaseException] = []

    def guarded(work: Callable[[], None]) -> Callable[[], None]:
        def run() -> None:
            try:
                work()
            except BaseException as problem:
                problems.append(problem)

        return run

    def search() -> None:
        for number in list(many)[::9]:
            assert first(index, *many[number]) == number

    def write(who: str) -> None:
        for n in range(15):
            with undo.action(store, who, "one more", now):
                rows.add_recording(store, NewRecording(f"{WORDS[n % 12]} of {who}", "Ada Sluice"))

    work = (search, search, lambda: write("Nell"), lambda: write("Walter"))
    threads = [threading.Thread(target=guarded(w)) for w in work]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert problems == []
    assert first(index, "moon of Nell", "Ada Sluice") is not None
    assert len(index) == len(many) + 30
