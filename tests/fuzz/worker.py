"""The process that reads: `python -m tests.fuzz.worker ENGINE READER FOLDER COUNT SEED`."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.fuzz import engines


def main() -> None:
    """Try one reader until the count is reached."""
    engine, name, folder, count, seed = sys.argv[1:]
    engines.bounded()
    work = engines.led_by_coverage if engine == "coverage" else engines.blindly
    sys.argv = sys.argv[:1]
    work(name, Path(folder), int(count), int(seed))


if __name__ == "__main__":
    main()
