"""Archives and XML made to fill a memory or to go on for ever are refused, soon and in a sentence.

Each is read in a process of its own with a gigabyte and a minute, as a browser's list is read.
Sources of the kinds: "billion laughs" and quadratic blowup (CVE-2003-1564, OWASP XML Security
Cheat Sheet), external entities (CWE-611), overlapping ZIP parts (Fifield 2019, "A better zip
bomb"), an archive in an archive.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

_LIMIT_BYTES = 1024**3
_READ = """
import resource, sys
from pathlib import Path
resource.setrlimit(resource.RLIMIT_AS, ({limit}, {limit}))
from catalogue.errors import BadInput
from importers import taking_in
try:
    print("READ", taking_in.look_at_list(None, Path(sys.argv[1])))
    from importers import playlists
    if playlists.is_playlist(Path(sys.argv[1])):
        print("ITEMS", len(list(playlists.rows(Path(sys.argv[1])).rows)))
except BadInput as problem:
    print("REFUSED", problem.message)
"""

_XLSX_TYPES = (
    '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/'
    'content-types"><Default Extension="xml" ContentType="application/xml"/></Types>'
)
_SHEET = "xl/worksheets/sheet1.xml"
_LAUGHS = "".join(
    f'<!ENTITY l{n} "{"".join([f"&l{n - 1};"] * 10)}">' if n else '<!ENTITY l0 "lol">'
    for n in range(10)
)


def _zip(file: Path, parts: dict[str, bytes]) -> None:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)


def _workbook(file: Path, **parts: bytes) -> None:
    from openpyxl import Workbook

    book = Workbook()
    assert book.active
    book.active.append(["Shelf mark", "Artist", "Title"])
    book.active.append(["C 1", "Ada Sluice", "Tide"])
    made = io.BytesIO()
    book.save(made)
    with zipfile.ZipFile(made) as whole:
        content = {name: whole.read(name) for name in whole.namelist()}
    _zip(file, {**content, **{n.replace("__", "/").replace("_xml", ".xml"): c
                              for n, c in parts.items()}})  # fmt: skip


def _big_part(file: Path) -> None:
    _workbook(file, **{"xl__worksheets__sheet1_xml": b"<worksheet>" + b" " * (400 * 1024 * 1024)})


def _laughing_sheet(file: Path) -> None:
    sheet = f'<?xml version="1.0"?><!DOCTYPE x [{_LAUGHS}]><worksheet><sheetData><row r="1">'
    sheet += '<c r="A1" t="inlineStr"><is><t>&l9;</t></is></c></row></sheetData></worksheet>'
    _workbook(file, **{"xl__worksheets__sheet1_xml": sheet.encode()})


def _laughing_strings(file: Path) -> None:
    strings = f'<?xml version="1.0"?><!DOCTYPE x [{_LAUGHS}]><sst><si><t>&l9;</t></si></sst>'
    _workbook(file, **{"xl__sharedStrings_xml": strings.encode()})


def _far_cells(file: Path) -> None:
    sheet = (b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
             b'<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="1048576">'
             b'<c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>')  # fmt: skip
    _workbook(file, **{"xl__worksheets__sheet1_xml": sheet})


def _many_parts(file: Path) -> None:
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("[Content_Types].xml", _XLSX_TYPES)
        for number in range(60_000):
            archive.writestr(f"x{number}", b"")


def _in_one_another(file: Path) -> None:
    content = b" " * (20 * 1024 * 1024)
    for _ in range(6):
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
            for number in range(8):
                archive.writestr(f"{number}.zip", content)
        content = made.getvalue()
    file.write_bytes(content)


def _overlapping(file: Path) -> None:
    """One part's data, named by many entries of the directory."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(_SHEET, b" " * (50 * 1024 * 1024))
    data = made.getvalue()
    start = data.index(b"PK\x01\x02")
    entry = data[start : data.index(b"PK\x05\x06")]
    directory = entry * 200
    end = bytearray(data[data.index(b"PK\x05\x06") :])
    end[8:12] = (200).to_bytes(2, "little") * 2
    end[12:16] = len(directory).to_bytes(4, "little")
    file.write_bytes(data[:start] + directory + bytes(end))


def _ods(file: Path) -> None:
    cell = b'<table:table-cell table:number-columns-repeated="16000" office:value-type="string"/>'
    rows = b'<table:table-row table:number-rows-repeated="1000000">' + cell + b"</table:table-row>"
    body = b"<office:document-content><table:table>" + rows * 3
    _zip(file, {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
                "content.xml": body + b"</table:table></office:document-content>"})  # fmt: skip


def _xspf(inside: str, declared: str) -> Callable[[Path], None]:
    def write(file: Path) -> None:
        text = f'<?xml version="1.0"?>{declared}<playlist xmlns="http://xspf.org/ns/0/">'
        text += f"<trackList><track><title>{inside}</title></track></trackList></playlist>"
        file.write_text(text)

    return write


_QUADRATIC = f'<!DOCTYPE x [<!ENTITY a "{"a" * 100_000}">]>'
BOMBS: dict[str, Callable[[Path], None]] = {
    "big.xlsx": _big_part,
    "laughs.xlsx": _laughing_sheet,
    "laughing strings.xlsx": _laughing_strings,
    "far.xlsx": _far_cells,
    "parts.xlsx": _many_parts,
    "russian doll.xlsx": _in_one_another,
    "overlapping.xlsx": _overlapping,
    "repeated.ods": _ods,
    "laughs.xspf": _xspf("&l9;", f"<!DOCTYPE x [{_LAUGHS}]>"),
    "quadratic.xspf": _xspf("&a;" * 20_000, _QUADRATIC),
    "outside.xspf": _xspf("&o;", '<!DOCTYPE x [<!ENTITY o SYSTEM "file:///etc/passwd">]>'),
    "parameter.xspf": _xspf("x", '<!DOCTYPE x [<!ENTITY % o SYSTEM "http://127.0.0.1/"> %o;]>'),
}


@pytest.mark.skipif(os.name != "posix", reason="the limit of memory is POSIX's")
@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_soon_and_within_its_memory(tmp_path: Path, name: str) -> None:
    file = tmp_path / name
    BOMBS[name](file)
    assert file.stat().st_size < 20 * 1024 * 1024  # as small as a list that may be given
    run = subprocess.run(
        [sys.executable, "-c", _READ.format(limit=_LIMIT_BYTES), str(file)],
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr[-400:]
    assert "REFUSED" in run.stdout, run.stdout[:400]
    assert "root:" not in run.stdout


def test_a_list_within_the_limits_is_read(tmp_path: Path) -> None:
    """By the same way: what is refused above is refused for what is wrong with it."""
    file = tmp_path / "good.xlsx"
    _workbook(file)
    run = subprocess.run(
        [sys.executable, "-c", _READ.format(limit=_LIMIT_BYTES), str(file)],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert "READ" in run.stdout and "Ada Sluice" in run.stdout
