"""Whether a file is gone, or only out of reach: a drive that is not plugged in has lost nothing."""

from __future__ import annotations

import os
from pathlib import Path

from catalogue import roots
from catalogue.store import Store


class Reach:
    """Looks at the drive, and remembers which library folders are there."""

    def __init__(self, store: Store) -> None:
        self._roots = [root.path for root in roots.all_roots(store)]
        self._there: dict[str, bool] = {}

    def is_gone(self, path: str) -> bool:
        """Whether a file is not where it was, though its library folder is there.

        Where only a bare folder is left of those above it, a drive may be missing from it: then
        the file is not called gone.
        """
        try:
            if os.path.lexists(path):
                return False
            root = roots.root_of(path, self._roots)
            return root is None or (self._is_there(root) and not _in_bare_folder(path, root))
        except (OSError, ValueError):
            return False

    def _is_there(self, root: str) -> bool:
        if root not in self._there:
            self._there[root] = has_anything(root)
        return self._there[root]


def has_anything(folder: str | Path) -> bool:
    """Whether a folder is there and has something in it; an empty one may be a mount point."""
    try:
        with os.scandir(folder) as inside:
            return next(inside, None) is not None
    except OSError:
        return False


def _in_bare_folder(path: str, root: str) -> bool:
    """Whether the nearest folder that still exists, above the file's own, is empty."""
    above = Path(path).parent.parent
    while len(str(above)) > len(root):
        if above.is_dir():
            return not has_anything(above)
        above = above.parent
    return False
