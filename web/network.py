"""On which address the station listens, by which certificate, and what that means, in words.

On this PC alone unless told otherwise. Where other computers can reach it, it is served by HTTPS:
with the certificate that is given, or with one of its own.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import click

from catalogue.errors import BadInput
from web import certificates
from web.certificates import Certificate
from web.opening import OpenStation, for_many_threads, settled, warmed
from web.serving import serving
from web.terminal import screen, show

PORT = 8037
_F = TypeVar("_F", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Network:
    """What the command was told of the network."""

    host: str
    port: int
    https: bool
    plain_http: bool
    certificate: Path | None
    key: Path | None
    name: tuple[str, ...]

    @property
    def is_open(self) -> bool:
        """Whether other computers can reach it."""
        return not is_this_pc(self.host)

    def certificate_for(self, folder: Path) -> Certificate | None:
        """What is served, None for plain HTTP. Raises BadInput, StationProblem."""
        if self.plain_http and (self.https or self.certificate):
            raise BadInput("Give --plain-http, or --https or a certificate, not both.")
        if self.key and not self.certificate:
            raise BadInput("A --key is for a certificate: give --certificate as well.")
        if self.certificate:
            return certificates.given(self.certificate, self.key)
        if self.https or (self.is_open and not self.plain_http):
            return certificates.own(folder, [*self.name, self.host])
        return None

    @contextmanager
    def served(self, station: OpenStation) -> Iterator[tuple[str, Certificate | None]]:
        """Serve the station inside the `with`; yields its address and what it is served by."""
        certificate = self.certificate_for(station.folder)
        with serving(
            station, self.host, self.port, certificate=certificate, names=self.name
        ) as address:
            warmed(station)
            settled()
            yield address, certificate


def is_this_pc(host: str) -> bool:
    """Whether an address is this PC's own, which no other computer can reach."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def network_options(command: _F) -> _F:
    """Put the options of the network on a command; it gets them as `network`."""
    given = (
        click.option("--host", default="127.0.0.1", show_default=True,
                     help="The address to listen on; 0.0.0.0 is every address of this PC."),
        click.option("--port", default=PORT, show_default=True, type=click.IntRange(0, 65535)),
        click.option("--https", is_flag=True, help="HTTPS with the station's own certificate, "
                     "as for other computers in any case."),
        click.option("--certificate", type=click.Path(path_type=Path, dir_okay=False),
                     help="A certificate of your own (PEM, with its chain)."),
        click.option("--key", type=click.Path(path_type=Path, dir_okay=False),
                     help="Its key, if it is in a file of its own."),
        click.option("--name", multiple=True, help="A name by which the desks know this PC."),
        click.option("--plain-http", is_flag=True,
                     help="No encryption, even where other computers can reach it."),
    )  # fmt: skip

    def wrapped(**told: Any) -> Any:
        for_many_threads()  # before the station is opened: its index begins threads
        network = Network(**{name: told.pop(name) for name in Network.__slots__})
        return command(network=network, **told)

    wrapped.__name__, wrapped.__doc__ = command.__name__, command.__doc__
    # What other decorators have put on the command so far, such as --station.
    wrapped.__click_params__ = list(getattr(command, "__click_params__", ()))  # type: ignore[attr-defined]
    for option in reversed(given):
        option(wrapped)
    return wrapped  # type: ignore[return-value]


def say_what_it_means(network: Network, address: str, certificate: Certificate | None) -> None:
    """Tell whoever started it who can reach it, and what passes there."""
    screen.print()
    if network.is_open:
        port = address.rpartition(":")[2]
        scheme = "https" if certificate else "http"
        found = [name for name in certificates.names_of_this_pc() if not is_this_pc(name)]
        names = [*network.name, *found] if network.host in ("0.0.0.0", "::") else [network.host]
        show(
            screen,
            "Other computers on this network can reach it, and anybody there sees the sign-in "
            "page; in come only the people on the list. From the other desks:",
            "",
        )
        for name in dict.fromkeys(names):
            shown = f"[{name}]" if ":" in name else name
            screen.print(f"  {scheme}://{shown}:{port}", markup=False, soft_wrap=True)
    if certificate is None:
        if network.is_open:
            show(
                screen,
                "What passes between them is NOT encrypted: anybody on the network can read "
                "callers' details and passphrases. Leave out --plain-http.",
                "bold",
            )
        return
    until = f"until {certificate.ends():%Y-%m-%d}"
    if certificate.authority is None:
        show(screen, f"What passes is encrypted, with your certificate, {until}.", "")
        return
    show(screen, f"What passes is encrypted. The certificate is the station's own, {until}, and is "
         "renewed by itself. So that a desk trusts it, open /trust there once and compare this "
         "fingerprint (SHA-256):", "")  # fmt: skip
    for line in certificate.fingerprint_lines():
        screen.print(f"  {line}", markup=False, emoji=False)
