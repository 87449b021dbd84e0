"""A wire between a browser and the server that can fall silent, as when a cable is pulled out.

A connection that is refused gives an error at once; a cable gives none, and a page that only
listens for errors would go on showing what it had.
"""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

_A_LOOK_S = 0.02


class Wire:
    """Carries everything to the server's port and back, unless it is silent."""

    def __init__(self, port: int) -> None:
        self._to = port
        self._silent = threading.Event()
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        threading.Thread(target=self._accept, daemon=True).start()

    def cut(self) -> None:
        """Carry nothing any more, and say nothing."""
        self._silent.set()

    def mend(self) -> None:
        """Carry what waited, and go on."""
        self._silent.clear()

    def close(self) -> None:
        """Take no more connections."""
        self.mend()
        self._listening.close()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):
            while True:
                near, _ = self._listening.accept()
                far = socket.create_connection(("127.0.0.1", self._to))
                for a, b in ((near, far), (far, near)):
                    threading.Thread(target=self._carry, args=(a, b), daemon=True).start()

    def _carry(self, a: socket.socket, b: socket.socket) -> None:
        with contextlib.suppress(OSError), a, b:
            while part := a.recv(65536):
                while self._silent.is_set():
                    time.sleep(_A_LOOK_S)
                b.sendall(part)
            b.shutdown(socket.SHUT_WR)


@contextmanager
def wire_to(address: str) -> Iterator[tuple[Wire, str]]:
    """A wire to a server, and the address at its near end."""
    wire = Wire(int(address.rsplit(":", 1)[1]))
    try:
        yield wire, f"http://127.0.0.1:{wire.port}"
    finally:
        wire.close()
