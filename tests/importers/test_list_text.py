"""Lists in any likely encoding, with any separator, come to the same cells."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from importers import list_text

TEXT = "Signatur;Interpret;Titel\nL 1;Côr y Traeth;Größe 38 – “Déjà”\nL 2;Söhne;Ø und Å £5\n"


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252",
                 "mac_roman"],
)  # fmt: skip
def test_encodings_are_told_apart(encoding: str) -> None:
    """The same text, however it was saved, with and without a mark at the beginning."""
    text, _ = list_text.decode(TEXT.encode(encoding))

    assert text == TEXT


def test_an_old_dos_list() -> None:
    """cp850 has other letters in the same places; the likeliest reading is taken."""
    old = "Signatur;Interpret;Titel\nL 1;Söhne;Größe und Märchen, süß\n"

    assert (old, "cp850") == list_text.decode(old.encode("cp850"))


def test_lines_in_two_encodings() -> None:
    """A list pasted together from two programs is read line by line."""
    data = "L 1;Déjà\n".encode() + "L 2;Größe\n".encode("cp1252")

    text, encoding = list_text.decode(data)

    assert text == "L 1;Déjà\nL 2;Größe\n"
    assert encoding == "utf-8 and cp1252"


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=600))
def test_any_bytes_are_read(data: bytes) -> None:
    """Reading never fails, and every cell is text."""
    text, _ = list_text.decode(data)
    for row in list_text.rows(text):
        assert all(isinstance(cell, str) for cell in row)


CELLS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"],
                              exclude_characters='"\ufeff\ufffe\x85'),
                max_size=12).map(str.strip)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=8),
    st.sampled_from([";", ",", "\t"]),
)
def test_every_cell_of_a_quoted_list_comes_back(rows: list[list[str]], separator: str) -> None:
    """Cells with separators inside are quoted, as RFC 4180 has it, and read back whole."""
    text = "".join(separator.join(f'"{cell}"' for cell in row) + "\r\n" for row in rows)

    assert rows == list(list_text.rows(text))


@pytest.mark.parametrize(
    ("text", "separator"),
    [
        ("a,b,c\nd,e,f\n", ","),
        ("a;b;c\n1,5;e;f\n", ";"),
        ("a\tb\tc\nd, e; f\tg\th\n", "\t"),
        ("a|b\nc|d\n", "|"),
        ('"a, b";c\n"d, e";f\n', ";"),
        ("Ada Sluice - Tide\nAnn Oke - Ebb, and Flow\n", None),
        ("just one word\n", None),
        ("C 114   Ada Sluice   Tide\nC 115   Ann Oke   Ebb\n", "  "),
        ("", None),
    ],
)
def test_separators(text: str, separator: str | None) -> None:
    """The sign that stands equally often in most lines parts the cells."""
    assert separator == list_text.separator_of(text)


def test_a_quote_that_nobody_closed_swallows_no_rows() -> None:
    """12" is an inch mark, not the beginning of a quotation."""
    text = "Mark,Carrier,Title\n" + "".join(f'L {n},"12 inch,Tide {n}\n' for n in range(60))

    assert len(list(list_text.rows(text))) == 61


def test_a_line_end_inside_a_cell_is_kept() -> None:
    """A note of two lines is one cell."""
    assert list(list_text.rows('a;b\n"one\ntwo";c\n')) == [["a", "b"], ["one\ntwo", "c"]]
