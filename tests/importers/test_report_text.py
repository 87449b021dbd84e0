"""The closing report: the sum first, reasons after, within 80 columns."""

from __future__ import annotations

from importers.report import Remark, Report
from importers.report_text import SHOWN, WIDTH, lines


def report() -> Report:
    return Report(
        "took in files from Music (no. 1)",
        added=1204,
        new_copies=24,
        changed=3,
        already_held=10,
        refused=[Remark(f"{'a long folder/' * 9}{n}.mp3", f"It is a text, no. {n}.")
                 for n in range(30)],
        needs_a_look=[Remark(f"row {n}", "no artist is given") for n in range(7)],
        gone=["/" + "x" * 200],
        left_alone=1,
    )  # fmt: skip


def test_no_line_is_wider_than_the_window() -> None:
    """Terminals of 80 columns are the narrowest in use."""
    assert max(map(len, lines(report()))) <= WIDTH


def test_the_sum_comes_first() -> None:
    """Counts in columns, only those that are not nought."""
    assert lines(report())[:6] == [
        "    1,204  new",
        "       24  more copies of recordings known before",
        "        3  brought up to date",
        "       10  in already, unchanged",
        "       30  not taken in",
        "        1  other file that is not audio, left alone",
    ]


def test_many_remarks_are_counted_not_listed() -> None:
    """The sum must stay in view."""
    text = lines(report())

    assert f"  … and {30 - SHOWN} more." in text
    assert "  row 0 and 6 more: no artist is given" in text


def test_one_remark_has_the_right_verb() -> None:
    """One needs a look, two need one."""
    one = Report("x", added=1, needs_a_look=[Remark("a.mp3", "odd")])
    two = Report("x", added=2, needs_a_look=[Remark("a.mp3", "odd"), Remark("b.mp3", "odd")])

    assert "1 needs a look (taken in all the same):" in lines(one)
    assert "2 need a look (taken in all the same):" in lines(two)


def test_how_columns_were_read_is_told() -> None:
    """Long sentences are wrapped."""
    text = lines(Report("x", added=1, read_as=["In a.csv these headings mean nothing here: " * 3]))

    assert "In a.csv these headings" in " ".join(text)
    assert max(map(len, text)) <= WIDTH


def test_a_file_is_named_once() -> None:
    """Where the sentence names it, its folder is written before the name."""
    text = lines(Report("x", refused=[Remark("a/song.mp3", "song.mp3 is empty.")]))

    assert text[-1] == "  a/song.mp3 is empty."


def test_a_stop_is_told() -> None:
    """Stopped by hand or by a full disk, the report says that what is counted is kept."""
    assert "Stopped. It is kept." in lines(Report("x", added=1, stopped="Stopped. It is kept."))
