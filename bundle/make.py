"""Makes a folder with which asheard is installed on a PC that has no internet.

    python3 bundle/make.py FOLDER [--audio] [--network]

Needs the internet, once, and the same kind of PC as the station's: the same system (Linux, Windows
or macOS), the same kind of processor and the same Python (3.11, 3.12, …). FOLDER then holds all
packages as wheels, in the versions and with the check sums of `.ci/locked.txt`, and `install.py`,
which asks nobody for anything. --audio brings what measures tempo and loudness, --network what
serves a pooled catalogue. Uses the standard library and pip alone.
"""

from __future__ import annotations

import argparse
import hashlib
import platform
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
WHEELS, LIST, MADE_FOR = "wheels", "wheels.txt", "made_for.txt"

HOW = """asheard, to be installed without the internet. Made for {made_for}.

Linux, macOS:  python3 install.py PLACE       then  PLACE/bin/asheard demo
Windows:       py install.py PLACE            then  PLACE\\Scripts\\asheard demo

PLACE is a folder that is made, such as asheard in your home folder. Given again, it brings what
is there to this version; a station's folder lies elsewhere and is not touched by it.
"""


def main() -> None:
    """Make the folder, and say what is in it."""
    options = _options()
    wheels = options.folder / WHEELS
    if options.folder.exists() and any(options.folder.iterdir()):
        sys.exit(f"{options.folder} is there and not empty. Name a folder that is to be made.")
    wheels.mkdir(parents=True)
    extras = [name for name in ("audio", "network") if getattr(options, name)]
    locked = ROOT / ".ci" / ("locked-extras.txt" if extras else "locked.txt")
    # Not `download`: a package that is given out as source alone is made into a wheel here.
    _pip("wheel", "--require-hashes", "--wheel-dir", str(wheels), "--requirement", str(locked))
    _pip("wheel", "--no-deps", "--wheel-dir", str(wheels), str(ROOT))
    made_for = this_kind()
    (options.folder / MADE_FOR).write_text(made_for + "\n", encoding="utf-8")
    text = HOW.format(made_for=made_for)
    (options.folder / "READ ME.txt").write_text(text, encoding="utf-8")
    shutil.copy(Path(__file__).with_name("install.py"), options.folder)
    files = sorted(wheels.iterdir())
    lines = [f"./{WHEELS}/{file.name} --hash=sha256:{_sum(file)}\n" for file in files]
    (options.folder / LIST).write_text("".join(lines), encoding="utf-8")
    size = sum(file.stat().st_size for file in files) / 1e6
    print(f"{len(files)} wheels, {size:,.0f} MB, for {made_for}, in {options.folder}.")
    print("Carry the whole folder to the station’s PC and start install.py there.")


def this_kind() -> str:
    """The kind of PC: system, processor and Python, such as "Linux x86_64, Python 3.11"."""
    python = ".".join(platform.python_version_tuple()[:2])
    return f"{platform.system()} {platform.machine()}, Python {python}"


def _sum(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("folder", type=Path, help="the folder that is made")
    parser.add_argument("--audio", action="store_true", help="with what measures sound")
    parser.add_argument("--network", action="store_true", help="with what serves a network")
    return parser.parse_args()


def _pip(*args: str) -> None:
    command = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check", *args]
    if subprocess.run(command, check=False).returncode:
        sys.exit("pip could not do it; what it said is above. Look whether this PC has internet.")


if __name__ == "__main__":
    main()
