"""Serving a station: the web server, and what has to happen every so often beside it."""

from __future__ import annotations

import contextlib
import logging
import socket
import threading
from collections.abc import Callable, Iterator
from datetime import datetime

from cheroot.wsgi import Server

from catalogue import callers
from catalogue.errors import CatalogueError, StationProblem
from web import create_app, paper
from web.opening import OpenStation, secret_key

_log = logging.getLogger(__name__)

THREADS = 16
"""Requests at once; each takes milliseconds, and twenty desks ask about thirty times a second."""

ERASE_EVERY_S = 3600.0
"""Callers' details are due by the day, so within the hour is soon enough."""

CATCH_UP_EVERY_S = 2.0
"""Commands run beside the server write the database only; the index follows this quickly."""


PAPER_EVERY_S = 60.0
"""How often it is asked whether the night's paper lists are there; asking costs nothing."""

_KNOCK_S = 0.5
"""How long to wait for a program that serves on this PC already; it answers at once."""


def local_time() -> datetime:
    """The station's clock: this PC's local time, to the second."""
    return datetime.now().replace(microsecond=0)


@contextlib.contextmanager
def serving(
    station: OpenStation, host: str, port: int, clock: Callable[[], datetime] = local_time
) -> Iterator[str]:
    """Serve the station inside the `with`; yields its address.

    Callers' details that are due are erased first, and then hourly. Raises StationProblem if
    the port is in use or the address is not this PC's.
    """
    callers.erase_due(station.store, clock())
    app = create_app(
        station.store, station.index, clock, {"SECRET_KEY": secret_key(station.folder)}
    )
    _refuse_used(host, port)
    server = Server((host, port), app, numthreads=THREADS, server_name="")
    try:
        server.prepare()
    except (OSError, UnicodeError) as problem:
        raise StationProblem(
            f"Nothing can be served at {host}, port {port} ({problem}). "
            "Give another with --host and --port."
        ) from problem
    stop = threading.Event()
    threads = [
        threading.Thread(target=server.serve, daemon=True),
        threading.Thread(
            target=_repeat,
            args=(stop, ERASE_EVERY_S, lambda: callers.erase_due(station.store, clock())),
            daemon=True,
        ),
        threading.Thread(
            target=_repeat, args=(stop, CATCH_UP_EVERY_S, station.index.catch_up), daemon=True
        ),
        threading.Thread(
            target=_repeat,
            args=(stop, PAPER_EVERY_S, lambda: paper.refresh_if_due(station.store, clock())),
            daemon=True,
        ),
    ]
    for thread in threads:
        thread.start()
    try:
        yield f"http://{f'[{host}]' if ':' in host else host}:{server.bind_addr[1]}"
    finally:
        stop.set()
        server.stop()
        for thread in threads:
            thread.join(timeout=5)


def _refuse_used(host: str, port: int) -> None:
    """Say so at once if another program serves there already."""
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


def _repeat(stop: threading.Event, seconds: float, work: Callable[[], object]) -> None:
    while not stop.wait(seconds):
        try:
            work()
        except CatalogueError as problem:
            _log.warning("%s", problem.message)
        except Exception as problem:  # erasing must go on, whatever went wrong this once
            _log.warning("Something went wrong beside the server (%s).", problem)
