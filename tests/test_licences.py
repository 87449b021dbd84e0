"""Whatever is installed or carried along may be given on under GPL-3.0-or-later.

`web/licences.csv` lists it for people. Compatibility: the Free Software Foundation's list
(gnu.org/licenses/license-list.html), as remembered; names are SPDX's (spdx.org/licenses).
"""

from __future__ import annotations

import csv
import re
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
STATIC = ROOT / "web" / "static"
EXTRAS = ("", "audio", "network")
"""What a station installs; tests, linters and fuzzers are not given on."""

COMPATIBLE = {
    "0BSD", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-2-Clause", "BSD-3-Clause",
    "CC0-1.0", "CC-BY-4.0", "GPL-2.0-or-later", "GPL-3.0-or-later", "ISC", "LGPL-2.1-or-later",
    "MIT", "MIT-0", "MIT-CMU", "MPL-2.0", "OFL-1.1", "PSF-2.0", "Unlicense", "Zlib",
}  # fmt: skip
"""Without GPL-2.0-only, AGPL's network clause, Creative Commons' NC and ND, and all that is not
free. OFL and CC BY for a typeface and for data, which lie beside the program."""

_FREE = r"Permission to use, copy, modify,? and(?:/or)? distribute|Apache License\s+Version 2.0"

SAID = {
    "0BSD": "0BSD", "Apache-2.0": r"Apache", "BSD-2-Clause": r"BSD|Redistribution and use",
    "BSD-3-Clause": r"BSD|Redistribution and use", "GPL-2.0-or-later": r"GPL-2.0-or-later|GPLv2\+",
    "GPL-3.0-or-later": r"GPL-3.0-or-later|GPLv3\+", "ISC": r"\bISC", "MIT": r"\bMIT\b",
    "LGPL-2.1-or-later": r"LGPL|Lesser General Public", "MPL-2.0": r"MPL|Mozilla",
    "Unlicense": r"Unlicense|Public Domain",
}  # fmt: skip
"""How packages that give no SPDX expression say it."""


def _listed() -> dict[str, str]:
    with (ROOT / "web" / "licences.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: row["licence"] for row in csv.DictReader(file)}


def _needed(name: str = "asheard", extras: tuple[str, ...] = EXTRAS) -> dict[str, str]:
    """Every package that a station needs, as installed here, with what it says of its licence."""
    found: dict[str, str] = {}
    waiting = [(name, extras)]
    seen: set[tuple[str, tuple[str, ...]]] = set()
    while waiting:
        name, extras = waiting.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        try:
            one = metadata.distribution(name)
        except metadata.PackageNotFoundError:
            continue  # of another system, or an extra that is not installed
        found[canonicalize_name(name)] = _licence_said(one.metadata)
        for text in one.requires or ():
            other = Requirement(text)
            if other.marker is None or any(other.marker.evaluate({"extra": e}) for e in extras):
                waiting.append((other.name, ("", *sorted(other.extras))))
    found.pop("asheard")
    return found


def _licence_said(said: metadata.PackageMetadata) -> str:
    if expression := said.get("License-Expression"):
        return f"SPDX {expression}"
    classifiers = [c for c in said.get_all("Classifier") or [] if c.startswith("License ::")]
    return " ".join([*classifiers, said.get("License") or ""])


def _parts(expression: str) -> list[str]:
    """Every licence of an expression; of a choice ("OR") any one that is compatible is enough."""
    if " OR " in expression:
        either = [part.strip("() ") for part in expression.split(" OR ")]
        return [next((part for part in either if part in COMPATIBLE), either[0])]
    return [part.strip("() ") for part in expression.split(" AND ")]


def test_everything_that_is_listed_may_be_given_on() -> None:
    bad = {name: said for name, said in _listed().items() if set(_parts(said)) - COMPATIBLE}
    assert bad == {}


def test_every_package_a_station_needs_is_listed() -> None:
    """A new one gets a row in web/licences.csv, with the name that SPDX gives its licence."""
    needed = _needed()
    assert {"flask", "tantivy", "librosa", "werkzeug"} <= set(needed)
    assert sorted(set(needed) - set(_listed())) == []


def test_packages_say_the_licence_they_are_listed_with() -> None:
    listed, odd = _listed(), {}
    for name, said in _needed().items():
        wanted = listed.get(name, "")
        if said.startswith("SPDX "):
            if said.removeprefix("SPDX ") != wanted:
                odd[name] = (said, wanted)
        elif not all(re.search(SAID.get(part, re.escape(part)), said) for part in _parts(wanted)):
            odd[name] = (said[:80], wanted)
    assert odd == {}


@pytest.mark.parametrize("expression", ["GPL-2.0-only", "MIT AND Proprietary", "CC-BY-NC-4.0"])
def test_a_licence_that_does_not_go_with_ours_would_be_told(expression: str) -> None:
    assert set(_parts(expression)) - COMPATIBLE


def test_of_a_choice_the_compatible_one_is_taken() -> None:
    assert _parts("AGPL-3.0-only OR BSD-2-Clause") == ["BSD-2-Clause"]


def test_every_file_of_others_has_its_licence_beside_it() -> None:
    vendor, fonts = STATIC / "vendor", STATIC / "fonts"
    for file in vendor.glob("*.js"):
        text = (vendor / f"{file.name.split('.')[0]}.LICENSE.txt").read_text(encoding="utf-8")
        assert re.search(_FREE, text), file
    for file in fonts.glob("*.woff2"):
        family = file.name.partition("-latin")[0]
        text = (fonts / f"{family}.OFL.txt").read_text(encoding="utf-8")
        assert "SIL OPEN FONT LICENSE Version 1.1" in text.replace("\n", " "), file
    listed = _listed()
    assert {"htmx", "D3", "Observable Plot", "ZXing for JavaScript"} <= set(listed)
    assert {n for n in listed if "Atkinson" in n} == {
        "Atkinson Hyperlegible Mono", "Atkinson Hyperlegible Next",
    }  # fmt: skip
    scripts = {p.name for p in vendor.glob("*.js")}
    assert scripts == {"htmx.min.js", "d3.min.js", "plot.umd.min.js", "zxing.min.js"}, (
        "list it in web/licences.csv, with its licence"
    )
