"""One input once more, alone: `python -m tests.fuzz.again READER FILE [FOLDER]`.

Prints the traceback of what comes of it; in FOLDER lies the board for whoever watches.
"""

from __future__ import annotations

import sys
import tempfile
import time
import traceback
from pathlib import Path

from tests.fuzz import engines


def main() -> None:
    """Read it, and tell."""
    name, file = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as own:
        folder = Path(sys.argv[3] if len(sys.argv) > 3 else own)
        engines.bounded()
        trial = engines.Trial(name, folder, 0)
        data = Path(file).read_bytes()
        trial.counts.began = time.monotonic()
        trial.board.put(trial.counts, data)
        began = time.process_time()
        try:
            print("read" if trial.open.read(data) else "refused")
        except Exception:
            traceback.print_exc(file=sys.stdout)
        print(f"{time.process_time() - began:.2f} s of processor time")


if __name__ == "__main__":
    main()
