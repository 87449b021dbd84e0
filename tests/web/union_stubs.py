"""Servers on loopback that play a union: honest, slow, lying or dead."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

TOKEN = "a-token-of-the-union"


def held(title: str, artist: str, **more: Any) -> dict[str, Any]:
    """A recording held at three stations, one of which lends nothing."""
    return {
        "title": title, "artist": artist, "version": "", "year": 1962, "album": "",
        "band": "certain", "kind": "", "held_by": 3,
        "held_at": [
            {"station": "Radio Sallow", "id": "b", "place": "Sallow Bridge", "latitude": 52.4,
             "longitude": 0.9, "number": 77, "carriers": ["LP"], "copies": 1, "lendable": 1,
             "loan": "Ring Ida on Mondays."},
            {"station": "Quay Radio", "id": "a", "place": "Wharf End", "latitude": 51.9,
             "longitude": 1.2, "number": 12, "carriers": ["CD"], "copies": 1, "lendable": 1,
             "loan": "Write to Ann."},
            {"station": "Lighthouse Sound", "id": "d", "place": "", "latitude": None,
             "longitude": None, "number": 5, "carriers": ["45"], "copies": 2, "lendable": 0,
             "loan": ""},
        ],
    } | more  # fmt: skip


def answer(**more: Any) -> dict[str, Any]:
    """A union's answer."""
    return {
        "format": 1, "sureness": "found", "stations": 4, "recordings": 1000,
        "matches": [held("The Chandler’s Daughter", "Albie Cruttenden")],
        "stand_ins": [held("Tarred Rope", "Albie Cruttenden", kind="same artist", band="")],
        "missing": {"shards": [], "recordings": 0},
    } | more  # fmt: skip


@dataclass
class Stub:
    """What a stub was asked, and how it answers."""

    address: str = ""
    status: int = 200
    body: bytes = b""
    headers: dict[str, str] = field(default_factory=dict)
    drip_s: float = 0.0
    asked: list[dict[str, Any]] = field(default_factory=list)
    paths: list[str] = field(default_factory=list)
    tokens: list[str] = field(default_factory=list)

    def says(self, told: object) -> None:
        """Answer with this as JSON."""
        self.body = json.dumps(told).encode()


@contextmanager
def stub() -> Iterator[Stub]:
    """A server on loopback that answers as its stub says."""
    told = Stub()
    told.says(answer())

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            size = int(self.headers["Content-Length"])
            told.asked.append(json.loads(self.rfile.read(size)))
            told.paths.append(self.path)
            told.tokens.append(self.headers.get("Authorization", ""))
            try:
                self._answer()
            except OSError:
                return  # whoever asked has hung up

        def _answer(self) -> None:
            self.send_response(told.status)
            for name, value in told.headers.items():
                self.send_header(name, value)
            self.end_headers()
            if not told.drip_s:
                self.wfile.write(told.body)
                return
            for byte in told.body:
                self.wfile.write(bytes([byte]))
                time.sleep(told.drip_s)

        def log_message(self, format: str, *args: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
    told.address = f"http://127.0.0.1:{server.server_port}"
    try:
        yield told
    finally:
        server.shutdown()
        server.server_close()
