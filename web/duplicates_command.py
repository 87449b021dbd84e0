"""The command that finds duplicates, and asks about them if it is told to."""

from __future__ import annotations

import json
from pathlib import Path

import click

from catalogue import duplicate_search, duplicates
from web import doubles
from web.opening import default_folder, opened
from web.serving import local_time
from web.terminal import TERMINAL, bar, screen, show, station_option

_STYLES = {"name": "bold", "head": "underline", "reason": "dim"}


def add_to(main: click.Group) -> None:
    """Make this command part of `asheard`."""
    main.add_command(find_duplicates)


@click.command("find-duplicates")
@click.option(
    "--limit", default=20, show_default=True, type=click.IntRange(1, 100_000), help="Pairs shown."
)
@click.option("--again", is_flag=True, help="Compare everything, not only what is new.")
@click.option("--ask", is_flag=True, help="Ask of each pair whether it is one.")
@click.option("--json", "as_json", is_flag=True, help="Print the pairs for programs.")
@station_option
def find_duplicates(
    limit: int, again: bool, ask: bool, as_json: bool, station: Path | None
) -> None:
    """Find recordings that may be entered twice.

    Nothing is changed unless you are asked (--ask) and say so. Files are never touched.
    """
    with opened(station or default_folder()) as open_station:
        store = open_station.store
        with bar("Comparing pairs") as progress:
            searched = duplicate_search.search(store, progress, again=again)
        pairs = duplicates.likely_pairs(store, limit)
        if as_json:
            found = [doubles.as_json(pair) for pair in pairs]
            click.echo(json.dumps(found, ensure_ascii=False, indent=2))
            return
        _print(doubles.summary(store, searched, limit))
        for number, pair in enumerate(pairs, 1):
            if duplicates.pair(store, pair.a.id, pair.b.id) is None:
                continue  # one of the two was merged just now
            _print(doubles.pair_lines(store, pair, number))
            if ask:
                done = doubles.answer(store, pair, _choose, TERMINAL, local_time())
                if not done:
                    break
                show(screen, done)
        if not pairs:
            show(screen, "No pair is left to judge.")


def _choose(question: str, choices: list[str]) -> str:
    return str(click.prompt(question, type=click.Choice(choices)))


def _print(lines: doubles.Lines) -> None:
    for style, line in lines:
        show(screen, line, _STYLES.get(style, ""))
