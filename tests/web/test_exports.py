"""Every table that is exported, walked: no cell of it is a formula to a spreadsheet.

OWASP, "CSV Injection": a cell that begins with =, +, -, @, a tab or a line's end is taken for a
formula. ASVS 5.0, 1.2.10 adds the NUL.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from flask import Flask
from hypothesis import given
from hypothesis import strategies as st

from catalogue import catalogue_rows, loans, play_log, programmes, undo
from catalogue.plain_csv import as_it_was, encoded, harmless
from catalogue.records import NewRecording
from catalogue.store import Store
from importers import refused_file
from importers.list_text import rows as read_rows
from importers.report import Remark, Report
from web import telling

from .conftest import EVENING, Desk, Held

_BEGINS = tuple("=+-@\t\r\n\0＝＋－＠")
BAD = ["=cmd|' /C calc'!A0", "+1+cmd", "-1+cmd", "@SUM(1+1)", "\t=1", "\r=1", "\n=1", " =1+1",
       '=HYPERLINK("http://x","y")', "＝1+1", "\0=1", "-", "+44 20 7946", "-23.0"]  # fmt: skip
_NUMBER = re.compile(r"[+-]?[\d.:]*")


def _formulas(table: str) -> list[str]:
    """The cells that a spreadsheet would calculate; a number, or a sign alone, is none."""
    found = []
    for row in csv.reader(io.StringIO(table.lstrip("\ufeff"), newline="")):
        for cell in row:
            calculates = cell.lstrip(" ").startswith(_BEGINS) and len(cell) > 1
            if calculates and not _NUMBER.fullmatch(cell):
                found.append(cell)
    return found


def test_the_check_itself_sees_a_formula() -> None:
    assert _formulas('a,"=1+1"\r\n') == ["=1+1"]
    assert _formulas("a,-23.0,-,@,x=1\r\n") == []


@pytest.fixture
def poisoned(store: Store, held: Held) -> None:
    """Formulas wherever something may be written that is exported."""
    for number, bad in enumerate(BAD):
        with undo.action(store, "=Dora()", "poisoned", EVENING):
            new = catalogue_rows.add_recording(
                store, NewRecording(f"{bad} {number}", f"{bad} by {number}", label=bad, album=bad)
            )
        at = EVENING - timedelta(hours=number)
        play_log.add_by_hand(store, new, None, at, "=Studio()", "=Dora()", EVENING)
    programmes.add(store, "=Evening()", "=Bob()", EVENING, EVENING + timedelta(hours=2), "Dora",
                   EVENING)  # fmt: skip
    loans.lend(store, held.discs["lp"], "=somebody()", None, "Charlie", EVENING)


def test_every_table_that_can_be_fetched(
    app: Flask, poisoned: None, sign_in: Callable[[str], Desk]
) -> None:
    keeper = sign_in("Dora")
    give = "Shelf mark;Artist;Title;=Odd\nX 1;=1+cmd;=2+cmd;a\n;;;=3+cmd\nX 2;;;=4+cmd\n"
    keeper.client.post(
        "/shelves/taking-in/lists",
        data={"list": (io.BytesIO(give.encode()), "=list.csv"), "kind": "list"},
        headers={"X-CSRFToken": keeper.token()},
    )
    tables = []
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or ()):
            continue
        path = re.sub(r"<[^>]+>", "1", rule.rule)
        for query in ("", "?name=asked&first=2024-04-01&last=2024-05-08", *_figures(path)):
            answer = keeper.client.get(path + query)
            if answer.mimetype in ("text/csv", "text/tab-separated-values"):
                tables.append(rule.endpoint)
                assert _formulas(answer.get_data(as_text=True)) == [], path
                assert answer.headers["Content-Disposition"].startswith("attachment")
    assert {"figures.csv", "played.usage_csv"} <= set(tables)


def _figures(path: str) -> list[str]:
    from web import figures

    if not path.endswith("/figures/csv"):
        return []
    names = re.findall(r'"(\w+)"', Path(figures.__file__).read_text(encoding="utf-8"))
    return [f"?name={name}&first=2024-04-01&last=2024-05-08" for name in names]


def test_rows_that_come_back_to_be_mended() -> None:
    report = Report("a list", headings=["=Odd()", "Title"])
    for bad in BAD:
        report.refused.append(Remark(f"row {bad}", "=Why()", mend={"=Odd()": bad, "Title": bad}))
    text = refused_file.text(report)
    assert "Title" in text and _formulas(text) == []


def test_answers_to_a_whole_list(app: Flask, store: Store, tmp_path: Path) -> None:
    source, target = tmp_path / "in.csv", tmp_path / "out.csv"
    with source.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["row_id", "heard"])
        writer.writerows([[bad.replace("\0", ""), "lantern"] for bad in BAD])
    index = app.extensions["asheard"].index
    assert telling.batch(store, index, source, target, lambda *_: None) == len(BAD)
    assert _formulas(target.read_text(encoding="utf-8")) == []


def test_nothing_writes_a_table_past_this() -> None:
    """csv.writer stands in these files only; each is walked above."""
    root = Path(__file__).parents[2]
    writes = {
        str(path.relative_to(root))
        for room in ("catalogue", "importers", "web")
        for path in (root / room).rglob("*.py")
        if re.search(r"csv\.(writer|DictWriter)\(", path.read_text(encoding="utf-8"))
    }
    assert writes == {"catalogue/plain_csv.py", "importers/refused_file.py", "web/telling.py"}


@given(st.text(max_size=40))
def test_whatever_is_written_is_no_formula_and_comes_back_as_it_was(text: str) -> None:
    cell = harmless(text)
    assert _formulas(encoded(["a"], [[text]]).decode("utf-8-sig")) == []
    assert as_it_was(cell) == text or cell == text


@given(st.sampled_from("=+-@"), st.text("abc1 ='", max_size=10))
def test_a_list_that_comes_back_is_read_as_it_was(sign: str, rest: str) -> None:
    text = (sign + rest).strip()
    table = encoded(["Title", "Artist"], [[text, "x"], ["a", "b"]]).decode("utf-8-sig")
    assert ["Title", "Artist"] in (read := list(read_rows(table)))
    assert read[1][0] == text
