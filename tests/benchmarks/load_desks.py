"""Twenty desks as their pages behave, for `load`: who types, who asks for changes, who takes in."""

from __future__ import annotations

import contextlib
import random
import re
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from http.client import HTTPException
from pathlib import Path

from tests.benchmarks import enquire
from tests.benchmarks.live import PHONE_ASKS_S, PHONES, STUDIO_ASKS_S, STUDIOS, Browser

TYPING = 6
KEYS_A_SECOND = 5.0
PAGE_WAITS_S = 0.25
"""From the last key until the page asks, as `templates/phone/heard.html` says to htmx."""

_UNEVEN = 0.45
"""Spread of the logarithm of the time between two keys: a hand is uneven, about log-normally
(common practice, no source). With it one gap in four or five is longer than the page waits."""

_BETWEEN_S = 1.0
"""Between two callers of one desk."""

_POOL = 20_000
_SEED = 29


@dataclass
class Seen:
    """How long answers and askings for changes took, in seconds, and what went wrong."""

    answers: list[float] = field(default_factory=list)
    asked: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    seconds: float = 1.0
    lock: threading.Lock = field(default_factory=threading.Lock)

    def note(self, into: list[float], spent: float, status: int, what: str) -> None:
        """Note one answer; whatever is no answer is an error."""
        with self.lock:
            into.append(spent)
            if status not in (200, 204, 303):
                self.errors.append(f"{what}: {status}")


def percentile(values: list[float], percent: int) -> float:
    """A percentile in milliseconds; 0 of nothing."""
    if not values:
        return 0.0
    ordered = sorted(values)
    return round(ordered[min(len(ordered) - 1, len(ordered) * percent // 100)] * 1000, 1)


class Words:
    """What callers say, each only once, and no beginning of it asked twice."""

    def __init__(self, recordings: int, count: int = 4_000) -> None:
        names = enquire.names_of(min(recordings, _POOL))
        self._left = iter(enquire.requests(names, count))
        self._asked: set[str] = set()
        self._lock = threading.Lock()

    def next(self) -> str:
        """The next caller's words."""
        with self._lock:
            return next(self._left)

    def is_new(self, text: str) -> bool:
        """Whether this was not asked before; it counts as asked then."""
        with self._lock:
            return text not in self._asked and not self._asked.add(text)  # type: ignore[func-returns-value]


class Desks:
    """The desks of the station at one address."""

    def __init__(self, host: str, port: int, passphrase: str, recordings: int) -> None:
        self._address, self._passphrase = f"http://{host}:{port}", passphrase
        self._words = Words(recordings)
        self._open: list[tuple[Browser, str]] = []

    def browser(self, name: str) -> Browser:
        """Somebody signed in at a browser of their own."""
        return Browser(self._address, name, self._passphrase)

    def open(self) -> list[tuple[Browser, str]]:
        """The browsers of all desks and what each does, signed in once."""
        if not self._open:
            kinds = ["studio"] * STUDIOS + ["phone"] * PHONES + ["typing"] * TYPING
            self._open = [
                (self.browser("Walter" if kind == "studio" else "Nell"), kind) for kind in kinds
            ]
        return self._open

    def alone(self, seconds: float) -> Seen:
        """One desk that types, and nothing else."""
        seen = Seen(seconds=seconds)
        end = time.monotonic() + seconds
        _guarded(_type, seen, self.browser("Nell"), self._words, seen, end, random.Random(_SEED))
        return seen

    def evening(self, seconds: float) -> Seen:
        """All twenty desks for so many seconds."""
        seen, chance = Seen(seconds=seconds), random.Random(_SEED)
        browsers = [(browser, kind) for browser, kind in self.open() if kind != "typing"]
        typing = [browser for browser, kind in self.open() if kind == "typing"]
        end = time.monotonic() + seconds
        work: list[tuple[Callable[..., None], tuple]] = [
            (_ask_for_changes, (browser, kind, seen, end, chance.random()))
            for browser, kind in browsers
        ]
        work += [
            (_type, (browser, self._words, seen, end, random.Random(_SEED + number)))
            for number, browser in enumerate(typing)
        ]
        threads = [threading.Thread(target=_guarded, args=(do, seen, *args)) for do, args in work]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        return seen

    @contextlib.contextmanager
    def taking_in(self, music: Path) -> Iterator[list[int]]:
        """The folder taken in again and again; its files move between, so that each is written."""
        stop, files = threading.Event(), [0]
        librarian = self.browser("Dilys")
        thread = threading.Thread(target=_take_in, args=(librarian, music, stop, files))
        thread.start()
        try:
            yield files
        finally:
            stop.set()
            thread.join()


def _guarded(do: Callable[..., None], seen: Seen, *args: object) -> None:
    try:
        do(*args)
    except (OSError, HTTPException) as problem:  # a desk without an answer is an error
        with seen.lock:
            seen.errors.append(f"no answer: {type(problem).__name__}")


def _ask_for_changes(browser: Browser, kind: str, seen: Seen, end: float, begin: float) -> None:
    """A page that asks for changes since N."""
    every = STUDIO_ASKS_S if kind == "studio" else PHONE_ASKS_S
    path = "/studio/queue?studio=Studio+1&" if kind == "studio" else "/phone/strip?"
    since = minute = ""
    time.sleep(begin * every)
    while time.monotonic() < end:
        started = time.perf_counter()
        status, page = browser.get(f"{path}since={since}&minute={minute}")
        seen.note(seen.asked, time.perf_counter() - started, status, path)
        if found := re.search(r"since=(\d+)&amp;minute=(\d+)", page):
            since, minute = found.groups()
        time.sleep(every)


def _type(browser: Browser, words: Words, seen: Seen, end: float, chance: random.Random) -> None:
    """One caller after another."""
    while time.monotonic() < end:
        _, page = browser.get("/phone/fresh")
        found = re.search(r'name="sheet" value="([^"]+)"', page)
        desk = {"sheet": found.group(1) if found else ""}
        _one_caller(browser, desk, words, seen, end, chance)
        status, page = browser.post("/phone/details", **desk, caller_name="Maureen")
        seen.note([], 0.0, status, "details")
        time.sleep(_BETWEEN_S)
        status, _ = browser.post("/phone/withdraw", **desk)
        seen.note([], 0.0, status, "withdraw")


def _one_caller(
    browser: Browser, desk: dict[str, str], words: Words, seen: Seen, end: float,
    chance: random.Random,
) -> None:  # fmt: skip
    """Type what one caller says; the page asks when the hand has paused."""
    text, kept = words.next(), ""
    mean = 1 / KEYS_A_SECOND
    gaps = [chance.lognormvariate(0, _UNEVEN) for _ in text]
    scale = mean * len(gaps) / sum(gaps)
    at, begun = 0.0, time.monotonic()
    due: list[tuple[float, str]] = []
    for number, gap in enumerate(gaps):
        at += gap * scale
        following = gaps[number + 1] * scale if number + 1 < len(gaps) else 9.0
        if following > PAGE_WAITS_S:
            due.append((at + PAGE_WAITS_S, text[: number + 1]))
    for number, (when, typed) in enumerate(due):
        late = time.monotonic() - begun
        if number + 1 < len(due) and late > due[number + 1][0]:
            continue  # of what waits, the page asks the last
        time.sleep(max(0.0, min(when - late, end - time.monotonic())))
        if time.monotonic() >= end:
            return
        if not words.is_new(typed):
            continue
        started = time.perf_counter()
        status, page = browser.post(
            "/phone/heard", **desk, heard=typed, heard_artist="", seen_heard=kept,
            seen_heard_artist="", asked=number + 1,
        )  # fmt: skip
        seen.note(seen.answers, time.perf_counter() - started, status, "heard")
        if status == 200:
            kept = typed.strip()
        if found := re.search(r'name="slip" value="(\d+)"', page):
            desk["slip"] = found.group(1)


def _take_in(librarian: Browser, music: Path, stop: threading.Event, files: list[int]) -> None:
    """Have the folder taken in, wait for its end, move its files, and again."""
    number = 0
    place = music / f"round {number}"
    inside = [path for path in music.iterdir() if path.is_dir()]
    place.mkdir()
    for path in inside:
        path.rename(place / path.name)
    count = sum(1 for path in place.rglob("*.flac"))
    while not stop.is_set():
        status, _ = librarian.post("/shelves/taking-in/folders", root=str(music))
        while not stop.wait(0.5):
            if 'action="/shelves/taking-in/folders"' in librarian.get("/shelves/taking-in")[1]:
                break  # the page offers the next: the last is over
        if status == 303 and not stop.is_set():
            files[0] += count
        number += 1
        place = place.rename(music / f"round {number}")
