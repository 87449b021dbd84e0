"""Installs asheard from this folder, with no internet: python3 install.py PLACE

PLACE is the folder of the program, made if it is not there; given again, it is brought to the
version of this folder. Every wheel is compared with its check sum first, and pip is told to ask
nobody. Uses the standard library alone.
"""

from __future__ import annotations

import hashlib
import os
import platform
import subprocess
import sys
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
OLDEST = (3, 11)


def main() -> None:
    """Look whether all is there, install, and say how it is started."""
    if len(sys.argv) != 2 or sys.argv[1].startswith("-"):
        sys.exit("Say where: python3 install.py PLACE, such as a folder “asheard” of your own.")
    if sys.version_info < OLDEST:
        sys.exit(f"This is Python {platform.python_version()}; asheard needs 3.11 or newer.")
    place = Path(sys.argv[1]).expanduser().absolute()
    _refuse_other_kind()
    _refuse_damaged()
    if place.exists() and not (place / "pyvenv.cfg").exists() and any(place.iterdir()):
        sys.exit(f"{place} holds something else. Nothing was changed; name another folder.")
    programs = place / ("Scripts" if os.name == "nt" else "bin")
    python = programs / ("python.exe" if os.name == "nt" else "python")
    if not python.exists():
        _make(place)
    (own,) = (HERE / "wheels").glob("asheard-*.whl")
    _pip(python, "--require-hashes", "--requirement", "wheels.txt")
    _pip(python, "--force-reinstall", str(own))  # also where the version is the same
    print(f"Installed. Start it with {programs / 'asheard'} demo, or serve for a real station.")


def _refuse_other_kind() -> None:
    """Wheels are for one kind of PC: pip's own words for others are hard to read."""
    python = ".".join(platform.python_version_tuple()[:2])
    this = f"{platform.system()} {platform.machine()}, Python {python}"
    made_for = (HERE / "made_for.txt").read_text(encoding="utf-8").strip()
    if this != made_for:
        sys.exit(f"This folder was made for {made_for}; this PC is {this}. Nothing was changed. "
                 "Make one on a PC of this kind.")  # fmt: skip


def _refuse_damaged() -> None:
    """Every wheel as it was made, and none lost on the way."""
    for line in (HERE / "wheels.txt").read_text(encoding="utf-8").splitlines():
        name, _, wanted = line.partition(" --hash=sha256:")
        file = HERE / name
        if not file.is_file() or hashlib.sha256(file.read_bytes()).hexdigest() != wanted:
            sys.exit(f"{file.name} is missing or damaged. Nothing was changed; copy the folder "
                     "again.")  # fmt: skip


def _make(place: Path) -> None:
    try:
        venv.EnvBuilder(with_pip=True).create(place)
    except (OSError, subprocess.CalledProcessError) as problem:
        sys.exit(f"{place} cannot be made ({problem}). On Debian and Ubuntu the package "
                 "python3-venv is needed; else give a folder where you may write.")  # fmt: skip


def _pip(python: Path, *args: str) -> None:
    """pip in the new place; no settings of this PC lead it to an index."""
    command = [str(python), "-m", "pip", "--isolated", "--quiet", "--disable-pip-version-check",
               "install", "--no-index", "--no-deps", *args]  # fmt: skip
    if subprocess.run(command, cwd=HERE, check=False).returncode:
        sys.exit("It was not installed; what pip said is above. Start install.py again, or make "
                 "the folder anew.")  # fmt: skip


if __name__ == "__main__":
    main()
