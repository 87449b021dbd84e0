"""The lock files name every run-time package that pyproject.toml asks for, with check sums."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from .test_licences import _listed

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
_SHA256 = re.compile(r"--hash=sha256:[0-9a-f]{64}")


@dataclass(frozen=True)
class Pin:
    """One locked package: its version, where it counts, and how many files' sums are there."""

    version: Version
    marker: str
    sums: int


def _pins(name: str) -> dict[str, list[Pin]]:
    found: dict[str, list[Pin]] = {}
    text = (ROOT / ".ci" / name).read_text(encoding="utf-8").replace("\\\n", " ")
    for line in text.splitlines():
        if line and not line.startswith((" ", "#")):
            wanted, *_ = line.partition("--hash")
            one = Requirement(wanted.strip())
            (version,) = [s.version for s in one.specifier if s.operator == "=="]
            pin = Pin(Version(version), str(one.marker or ""), len(_SHA256.findall(line)))
            found.setdefault(canonicalize_name(one.name), []).append(pin)
    return found


@pytest.mark.parametrize(
    ("file", "asked"),
    [
        ("locked.txt", PROJECT["dependencies"]),
        (
            "locked-extras.txt",
            [
                *PROJECT["dependencies"],
                *PROJECT["optional-dependencies"]["audio"],
                *PROJECT["optional-dependencies"]["network"],
            ],
        ),
    ],
)
def test_what_is_locked_is_what_is_asked_for(file: str, asked: list[str]) -> None:
    """After a change of pyproject.toml: .ci/lock writes them anew."""
    pins = _pins(file)
    for text in asked:
        wanted = Requirement(text)
        locked = pins.get(canonicalize_name(wanted.name), [])
        assert locked, f"{text} is not locked; run .ci/lock"
        assert all(pin.version in wanted.specifier for pin in locked), f"{text}: {locked}"


@pytest.mark.parametrize("file", ["locked.txt", "locked-extras.txt"])
def test_every_file_of_a_package_has_its_sum(file: str) -> None:
    pins = _pins(file)
    assert len(pins) > 30
    for name, locked in pins.items():
        assert all(pin.sums for pin in locked), name
        assert len(locked) == 1 or all(pin.marker for pin in locked), name


def test_what_is_locked_is_listed_with_its_licence() -> None:
    """Also what is needed on other systems alone."""
    locked = set(_pins("locked.txt")) | set(_pins("locked-extras.txt"))
    assert sorted(locked - set(_listed())) == []
