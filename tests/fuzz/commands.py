"""Every argument of the `asheard` command that takes text, through the command itself.

An input is a list of arguments as JSON. What is a path stays inside a folder of its own; half of
the damage is in the first argument that takes text, half in those behind it.
"""

from __future__ import annotations

import json
import os
import random
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest import mock

from click.testing import CliRunner

from catalogue.errors import StationProblem
from tests.fuzz import samples
from tests.fuzz.damage import SURROGATES, of_words
from tests.fuzz.readers import Open
from web import command_line, network

RENEWED_AFTER = 60

_PATH = "path:"
"""What an argument that names a file or folder begins with, in the table below."""

VALID = (
    "find|lantern on the key",
    "find|lantern|on the key",
    "find|--title|lantern on the quay|--artist|marsha herron",
    "find|--json|the long jetty",
    "find|--explain|the long jetty by hector pike",
    "find|--batch|path:batch.csv|--out|path:answers.csv",
    "stand-in|Lantern on the Quay by Marsha Herron",
    "stand-in|--json|Quay Street Waltz",
    "add-person|Enid|searcher",
    "add-list|path:list.csv|--columns|shelf mark, carrier, artist, title|--yes",
    "add-list|path:list.csv|--yes|--report|path:report.csv|--refused|path:refused.csv",
    "add-known|path:list.csv|--columns|headings, -, -, artist, title, year|--yes",
    "add-files|path:music|--report|path:report2.csv",
    "take-back|8",
    "take-back-action|1",
    "copy|path:copies",
    "copy|path:mine.db|--with-callers",
    "restore|daily-2024-05-07|--yes",
    "restore|path:list.csv|--yes",
    "pack|path:packed.zip",
    "unpack|path:list.csv|--station|path:elsewhere",
    "forget|1|--yes",
    "what-do-you-hold|Maureen",
    "papers|data-protection-assessment",
    "papers|--to|path:papers",
    "folders|path:music|--seen-by|Studio 1|--as|M:\\Music",
    "folders|/music|--moved-to|/elsewhere",
    "find-duplicates|--limit|5",
    "measure|--station|path:none",
    "serve|--port|8037|--library|path:music|--station|path:own",
    "check|--station|path:none",
)
"""Valid commands, their arguments parted by strokes."""

_NEVER = {"demo"}
"""Not started here: it has no argument of its own."""


def change(data: bytes, chance: random.Random, deep: bool) -> bytes:
    """Damage one or two of the arguments, the first one or those behind it."""
    args = json.loads(data)
    text = [n for n, arg in enumerate(args) if n and not arg.startswith("--")]
    for _ in range(chance.choice((1, 1, 2))):
        at = chance.choice(text[1:] if deep and text[1:] else text[:1] or [0])
        if at == 0:
            continue
        head = _PATH if args[at].startswith(_PATH) else ""
        args[at] = head + of_words(args[at][len(head) :], chance, odd=SURROGATES)
    if chance.random() < 0.03:
        args.insert(chance.randrange(1, len(args) + 1), of_words("--yes", chance, odd=SURROGATES))
    return json.dumps(args).encode()


def _told(arg: str, folder: Path) -> str:
    """As the system would hand it over: without zeros, and a path only inside the folder."""
    arg = arg.replace("\0", "")
    if not arg.startswith(_PATH):
        return arg
    inside = arg[len(_PATH) :].replace("..", "··").lstrip("/~")
    return str(folder / inside) if inside else str(folder / "none")


@contextmanager
def _not_served(*_: object, **__: object) -> Iterator[str]:
    raise StationProblem("Nothing is served here.")
    yield ""


def open_(folder: Path) -> Open:
    """The command, ready to be called."""
    made, work = folder / "made", folder / "work"
    samples.station(made / "station")
    (made / "list.csv").write_bytes(samples.text(","))
    (made / "batch.csv").write_bytes(samples.batch())
    (made / "music").mkdir()
    (made / "music" / "tide.wav").write_bytes(samples.audio(folder)[".wav"])
    runner = CliRunner(env={"HOME": str(work), "ASHEARD_STATION": str(work / "station")})
    patches = (
        mock.patch.object(network, "serving", _not_served),
        mock.patch.object(command_line, "refuse_used", lambda *_: None),
    )
    for patch in patches:
        patch.start()
    called, before = 0, Path.cwd()

    def close() -> None:
        for patch in patches:
            patch.stop()
        os.chdir(before)

    def read(data: bytes) -> bool:
        nonlocal called
        try:
            args = [str(arg) for arg in json.loads(data)]
        except ValueError:
            return False
        if called % RENEWED_AFTER == 0:
            os.chdir(folder)
            shutil.rmtree(work, ignore_errors=True)
            shutil.copytree(made, work)
            os.chdir(work)
        called += 1
        if not args or args[0] in _NEVER:
            return False
        result = runner.invoke(command_line.main, [_told(arg, work) for arg in args], input="")
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert result.exit_code in (0, 1, 2), result.exit_code
        assert "Traceback (most recent" not in result.output
        return result.exit_code == 0

    return Open([json.dumps(line.split("|")).encode() for line in VALID], change, read, close)
