"""The command that serves a union: shards as actors on a Ray cluster, and a small web server.

Everything of the network is imported inside, as in `union_commands.py`.
"""

from __future__ import annotations

import os
import signal
import threading
from pathlib import Path

import click

from web.opening import local_time
from web.terminal import screen, show

_PORT = 8038


@click.command("serve")
@click.argument("union", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option(
    "--shards",
    type=click.IntRange(1),
    help="How many shards the union must have: refuses one that was built otherwise.",
)
@click.option(
    "--replicas",
    default=1,
    show_default=True,
    type=click.IntRange(1, 16),
    help="Copies of each shard at work, on different machines while there are enough.",
)
@click.option(
    "--address", help="A Ray cluster that runs already, such as 192.168.1.20:6379, or auto."
)
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option("--port", default=_PORT, show_default=True, type=click.IntRange(0, 65535))
def serve(
    union: Path, shards: int | None, replicas: int, address: str | None, host: str, port: int
) -> None:
    """Serve the built union in the folder UNION, until Ctrl-C.

    Without --address Ray runs on this machine alone. With it, UNION must be under the same path
    on every machine of the cluster. Only stations that have the token are answered, and only on
    this machine or a private network.
    """
    if address is None:
        # Before Ray is imported: its processes then listen on this machine's loopback alone.
        os.environ.setdefault("RAY_ENABLE_WINDOWS_OR_OSX_CLUSTER", "0")
    from web.union_commands import counted, needs_network

    with needs_network():
        from catalogue import union_layout
        from catalogue.errors import UnionProblem
        from catalogue.union_actors import RayShards
        from catalogue.union_ray import connected
        from catalogue.union_service import UnionService
        from web import union_server
    layout = union_layout.read(union.resolve())
    if shards is not None and shards != len(layout.shards):
        raise UnionProblem(
            f"The union in {union} was built in {len(layout.shards)} shards, not {shards}. Build "
            f"it anew: asheard union build --shards {shards}, or leave --shards out."
        )
    union_server.check_host(host)
    token = union_server.token_of(layout.folder)
    with connected(address):
        show(screen, f"Opening {len(layout.shards)} shards, {replicas} of each …")
        running = RayShards(layout, replicas, _told)
        service = UnionService(layout, running)
        try:
            with union_server.serving(service, token, host, port) as at:
                stations = counted(len(layout.stations), "station")
                show(screen, f"{layout.entries:,} recordings of {stations} are at {at}. Ctrl-C "
                     "stops it.")  # fmt: skip
                show(screen, "A station that is to ask writes this address and the token under "
                     "Station, Rules. The token is in this file, for you alone:")  # fmt: skip
                screen.print(str(layout.folder / union_server.TOKEN), markup=False, soft_wrap=True)
                _wait()
        finally:
            service.close()
            running.close()
    screen.print("Stopped.")


def _told(sentence: str) -> None:
    show(screen, f"{local_time():%H:%M} {sentence}")


def _wait() -> None:
    """Wait for Ctrl-C or for the signal that ends a service."""
    stop = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stop.set())
    while not stop.wait(0.5):  # a short wait in a loop lets Windows see Ctrl-C
        pass
