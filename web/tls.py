"""TLS for the web server, so that one slow or strange visitor holds nobody up.

cheroot shakes hands in the thread that takes all connections: somebody who connects and says
nothing would stop every desk for ten seconds. Here the handshake is made by the thread that
answers, when the visitor's first bytes are there. A visitor who speaks plain HTTP is told in a
sentence where the station is.
"""

from __future__ import annotations

import io
import re
import socket
import ssl
from html import escape
from typing import Any

from cheroot import errors
from cheroot.makefile import StreamReader, StreamWriter
from cheroot.ssl import Adapter

from web.certificates import Certificate, is_name
from web.texts import t

_TLS_HANDSHAKE = 0x16
"""The first byte of a TLS connection (RFC 8446, 5.1: content type handshake)."""

_HOST = re.compile(rb"\r\nhost:[ \t]*([^\r\n]{1,300})", re.IGNORECASE)
_GET = re.compile(rb"(?:GET|HEAD) (/[!-~]{0,200}) HTTP/1\.[01]\r\n")
_HEAD_BYTES = 4096


class Handshakes(Adapter):  # type: ignore[misc]
    """cheroot's way to TLS, with the handshake where it belongs."""

    def __init__(self, certificate: Certificate, address: str) -> None:
        """`address` is told to visitors whose own words do not say where they are."""
        super().__init__(certificate.file, certificate.key)
        self.context: ssl.SSLContext = certificate.context()
        # A class of its own, which knows where the station is.
        self.context.sslsocket_class = type("_OurSocket", (_Socket,), {"address": address})

    def bind(self, sock: socket.socket) -> socket.socket:
        """The listening socket stays as it is."""
        return sock

    def wrap(self, sock: socket.socket) -> tuple[socket.socket, dict[str, Any]]:
        """Make it a TLS socket whose handshake is still to be made."""
        made = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return made, self.get_environ()

    def get_environ(self) -> dict[str, Any]:
        """What the application is told: that it is reached by HTTPS."""
        return {"wsgi.url_scheme": "https", "HTTPS": "on"}

    def makefile(self, sock: socket.socket, mode: str = "r", bufsize: int = -1) -> Any:
        """Reading and writing, as without TLS."""
        stream = StreamReader if "r" in mode else StreamWriter
        return stream(sock, mode, io.DEFAULT_BUFFER_SIZE if bufsize < 0 else bufsize)


class _Socket(ssl.SSLSocket):
    """A TLS socket that shakes hands when it is first read from."""

    address = ""
    _shaken = False

    def recv_into(self, *args: Any, **named: Any) -> int:
        """Read, the handshake first; cheroot's own errors for what ends a connection."""
        if not self._shaken:
            self._shake_hands()
        try:
            return super().recv_into(*args, **named)
        except (ssl.SSLEOFError, ssl.SSLZeroReturnError, ssl.SSLError) as problem:
            if isinstance(problem, TimeoutError):
                raise
            raise errors.FatalSSLAlert(*problem.args) from problem

    def _shake_hands(self) -> None:
        first = socket.socket.recv(self, 1, socket.MSG_PEEK)
        if first and first[0] != _TLS_HANDSHAKE:
            self._tell_plain_visitor()
            raise errors.FatalSSLAlert("plain HTTP where HTTPS is served")
        try:
            self.do_handshake()
        except (ssl.SSLError, OSError) as problem:
            raise errors.FatalSSLAlert(*problem.args) from problem
        self._shaken = True

    def _tell_plain_visitor(self) -> None:
        """A sentence and a link for whoever wrote http:// for https://."""
        head = socket.socket.recv(self, _HEAD_BYTES)
        said = _HOST.search(head)
        host = said.group(1).decode("ascii", "replace").strip() if said else ""
        name = re.sub(r":\d+$", "", host)
        address = f"https://{host}" if is_name(name) else self.address
        asked = _GET.match(head)
        if not (asked or head[:5] in (b"POST ", b"PUT /")):
            return  # no HTTP at all: nobody is there to read a sentence
        body = (
            '<!doctype html><meta charset="utf-8"><title>asheard</title>'
            f"<p>{escape(t('trust.plain', address=address))}</p>"
            f'<p><a href="{escape(address)}/">{escape(address)}</a></p>'
        ).encode()
        answer = (
            "HTTP/1.1 400 Bad Request\r\nContent-Type: text/html; charset=utf-8\r\n"
            f"Content-Length: {len(body)}\r\nConnection: close\r\nCache-Control: no-store\r\n"
            "Content-Security-Policy: default-src 'none'; frame-ancestors 'none'\r\n"
            "X-Content-Type-Options: nosniff\r\n\r\n"
        )
        socket.socket.sendall(self, answer.encode() + body)
        socket.socket.shutdown(self, socket.SHUT_WR)
