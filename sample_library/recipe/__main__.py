"""Makes the whole demo collection: ``python -m sample_library.recipe OUT_FOLDER``.

Without a folder it makes the one that is checked in anew. What was there is replaced only
when everything has been made.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from sample_library import folder
from sample_library.recipe import known_not_held, past_month, places, shelf_list
from sample_library.recipe.audio_files import tagged_files, write_audio_file
from sample_library.recipe.songbook import SongbookError
from sample_library.recipe.tables import write_csv, write_spreadsheet
from sample_library.recipe.unsorted_files import unsorted_files


def make_lists(out: Path) -> None:
    """Write the five CSV lists and the spreadsheet into a folder."""
    shelf_rows = shelf_list.rows()
    write_csv(out / "shelf_list.csv", shelf_list.HEADING, shelf_rows)
    write_spreadsheet(out / "shelf_list.xlsx", shelf_list.HEADING, shelf_rows)
    write_csv(out / "known_not_held.csv", known_not_held.HEADING, known_not_held.rows())
    write_csv(out / "places.csv", places.HEADING, places.rows())
    month = past_month.past_month()
    requests = [*past_month.in_order(month.requests)]
    write_csv(out / "past_requests.csv", past_month.REQUESTS_HEADING, requests)
    plays = [*past_month.in_order(month.plays)]
    write_csv(out / "past_plays.csv", past_month.PLAYS_HEADING, plays)


def make_audio(out: Path) -> None:
    """Compose, encode and tag every sound file below ``out/audio``."""
    for file in [*tagged_files(), *unsorted_files()]:
        write_audio_file(out, file)


def main(arguments: Sequence[str] | None = None) -> int:
    """Make the collection; returns 0, or 1 with a message when it could not be made."""
    parser = argparse.ArgumentParser(
        prog="python -m sample_library.recipe",
        description="Make the demo collection of Saltmarsh Radio.",
    )
    parser.add_argument(
        "out_folder",
        nargs="?",
        type=Path,
        default=folder(),
        help="where to put it (default: the folder that is checked in)",
    )
    out: Path = parser.parse_args(arguments).out_folder
    try:
        out.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory() as made:
            fresh = Path(made) / "collection"
            fresh.mkdir()
            make_lists(fresh)
            make_audio(fresh)
            shutil.rmtree(out / "audio", ignore_errors=True)
            shutil.copytree(fresh, out, dirs_exist_ok=True)
    except (OSError, SongbookError) as error:
        print(f"The collection could not be made: {error}", file=sys.stderr)
        return 1
    print(f"Saltmarsh Radio's collection is in {out}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
