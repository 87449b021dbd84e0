"""What all commands share: the two streams, a progress bar, lines that fit the window."""

from __future__ import annotations

import contextlib
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

import click
from rich.console import Console
from rich.progress import (
    BarColumn,
    MofNCompleteColumn,
    Progress,
    ProgressColumn,
    Task,
    TextColumn,
    TimeRemainingColumn,
)
from rich.text import Text

screen = Console(highlight=False, soft_wrap=False)
problems = Console(stderr=True, highlight=False)
TERMINAL = "at the terminal"
"""Who did what is done by a command."""

_NARROWEST = 40
"""Columns below which a window is not believed: some report none at all."""

station_option = click.option(
    "--station",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    envvar="ASHEARD_STATION",
    help="The station's folder (asheard-station in your home folder unless given).",
)


class _Rate(ProgressColumn):
    """How many are done in a second."""

    def render(self, task: Task) -> Text:
        """The rate in words, empty until it is known."""
        rate = task.finished_speed or task.speed
        if not rate:
            return Text("")
        return Text(f"{rate:,.0f} a second" if rate >= 10 else f"{rate:.1f} a second")


@contextlib.contextmanager
def bar(what: str) -> Iterator[Callable[[int, int | None], None]]:
    """A progress bar with rate and time left on stderr, shown once there is progress."""
    columns = (
        TextColumn("{task.description}"), BarColumn(20), MofNCompleteColumn(), _Rate(),
        TimeRemainingColumn(),
    )  # fmt: skip
    shown = Progress(*columns, console=problems, transient=True, disable=not problems.is_terminal)
    task = shown.add_task(what, total=None)

    def progress(done: int, total: int | None = None) -> None:
        shown.start()  # with the first of them: a refusal needs no blank line above it
        shown.update(task, completed=done, total=total)

    try:
        yield progress
    finally:
        if shown.live.is_started:
            shown.stop()


def show(console: Console, line: str, style: str = "") -> None:
    """Print a line, broken at the window's width and indented like its beginning.

    A path stays in one piece, however long it is, so that it can be copied.
    """
    width = max(_NARROWEST, console.width)
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    broken = textwrap.wrap(
        line, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
    console.print("\n".join(broken), style=style, markup=False, soft_wrap=True)
