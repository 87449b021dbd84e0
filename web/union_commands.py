"""The network's commands: a station's key, what it publishes, and the union built of many.

Everything of the network is imported inside the commands: a single station never loads it, and
need not have it installed.
"""

from __future__ import annotations

import contextlib
import os
import shlex
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import click

from catalogue import settings
from catalogue.errors import BadInput, UnionProblem
from catalogue.store import Store
from web import union_serve_command
from web.opening import default_folder, local_time, opened
from web.terminal import bar, problems, screen, show, station_option

_PUBLICATION = "publication"
"""The folder in a station's folder into which it publishes, unless told otherwise."""

_trust_option = click.option(
    "--trust",
    "trust_list",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The network's list of trusted keys.",
)


def add_to(main: click.Group) -> None:
    """Make these commands part of `asheard`."""
    union.add_command(union_serve_command.serve)
    main.add_command(union)


@contextlib.contextmanager
def needs_network() -> Iterator[None]:
    """Say in a sentence what to install, where a library of the network is not there."""
    try:
        yield
    except ModuleNotFoundError as problem:
        if (problem.name or "").partition(".")[0] not in ("ray", "pyarrow"):
            raise
        raise UnionProblem(
            f"This needs the part for networks, and {problem.name} is not installed. Install it "
            "with: pip install 'asheard[network]'"
        ) from problem


@click.group()
def union() -> None:
    """Pool what a network of stations holds."""


@union.command()
@click.option(
    "--to",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder to publish into (publication in the station's folder unless given).",
)
@click.option("--whole", is_flag=True, help="Write everything anew, not only what changed.")
@click.option("--withdraw", is_flag=True, help="Publish that nothing is shared any more.")
@station_option
def publish(to: Path | None, whole: bool, withdraw: bool, station: Path | None) -> None:
    """Write what this station shares, signed with its key.

    Shared are recordings, how many copies on what, and how to ask for a loan. No caller, slip,
    name of a volunteer, path or shelf mark is in it.
    """
    with needs_network():
        from catalogue import union_keys, union_publishing
    with opened(station or default_folder()) as open_station:
        store, now = open_station.store, local_time()
        _refuse_demo(store)
        if not withdraw:
            _refuse_nameless(store)
        target = to or open_station.folder / _PUBLICATION
        is_new = union_keys.held_key(open_station.folder) is None
        key = union_keys.own_key(open_station.folder, now)
        if withdraw:
            done = union_publishing.withdraw(store, key, target, now)
            show(screen, f"Publication {done.sequence} in {target} says that nothing is shared any "
                 "more. At the network's next build this station is gone.")  # fmt: skip
            return
        with bar("Comparing with what was published") as progress:
            done = union_publishing.publish(store, key, target, now, progress, whole=whole)
        if not done.is_new:
            show(screen, f"Nothing has changed since publication {done.sequence} in {target}.")
            return
        how = "whole" if done.whole else "what changed"
        show(screen, f"Publication {done.sequence}, {how}: {done.written:,} recordings written, "
             f"{done.removed:,} removed, {done.recordings:,} shared in all.")  # fmt: skip
        show(screen, f"It is in {target}. Send the whole folder to the network.")
        for name, what in (("network_loan", "how to ask for a loan"), ("network_place", "where "
                           "the station is")):  # fmt: skip
            if not settings.get(store, name):
                show(screen, f"Others are not told {what}: write it under Station, Rules.")
        if is_new:
            show(screen, "A key was made for this station. Send its card to the network too:")
            _show_command("keys show --to card.json", station)


@union.command()
@click.argument(
    "publications",
    nargs=-1,
    required=True,
    type=click.Path(path_type=Path, exists=True, file_okay=False),
)
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, file_okay=False),
    help="The union's folder; one that is there is replaced when the new one is whole.",
)
@click.option("--shards", default=1, show_default=True, type=click.IntRange(1, 999))
@_trust_option
@click.option(
    "--workers",
    type=click.IntRange(1, 1024),
    help="Processes at once, with Ray; with 1, and unless given for a small network, none is "
    "started.",
)
@click.option("--address", default="", help="A Ray cluster whose machines see the same folders.")
@click.option(
    "--only-alike",
    is_flag=True,
    help="Put together only what nothing tells apart, and compare nothing: quicker.",
)
def build(
    publications: tuple[Path, ...], out: Path, shards: int, trust_list: Path | None,
    workers: int | None,    address: str, only_alike: bool,
) -> None:  # fmt: skip
    """Build the union of what stations published.

    PUBLICATIONS are their folders, or folders of these. Each is verified; what is cut short,
    altered, older than what was built, or signed with a key that is not trusted is left out and
    said so, with exit code 1, and the others go on.
    """
    with needs_network():
        from catalogue import union_building, union_keys
        from catalogue.union_building import Steps
    trusted = union_keys.read_list(_needed(trust_list))
    folders = [found for given in publications for found in _publications(given)]
    with contextlib.ExitStack() as stack:
        run = union_building.one_by_one
        if workers is None:
            workers = 1 if union_building.is_small(folders) else os.cpu_count() or 1
        if workers > 1 or address:
            with needs_network():
                from catalogue import union_tasks
            show(problems, "Starting Ray …")
            run = stack.enter_context(union_tasks.tasks(workers, address))
        told = stack.enter_context(_steps_told())
        steps = Steps(run, told, only_alike)
        done = union_building.build(folders, trusted, out, shards, local_time(), steps)
    layout = done.layout
    show(screen, f"{counted(len(layout.stations), 'station')}, "
         f"{counted(done.recordings, 'recording')}: {layout.entries:,} different, in "
         f"{counted(len(layout.shards), 'shard')}, {done.written:,} written anew.")  # fmt: skip
    show(screen, f"The union is in {out}. Serve it with:")
    _show_command(f"serve {shlex.quote(str(out))}")
    for sentence in done.refused:
        show(problems, sentence, "bold")
    if done.refused:
        sys.exit(1)


def counted(count: int, what: str) -> str:
    """So many of something, in the singular or the plural."""
    return f"{count:,} {what}" if count == 1 else f"{count:,} {what}s"


def _publications(given: Path) -> list[Path]:
    """The folder itself if it is a publication or holds none; else those in it."""
    inside = sorted(path.parent for path in given.glob("*/manifest.json"))
    return [given] if (given / "manifest.json").exists() or not inside else inside


@contextlib.contextmanager
def _steps_told() -> Iterator[Callable[[str, int, int | None], None]]:
    """A progress bar for each step of a build, one after another."""
    with contextlib.ExitStack() as stack:
        now: dict[str, Callable[[int, int | None], None]] = {}

        def told(what: str, done: int, total: int | None) -> None:
            if what not in now:
                stack.close()
                now.clear()
                now[what] = stack.enter_context(bar(what))
            now[what](done, total)

        yield told


@union.group()
def keys() -> None:
    """Keys: the station's own, and the network's list."""


@keys.command("make")
@click.option("--new", is_flag=True, help="Another one in the place of one that is there.")
@station_option
def make_key(new: bool, station: Path | None) -> None:
    """Make this station's key."""
    with needs_network():
        from catalogue import union_keys
    with opened(station or default_folder()) as open_station:
        folder, now = open_station.folder, local_time()
        held: union_keys.StationKey | None = None
        with contextlib.suppress(UnionProblem) if new else contextlib.nullcontext():
            held = union_keys.held_key(folder)
        if held and not new:
            raise BadInput("This station has a key already. With --new another takes its place, "
                           "and the network has to be told.")  # fmt: skip
        made = union_keys.new_key(folder, now, held.station if held else "")
        show(screen, f"Key {union_keys.fingerprint(made.key)} was made. Send its card to the "
             "network:")  # fmt: skip
        _show_command("keys show --to card.json", station)
        if held:
            show(screen, f"Have the network withdraw the old one, "
                 f"{union_keys.fingerprint(held.key)}.")  # fmt: skip


@keys.command("show")
@click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the station's card into this file, to be sent to the network.",
)
@_trust_option
@station_option
def show_key(to: Path | None, trust_list: Path | None, station: Path | None) -> None:
    """Show this station's key, or with --trust those of the network."""
    with needs_network():
        from catalogue import union_keys
    if trust_list:
        for one in union_keys.read_list(trust_list):
            since = (
                f"withdrawn {one.withdrawn[:10]}" if one.withdrawn else f"since {one.since[:10]}"
            )
            show(screen, f"{union_keys.fingerprint(one.key)}  {since:20}  {one.name}")
        return
    with opened(station or default_folder()) as open_station:
        held = union_keys.held_key(open_station.folder)
        if held is None:
            raise BadInput("This station has no key yet. Make one: asheard union keys make")
        card = union_keys.card(held, settings.get(open_station.store, "station_name"))
        if to is None:
            click.echo(card)
        else:
            to.write_text(card + "\n", encoding="utf-8")
            show(screen, f"The card is in {to}. Nothing in it is secret.")
        show(screen, f"To compare over the telephone: {union_keys.fingerprint(held.key)}")


@keys.command("trust")
@click.argument("card", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@_trust_option
def trust_key(card: Path, trust_list: Path | None) -> None:
    """Trust the key of a station's CARD from now on."""
    with needs_network():
        from catalogue import union_keys
    path = _needed(trust_list)
    known = union_keys.read_list(path) if path.exists() else []
    text = card.read_text(encoding="utf-8", errors="replace")
    known, new = union_keys.trust(known, text, local_time())
    union_keys.write_list(path, known)
    show(screen, f"{new.name} is trusted with the key {union_keys.fingerprint(new.key)}. Ring the "
         "station and compare it: only then is it theirs for sure.")  # fmt: skip


@keys.command("withdraw")
@click.argument("which")
@_trust_option
def withdraw_key(which: str, trust_list: Path | None) -> None:
    """Trust a key no longer: WHICH is its beginning, or the station's name."""
    with needs_network():
        from catalogue import union_keys
    path = _needed(trust_list)
    known, gone = union_keys.withdraw(union_keys.read_list(path), which, local_time())
    union_keys.write_list(path, known)
    show(screen, f"The key {union_keys.fingerprint(gone.key)} of {gone.name} is withdrawn. What it "
         "signed is left out of the next build.")  # fmt: skip


def _needed(trust_list: Path | None) -> Path:
    if trust_list is None:
        raise BadInput("Say which list of trusted keys: --trust FILE.")
    return trust_list


def _show_command(words: str, station: Path | None = None) -> None:
    """A command on a line of its own, in one piece, so that it can be copied."""
    where = f" --station {shlex.quote(str(station))}" if station else ""
    screen.print(f"  asheard union {words}{where}", markup=False, soft_wrap=True)


def _refuse_nameless(store: Store) -> None:
    """Others tell stations apart by their names, and so does a station its own among theirs."""
    if settings.get(store, "station_name") == settings.DEFAULTS["station_name"].value:
        raise BadInput("The others would not know whose this is: this station has no name yet. "
                       "Write it under Station, Rules; nothing was published.")  # fmt: skip


def _refuse_demo(store: Store) -> None:
    if settings.get(store, "demo") == "yes":
        raise BadInput("That is the demo: what it holds is made up, and nobody could borrow it.")
