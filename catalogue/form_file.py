"""Filed forms in one flat file beside the index, read by place.

tantivy finds which names share sounds; their forms are then needed by the hundred, and reading
them from its compressed store takes ten times as long as cutting them from a mapped file. The
file only grows: a form is written, and flushed to disk, before the index points to it, so that
what the index points to is always there.
"""

from __future__ import annotations

import mmap
import os
from collections.abc import Sequence
from operator import add
from pathlib import Path
from typing import BinaryIO

from catalogue import index_files
from catalogue.found_names import GAP, Forms, line_of
from catalogue.search_keys import Form


class FormFile:
    """The file of forms of one index folder."""

    NAME = "forms"

    def __init__(self, folder: Path) -> None:
        """Open the file in `folder`, made if it is not there."""
        self.path = folder / self.NAME
        if not self.path.exists():  # one that is there may be on a drive that is only read
            self.path.touch()
        self._map: mmap.mmap | None = None
        self._end = self.path.stat().st_size
        self._summed = (0, 0)

    def append(self, forms: Sequence[Form]) -> list[tuple[int, int]]:
        """Write forms at the end; returns (place, size) of each, in bytes."""
        places: list[tuple[int, int]] = []
        with self.path.open("ab") as file:
            self._end = file.seek(0, os.SEEK_END)
            for form in forms:
                line = line_of(form).encode("utf-8")
                places.append((self._end, len(line)))
                file.write(line)
                self._end += len(line)
        return places

    def checksum(self, size: int | None = None) -> tuple[int, int]:
        """(Bytes, CRC-32) of the first `size` bytes, of all that there are if it is not given.

        It goes on from where it last came to. Raises ValueError if there are fewer bytes.
        """
        with self.path.open("rb") as file:
            end = file.seek(0, os.SEEK_END) if size is None else size
            start, so_far = self._summed if self._summed[0] <= end else (0, 0)
            file.seek(start)
            self._summed = (end, index_files.checksum(file, end - start, so_far))
        return self._summed

    def flush(self) -> None:
        """Make sure that everything written is on the disk."""
        with self.path.open("rb+") as file:
            os.fsync(file.fileno())

    def read(self, places: Sequence[int], sizes: Sequence[int]) -> Forms:
        """The forms at these places. Raises ValueError if the file does not hold them."""
        if not places:
            return Forms([])
        ends = list(map(add, places, sizes))
        data = self._mapped(max(ends))
        # All at once: a thousand forms cut, decoded and split one by one take three times as long.
        lines = [data[place:end] for place, end in zip(places, ends, strict=True)]
        try:
            forms = Forms(GAP.encode().join(lines).decode("utf-8").split(GAP))
        except ValueError as problem:  # a UnicodeDecodeError is one
            raise ValueError("the file of forms is damaged") from problem
        if len(forms) != len(lines):
            raise ValueError("the file of forms is damaged")
        return forms

    def close(self) -> None:
        """Let go of the map."""
        if self._map is not None:
            self._map.close()
            self._map = None

    def _mapped(self, end: int) -> mmap.mmap:
        if self._map is None or len(self._map) < end:
            with self.path.open("rb") as file:
                fresh = self._map_of(file, end)
            # The old map may be in use by another thread; it goes when nobody holds it.
            self._map = fresh
        return self._map

    def _map_of(self, file: BinaryIO, end: int) -> mmap.mmap:
        if os.fstat(file.fileno()).st_size < end:
            raise ValueError("the file of forms is cut short")
        return mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
