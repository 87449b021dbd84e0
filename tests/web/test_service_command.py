"""The unit that `asheard service` prints: taken by systemd, its own user, hardened."""

from __future__ import annotations

import shutil
import subprocess
from configparser import ConfigParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalogue.errors import BadInput
from web import service_command
from web.command_line import main

FOLDER = Path("/var/lib/asheard")
MOST_EXPOSED = 2.5
"""Of ten, as `systemd-analyze security` counts; it calls anything below 4 "OK"."""


def _unit(*args: str) -> str:
    result = CliRunner().invoke(main, ["service", *args])
    assert result.exit_code == 0, result.output
    return result.stdout


def _settings(text: str) -> dict[str, str]:
    parsed = ConfigParser(strict=False, interpolation=None)
    parsed.optionxform = str  # type: ignore[assignment,method-assign]
    parsed.read_string(text)
    return {**parsed["Unit"], **parsed["Service"], **parsed["Install"]}


def test_it_runs_as_its_own_user_in_its_own_folder() -> None:
    said = _settings(_unit())
    assert (said["User"], said["StateDirectory"], said["UMask"]) == ("asheard", "asheard", "0077")
    assert said["ExecStart"].endswith(
        'serve --station "/var/lib/asheard" --host 127.0.0.1 --port 8037'
    )
    assert said["ProtectSystem"] == "strict"
    assert said["NoNewPrivileges"] == "yes"
    assert said["CapabilityBoundingSet"] == ""
    assert said["WantedBy"] == "multi-user.target"


def test_another_folder_may_be_written_and_only_that() -> None:
    said = _settings(_unit("--station", "/srv/the station/100%", "--port", "80", "--user", "ann"))
    assert said["ReadWritePaths"] == '"/srv/the station/100%%"'
    assert "StateDirectory" not in said
    assert '"/srv/the station/100%%"' in said["ExecStart"]
    assert said["User"] == "ann"


def test_the_command_of_this_installation_is_named() -> None:
    assert service_command.program().is_absolute()
    assert service_command.program().name.startswith("asheard")


@pytest.mark.parametrize(
    ("folder", "user", "host"),
    [
        ("station", "asheard", "127.0.0.1"),
        ('/srv/"x', "asheard", "127.0.0.1"),
        ("/srv/x\nUser=root", "asheard", "127.0.0.1"),
        ("/srv/x", "a b", "127.0.0.1"),
        ("/srv/x", "", "127.0.0.1"),
        ("/srv/x", "asheard", "127.0.0.1 --library /"),
        ("/srv/$HOME", "asheard", "::1"),
    ],
)
def test_what_cannot_stand_in_a_unit_is_refused(folder: str, user: str, host: str) -> None:
    with pytest.raises(BadInput):
        service_command.unit(Path(folder), user, host, 8037, Path("/usr/bin/asheard"))


def test_systemd_takes_it(tmp_path: Path) -> None:
    """Checked by systemd's own command where there is one, else only read as above."""
    text = service_command.unit(FOLDER, "root", "127.0.0.1", 8037, Path("/bin/true"))
    path = tmp_path / "asheard.service"
    path.write_text(text)
    assert _settings(text)["Type"] == "exec"
    if shutil.which("systemd-analyze") is None:
        return
    checked = subprocess.run(
        ["systemd-analyze", "verify", str(path)], capture_output=True, text=True, check=False
    )
    ours = [line for line in checked.stderr.splitlines() if "asheard" in line]
    assert (checked.returncode, ours) == (0, []), checked.stderr
    told = subprocess.run(
        ["systemd-analyze", "security", "--offline=true", str(path)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if "Overall exposure level" in told.stdout:
        level = told.stdout.split("Overall exposure level")[1].split(":")[1].split()[0]
        assert float(level) <= MOST_EXPOSED, told.stdout
