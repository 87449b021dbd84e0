"""The station's log: a small file that a volunteer can send to whoever helps, as it is.

A log must tell what went wrong and nothing of anybody. What is not ours to tell is taken out
before a line is written: what stands in inverted commas, what looks like a number or a mail
address, what follows the question mark of an address, the words of an unforeseen error, the home
folder, and every word that is on a slip just now.
"""

from __future__ import annotations

import contextlib
import logging
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from logging.handlers import RotatingFileHandler
from pathlib import Path

from catalogue.errors import CatalogueError
from catalogue.schema import OF_CALLERS
from catalogue.store import Store
from web.opening import OpenStation

FOLDER = "logs"
NAME = "asheard.log"

_BYTES = 500_000
_FILES = 3
"""Half a megabyte and three older files: a season of warnings, and small enough to send."""

_TAKEN_OUT = "…"
_SHORTEST = 3
"""Letters from which a word on a slip is taken out: "to" and "of" would take out everything."""

# Each is over in one pass: of what does not end, the rest of the line goes, and a mail address is
# looked for at the beginning of a run of its letters only.
_QUOTED = re.compile(r"“[^”]*(?:”|$)|‘[^’]*(?:’|$)|\"[^\"]*\"|(?<!\w)'[^']*'(?!\w)")
_QUERY = re.compile(r"\?[^\s”\"']+")
_MAIL = re.compile(r"(?<![\w.+-])[\w.+-]+@[\w-]+\.[\w.-]+")
_NUMBER = re.compile(r"\+?\d(?:[ ().-]?\d){6,}")
_DAY = re.compile(r"20\d\d-\d\d-\d\d(-\d{6})?")
"""A day of ours, as in the name of a copy: no number of anybody's."""

_WORD = re.compile(r"\w[\w'’-]*")
_PLAIN_FIELDS = frozenset((
    "consent", "place_consent", "how_on_air", "written_at", "erase_on", "consent_at",
    "place_consent_at", "adult_consent_at",
))  # fmt: skip
"""Fields whose words are the program's own or a date."""


class Discreet(logging.Formatter):
    """Writes a line without what is somebody's, and never a traceback."""

    def __init__(self, words: Callable[[], Iterable[str]]) -> None:
        """`words` gives the words that are on slips just now."""
        super().__init__(datefmt="%Y-%m-%d %H:%M:%S%z")
        self._words = words

    def format(self, record: logging.LogRecord) -> str:
        """When, how bad, who says it, and what, as far as it is ours to tell."""
        args = record.args if isinstance(record.args, tuple) else (record.args,)
        told = tuple(_kind(arg) for arg in args) if record.args else ()
        try:
            line = str(record.msg) % told if told else str(_kind(record.msg))
        except (TypeError, ValueError):
            line = str(record.msg)
        if record.exc_info and record.exc_info[0]:
            line = f"{line} [{record.exc_info[0].__name__}]"
        line = " ".join(self.discreet(line).splitlines())
        return f"{self.formatTime(record)} {record.levelname} {record.name} {line}"

    def lines(self, lines: Iterable[str]) -> Iterator[str]:
        """Lines written already, once more without what is somebody's."""
        taken = self._taken()
        return (self._without(line, taken) for line in lines)

    def discreet(self, line: str) -> str:
        """The line without what is somebody's."""
        return self._without(line, self._taken())

    def _taken(self) -> set[str]:
        return {word.casefold() for word in self._words() if len(word) >= _SHORTEST}

    def _without(self, line: str, taken: set[str]) -> str:
        home = str(Path.home())
        if len(home) > 1:
            line = line.replace(home, "~")
        for pattern in (_QUOTED, _QUERY, _MAIL):
            line = pattern.sub(_TAKEN_OUT, line)
        line = _NUMBER.sub(lambda n: n[0] if _DAY.fullmatch(n[0]) else _TAKEN_OUT, line)
        if not taken:
            return line
        return _WORD.sub(lambda w: _TAKEN_OUT if w[0].casefold() in taken else w[0], line)


def words_on_slips(store: Store) -> Iterable[str]:
    """Every word of the callers' details that are held just now; none if they cannot be read."""
    for table in OF_CALLERS:
        try:
            rows = store.rows(f"SELECT * FROM [{table}]")
        except (sqlite3.Error, CatalogueError):
            return
        for row in rows:
            for name, value in row.items():
                if isinstance(value, str) and name not in _PLAIN_FIELDS:
                    yield from _WORD.findall(value)


def to_send(store: Store) -> str:
    """The log of this station, oldest lines first, made discreet once more: somebody's word may
    be on a slip now that was on none when the line was written. Empty if there is no log."""
    folder = store.path.parent / FOLDER
    discreet = Discreet(lambda: set(words_on_slips(store)))
    lines: list[str] = []
    for path in [*(folder / f"{NAME}.{n}" for n in range(_FILES, 0, -1)), folder / NAME]:
        with contextlib.suppress(OSError):
            lines += path.read_text(encoding="utf-8", errors="replace").splitlines()
    return "".join(f"{line}\n" for line in discreet.lines(lines))


@contextlib.contextmanager
def kept(station: OpenStation) -> Iterator[Path | None]:
    """Write the log of this station into its folder inside the `with`; yields the file.

    Where it cannot be written the station runs without one, and says so.
    """
    path = station.folder / FOLDER / NAME
    try:
        path.parent.mkdir(mode=0o700, exist_ok=True)
        handler = RotatingFileHandler(
            path, maxBytes=_BYTES, backupCount=_FILES, encoding="utf-8", delay=False
        )
    except OSError as problem:
        logging.getLogger(__name__).warning(
            "No log is kept: %s cannot be written (%s).", path, problem.strerror
        )
        yield None
        return
    handler.setFormatter(Discreet(lambda: words_on_slips(station.store)))
    root = logging.getLogger()
    ours = [logging.getLogger(name) for name in ("catalogue", "web", "importers", "asheard")]
    before = [logger.level for logger in ours]
    for logger in ours:
        logger.setLevel(logging.INFO)
    others = [(h, h.level) for h in root.handlers]
    for h, level in others:
        # What is told in passing is for the file; the terminal goes on saying warnings only.
        h.setLevel(max(level, logging.WARNING))
    root.addHandler(handler)
    try:
        logging.getLogger("web").info("The station was started.")
        yield path
        logging.getLogger("web").info("The station was stopped.")
    finally:
        root.removeHandler(handler)
        handler.close()
        for logger, level in zip(ours, before, strict=True):
            logger.setLevel(level)
        for h, level in others:
            h.setLevel(level)


def _kind(arg: object) -> object:
    """An unforeseen error is told by its kind; its words may be what somebody typed."""
    if isinstance(arg, CatalogueError):
        return arg.message
    if isinstance(arg, BaseException):
        return type(arg).__name__
    return arg
