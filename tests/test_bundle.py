"""The folder with which asheard is installed without internet: what install.py does and refuses.

Here with a wheel that is made in the test, since a test has no internet; `.ci/run` makes the true
folder and installs from it.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from bundle import make

ROOT = Path(__file__).parents[1]
_WHEEL = "asheard-0.1.0-py3-none-any.whl"
_PARTS = {
    "tide.py": "def main():\n    print('the tide is in')\n",
    "asheard-0.1.0.dist-info/METADATA": "Metadata-Version: 2.1\nName: asheard\nVersion: 0.1.0\n",
    "asheard-0.1.0.dist-info/WHEEL": (
        "Wheel-Version: 1.0\nGenerator: by hand\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    ),
    "asheard-0.1.0.dist-info/entry_points.txt": "[console_scripts]\nasheard = tide:main\n",
}
"""A wheel by the specification of binary distributions (packaging.python.org)."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder as make.py makes it, around one small wheel."""
    made = tmp_path / "bundle with blanks"
    (made / make.WHEELS).mkdir(parents=True)
    wheel = made / make.WHEELS / _WHEEL
    record = "".join(f"{name},,\n" for name in _PARTS) + "asheard-0.1.0.dist-info/RECORD,,\n"
    with zipfile.ZipFile(wheel, "w") as archive:
        for name, text in {**_PARTS, "asheard-0.1.0.dist-info/RECORD": record}.items():
            archive.writestr(name, text)
    digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
    (made / make.LIST).write_text(f"./{make.WHEELS}/{_WHEEL} --hash=sha256:{digest}\n")
    (made / make.MADE_FOR).write_text(make.this_kind() + "\n")
    shutil.copy(ROOT / "bundle" / "install.py", made)
    return made


def _installed(folder: Path, *args: str | Path) -> subprocess.CompletedProcess[str]:
    """Start install.py where every way out leads nowhere."""
    nowhere = "http://127.0.0.1:9"
    away = {"http_proxy": nowhere, "https_proxy": nowhere, "PIP_INDEX_URL": f"{nowhere}/simple"}
    return subprocess.run(
        [sys.executable, str(folder / "install.py"), *map(str, args)],
        capture_output=True, text=True, check=False, cwd=folder.parent, env={**os.environ, **away},
    )  # fmt: skip


def test_it_is_installed_without_internet_and_again_over_what_is_there(
    folder: Path, tmp_path: Path
) -> None:
    for _ in range(2):
        done = _installed(folder, tmp_path / "place")
        assert done.returncode == 0, done.stdout + done.stderr
        assert "Installed." in done.stdout
    programs = tmp_path / "place" / ("Scripts" if os.name == "nt" else "bin")
    told = subprocess.run([programs / "asheard"], capture_output=True, text=True, check=False)
    assert told.stdout == "the tide is in\n"


@pytest.mark.parametrize("how", ["damaged", "missing", "other kind", "nowhere", "in use"])
def test_what_cannot_be_installed_is_said_and_nothing_is_made(
    folder: Path, tmp_path: Path, how: str
) -> None:
    place, wheel = tmp_path / "place", folder / make.WHEELS / _WHEEL
    given: list[str | Path] = [place]
    if how == "damaged":
        wheel.write_bytes(wheel.read_bytes()[:-9])
    elif how == "missing":
        wheel.unlink()
    elif how == "other kind":
        (folder / make.MADE_FOR).write_text("Windows AMD64, Python 3.11\n")
    elif how == "nowhere":
        given = []
    else:
        place.mkdir()
        (place / "letters.txt").write_text("dear Nell")
    done = _installed(folder, *given)
    words = {
        "damaged": "damaged", "missing": "missing", "other kind": "made for Windows AMD64",
        "nowhere": "Say where", "in use": "holds something else",
    }  # fmt: skip
    assert done.returncode == 1
    assert words[how] in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(p.name for p in place.glob("*")) == (["letters.txt"] if how == "in use" else [])


def test_a_folder_in_use_is_not_filled(tmp_path: Path) -> None:
    """Said before anything is fetched."""
    (tmp_path / "letters.txt").write_text("dear Nell")
    done = subprocess.run(
        [sys.executable, str(ROOT / "bundle" / "make.py"), str(tmp_path)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "not empty" in done.stderr
