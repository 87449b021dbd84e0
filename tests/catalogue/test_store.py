"""The store: one file, safe on every thread, and a clear sentence when it cannot be used."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalogue import store as store_module
from catalogue import turns
from catalogue.errors import (
    CatalogueError,
    NewerDatabase,
    NotADatabase,
    ReadOnlyStore,
    StoreBusy,
    StoreProblem,
)
from catalogue.store import Store


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A store that waits for others a tenth of a second only."""
    monkeypatch.setattr(turns, "BUSY_MS", 100)
    yield


def _pragma(store: Store, name: str) -> object:
    return store.db.execute(f"PRAGMA {name}").fetchone()[0]


def _settings_of(store: Store) -> dict[str, object]:
    names = ("journal_mode", "synchronous", "foreign_keys", "secure_delete", "recursive_triggers")
    return {name: _pragma(store, name) for name in names}


def test_every_threads_connection_is_set_alike(store: Store) -> None:
    """WAL, synchronous FULL (2), foreign keys, secure_delete: here and on five other threads."""
    wanted = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "secure_delete": 1,
              "recursive_triggers": 1}  # fmt: skip
    seen: list[dict[str, object]] = [_settings_of(store)]
    threads = [threading.Thread(target=lambda: seen.append(_settings_of(store))) for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert seen == [wanted] * 6


@pytest.mark.parametrize("left_out", ["journal_mode", "synchronous", "secure_delete"])
def test_a_connection_that_is_not_safe_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, left_out: str
) -> None:
    """As on a drive of a network that has no WAL: asked back, whatever SQLite was told."""
    told = tuple(p for p in store_module._PRAGMAS if not p.startswith(left_out))
    weaker = {"journal_mode": "journal_mode = DELETE", "synchronous": "synchronous = NORMAL",
              "secure_delete": "secure_delete = OFF"}[left_out]  # fmt: skip
    monkeypatch.setattr(store_module, "_PRAGMAS", (*told, weaker))
    with pytest.raises(StoreProblem, match=f"cannot be kept safe.*{left_out}"):
        Store(tmp_path / "asheard.db")


def test_each_thread_has_a_connection_of_its_own(store: Store) -> None:
    """One connection in two threads would mix their transactions."""
    others: list[int] = []
    thread = threading.Thread(target=lambda: others.append(id(store.db.conn)))
    thread.start()
    thread.join()

    assert store.db.conn is store.db.conn
    assert id(store.db.conn) not in others


def test_what_is_erased_is_gone_from_the_file(store: Store, tmp_path: Path) -> None:
    """Deleted words stand neither in the file nor, after a checkpoint, in its log."""
    word = "Wilhelmina-of-ward-seven"
    with store.transaction() as db:
        db.execute("INSERT INTO people (name, role, passphrase_hash, session_key) "
                   "VALUES (?, 'searcher', 'x', 'y')", (word,))  # fmt: skip
    with store.transaction() as db:
        db.execute("DELETE FROM people")
    store.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    held = b"".join(p.read_bytes() for p in tmp_path.glob("asheard.db*"))
    assert word.encode() not in held


def test_a_transaction_is_all_or_nothing(store: Store) -> None:
    """An error inside leaves nothing, and the next one works."""
    with pytest.raises(ZeroDivisionError), store.transaction() as db:
        db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 1)")
        raise ZeroDivisionError

    assert store.rows("SELECT * FROM erasures") == []
    with store.transaction() as db:
        db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 2)")
    assert [row["slips"] for row in store.rows("SELECT slips FROM erasures")] == [2]


def test_an_inner_transaction_that_fails_leaves_the_outer_whole(store: Store) -> None:
    """Its writes are gone even if the outer catches the error and goes on."""
    with store.transaction() as db:
        db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 1)")
        with pytest.raises(ZeroDivisionError), store.transaction():
            db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 2)")
            raise ZeroDivisionError
        db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 3)")

    assert [row["slips"] for row in store.rows("SELECT slips FROM erasures")] == [1, 3]


def test_a_store_opens_again_as_it_was(store: Store, tmp_path: Path) -> None:
    """With the same identity, by which the index knows it."""
    again = Store(tmp_path / "asheard.db")

    assert again.identity == store.identity > 0
    again.close()


def test_two_stores_are_told_apart(tmp_path: Path) -> None:
    """An index that was made for one must not answer for the other."""
    one, other = Store(tmp_path / "one.db"), Store(tmp_path / "other.db")

    assert one.identity != other.identity
    one.close()
    other.close()


def test_a_database_of_a_newer_version_is_refused_and_untouched(tmp_path: Path) -> None:
    """The sentence says what to do, and not a byte of the file changes."""
    path = tmp_path / "asheard.db"
    store = Store(path)
    store.db.execute(
        "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) "
        "VALUES ('asheard', 'm999_of_the_future', '2031-01-01')"
    )
    store.close()
    before = path.read_bytes()

    with pytest.raises(NewerDatabase, match="newer version.*Install the newer version"):
        Store(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"Title,Artist\nMy Lantern,Ann Oke\n" * 40, b"\x00" * 5000])
def test_a_file_that_is_no_database_is_refused_and_untouched(
    tmp_path: Path, content: bytes
) -> None:
    """Somebody may give a shelf list by mistake."""
    path = tmp_path / "asheard.db"
    path.write_bytes(content)

    with pytest.raises(NotADatabase, match="not a catalogue.*Nothing was changed"):
        Store(path)
    assert path.read_bytes() == content


def test_a_damaged_database_says_so(store: Store, tmp_path: Path) -> None:
    """Pages overwritten in the middle: a sentence, never a bare error of SQLite."""
    with store.transaction() as db:
        db.execute("CREATE TABLE filler (text TEXT)")
        db.conn.executemany("INSERT INTO filler VALUES (?)", [("x" * 500,)] * 400)
    store.close()
    path = tmp_path / "asheard.db"
    content = bytearray(path.read_bytes())
    content[4096 : len(content) - 4096] = b"\xa5" * (len(content) - 8192)
    path.write_bytes(content)

    with pytest.raises(NotADatabase, match="damaged"):
        Store(path).rows("SELECT * FROM filler")


def test_a_folder_that_cannot_be_written_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By asking first, since the tests may run as a user who may write anywhere."""
    monkeypatch.setattr(os, "access", lambda path, mode: mode != os.W_OK)

    with pytest.raises(ReadOnlyStore, match="cannot be written.*another folder"):
        Store(tmp_path / "asheard.db")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """It is not made, since it may be a slip of the hand."""
    with pytest.raises(ReadOnlyStore, match="There is no folder"):
        Store(tmp_path / "gone" / "asheard.db")


def test_a_write_while_another_program_writes_is_refused(impatient: None, tmp_path: Path) -> None:
    """A sentence after the wait, and nothing changed; reading goes on; later it works."""
    store = Store(tmp_path / "asheard.db")
    other = sqlite3.connect(tmp_path / "asheard.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")

    with pytest.raises(StoreBusy, match="Another program holds the catalogue.*try again"):
        with store.transaction() as db:
            db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 1)")
    assert store.rows("SELECT * FROM erasures") == []
    other.execute("COMMIT")
    other.close()
    with store.transaction() as db:
        db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 1)")
    assert len(store.rows("SELECT * FROM erasures")) == 1
    store.close()


def test_opening_a_locked_database_says_that_it_is_busy(impatient: None, tmp_path: Path) -> None:
    """Locked by another process, which is ended afterwards."""
    path = tmp_path / "asheard.db"
    Store(path).close()
    holder = subprocess.Popen(
        [sys.executable, "-c",
         "import sqlite3, sys; c = sqlite3.connect(sys.argv[1], isolation_level=None);"
         "c.execute('PRAGMA locking_mode = EXCLUSIVE'); c.execute('BEGIN EXCLUSIVE');"
         "print('held', flush=True); sys.stdin.read()", str(path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert holder.stdout is not None and holder.stdout.readline() == "held\n"
        with pytest.raises(StoreBusy, match="Nothing was changed"):
            Store(path)
    finally:
        holder.communicate("")
    Store(path).close()


def test_a_full_disk_is_told_as_one(store: Store) -> None:
    """SQLite's own limit on pages stands in for the disk."""
    (pages,) = store.db.execute("PRAGMA page_count").fetchone()
    store.db.execute(f"PRAGMA max_page_count = {pages}")

    with pytest.raises(StoreProblem, match="disk is full"), store.transaction() as db:
        db.conn.executemany("INSERT INTO erasures (at, slips) VALUES (?, 1)", [("x" * 900,)] * 200)
    assert store.rows("SELECT count(*) AS n FROM erasures")[0]["n"] == 0


def test_a_broken_rule_of_the_tables_comes_out_as_it_is(store: Store) -> None:
    """For the owners to put into words."""
    with pytest.raises(sqlite3.IntegrityError), store.transaction() as db:
        db.execute("INSERT INTO erasures (at) VALUES (NULL)")


def test_threads_that_write_at_once_lose_nothing(store: Store) -> None:
    """Four threads of fifty writes each."""
    problems: list[CatalogueError] = []

    def write() -> None:
        try:
            for _ in range(50):
                with store.transaction() as db:
                    db.execute("INSERT INTO erasures (at, slips) VALUES ('2026', 1)")
        except CatalogueError as problem:
            problems.append(problem)

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert problems == []
    assert store.rows("SELECT count(*) AS n FROM erasures")[0]["n"] == 200


def test_programs_that_make_a_new_catalogue_at_once_all_open_it(tmp_path: Path) -> None:
    """Eight processes are let go at one moment, on three new files one after the other."""
    programme = (
        "import sys, time; from pathlib import Path; from catalogue.store import Store\n"
        "print('ready', flush=True); sys.stdin.readline()\n"
        "store = Store(Path(sys.argv[1])); print(store.identity); store.close()"
    )
    for number in range(3):
        path = tmp_path / f"asheard{number}.db"
        processes = [
            subprocess.Popen(
                [sys.executable, "-c", programme, str(path)], stdin=subprocess.PIPE,
                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            )
            for _ in range(8)
        ]  # fmt: skip
        for process in processes:
            assert process.stdout is not None
            assert process.stdout.readline() == "ready\n"
        told = [process.stdin for process in processes if process.stdin is not None]
        for stdin in told:
            stdin.write("\n")
            stdin.flush()
        said = [process.communicate(timeout=60) for process in processes]

        assert [error for _, error in said if error] == []
        assert len({identity for identity, _ in said}) == 1


def test_a_write_looks_again_often_until_the_other_is_done(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite's own wait looks every 100 ms, and missed the moments between two parts of a long
    work, one after another. Afterwards SQLite waits as before for all else."""
    store, other = Store(tmp_path / "asheard.db"), Store(tmp_path / "asheard.db")
    other.db.conn.execute("BEGIN IMMEDIATE")
    looks: list[float] = []

    def sleep(seconds: float) -> None:
        looks.append(seconds)
        if len(looks) == 5:
            other.db.conn.execute("COMMIT")

    monkeypatch.setattr(turns.time, "sleep", sleep)
    with store.transaction() as db:
        assert db.conn.in_transaction
    assert len(looks) == 5
    assert max(looks) < 0.02
    assert store.rows("PRAGMA busy_timeout") == [{"timeout": 5_000}]
    store.close()
    other.close()
