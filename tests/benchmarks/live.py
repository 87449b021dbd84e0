"""Hand-over to studio: python -m tests.benchmarks.live [--quick] [--json]

The real server on loopback with the demo station. Twenty desks are open and ask for changes as
their pages do, ten studios every 0.7 s and ten phone desks every 2 s; an eleventh phone desk
hands slips over. Measured is the time from the hand-over being sent until the slip is in the
answer that a studio's page got, for every one of the studios: it has the wait for the next asking
in it, so that a page with nothing else to wait for would take 0.35 s at the median.

Beside it, as the plain alternative, a page that is loaded anew every 5 s.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import statistics
import tempfile
import threading
import time
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPResponse, RemoteDisconnected
from pathlib import Path
from urllib.parse import urlencode, urlparse

from web import demo
from web.opening import opened
from web.serving import local_time, serving

STUDIOS, PHONES = 10, 10
STUDIO_ASKS_S, PHONE_ASKS_S = 0.7, 2.0
"""As `templates/studio/queue.html` and `templates/phone/strip.html` say to htmx."""

RELOADS_S = 5.0
"""The plain alternative: a page that reloads itself, as often as a person would bear."""

SLIPS, SLIPS_QUICK = 150, 30
BETWEEN_S = 0.4
LISTED = 30
"""Slips in the studio's list: more wait in no programme."""

SEED = 20261125
PROMISED_S = 1.0


class Browser:
    """One desk: a kept connection, cookies and the token, as a browser has them."""

    def __init__(self, address: str, name: str, passphrase: str) -> None:
        parsed = urlparse(address)
        self._connection = HTTPConnection(parsed.hostname or "", parsed.port, timeout=30)
        self._cookies: dict[str, str] = {}
        self.opened_anew = 0
        self.token = self._token(self.get("/sign-in")[1])
        status, _ = self.post("/sign-in", name=name, passphrase=passphrase)
        if status != 303:
            raise SystemExit(f"{name} could not sign in ({status}).")
        self.token = self._token(self.get("/desk")[1])

    def get(self, path: str) -> tuple[int, str]:
        """Status and text of a page."""
        return self._ask("GET", path, None)

    def post(self, path: str, **form: object) -> tuple[int, str]:
        """Status and text of the answer to a form."""
        return self._ask("POST", path, urlencode(form))

    def _ask(self, method: str, path: str, body: str | None) -> tuple[int, str]:
        headers = {"Cookie": "; ".join(f"{k}={v}" for k, v in self._cookies.items())}
        if body is not None:
            headers |= {"Content-Type": "application/x-www-form-urlencoded"}
            headers |= {"X-CSRFToken": self.token}
        if path.startswith(("/studio/", "/phone/")):
            headers["HX-Request"] = "true"
        answer = self._answer(method, path, body, headers)
        for cookie in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.partition(";")[0].partition("=")
            self._cookies[name] = value
        return answer.status, answer.read().decode()

    def _answer(
        self, method: str, path: str, body: str | None, headers: dict[str, str]
    ) -> HTTPResponse:
        """Ask; on a connection that was closed while it was idle, once more, as browsers do."""
        try:
            self._connection.request(method, path, body, headers)
            return self._connection.getresponse()
        except (RemoteDisconnected, BrokenPipeError, ConnectionResetError):
            self.opened_anew += 1
            self._connection.close()
            self._connection.request(method, path, body, headers)
            return self._connection.getresponse()

    @staticmethod
    def _token(page: str) -> str:
        found = re.search(r'X-CSRFToken": "([^"]+)"', page)
        return found.group(1) if found else ""


@dataclass
class Seen:
    """When each slip was sent, when it was seen, and how long each asking took, in seconds."""

    sent: dict[int, float] = field(default_factory=dict)
    live: list[float] = field(default_factory=list)
    reloaded: list[float] = field(default_factory=list)
    asked: list[float] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def look(self, page: str, known: set[int], into: list[float]) -> None:
        """Note the slips on a page that were not known there."""
        at = time.perf_counter()
        with self.lock:
            for number in map(int, re.findall(r'id="slip-(\d+)"', page)):
                if number in self.sent and number not in known:
                    known.add(number)
                    into.append(at - self.sent[number])


def _studio(browser: Browser, seen: Seen, stop: threading.Event, begin_s: float) -> None:
    """A studio's page: it asks for changes since N, and is told nothing when there are none."""
    since = minute = ""
    known: set[int] = set()
    stop.wait(begin_s)
    while not stop.is_set():
        began = time.perf_counter()
        status, page = browser.get(f"/studio/queue?studio=Studio+1&since={since}&minute={minute}")
        seen.asked.append(time.perf_counter() - began)
        if status == 200:
            seen.look(page, known, seen.live)
            found = re.search(r"since=(\d+)&amp;minute=(\d+)", page)
            since, minute = found.groups() if found else ("", "")
        stop.wait(STUDIO_ASKS_S)


def _phone(browser: Browser, seen: Seen, stop: threading.Event, begin_s: float) -> None:
    since = minute = ""
    stop.wait(begin_s)
    while not stop.is_set():
        began = time.perf_counter()
        status, page = browser.get(f"/phone/strip?since={since}&minute={minute}")
        seen.asked.append(time.perf_counter() - began)
        if status == 200:
            found = re.search(r"since=(\d+)&amp;minute=(\d+)", page)
            since, minute = found.groups() if found else ("", "")
        stop.wait(PHONE_ASKS_S)


def _reloading(browser: Browser, seen: Seen, stop: threading.Event, begin_s: float) -> None:
    known: set[int] = set()
    stop.wait(begin_s)
    while not stop.is_set():
        seen.look(browser.get("/studio?studio=Studio+1")[1], known, seen.reloaded)
        stop.wait(RELOADS_S)


def run(slips: int) -> dict[str, float]:
    """Hand so many slips over with twenty desks open; the figures, in seconds."""
    chance = random.Random(SEED)
    seen, stop = Seen(), threading.Event()
    with tempfile.TemporaryDirectory() as folder:
        with opened(Path(folder) / "station", make=True) as station:
            demo.prepare(station, local_time())
            people = {role: (n, p) for n, role, p in demo.people(Path(folder) / "station")}
            with serving(station, "127.0.0.1", 0) as address:
                threads = [
                    threading.Thread(target=work, args=(
                        Browser(address, *people[role]), seen, stop, chance.uniform(0, every)))
                    for work, role, every, count in (
                        (_studio, "presenter", STUDIO_ASKS_S, STUDIOS),
                        (_phone, "searcher", PHONE_ASKS_S, PHONES),
                        (_reloading, "presenter", RELOADS_S, 1),
                    )
                    for _ in range(count)
                ]  # fmt: skip
                for thread in threads:
                    thread.start()
                _hand_over(Browser(address, *people["searcher"]), seen, slips, chance)
                time.sleep(RELOADS_S + 1)
                stop.set()
                for thread in threads:
                    thread.join()
    missed = slips * STUDIOS - len(seen.live)
    return {
        "desks": STUDIOS + PHONES,
        "slips": slips,
        "p50_s": _quantile(seen.live, 50),
        "p95_s": _quantile(seen.live, 95),
        "worst_s": round(max(seen.live), 3),
        "missed": missed,
        "asking_p95_s": _quantile(seen.asked, 95),
        "reloading_p50_s": _quantile(seen.reloaded, 50),
        "reloading_p95_s": _quantile(seen.reloaded, 95),
        "promised_p95_s": PROMISED_S,
    }


def _hand_over(phone: Browser, seen: Seen, slips: int, chance: random.Random) -> None:
    for number in range(slips):
        sheet = f"sheet-{number}"
        _, page = phone.post("/phone/details", sheet=sheet, caller_name="Maureen")
        found = re.search(r'name="slip" value="(\d+)"', page)
        if not found:
            raise SystemExit("The phone desk did not say the slip's number.")
        slip = int(found.group(1))
        time.sleep(chance.uniform(0, BETWEEN_S))
        with seen.lock:
            seen.sent[slip] = time.perf_counter()
        status, _ = phone.post(
            "/phone/hand-over", slip=slip, studio="Studio 1", all_the_same="no record"
        )
        if status != 200:
            raise SystemExit(f"A slip could not be handed over ({status}).")
        # The list is kept as long as an evening's, and each slip long enough for a page that
        # reloads to see it.
        if number >= LISTED:
            phone.post("/phone/call-back", slip=slip - LISTED)
            phone.post("/phone/withdraw", slip=slip - LISTED)


def _quantile(values: list[float], percent: int) -> float:
    return round(statistics.quantiles(values, n=100, method="inclusive")[percent - 1], 3)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--quick", action="store_true", help="fewer slips, within a minute")
    parser.add_argument("--json", action="store_true", help="one JSON object as the last line")
    given = parser.parse_args()
    figures = run(SLIPS_QUICK if given.quick else SLIPS)
    print(f"{figures['slips']} slips handed over, {figures['desks']} desks open")
    print("from hand-over to the studio's screen:")
    print(f"  this page         p50 {figures['p50_s']:.2f} s  p95 {figures['p95_s']:.2f} s  "
          f"worst {figures['worst_s']:.2f} s  missed {figures['missed']}")  # fmt: skip
    print(f"  reloading {RELOADS_S:.0f} s     p50 {figures['reloading_p50_s']:.2f} s  "
          f"p95 {figures['reloading_p95_s']:.2f} s")  # fmt: skip
    print(f"one asking takes p95 {figures['asking_p95_s'] * 1000:.0f} ms; "
          f"promised is p95 within {figures['promised_p95_s']:.0f} s")  # fmt: skip
    if given.json:
        print(json.dumps(figures))


if __name__ == "__main__":
    main()
