"""What every command of the terminal uses: where it prints, how, and the station's folder."""

from __future__ import annotations

import contextlib
import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

out = Console(highlight=False, soft_wrap=False)
problems = Console(stderr=True, highlight=False)

_NARROWEST = 40
"""Columns below which a window is not believed: some report none at all."""

station_option = click.option(
    "--station",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    envvar="ASHEARD_STATION",
    help="The station's folder (asheard-station in your home folder unless given).",
)


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


@contextlib.contextmanager
def bar(what: str) -> Iterator[Callable[[int, int | None], None]]:
    """A progress bar on stderr, shown once there is progress."""
    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(),
    )  # fmt: skip
    with Progress(*columns, console=problems, transient=True) as shown:
        task = shown.add_task(what, total=None, visible=False)

        def progress(done: int, total: int | None = None) -> None:
            shown.update(task, completed=done, total=total, visible=True)

        yield progress
