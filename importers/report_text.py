"""The closing report in words, for a window of 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from pathlib import Path

from catalogue.errors import BadInput
from importers.report import Remark, Report

WIDTH = 80
SHOWN = 12
"""Remarks of one kind that are written out; the rest is counted, so that the sum stays in view."""


def lines(report: Report, shown: int = SHOWN) -> list[str]:
    """The report line by line, none wider than 80 columns; `shown` remarks of each kind."""
    text = _sum(report)
    for sentence in report.read_as:
        text += ["", *textwrap.wrap(sentence, WIDTH)]
    if report.refused:
        text += ["", f"{len(report.refused):,} not taken in:"]
        text += _remarks(report.refused, shown)
    if report.needs_a_look:
        sources = len({remark.source for remark in report.needs_a_look})
        verb = "needs" if sources == 1 else "need"
        text += ["", f"{sources:,} {verb} a look (taken in all the same):"]
        text += _remarks(report.needs_a_look, shown)
    if report.gone:
        verb = "is" if len(report.gone) == 1 else "are"
        text += ["", f"{len(report.gone):,} known before {verb} no longer there; marked missing:"]
        text += [_cut(f"  {path}") for path in report.gone[:shown]]
        text += _more(len(report.gone) - shown)
    for sentence in report.out_of_reach:
        text += ["", *textwrap.wrap(sentence, WIDTH, break_long_words=False,
                                    break_on_hyphens=False)]  # fmt: skip
    return text


def write(report: Report, target: Path) -> None:
    """Keep the whole report in a file. Raises BadInput where it cannot be written."""
    text = "\n".join([report.what, "", *lines(report, len(report.needs_a_look) + len(report.refused)
                                              + len(report.gone)), ""])  # fmt: skip
    try:
        target.write_text(text, encoding="utf-8")
    except OSError as problem:
        raise BadInput(
            f"{target} cannot be written ({problem.strerror or problem}). Give another place."
        ) from problem


def _sum(report: Report) -> list[str]:
    counts = (
        (report.added, "new"),
        (report.new_copies, "more copies of recordings known before"),
        (report.changed - report.moved, "brought up to date"),
        (report.moved, "moved or renamed; their history goes with them"),
        (report.already_held, "in already, unchanged"),
        (len(report.refused), "not taken in"),
    )
    text = [f"{n:>9,}  {what}" for n, what in counts if n]
    if not text:
        text = ["Nothing was found to take in."]
    if report.left_alone:
        files = "file that is" if report.left_alone == 1 else "files that are"
        text.append(f"{report.left_alone:>9,}  other {files} not audio, left alone")
    if report.stopped:
        text += ["", *textwrap.wrap(report.stopped, WIDTH)]
    return text


def _remarks(remarks: Sequence[Remark], shown: int) -> list[str]:
    """One remark a source; many with the same text are told once, with the first of them."""
    by_text: dict[str, list[str]] = {}
    for remark in remarks:
        by_text.setdefault(remark.text, []).append(remark.source)
    text: list[str] = []
    for said, sources in list(by_text.items())[:shown]:
        others = f" and {len(sources) - 1:,} more" if len(sources) > 1 else ""
        text += textwrap.wrap(
            _sentence(sources[0], others, said),
            WIDTH,
            initial_indent="  ",
            subsequent_indent="    ",
        )
    return text + _more(len(by_text) - shown)


def _sentence(source: str, others: str, said: str) -> str:
    """The source before what is said of it, unless the sentence names it already."""
    name = re.split(r"[/\\\\]", source)[-1]
    if said.startswith(f"{name} "):
        return source + said[len(name) :]
    return f"{source}{others}: {said}"


def _more(count: int) -> list[str]:
    return [f"  … and {count:,} more."] if count > 0 else []


def _cut(line: str) -> str:
    return line if len(line) <= WIDTH else f"{line[:30]}…{line[-(WIDTH - 31) :]}"
