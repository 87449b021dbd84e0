"""The commands that take in files and lists, measure, and say where folders are."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from catalogue import roots
from catalogue.errors import BadInput, NotFound
from importers import accession, columns, jobs, measuring, refused_file, report_text, taking_in
from importers.jobs import Doing
from importers.report import Report
from importers.shelf_lists import Guess
from web.opening import OpenStation, default_folder, exists, opened
from web.serving import local_time
from web.terminal import TERMINAL, bar, screen, show, station_option

_CELL, _SAMPLE = 15, 13
"""Columns of a heading's cell, and letters of a sample: three samples fit a window of 80."""

_file = click.Path(path_type=Path, dir_okay=False)
_kept = click.option(
    "--report", type=_file, help="Keep the whole report, with every reason, in this file."
)
_refused = click.option(
    "--refused",
    type=_file,
    help="Write what could not be taken in to this CSV, to be mended and given again.",
)
_columns = click.option(
    "--columns",
    "said",
    help="What the columns hold, in order: “shelf mark, carrier, -, artist, title”; “headings” or "
    "“no headings” before them says what the first row is.",
)
_yes = click.option("--yes", is_flag=True, help="Do not ask whether the columns are right.")


def add_to(main: click.Group) -> None:
    """Make these commands part of `asheard`."""
    for command in (add_files, add_list, add_known, take_back, measure, folders):
        main.add_command(command)


def take_in(
    station: OpenStation, work: Callable[..., Report], source: Path, what: str, kind: str
) -> Report:
    """Run a taking-in with a progress bar, print its report, and return it.

    It is kept as a job of its `kind`, so that the shelves' pages show it too.
    """
    store = station.store
    job_id = jobs.ask(store, kind, str(source.absolute()), {}, TERMINAL, local_time())
    with bar(what) as shown, jobs.doing(store, job_id) as job:

        def progress(done: int, total: int | None = None) -> None:
            job.progress(done, total)
            shown(done, total)

        report = work(store, source, TERMINAL, local_time(), progress, job=job)
    for line in report_text.lines(report):
        screen.print(line, markup=False, soft_wrap=True)
    station.index.catch_up()
    return report


@click.command("add-files")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--again", is_flag=True, help="Read every file, also those that have not changed.")
@click.option("--gone", is_flag=True, help="What is not there is gone, even a whole drive of it.")
@_kept
@_refused
@station_option
def add_files(
    folder: Path, again: bool, gone: bool, report: Path | None, refused: Path | None,
    station: Path | None,
) -> None:  # fmt: skip
    """Take in all the audio files of FOLDER. Safe to run again."""

    def work(*arguments: Any, job: Doing) -> Report:
        return taking_in.add_files(*arguments, again=again, gone=gone, job=job)

    folder = taking_in.folder_of(folder)  # before a station is made for nothing
    _refuse_unwritable(report, refused)
    with opened(station or default_folder(), make=True) as open_station:
        _keep(take_in(open_station, work, folder, "Reading files", "files"), report, refused)


@click.command("add-list")
@click.argument("file", type=click.Path(path_type=Path))
@_columns
@_yes
@_kept
@_refused
@station_option
def add_list(
    file: Path, said: str | None, yes: bool, report: Path | None, refused: Path | None,
    station: Path | None,
) -> None:  # fmt: skip
    """Take in a shelf list or a playlist. Safe to run again.

    A list may be CSV, text, xlsx, xls, ods or MARC 21; of a playlist (XSPF, M3U) the files are
    taken in. At a terminal you are shown how the columns were read, and can correct it first.
    """
    _refuse_unwritable(report, refused, file)
    with _opened_for(file, station) as open_station:
        done = _list(open_station, taking_in.add_list, file, said, yes)
        _keep(done, report, refused)


@click.command("add-known")
@click.argument("file", type=click.Path(path_type=Path))
@_columns
@_yes
@_kept
@_refused
@station_option
def add_known(
    file: Path, said: str | None, yes: bool, report: Path | None, refused: Path | None,
    station: Path | None,
) -> None:  # fmt: skip
    """Take in recordings known of but not held: a list or a playlist."""
    _refuse_unwritable(report, refused, file)
    with _opened_for(file, station) as open_station:
        done = _list(open_station, taking_in.add_known, file, said, yes)
        _keep(done, report, refused)


@contextmanager
def _opened_for(file: Path, station: Path | None) -> Iterator[OpenStation]:
    """The station, made if there is none yet; a list that is none makes none."""
    folder = station or default_folder()
    if not exists(folder):
        taking_in.look_at_list(None, file)
    with opened(folder, make=True) as open_station:
        yield open_station


def _list(
    station: OpenStation, add: Callable[..., Report], file: Path, said: str | None, yes: bool
) -> Report:
    """A list taken in with its columns as guessed, as said in the command, or as corrected."""
    layouts: dict[str, tuple[str, ...]] = {}
    if said is not None:
        fields = columns.parse(said)
        layouts = {
            guess.shape: columns.with_headings(fields, guess.columns)
            for guess in taking_in.look_at_list(station.store, file)
        }
    elif not yes and at_a_terminal():
        for guess in taking_in.look_at_list(station.store, file):
            if (corrected := _asked(guess)) is not None:
                layouts[guess.shape] = columns.with_headings(corrected, guess.columns)

    def work(*arguments: Any, job: Doing) -> Report:
        return add(*arguments, columns=layouts, job=job)

    kind = "known" if add is taking_in.add_known else "list"
    return take_in(station, work, file, "Reading the list", kind)


def at_a_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin.isatty()


def _asked(guess: Guess) -> tuple[str, ...] | None:
    """The columns as a person corrects them, or None where the guess is right."""
    for line in _shown(guess):
        screen.print(line, markup=False, soft_wrap=True)
    while True:
        answer = click.prompt(
            "Right?", default="yes" if guess.columns else "stop", prompt_suffix=" "
        )
        if answer.strip().lower() in {"stop", "no", "n", "q"}:
            raise BadInput("Stopped. Nothing was taken in.")
        if answer.strip().lower() in {"yes", "y"}:
            return None
        try:
            return columns.parse(answer)
        except BadInput as problem:
            show(screen, problem.message)


def _shown(guess: Guess) -> list[str]:
    """Each column with what it was read as and three samples, in a window of 80 columns."""
    fields = guess.columns.fields if guess.columns else ()
    how = "as you said for a list like this" if guess.remembered else "by its headings"
    if guess.columns is None:
        how = "not at all: no column could be told to be a title"
    elif guess.columns.guessed and not guess.remembered:
        why = "mean nothing here" if guess.columns.heading_row >= 0 else "are not there"
        how = f"by what is in them: headings {why}"
    lines = [f"The columns of {guess.name} were read {how}:", ""]
    for i, heading in enumerate(guess.headings):
        field = fields[i] if i < len(fields) else ""
        named = columns.heading_for(field).lower() if field else "-"
        samples = [_cut(row[i], _SAMPLE) if i < len(row) else "" for row in guess.samples]
        lines.append(
            f"{i + 1:>3} {_cut(heading):{_CELL}} {_cut(named):{_CELL - 1}} {' | '.join(samples)}"
        )
    headed = guess.columns is not None and guess.columns.heading_row >= 0
    first = "no headings" if headed else "headings"
    is_row = "is a row like the others" if headed else "is one of headings"
    return [
        *lines,
        "",
        "Press Enter if this is right. If not, write what the columns hold, in order,",
        "parted by commas, with - for nothing; or write “stop”.",
        f"Begin with “{first},” if the first row {is_row}.",
    ]


def _cut(text: str, longest: int = _CELL - 1) -> str:
    text = " ".join(text.split())
    return text if len(text) <= longest else text[: longest - 1] + "…"


def _refuse_unwritable(*targets: Path | None) -> None:
    """Refuse a file that cannot be written, or is given twice, before the work is done."""
    given = [target.absolute() for target in targets if target]
    if len(set(given)) < len(given):
        raise BadInput("The list, the report and what was refused must be three files.")
    for target in given:
        place = target if target.exists() else target.parent
        if not place.exists() or not os.access(place, os.W_OK):
            raise BadInput(f"{target} cannot be written. Give another place.")


def _keep(report: Report, kept: Path | None, refused: Path | None) -> None:
    """Write the report and the refused rows where that was asked for."""
    if kept:
        report_text.write(report, kept)
        show(screen, f"The whole report is in {kept}")
    if refused and report.refused:
        count = refused_file.write(report, refused)
        show(screen, f"{count:,} that were not taken in are in {refused}")


@click.command("take-back")
@click.argument("number", required=False)
@station_option
def take_back(number: str | None, station: Path | None) -> None:
    """Take back a whole taking-in; without its number, list them."""
    with opened(station or default_folder()) as open_station:
        store = open_station.store
        takings = accession.takings_in(store)
        if not number:
            for taking in takings:
                state = " (taken back)" if taking.taken_back else ""
                when = taking.at[:16].replace("T", " ")
                show(screen, f"{when}  {taking.what}{state}")
            if not takings:
                screen.print("Nothing was taken in yet.")
                return
            screen.print("Take one back by its number: asheard take-back NUMBER")
            return
        meant = [t.what for t in takings if t.what == number or f"(no. {number})" in t.what]
        if not meant:
            raise NotFound(
                f"There is no taking-in number {number}. "
                "“asheard take-back” alone lists what was taken in."
            )
        accession.take_back_all(store, meant[0], TERMINAL, local_time())
        screen.print(f"Taken back: {meant[0]}.", markup=False)


@click.command("measure")
@click.option("--again", is_flag=True, help="Measure every file, also those measured before.")
@station_option
def measure(again: bool, station: Path | None) -> None:
    """Measure tempo, loudness and silence of files.

    Ctrl-C pauses; run it again to go on. What people and tags say stays; only a blank tempo is
    filled. Needs the extra: pip install 'asheard[audio]'.
    """
    with opened(station or default_folder()) as open_station:
        store = open_station.store
        job_id = jobs.ask(store, "measure", "", {"again": again}, TERMINAL, local_time())
        with bar("Listening to files") as shown, jobs.doing(store, job_id) as job:

            def progress(done: int, total: int | None = None) -> None:
                job.progress(done, total)
                shown(done, total)

            came = measuring.run(store, TERMINAL, local_time(), progress, job.stop, again=again)
            job.keep_measured(came)
        left = measuring.left(open_station.store)
        if not came.files and not left:
            screen.print("Every file was measured already.")
            return
        screen.print(f"{came.files:>9,}  measured", markup=False)
        screen.print(f"{came.filled:>9,}  blank tempos filled", markup=False)
        if left:
            screen.print(f"{left:>9,}  left to measure: run it again to go on", markup=False)
        for remark in came.failed:
            show(screen, f"  {remark.source}: {remark.text}")


@click.command("folders")
@click.argument("folder", required=False)
@click.option("--seen-by", "desk", help="A desk, such as “Studio 1”, that sees FOLDER elsewhere.")
@click.option("--as", "path", help="The path under which that desk sees it.")
@click.option("--moved-to", help="Where FOLDER is now, if it moved as a whole.")
@station_option
def folders(
    folder: str | None, desk: str | None, path: str | None, moved_to: str | None,
    station: Path | None,
) -> None:  # fmt: skip
    """List library folders, as desks see them.

    With --seen-by and --as, say under which path a desk sees FOLDER, so that pages can show it
    a path to copy. With --moved-to, say where FOLDER is now.
    """
    with opened(station or default_folder()) as open_station:
        store = open_station.store
        if folder and folder not in {root.path for root in roots.all_roots(store)}:
            folder = str(Path(folder).expanduser().absolute())  # as it is kept
        if folder and moved_to:
            moved, left = roots.move(store, folder, moved_to, TERMINAL, local_time())
            screen.print(f"{moved:>9,}  files are at their new place", markup=False)
            if left:
                screen.print(f"{left:>9,}  left: their new place is taken", markup=False)
        elif folder and desk:
            roots.see_as(store, folder, desk, path or "", TERMINAL, local_time())
        elif folder or desk or path or moved_to:
            raise BadInput("Give FOLDER with --seen-by and --as, or with --moved-to.")
        said = roots.views(store)
        if not roots.all_roots(store):
            screen.print("No folder was taken in yet.")
        for root in roots.all_roots(store):
            screen.print(root.path, markup=False, soft_wrap=True)
            for view in (one for one in said if one.root == root.path):
                screen.print(f"  {view.desk}: {view.path}", markup=False, soft_wrap=True)
