"""The keeper's commands: copies, a new PC, forgetting, looking whether all is well, papers."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from catalogue import backup, forgetting, health, packing, restoring, standing_back
from catalogue.backup import Copy, Kind
from catalogue.errors import BadInput, CopyProblem
from web import log_file
from web.opening import DATABASE, INDEX, default_folder, local_time, opened
from web.terminal import bar, screen, show, station_option
from web.texts import papers as the_papers
from web.texts import t

_yes_option = click.option("--yes", is_flag=True, help="Do not ask.")


@click.command()
@click.argument("to", required=False, type=click.Path(path_type=Path))
@click.option("--with-callers", is_flag=True, help="Callers' details too, in a copy elsewhere.")
@station_option
def copy(to: Path | None, with_callers: bool, station: Path | None) -> None:
    """Copy the station's database now, in use or not; with TO to another drive."""
    with opened(station or default_folder()) as open_station:
        store, now = open_station.store, local_time()
        if to is None:
            made = standing_back.done(lambda: backup.make(store, Kind.DAILY, now))
            forgetting.erase_in_copies(store, now)
        else:
            made = to / f"asheard-{now:%Y-%m-%d-%H%M%S}.db" if to.is_dir() else to
            if made.exists():
                raise CopyProblem(f"{made} is there already. Give another name, or remove it.")
            target = made
            standing_back.done(lambda: backup.make_at(store, target, with_callers=with_callers))
        show(screen, t("copy.made", path=made))
        if to is not None:
            show(screen, t("copy.with_callers" if with_callers else "copy.without_callers"))


@click.command()
@click.argument("copy", required=False)
@_yes_option
@station_option
def restore(copy: str | None, yes: bool, station: Path | None) -> None:
    """Put a COPY in the database's place; without its name, list them."""
    folder = (station or default_folder()).expanduser()
    database, now = folder / DATABASE, local_time()
    copies = backup.all_copies(backup.folder_of(database))
    if copy is None:
        for line in _listed(copies):
            show(screen, line)
        return
    path = _chosen(copy, folder, copies)
    if wrong := backup.what_is_wrong(path):
        raise CopyProblem(t("restore.unsound", name=path.name, wrong=wrong))
    for line in _told(restoring.loss(database, path)):
        show(screen, line)
    if not yes and not click.confirm(t("restore.sure", name=path.name)):
        show(screen, t("restore.left"))
        return
    folder.mkdir(parents=True, exist_ok=True)
    kept = restoring.put_back(database, folder / INDEX, path, now)
    with opened(folder) as open_station:
        forgetting.erase_due(open_station.store, now)
    show(screen, t("restore.done", name=path.name))
    if kept:
        show(screen, t("restore.kept", path=kept))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--without-callers", is_flag=True, help="Leave callers' details out.")
@station_option
def pack(file: Path, without_callers: bool, station: Path | None) -> None:
    """Pack the whole station into FILE, to move it to another PC."""
    with opened(station or default_folder()) as open_station:
        forgetting.erase_due(open_station.store, local_time())
        packing.pack(open_station.store, file, with_callers=not without_callers)
    show(screen, t("pack.done", path=file))
    show(screen, t("pack.next"))
    if not without_callers:
        show(screen, t("pack.callers"))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@station_option
def unpack(file: Path, station: Path | None) -> None:
    """Make a station of a packed FILE, on the new PC."""
    folder = (station or default_folder()).expanduser()
    packing.unpack(file, folder, DATABASE, local_time())
    with opened(folder) as open_station:
        forgetting.erase_due(open_station.store, local_time())
    show(screen, t("unpack.done", path=folder))
    show(screen, t("unpack.next"))


@click.command()
@click.argument("slip", type=click.IntRange(1, 2**62))
@_yes_option
@station_option
def forget(slip: int, yes: bool, station: Path | None) -> None:
    """Erase the caller's details of one SLIP at once, from the copies too."""
    with opened(station or default_folder()) as open_station:
        if not yes and not click.confirm(t("forget.sure", number=slip)):
            show(screen, t("forget.left"))
            return
        places = forgetting.forget(open_station.store, slip, local_time())
    show(screen, t("forget.done" if places else "forget.nothing", number=slip))
    show(screen, t("forget.elsewhere"))


@click.command("what-do-you-hold")
@click.argument("name")
@station_option
def what_do_you_hold(name: str, station: Path | None) -> None:
    """Print everything that is held about somebody of this NAME."""
    with opened(station or default_folder()) as open_station:
        found = forgetting.held_about(open_station.store, name)
    show(screen, t("held.head", name=name) if found else t("held.nothing", name=name), "bold")
    for held in found:
        screen.print()
        show(screen, t("held.where", where=held.where).capitalize())
        for key, value in held.lines:
            show(screen, f"  {key.replace('_', ' ')}: {value}")
    if any("slip_id" in dict(held.lines) for held in found):
        screen.print()
        show(screen, t("held.forget"))


@click.command()
@station_option
def check(station: Path | None) -> None:
    """Look whether all is well, and say what to do; exit code 1 if something is."""
    folder = (station or default_folder()).expanduser()
    with bar(t("check.files")) as progress:
        found = health.look(folder / DATABASE, folder / INDEX, local_time(), progress)
    for finding in sorted(found, key=lambda finding: finding.well):
        mark = t("check.well") if finding.well else t("check.do")
        show(screen, f"{mark:8} {finding.sentence}", "" if finding.well else "bold")
    log = folder / log_file.FOLDER / log_file.NAME
    if log.exists():
        show(screen, t("check.log", path=log))
    if not all(finding.well for finding in found):
        sys.exit(1)


@click.command()
@click.argument("name", required=False)
@click.option(
    "--to",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write them into this folder, to be filled in.",
)
def papers(name: str | None, to: Path | None) -> None:
    """Show the papers a station should have; with NAME one of them."""
    there = the_papers.all_papers()
    if name is not None and name not in there:
        raise BadInput(t("papers.unknown", names=", ".join(there)))
    chosen = {name: there[name]} if name is not None else there
    if to is not None:
        for key, text in chosen.items():
            show(screen, t("papers.written", path=_written(to, f"{key}.md", text)))
        return
    if name is None:
        for key, text in there.items():
            show(screen, f"{key}: {the_papers.title(text)}")
        show(screen, t("papers.how"))
        return
    click.echo(there[name])


def _written(to: Path, file: str, text: str) -> Path:
    target = to / file
    if target.exists():
        raise CopyProblem(t("papers.there", path=target))
    try:
        to.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    except OSError as problem:
        raise CopyProblem(
            t("papers.cannot", path=target, why=problem.strerror or problem)
        ) from problem
    return target


def _listed(copies: list[Copy]) -> list[str]:
    if not copies:
        return [t("restore.none")]
    kinds = {kind: t(f"copy_kind.{kind}") for kind in Kind}
    lines = [
        f"{copy.path.stem:28}  {kinds[copy.kind]}, {copy.size / 1e6:,.1f} MB" for copy in copies
    ]
    return [*lines, t("restore.how")]


def _chosen(copy: str, folder: Path, copies: list[Copy]) -> Path:
    for there in copies:
        if copy in (there.path.name, there.path.stem):
            return there.path
    path = Path(copy).expanduser()
    if not path.is_file():
        raise CopyProblem(t("restore.unknown", name=copy))
    if path.resolve() == (folder / DATABASE).resolve():
        raise CopyProblem(t("restore.itself"))
    return path


def _told(loss: restoring.Loss) -> list[str]:
    if not loss.readable:
        return [t("restore.unreadable")]
    if not loss.lost and not loss.callers:
        return [t("restore.nothing_lost")]
    lines = [t("restore.lost"), *(f"  {what}" for what in loss.lost)]
    if loss.callers:
        lines.append(t("restore.callers", count=loss.callers))
    return lines


COMMANDS = (copy, restore, pack, unpack, forget, what_do_you_hold, check, papers)
"""Added to `asheard` by `command_line.py`."""
