"""A union's own web server: one question, one answer, in JSON, for those who have the token.

It is no part of a station. DEVELOPERS.md has the form of questions and answers.
"""

from __future__ import annotations

import hmac
import secrets
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from cheroot.wsgi import Server
from flask import Flask, Response, jsonify, request
from werkzeug.exceptions import HTTPException

from catalogue.addresses import is_private
from catalogue.errors import StationProblem, UnionProblem
from catalogue.heard import Heard
from catalogue.private_file import write_privately
from catalogue.records import Recording
from catalogue.union_answer import Held, UnionAnswer
from catalogue.union_layout import UnionLayout
from catalogue.union_service import AT_ONCE, UnionBusy, UnionService
from web.serving import refuse_used

FORMAT = 1
"""Raised when what older programs read would mislead them."""

TOKEN = "token"
"""The file of the token in the union's folder, made once, for its user alone."""

_TOKEN_BYTES = 32
_LONGEST_HEARD = 2_000
"""Letters of a question: what fits in the phone desk's boxes."""

_LARGEST_BYTES = 16 * 1024
"""Of a question: three such boxes in any script, and no more."""

_STATIONS = 20
"""Stations named for one recording; a caller is told of one or two."""

_QUEUE = 2 * AT_ONCE
"""Connections that may wait for a thread."""


def token_of(folder: Path) -> str:
    """The token of a union, made and kept for this user alone when there is none yet.

    Raises StationProblem if its file cannot be read or written.
    """
    path = folder / TOKEN
    try:
        kept = path.read_text(encoding="ascii").strip()
        if len(kept) >= _TOKEN_BYTES:
            path.chmod(0o600)
            return kept
    except FileNotFoundError:
        pass
    except (OSError, ValueError) as problem:
        raise StationProblem(
            f"{path} cannot be read. Give this user the right to read it, or remove it: then a "
            "new token is made, and every station that asks needs it."
        ) from problem
    made = secrets.token_urlsafe(_TOKEN_BYTES)
    write_privately(path, f"{made}\n".encode())
    return made


def create_union_app(service: UnionService, token: str) -> Flask:
    """The web application of a union. Without the token it says nothing, not even that."""
    app = Flask("union")
    app.config["MAX_CONTENT_LENGTH"] = _LARGEST_BYTES
    expected = f"Bearer {token}".encode()

    @app.before_request
    def _let_in() -> Response | None:
        given = request.headers.get("Authorization", "").encode("utf-8", "replace")
        if hmac.compare_digest(given, expected):
            return None
        return _refused(401, "The token is not the union's.")

    @app.post("/ask")
    def _ask() -> Response:
        heard = _heard(request.get_json(silent=True))
        if heard is None:
            return _refused(400, "A question is an object with “heard”, “title” or “artist”.")
        started = time.monotonic()
        answer = service.ask(heard)
        took = round((time.monotonic() - started) * 1000, 1)
        return jsonify(as_json(answer, service.layout) | {"took_ms": took})

    @app.get("/state")
    def _state() -> Response:
        layout = service.layout
        answering = service.asker.answering()
        return jsonify({
            "format": FORMAT,
            "made_at": layout.made_at,
            "recordings": layout.entries,
            "stations": len(layout.stations),
            "shards": [
                {"number": shard.number, "recordings": shard.entries,
                 "replicas_answering": answering.get(shard.number)}
                for shard in layout.shards
            ],
        })  # fmt: skip

    @app.errorhandler(UnionBusy)
    def _busy(problem: UnionBusy) -> Response:
        response = _refused(503, problem.message)
        response.headers["Retry-After"] = "1"
        return response

    @app.errorhandler(UnionProblem)
    def _problem(problem: UnionProblem) -> Response:
        return _refused(500, problem.message)

    @app.errorhandler(HTTPException)
    def _http(problem: HTTPException) -> Response:
        return _refused(problem.code or 500, problem.name)

    @app.errorhandler(Exception)
    def _unforeseen(_problem: Exception) -> Response:
        return _refused(500, "The union could not answer.")

    @app.after_request
    def _not_kept(response: Response) -> Response:
        response.headers["Cache-Control"] = "no-store"
        return response

    return app


def as_json(answer: UnionAnswer, layout: UnionLayout) -> dict[str, Any]:
    """An answer as it is sent. Every part that did not answer is told, with what it holds."""
    lost = [shard for shard in layout.shards if shard.number in answer.missing]
    return {
        "format": FORMAT,
        "sureness": str(answer.sureness),
        "matches": [_held(one, layout) for one in answer.matches],
        "stand_ins": [_held(one, layout) for one in answer.stand_ins],
        "stations": len(layout.stations),
        "recordings": layout.entries,
        "missing": {
            "shards": [shard.number for shard in lost],
            "recordings": sum(shard.entries for shard in lost),
        },
    }


def check_host(host: str) -> None:
    """Raises StationProblem if an address is not of this machine or a private network."""
    if not is_private(host):
        raise StationProblem(
            f"{host} is not an address of this machine or of a private network, such as "
            "192.168.1.7. A union is served there only: what passes is not encrypted. Give one "
            "with --host; stations elsewhere come in through an encrypted way of your network's."
        )


@contextmanager
def serving(service: UnionService, token: str, host: str, port: int) -> Iterator[str]:
    """Serve a union inside the `with`; yields its address.

    Raises StationProblem if the address is not this machine's, is not private, or is in use.
    """
    check_host(host)
    refuse_used(host, port)
    server = Server((host, port), create_union_app(service, token), numthreads=AT_ONCE,
                    server_name="", request_queue_size=_QUEUE, accepted_queue_size=_QUEUE,
                    accepted_queue_timeout=1)  # fmt: skip
    try:
        server.prepare()
    except (OSError, UnicodeError) as problem:
        raise StationProblem(
            f"Nothing can be served at {host}, port {port}. Give another with --host and --port."
        ) from problem
    thread = threading.Thread(target=server.serve, daemon=True)
    thread.start()
    try:
        yield f"http://{f'[{host}]' if ':' in host else host}:{server.bind_addr[1]}"
    finally:
        server.stop()
        thread.join(timeout=5)


def _heard(question: object) -> Heard | None:
    """What is asked, or None if it is no question."""
    if not isinstance(question, Mapping):
        return None
    words = [question.get(name, "") for name in ("heard", "title", "artist")]
    if not all(isinstance(one, str) and len(one) <= _LONGEST_HEARD for one in words):
        return None
    heard = Heard(*words)
    return None if heard == Heard() else heard


def _held(held: Held, layout: UnionLayout) -> dict[str, Any]:
    stations = {station.number: station for station in layout.stations}
    return {
        **_named(held.recording),
        "band": str(held.band) if held.band else "",
        "kind": held.kind,
        "held_by": len(held.held_at),
        "held_at": [
            {
                "station": stations[at.station].name,
                "id": stations[at.station].id,
                "place": stations[at.station].place,
                "latitude": stations[at.station].latitude,
                "longitude": stations[at.station].longitude,
                "number": at.number,
                "carriers": list(at.carriers),
                "copies": at.copies,
                "lendable": at.lendable,
                "loan": stations[at.station].loan,
            }
            for at in held.held_at[:_STATIONS]
            if at.station in stations
        ],
    }


def _named(recording: Recording) -> dict[str, Any]:
    return {
        "title": recording.title,
        "artist": recording.artist,
        "version": recording.version,
        "year": recording.year,
        "album": recording.album,
    }


def _refused(status: int, sentence: str) -> Response:
    response = jsonify({"format": FORMAT, "problem": sentence})
    response.status_code = status
    return response
