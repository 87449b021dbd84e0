"""The desks for `crashes.py`: a process of its own that writes down every acknowledgement.

    python -m tests.benchmarks.crash_client LOG DESKS

Reads addresses from its input, one a line; works at each with DESKS browsers at once until the
server does not answer any more, then prints "gone" and waits for the next. A line goes into LOG,
as JSON, only when the server has said that the thing is done.
"""

from __future__ import annotations

import http.client
import itertools
import json
import random
import re
import sys
import threading
import time
import urllib.parse
from contextlib import suppress
from pathlib import Path
from typing import Any

NAME, PASSPHRASE = "Keeper", "four plain words"
RECORDINGS = 12
"""Recordings there from the start, with numbers from 1 on, each with one copy of that number."""

_GONE = (OSError, http.client.HTTPException)


_TOO_MANY = 429
_TRIES = 60
"""Seconds that a desk goes on trying to sign in."""


class _Refused(Exception):
    """The server answered, and did not do it: that is written down as odd."""


class Browser:
    """One desk: its cookies and token outlive the server, as they do in a real browser."""

    def __init__(self, number: int, log: Any, lock: threading.Lock) -> None:
        self.number = number
        self._chance = random.Random(number)
        self._log = log
        self._lock = lock
        self._cookies: dict[str, str] = {}
        self._token = ""
        self._signed_in = False
        self._counter = itertools.count(1)
        self._connection: http.client.HTTPConnection | None = None

    def work(self, address: str) -> None:
        """Do one thing after another until the server is gone."""
        parts = urllib.parse.urlsplit(address)
        self._connection = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=20)
        try:
            if not self._signed_in:
                self._sign_in()
            while True:
                with suppress(_Refused):
                    self._chance.choice((self._slip, self._slip, self._judge, self._add))()
        except _GONE:
            return
        finally:
            self._connection.close()

    def _slip(self) -> None:
        """A whole call: written, found, handed over, played."""
        name = self._new("Caller")
        sheet = self._new("sheet")
        answer = self._post("/phone/details", sheet=sheet, purpose="request", caller_name=name)
        found = re.search(r'name="slip" value="(\d+)"', answer)
        if not found:
            raise self._refused("no slip in the answer")
        slip = int(found[1])
        self._note(slip=slip, fields={"caller_name": name})
        why = self._new("why")
        self._post("/phone/details", slip=slip, why=why)
        self._note(slip=slip, fields={"why": why})
        recording = self._chance.randint(1, RECORDINGS)
        self._post("/phone/choose", slip=slip, recording_id=recording, holding_id=recording)
        self._note(slip=slip, recording=recording)
        self._post("/phone/hand-over", slip=slip, studio="Studio 1")
        self._note(slip=slip, state="handed over")
        self._post("/studio/played", slip=slip)
        self._note(slip=slip, state="played")

    def _judge(self) -> None:
        a, b = sorted(self._chance.sample(range(1, RECORDINGS + 1), 2))
        verdict = self._chance.choice(("same", "different", "cannot tell"))
        address = f"/shelves/duplicates/{a}/{b}"
        _, page = self._read("GET", address)
        said_at = re.search(r'name="said_at" value="([^"]*)"', page)
        form = {"verdict": verdict, "said_at": said_at[1] if said_at else ""}
        status, _ = self._read("POST", address, form)
        if status in (200, 303):
            self._note(judged=[a, b])
        elif status != 409:  # another desk judged the pair meanwhile
            raise self._refused(f"{status} at {address}")

    def _add(self) -> None:
        title = self._new("Lantern")
        self._post("/shelves/recordings/new", title=title, artist="Ann Oke")
        self._note(title=title)

    def _new(self, word: str) -> str:
        return f"{word} {self.number}-{next(self._counter)}"

    def _note(self, **what: Any) -> None:
        with self._lock:
            self._log.write(json.dumps(what) + "\n")
            self._log.flush()

    def _sign_in(self) -> None:
        self._read("GET", "/sign-in")
        form = {"name": NAME, "passphrase": PASSPHRASE}
        for _ in range(_TRIES):
            status, _text = self._read("POST", "/sign-in", form)
            if status != _TOO_MANY:
                break
            time.sleep(1)  # several desks sign in by one name at once, and tries are slowed
        if status not in (200, 303):
            raise self._refused(f"{status} at /sign-in")
        self._read("GET", "/phone")
        self._signed_in = True

    def _post(self, path: str, **form: Any) -> str:
        status, text = self._read("POST", path, form)
        if status not in (200, 303):
            raise self._refused(f"{status} at {path}")
        return text

    def _refused(self, odd: str) -> _Refused:
        self._note(odd=odd)
        return _Refused(odd)

    def _read(self, method: str, path: str, form: dict[str, Any] | None = None) -> tuple[int, str]:
        cookies = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        headers = {"Cookie": cookies, "X-CSRFToken": self._token, "HX-Request": "true",
                   "Content-Type": "application/x-www-form-urlencoded"}  # fmt: skip
        body = urllib.parse.urlencode(form) if form else None
        if method == "GET":
            del headers["HX-Request"]
        assert self._connection is not None
        self._connection.request(method, path, body, headers)
        answer = self._connection.getresponse()
        text = answer.read().decode()
        for cookie in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.partition(";")[0].partition("=")
            self._cookies[name] = value
        if token := re.search(r'X-CSRFToken": "([^"]+)"', text):
            self._token = token[1]
        return answer.status, text


def main() -> None:
    """Work at every address given."""
    lock = threading.Lock()
    with Path(sys.argv[1]).open("a", encoding="utf-8") as log:
        browsers = [Browser(number, log, lock) for number in range(int(sys.argv[2]))]
        for line in sys.stdin:
            threads = [threading.Thread(target=b.work, args=(line.strip(),)) for b in browsers]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            print("gone", flush=True)


if __name__ == "__main__":
    main()
