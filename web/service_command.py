"""The command that prints a systemd unit: the station as a service, started at boot, on Linux."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import click

from catalogue.errors import BadInput
from web.terminal import problems, show

_FOLDER = Path("/var/lib/asheard")
"""Where a service keeps its station, by the Filesystem Hierarchy Standard 3.0, 5.8."""

_UNIT = """\
# The station as a service. Made by “asheard service”; tried with systemd 252.
#
# Once, as root:
#   useradd --system --home-dir {folder} --shell /usr/sbin/nologin {user}
#   asheard service > /etc/systemd/system/asheard.service
#   systemctl daemon-reload
# The keeper's account is shown once, at the first start. Start by hand for that, write it
# down, and stop with Ctrl-C; in the service's log it would stay readable:
#   install -d -o {user} -g {user} -m 700 {folder}
#   runuser -u {user} -- {program} serve --station {folder}
# Then, and from then on at every boot:
#   systemctl enable --now asheard
# Whether all is well, and what it said:
#   runuser -u {user} -- {program} check --station {folder}
#   journalctl -u asheard

[Unit]
Description=asheard, the request station
After=network.target local-fs.target

[Service]
Type=exec
User={user}
Group={user}
ExecStart={exec_program} serve --station {exec_folder} --host {host} --port {port}
Restart=on-failure
RestartSec=5
# A station ends within seconds: what is acknowledged is on the drive.
TimeoutStopSec=30
KillSignal=SIGTERM

# It writes into its own folder and nowhere else; music is only read (systemd.exec(5)).
{state}UMask=0077
ProtectSystem=strict
ProtectHome=read-only
PrivateTmp=yes
PrivateDevices=yes
NoNewPrivileges=yes
CapabilityBoundingSet=
AmbientCapabilities=
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
ProtectClock=yes
ProtectControlGroups=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectProc=invisible
ProcSubset=pid
RemoveIPC=yes
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallFilter=~@privileged @resources
SystemCallErrorNumber=EPERM
# Measuring tempo compiles to machine code (numba): MemoryDenyWriteExecute is left out for it.

[Install]
WantedBy=multi-user.target
"""


@click.command()
@click.option(
    "--station",
    type=click.Path(path_type=Path, file_okay=False),
    default=_FOLDER,
    show_default=True,
    help="The station's folder.",
)
@click.option("--user", default="asheard", show_default=True, help="The user it runs as.")
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option("--port", default=8037, show_default=True, type=click.IntRange(1, 65535))
def service(station: Path, user: str, host: str, port: int) -> None:
    """Print a systemd unit, for a station that starts at boot (Linux).

    Nothing is changed: what to do with it stands at its top.
    """
    click.echo(unit(station, user, host, port, program()), nl=False)
    if not sys.platform.startswith("linux"):
        show(problems, "This is for Linux with systemd; on this system it is of no use.")


def program() -> Path:
    """The `asheard` command of this installation."""
    beside = Path(sys.executable).with_name("asheard")
    found = beside if beside.exists() else shutil.which("asheard")
    return Path(found or sys.argv[0]).absolute()


def unit(station: Path, user: str, host: str, port: int, command: Path) -> str:
    """The unit's text. Raises BadInput for what cannot stand in a unit."""
    folder = station.expanduser()
    if not folder.is_absolute():
        raise BadInput(f"Give the whole path of the station's folder, not {station}.")
    for text in (str(folder), user, host, str(command)):
        if not text or any(ord(sign) < 32 or sign in "\"'\\$" for sign in text):
            raise BadInput(f"“{text}” cannot stand in a unit: it has quotes, or signs of its own.")
    if any(sign.isspace() for sign in user + host):
        raise BadInput("The user and the address are one word each.")
    ours = folder == _FOLDER
    state = "StateDirectory=asheard\nStateDirectoryMode=0700\n" if ours else ""
    state += "" if ours else f"ReadWritePaths={_quoted(str(folder))}\n"
    return _UNIT.format(
        folder=folder, user=user, host=_escaped(host), port=port, program=command, state=state,
        exec_program=_quoted(str(command)), exec_folder=_quoted(str(folder)),
    )  # fmt: skip


def _escaped(text: str) -> str:
    """With the sign doubled by which units put other words in (systemd.unit(5), "Specifiers")."""
    return text.replace("%", "%%")


def _quoted(text: str) -> str:
    return f'"{_escaped(text)}"'
