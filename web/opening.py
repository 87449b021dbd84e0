"""Opening a station: its folder, its store and index, and the people who may sign in.

A station is one folder: `asheard.db`, `sound_index/`, and for a demo `demo_people.txt`.
"""

from __future__ import annotations

import ctypes
import gc
import secrets
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from catalogue import backup, passphrases, staff
from catalogue.enquiry import enquire
from catalogue.errors import ReadOnlyStore, StationProblem
from catalogue.heard import Heard
from catalogue.private_file import write_privately
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

DATABASE = "asheard.db"
INDEX = "sound_index"
KEEPER = "Keeper"
"""The name of the first account; the keeper may put themselves on the list by their own."""

_KEY = "session_key"
_KEY_BYTES = 32


def local_time() -> datetime:
    """The station's clock: this PC's local time, to the second."""
    return datetime.now().replace(microsecond=0)


def default_folder() -> Path:
    """Where a station is kept unless told otherwise: `asheard-station` in the home folder."""
    return Path.home() / "asheard-station"


def demo_folder() -> Path:
    """Where the demo station is kept unless told otherwise."""
    return Path.home() / "asheard-demo"


@dataclass(frozen=True, slots=True)
class OpenStation:
    """A station's folder with its store and index open."""

    folder: Path
    store: Store
    index: SoundIndex


def exists(folder: Path) -> bool:
    """Whether there is a station in a folder."""
    return (folder.expanduser() / DATABASE).exists()


@contextmanager
def opened(
    folder: Path, *, make: bool = False, clock: Callable[[], datetime] = local_time
) -> Iterator[OpenStation]:
    """Open a station; with `make` a folder that is not there is made.

    A database of an older version is copied before it is brought up to date. Raises
    StationProblem if there is no station, else StoreProblem and its kin, each with what to do.
    """
    folder = folder.expanduser()
    if make:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise ReadOnlyStore(
                f"The folder {folder} cannot be made ({problem.strerror or problem}). "
                "Give another folder with --station."
            ) from problem
    elif not exists(folder):
        raise StationProblem(
            f"There is no station in {folder}. Start one with “asheard serve”, or take files in "
            "with “asheard add-files”, or name another folder with --station."
        )
    backup.before_upgrade(folder / DATABASE, clock())
    store = Store(folder / DATABASE)
    try:
        index = SoundIndex(folder / INDEX, store)
        try:
            yield OpenStation(folder, store, index)
        finally:
            index.close()
    finally:
        store.close()


def secret_key(folder: Path) -> bytes:
    """The key that signs sessions, made once for this folder and readable by its user alone.

    Raises StationProblem if the file of it cannot be read or written.
    """
    path = folder / _KEY
    try:
        key = path.read_bytes()
        if len(key) >= _KEY_BYTES:
            return key
    except FileNotFoundError:
        pass
    except OSError as problem:
        raise StationProblem(
            f"{path} cannot be read ({problem.strerror or problem}). Give this user the right to "
            "read it, or remove it: then people sign in anew."
        ) from problem
    key = secrets.token_bytes(_KEY_BYTES)
    write_privately(path, key)
    return key


def first_keeper(store: Store, now: datetime) -> tuple[str, str] | None:
    """Make the keeper's account if nobody could sign in yet; its name and one-time passphrase.

    A keeper who never signed in gets another at every start: the first was lost, or not seen.
    """
    people = staff.all_people(store)
    passphrase = passphrases.new()
    if not people:
        staff.add(store, KEEPER, staff.Role.KEEPER, passphrase, "first start", now, one_time=True)
        return KEEPER, passphrase
    if len(people) == 1 and people[0].phrase_until is not None:
        staff.new_words_for(store, people[0].id, passphrase, one_time_from=now)
        return people[0].name, passphrase
    return None


_FIRST_QUESTION = "saltmarshes and tideways by the bargemen"
"""Words that no list has, so that what guesses at their sound is loaded; nobody is told."""


def warmed(station: OpenStation) -> None:
    """Load what the first question would have loaded, before the desks are served: six that came
    at once each loaded it, and waited two seconds."""
    enquire(station.store, station.index, Heard(_FIRST_QUESTION), local_time(), instead=True)


_TURN_S = 0.001
"""How long a thread keeps Python's own lock while others want it. With Python's 5 ms an answer,
which lets go and comes back many times, took 30 ms more at the 95th percentile beside 20 desks."""

_HEAPS, _ARENA_MAX = 2, -8
"""Heaps of glibc's allocator, and what mallopt(3) calls that. Each of the server's threads would
keep freed memory in one of its own: 130 MB lay about unused after two minutes under load."""


def for_many_threads() -> None:
    """Have this process share a processor and memory well among its threads. Before they start."""
    sys.setswitchinterval(_TURN_S)
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):  # another system's library has no such thing
            ctypes.CDLL(None).mallopt(_ARENA_MAX, _HEAPS)


def give_back() -> None:
    """Give freed memory back to the system, where that can be said (malloc_trim(3) of glibc)."""
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).malloc_trim(0)


def settled() -> None:
    """Look for unused memory once, and pass over what is left from then on: it stays to the end.

    Before the desks are served, and again where much was loaded since. Measured among 100,000
    recordings: the slowest answer of 400 takes 28 ms instead of 46, one in twenty a millisecond
    less; at 300,000 one page in twenty no longer waits for 60 ms.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()
