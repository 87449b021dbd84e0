"""Serving a station: the web server, and what has to happen every so often beside it."""

from __future__ import annotations

import contextlib
import logging
import re
import socket
import threading
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime
from typing import Any

from cheroot.server import HTTPConnection
from cheroot.wsgi import Server

from catalogue import backup, filed_order, forgetting, listing, search_runs, standing_back
from catalogue.errors import CatalogueError, StationProblem
from catalogue.meaning import Meanings
from web import certificates, create_app, paper
from web.certificates import Certificate
from web.opening import OpenStation, give_back, local_time, secret_key, settled
from web.tls import Handshakes

_log = logging.getLogger(__name__)

THREADS = 16
"""Requests at once; each takes milliseconds, and twenty desks ask about thirty times a second."""

KEPT_OPEN = 400
"""Connections kept open between two askings: a browser keeps up to six, and one that is closed
just as a question is sent on it is a question without an answer; each new one costs a handshake.
cheroot's limit is 10."""

WAITING_TO_CONNECT = 128
"""Connections that wait to be accepted: all desks at once, when the programme begins."""

ERASE_EVERY_S = 3600.0
"""Callers' details are due by the day, so within the hour is soon enough."""

COPY_EVERY_S = 3600.0
"""How often it is asked whether today's copy is there; one is made soon after the start."""

FIRST_COPY_S = 60.0
"""The first copy waits until the desks have signed in."""

CATCH_UP_EVERY_S = 2.0
"""Commands run beside the server write the database only; the index follows this quickly."""


FILE_EVERY_S = 2.0
"""How often it is asked whether the list is to be put in another order, as when the rules of a
shelf were changed."""

_BETWEEN_STEPS_S = 0.05
"""Between two steps of that, in which the desks get their turn."""

MEANT_EVERY_S = 2.0
"""How often it is asked whether all that is wanted has been looked up since names changed."""

_BETWEEN_NAMES_S = 0.03
"""Between two names that are looked up, so that desks get as much of the processor."""

SET_ASIDE_EVERY_S, FIRST_SET_ASIDE_S = 600.0, 30.0
"""How often what is kept in memory is set aside from Python's search for cycles of objects."""

GIVE_BACK_EVERY_S = 60.0
"""How often freed memory is given back: what lies about under load is as much as what is used."""

PAPER_EVERY_S = 60.0
"""How often it is asked whether the night's paper lists are there; asking costs nothing."""

_SYSTEM_WORDS = re.compile(r"\[\w+ -?\d+\] ([^()]+)")
"""As Python writes an error of the system: "[Errno 13] Permission denied"."""

CERTIFICATE_EVERY_S = 3600.0
"""How often it is asked whether the station's own certificate is nearly over."""

_LARGEST_BODY_BYTES = 512 * 1024 * 1024
_LARGEST_HEAD_BYTES = 32 * 1024
"""Beyond these the connection is closed: what a page takes is much less (MAX_CONTENT_LENGTH)."""

_KNOCK_S = 0.5
"""How long to wait for a program that serves on this PC already; it answers at once."""


class _Server(Server):  # type: ignore[misc]
    """cheroot, but a connection that says nothing holds none of the threads."""

    def process_conn(self, conn: HTTPConnection) -> None:
        """Give a connection to a thread once something has come; a new one waits for that."""
        if conn.last_used is None:
            self._connections.put(conn)
        else:
            super().process_conn(conn)


@contextlib.contextmanager
def serving(
    station: OpenStation,
    host: str,
    port: int,
    clock: Callable[[], datetime] = local_time,
    certificate: Certificate | None = None,
    names: Sequence[str] = (),
) -> Iterator[str]:
    """Serve the station inside the `with`; yields its address.

    With a certificate by HTTPS. `names` are names of this PC beside those it gives itself.

    Callers' details that are due are erased first, and then hourly, from the copies as well; a
    copy is made each day. Raises StationProblem if the port is in use or the address is not this
    PC's.
    """
    _erase(station, clock)
    search_runs.break_off(station.store, clock())
    known = {*names, host, *(certificate.names() if certificate else ())}
    app = create_app(
        station.store,
        station.index,
        clock,
        {
            "SECRET_KEY": secret_key(station.folder),
            "SESSION_COOKIE_SECURE": certificate is not None,
            "CERTIFICATE": certificate,
            "HOSTS": frozenset({*known, *certificates.names_of_this_pc()}),
        },
    )
    refuse_used(host, port)
    server = _Server(
        (host, port),
        app,
        numthreads=THREADS,
        server_name="",
        request_queue_size=WAITING_TO_CONNECT,
    )
    server.keep_alive_conn_limit = KEPT_OPEN
    server.max_request_body_size = _LARGEST_BODY_BYTES
    server.max_request_header_size = _LARGEST_HEAD_BYTES
    shown = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)  # every address: this PC's own
    where = f"{'https' if certificate else 'http'}://{f'[{shown}]' if ':' in shown else shown}"
    tls = Handshakes(certificate, f"{where}:{port}") if certificate else None
    server.ssl_adapter = tls
    try:
        server.prepare()
    except (OSError, UnicodeError) as problem:
        raise StationProblem(
            f"Nothing can be served at {host}, port {port} ({_why(problem)}). "
            "Give another with --host and --port."
        ) from problem
    station.index.kept_up = True
    stop = threading.Event()
    meanings: Meanings = app.extensions["asheard_meanings"]

    def between_names() -> bool:
        return stop.wait(_BETWEEN_NAMES_S)

    threads = [
        threading.Thread(target=server.serve, daemon=True),
        threading.Thread(
            target=_repeat,
            args=(stop, ERASE_EVERY_S, lambda: _erase(station, clock)),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat_standing_back,
            args=(stop, COPY_EVERY_S, lambda: _keep_up(station, clock), FIRST_COPY_S),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat, args=(stop, CATCH_UP_EVERY_S, station.index.catch_up), daemon=True
        ),
        threading.Thread(
            target=_repeat,
            args=(stop, FILE_EVERY_S, lambda: _file_what_is_left(station, stop)),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat,
            args=(stop, MEANT_EVERY_S, lambda: meanings.go_on(between_names)),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat,
            args=(stop, SET_ASIDE_EVERY_S, settled, FIRST_SET_ASIDE_S),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat,
            args=(stop, PAPER_EVERY_S, lambda: paper.refresh_if_due(station.store, clock())),
            daemon=True,
        ),
        threading.Thread(target=_repeat, args=(stop, GIVE_BACK_EVERY_S, give_back), daemon=True),
        threading.Thread(
            target=_repeat,
            args=(stop, CERTIFICATE_EVERY_S, lambda: _renew(station, certificate, tls)),
            daemon=True,
        ),
    ]
    for thread in threads:
        thread.start()
    try:
        yield f"{where}:{server.bind_addr[1]}"
    finally:
        stop.set()
        server.stop()
        app.extensions["asheard_workers"].close()
        for thread in threads:
            thread.join(timeout=5)


def _why(problem: Exception) -> str:
    """The system's own words for what happened, without those of the server around them."""
    words = _SYSTEM_WORDS.search(str(problem))
    return words.group(1) if words else str(problem)


def refuse_used(host: str, port: int) -> None:
    """Say so at once if another program serves there already. Raises StationProblem."""
    if port == 0:
        return
    try:
        family = socket.AF_INET6 if ":" in host else socket.AF_INET
        socket.create_server((host, 0), family=family).close()  # only this PC is knocked at
        socket.create_connection((host, port), timeout=_KNOCK_S).close()
    except (OSError, UnicodeError):
        return  # nobody answers; an address that is none is told when it is bound
    raise StationProblem(
        f"Port {port} is in use, perhaps by a station that runs already. "
        "Close that program, or give another port with --port."
    )


def _erase(station: OpenStation, clock: Callable[[], datetime]) -> None:
    forgetting.erase_due(station.store, clock())


def _renew(station: OpenStation, certificate: Certificate | None, tls: Handshakes | None) -> None:
    """Renew the station's own certificate before it is over; the desks notice nothing."""
    if tls is None or certificate is None:
        return
    if certificate.authority is None:
        if certificate.ends() - certificates.RENEW_BEFORE < datetime.now(UTC):
            _log.warning("The certificate is over on %s: renew it.", f"{certificate.ends():%F}")
        certificate.load(tls.context)  # a renewed file is served without a new start
        return
    before = certificate.ends()
    names = [name for name in certificate.names() if name not in certificates.names_of_this_pc()]
    certificates.own(station.folder, names)
    if certificate.ends() != before:
        certificate.load(tls.context)
        _log.info("The station's certificate was renewed.")


def _file_what_is_left(station: OpenStation, stop: threading.Event) -> None:
    while filed_order.go_on(station.store, listing.rules_in_use(station.store)):
        if stop.wait(_BETWEEN_STEPS_S):
            return


def _keep_up(station: OpenStation, clock: Callable[[], datetime]) -> None:
    for path in backup.keep_up(station.store, clock()):
        _log.info("The copy %s was made.", path.name)


def _repeat_standing_back(*args: Any) -> None:
    standing_back.this_thread()
    _repeat(*args)


def _repeat(
    stop: threading.Event, seconds: float, work: Callable[[], object], first: float | None = None
) -> None:
    """Do the work again and again until told to stop; the first time after `first` seconds."""
    wait = seconds if first is None else first
    while not stop.wait(wait):
        wait = seconds
        try:
            work()
        except CatalogueError as problem:
            _log.warning("%s", problem.message)
        except Exception as problem:  # erasing must go on, whatever went wrong this once
            _log.warning("Something went wrong beside the server (%s).", problem)
