"""Sheets (xlsx, xls, ods) to tables of cells, read by a process of their own."""

from __future__ import annotations

import json
import subprocess
import threading
from pathlib import Path
from typing import Any

from catalogue.errors import UnreadableList
from importers import own_process, sheet_size

Table = tuple[str, list[list[str]]]
"""Name of a sheet, and its rows of cells."""

_LONGEST_S = 60.0
"""Seconds after which a process that reads a small sheet is ended, where the system did not do
it: on Windows, or on a PC that has no time for it."""

_LONGEST_A_MEGABYTE_S = 10.0


def read(path: Path) -> list[Table]:
    """The tables of the sheets that are shown. Raises UnreadableList."""
    with Reader() as reader:
        return reader.read(path)


class Reader:
    """The process that reads sheets; started with the first, and anew if one was too much for it.

    Only what reads many of them keeps one.
    """

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None

    def __enter__(self) -> Reader:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def read(self, path: Path) -> list[Table]:
        """The tables of one file. Raises UnreadableList for what no list is, or is damaged."""
        sheet_size.refuse_if_too_large(path)
        told = self._asked(path)
        if "cells" in told:
            raise UnreadableList(
                f"{path.name} reaches over {told['cells']:,} cells, most of them empty. Delete "
                "what stands far below the list or far to its right, or save it as CSV."
            )
        if "tables" not in told:
            raise UnreadableList(
                f"{path.name} is no sheet that can be read; it may be damaged or locked by a "
                "password. Save it anew as xlsx or CSV."
            )
        return [(name, rows) for name, rows in told["tables"]]

    def close(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        own_process.close(process)

    def _asked(self, path: Path) -> dict[str, Any]:
        """What the process answers; nothing if it ended over this sheet, or took too long."""
        if self._process is None or self._process.poll() is not None:
            self.close()
            self._process = _started()
        process = self._process
        assert process.stdin is not None
        assert process.stdout is not None
        longest = _LONGEST_S + _LONGEST_A_MEGABYTE_S * (path.stat().st_size >> 20)
        watch = threading.Timer(longest, process.kill)
        watch.start()
        try:
            process.stdin.write(json.dumps([str(path.absolute()), sheet_size.MOST_CELLS]) + "\n")
            process.stdin.flush()
            told = process.stdout.readline()
        except (OSError, UnicodeError):
            told = ""
        finally:
            watch.cancel()
        if not told.endswith("\n"):
            self.close()
            return {}
        answer: dict[str, Any] = json.loads(told)
        return answer


def _started() -> subprocess.Popen[str]:
    try:
        return own_process.start("importers.sheet_worker", "utf-8")
    except OSError as problem:
        raise UnreadableList(
            f"This PC cannot start the program that reads sheets ({problem.strerror or problem}). "
            "Close other programs, or save the list as CSV."
        ) from problem
