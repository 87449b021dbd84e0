"""SECURITY.md goes through the whole standard, and what it names is there.

The numbers: OWASP ASVS 5.0.0, `docs_en/…5.0.0_en.csv` of github.com/OWASP/ASVS (CC BY-SA 4.0). Of
each section the numbers of levels 1 and 2 are written down here, 70 of the first and 183 of the
second; the wording is not copied.
"""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "SECURITY.md").read_text(encoding="utf-8")

LEVEL_1 = """
1.2.1-5 1.3.1-2 1.5.1 2.1.1 2.2.1-2 2.3.1 3.2.1-2 3.3.1 3.4.1-2 3.5.1-3 4.1.1 4.4.1 5.2.1-2 5.3.1-2
6.1.1 6.2.1-8 6.3.1-2 6.4.1-2 7.2.1-4 7.4.1-2 8.1.1 8.2.1-2 8.3.1 9.1.1-3 9.2.1 10.4.1-5 11.3.1-2
11.4.1 12.1.1 12.2.1-2 13.4.1 14.2.1 14.3.1 15.1.1 15.2.1 15.3.1
"""
LEVEL_2 = """
1.1.1-2 1.2.6-9 1.3.3-11 1.4.1-3 1.5.2 2.1.2-3 2.2.3 2.3.2-4 2.4.1 3.3.2-4 3.4.3-6 3.5.4-5 3.7.1-2
4.1.2-3 4.2.1 4.3.1-2 4.4.2-4 5.1.1 5.2.3 5.4.1-3 6.1.2-3 6.2.9-12 6.3.3-4 6.4.3-4 6.5.1-5 6.6.1-3
6.8.1-4 7.1.1-3 7.3.1-2 7.4.3-5 7.5.1-2 7.6.1-2 8.1.2 8.2.3 8.4.1 9.2.2-4 10.1.1-2 10.2.1-2 10.3.1-4
10.4.6-11 10.5.1-5 10.6.1-2 10.7.1-3 11.1.1-2 11.2.1-3 11.3.3 11.4.2-4 11.5.1 11.6.1 12.1.2-3
12.3.1-4 13.1.1 13.2.1-5 13.3.1-2 13.4.2-5 14.1.1-2 14.2.2-4 14.3.2-3 15.1.2-3 15.2.2-3 15.3.2-7
16.1.1 16.2.1-5 16.3.1-4 16.4.1-3 16.5.1-3 17.1.1 17.2.1-4 17.3.1-2
"""
_ROW = re.compile(r"^\| (\d+\.\d+\.\d+) \| ([12]) \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", re.M)
_FILE = re.compile(r"`((?:catalogue|importers|web|tests)/[\w./-]+|[A-Z]+\.md|pyproject\.toml)`")


def _numbers(said: str) -> list[str]:
    found = []
    for part in said.split():
        section, _, span = part.rpartition(".")
        first, _, last = span.partition("-")
        found += [f"{section}.{n}" for n in range(int(first), int(last or first) + 1)]
    return found


def _rows() -> list[tuple[str, ...]]:
    return [found.groups() for found in _ROW.finditer(TEXT)]


def test_every_number_of_levels_1_and_2_is_there_exactly_once() -> None:
    one, two = _numbers(LEVEL_1), _numbers(LEVEL_2)
    assert (len(one), len(two)) == (70, 183)
    listed = [(number, level) for number, level, *_ in _rows()]
    assert len(listed) == len(set(listed))
    assert sorted(listed) == sorted([(n, "1") for n in one] + [(n, "2") for n in two])
    rows = [line for line in TEXT.splitlines() if re.match(r"\| \d+\.\d+", line)]
    assert len(rows) == len(listed)  # none that only looks like one


def test_each_has_one_of_three_verdicts_and_a_word_on_it() -> None:
    counted = dict.fromkeys(("met", "not applicable", "not met"), 0)
    for number, _, what, verdict, where in _rows():
        assert verdict.strip() in counted, number
        assert len(what.strip()) > 3 and len(where.strip()) > 3, number
        counted[verdict.strip()] += 1
    summary = (f"{counted['met']} met, {counted['not applicable']} not applicable, "
               f"{counted['not met']} not met")  # fmt: skip
    assert summary in TEXT


def test_what_is_met_says_where() -> None:
    for number, _, _, verdict, where in _rows():
        if verdict.strip() == "met":
            assert _FILE.search(where) or "above" in where, number
        if number.startswith("10.") or number.startswith("17."):
            assert verdict.strip() == "not applicable"
    for section in re.findall(r"below, “([^”]+)”", TEXT):
        assert f"\n## {section}\n" in TEXT, section


def test_every_file_that_is_named_is_there() -> None:
    named = _FILE.findall(TEXT)
    assert len(named) > 200
    assert sorted({name for name in named if not (ROOT / name).exists()}) == []


def test_it_says_how_to_report_a_fault() -> None:
    assert "\n## Reporting a fault\n" in TEXT
    assert "SECURITY.md" in (ROOT / "README.md").read_text(encoding="utf-8")
