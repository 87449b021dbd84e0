"""The `asheard` command: a station started, filled and asked from a terminal."""

from __future__ import annotations

import errno
import io
import json
import logging
import signal
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from catalogue import explaining, passphrases, pins, settings, staff, undo
from catalogue.enquiry import enquire
from catalogue.errors import BadInput, CatalogueError, NotFound
from catalogue.heard import Heard
from importers import taking_in
from web import demo as demo_station
from web import (
    duplicates_command,
    keeping_commands,
    log_file,
    opening,
    service_command,
    taking_in_commands,
    telling,
    union_commands,
)
from web.network import Network, network_options, say_what_it_means
from web.opening import default_folder, local_time, opened
from web.serving import refuse_used
from web.terminal import TERMINAL, bar, problems, screen, show, station_option

_STYLES = {"say": "bold", "name": "bold", "head": "underline", "reason": "dim"}
_ACTIONS_LISTED = 30


class _Sentences(click.Group):
    """A group whose errors are one sentence, never a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; a CatalogueError becomes its sentence and exit code 1.

        So does a drive that refuses, wherever a command did not foresee it. What was typed
        wrongly is told with the way to type it, and exit code 2.
        """
        try:
            return super().invoke(ctx)
        except CatalogueError as problem:
            show(problems, problem.message, "bold")
            ctx.exit(1)
        except UnicodeEncodeError:
            show(problems, "Something that was typed has letters that this computer cannot read, "
                 "and was not taken. Type it again.", "bold")  # fmt: skip
            ctx.exit(1)
        except OSError as problem:
            if problem.errno == errno.EPIPE:
                raise  # whoever reads the output has had enough: Click ends quietly
            where = problem.filename or "A file"
            sentence = f"{where} cannot be used ({problem.strerror or problem}). "
            show(problems, sentence + "Look at the drive and at this user's rights.", "bold")
            ctx.exit(1)
        except click.UsageError as problem:
            # Click prints the sentence without breaking it at the window's width.
            click.echo((problem.ctx or ctx).get_usage(), err=True)
            show(problems, problem.format_message(), "bold")
            ctx.exit(problem.exit_code)


@click.group(cls=_Sentences, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="asheard")
def main() -> None:
    """Find the record a caller asked for, however it was heard."""
    logging.basicConfig(level=logging.WARNING, format="%(message)s")
    for stream in (sys.stdout, sys.stderr):
        # A name in another script must not end a search on a terminal that cannot show it.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


@main.command()
@click.option(
    "--station",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="The demo's folder (asheard-demo in your home folder unless given).",
)
@network_options
def demo(station: Path | None, network: Network) -> None:
    """Run a made-up station, to try things out."""
    folder = station or opening.demo_folder()
    with opened(folder, make=True) as open_station:
        with bar("Taking in the sample library") as progress:
            demo_station.prepare(open_station, local_time(), progress)
        people = demo_station.people(open_station.folder)
        with log_file.kept(open_station), network.served(open_station) as (address, tls):
            screen.print("\n[bold]Saltmarsh Radio[/bold], a made-up station. Not for real callers.")
            screen.print(f"Open [bold]{address}[/bold] in a browser and sign in as one of these:\n")
            for name, role, passphrase in people:
                screen.print(f"  {name:8} {role:10} {passphrase}", markup=False)
            screen.print()
            show(screen, f"It is kept in {open_station.folder}. Ctrl-C stops it.")
            say_what_it_means(network, address, tls)
            _wait()


@main.command()
@station_option
@click.option(
    "--library",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    default=None,
    help="A folder of audio files, taken in before the start; again only what is new.",
)
@network_options
def serve(station: Path | None, library: Path | None, network: Network) -> None:
    """Run a station, until Ctrl-C."""
    with opened(station or default_folder(), make=True) as open_station:
        if settings.get(open_station.store, "demo") == "yes":
            raise BadInput("That folder holds the demo. Give another one with --station.")
        if library:
            refuse_used(network.host, network.port)  # before the work of an hour, not after it
            taking_in_commands.take_in(
                open_station, taking_in.add_files, library, "Taking in the library", "files"
            )
        with log_file.kept(open_station), network.served(open_station) as (address, tls):
            # Made only once the station runs: a passphrase that is never shown lets nobody in.
            keeper = opening.first_keeper(open_station.store, local_time())
            screen.print(f"The station is at [bold]{address}[/bold]. Ctrl-C stops it.")
            if keeper:
                screen.print("\nNobody has signed in yet: the keeper's account, for one sign-in:")
                screen.print(f"  {keeper[0]}   {keeper[1]}\n", markup=False)
                where = f" --station {station}" if station else ""
                show(screen, "Sign in with it now, and choose your own passphrase. Other people "
                     "are added at the station's desk, or with: asheard add-person NAME "
                     f"searcher{where}")  # fmt: skip
            say_what_it_means(network, address, tls)
            _wait()


@main.command("add-person")
@click.argument("name")
@click.argument("role", type=click.Choice(["searcher", "presenter", "librarian", "keeper"]))
@station_option
def add_person(name: str, role: str, station: Path | None) -> None:
    """Let NAME sign in as ROLE; prints a passphrase, once."""
    with opened(station or default_folder()) as open_station:
        passphrase = passphrases.new()
        now = local_time()
        staff.add(open_station.store, name, role, passphrase, TERMINAL, now, one_time=True)
        _show_once(name, passphrase)


@main.command("new-passphrase")
@click.argument("name")
@station_option
def new_passphrase(name: str, station: Path | None) -> None:
    """Make a one-time passphrase for NAME, who forgot theirs; prints it, once."""
    with opened(station or default_folder()) as open_station:
        person = staff.named(open_station.store, name)
        if person is None:
            raise NotFound(f"There is nobody called “{name}” on the list. Look at the spelling.")
        passphrase, now = passphrases.new(), local_time()
        with open_station.store.transaction():
            staff.new_words_for(open_station.store, person.id, passphrase, one_time_from=now)
            pins.forget(open_station.store, person.id)
        _show_once(person.name, passphrase)


def _show_once(name: str, passphrase: str) -> None:
    screen.print(f"{name} can sign in with: {passphrase}", markup=False)
    show(screen, "It is not shown again, and is for one sign-in within two weeks: then they choose "
         "their own. Write it down for them.", "")  # fmt: skip


@main.command()
@click.argument("what_was_heard", nargs=-1)
@click.option("--title", default="", help="The title, if it was heard apart.")
@click.option("--artist", default="", help="The artist, if heard apart.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer for programs.")
@click.option("--explain", is_flag=True, help="Show how the request was read.")
@click.option(
    "--batch",
    type=click.Path(path_type=Path, dir_okay=False),
    help="A CSV with row_id, heard and, where given, heard_title and heard_artist.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Where a batch is written (beside the CSV, ending in .answers.csv, unless given).",
)
@station_option
def find(
    what_was_heard: tuple[str, ...],
    title: str,
    artist: str,
    as_json: bool,
    explain: bool,
    batch: Path | None,
    out: Path | None,
    station: Path | None,
) -> None:
    """Find what was heard, with places and stand-ins."""
    words = " ".join(what_was_heard)
    if (words or title or artist) if batch else out:
        raise BadInput("Give what was heard, or --batch with a file of it and perhaps --out.")
    with opened(station or default_folder()) as open_station:
        if batch:
            target = out or batch.with_suffix(".answers.csv")
            with bar("Answering") as progress:
                count = telling.batch(
                    open_station.store, open_station.index, batch, target, progress
                )
            show(screen, f"{count} rows answered in {target}.", "")
            return
        heard = Heard(words, title, artist)
        answer = enquire(open_station.store, open_station.index, heard, local_time())
        if as_json:
            click.echo(json.dumps(telling.as_json(answer), ensure_ascii=False, indent=2))
            return
        _print(telling.lines(answer))
        if explain:
            _print(telling.explained(explaining.explain(open_station.index, heard)))


@main.command("stand-in")
@click.argument("title_by_artist", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="Print the answer for programs.")
@station_option
def stand_in(title_by_artist: tuple[str, ...], as_json: bool, station: Path | None) -> None:
    """Offer what could be played instead, ready now."""
    with opened(station or default_folder()) as open_station:
        answer = telling.in_place_of(
            open_station.store, open_station.index, Heard(" ".join(title_by_artist)), local_time()
        )
        if as_json:
            click.echo(json.dumps(telling.as_json(answer), ensure_ascii=False, indent=2))
        else:
            _print(telling.lines(answer))


@main.command("take-back-action")
@click.argument("number", type=int, required=False)
@station_option
def take_back_action(number: int | None, station: Path | None) -> None:
    """Take back one action; without its number, list the last."""
    with opened(station or default_folder()) as open_station:
        if number is None:
            for action in undo.recent(open_station.store, _ACTIONS_LISTED):
                when = action.at[:16].replace("T", " ")
                show(screen, f"{action.id:>6}  {when}  {action.who}: {action.what}")
            return
        done = undo.take_back(open_station.store, number, TERMINAL, local_time())
        screen.print(f"“{done.what}” was taken back.", markup=False)


for _command in (*keeping_commands.COMMANDS, service_command.service):
    main.add_command(_command)


def _print(lines: Iterator[tuple[str, str]]) -> None:
    for style, line in lines:
        if style == "path":
            screen.print(line, markup=False, soft_wrap=True)
        else:
            show(screen, line, _STYLES.get(style, ""))


def _wait() -> None:
    """Wait for Ctrl-C or for the signal that ends a service."""
    stop = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stop.set())
    # A short wait in a loop lets Windows see Ctrl-C.
    while not stop.wait(0.5):
        pass
    screen.print("Stopped.")


taking_in_commands.add_to(main)
duplicates_command.add_to(main)
union_commands.add_to(main)
