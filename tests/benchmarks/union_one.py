"""One index over everything, searched as a station searches its own: what shards are put beside.

A union that was cut in one is such an index. Of a larger one the shards' segments are put into one
folder, which to tantivy is one index of as many segments: it counts terms and lengths over all of
them. So no second index of ten million names need be built.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path

from catalogue import index_view
from catalogue.form_file import FormFile
from catalogue.found_names import FETCHED, Found
from catalogue.index_view import View
from catalogue.search_keys import Keys
from catalogue.union_layout import UnionLayout

_META = "meta.json"


@dataclass(frozen=True, slots=True)
class OneIndex:
    """An open index. `starts` says for each of its segments, in tantivy's order, where the forms
    of its names begin in the file of forms."""

    view: View
    starts: Sequence[int]

    def search(self, keys: Keys, limit: int, rarest: int) -> Found:
        """As `SoundIndex.search`."""
        addresses = index_view.best(self.view, keys, limit, rarest)
        if not addresses:
            return Found.nothing()
        ids, places, sizes = index_view.columns(self.view, addresses)
        places = [place + self.starts[address.segment_ord]
                  for place, address in zip(places, addresses, strict=True)]  # fmt: skip
        return Found(ids, places, self.view.forms.read(places, sizes))

    @property
    def fetched(self) -> int:
        """As many as shards are asked for."""
        return FETCHED

    def rarities(self, words: Sequence[str]) -> list[float]:
        """As `SoundIndex.rarities`."""
        return index_view.rarities(self.view, words)


def opened(layout: UnionLayout, folder: Path) -> OneIndex:
    """The union as one index; of several shards it is put together in `folder`."""
    folders = [shard.index_folder for shard in layout.shards]
    metas = [json.loads((one / _META).read_text()) for one in folders]
    segments = [len(meta["segments"]) for meta in metas]
    sizes = [(one / FormFile.NAME).stat().st_size for one in folders]
    begins = list(accumulate(sizes, initial=0))
    starts = [begin for begin, count in zip(begins, segments, strict=False) for _ in range(count)]
    if len(folders) > 1:
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        _put_together(folders, metas, folder)
        folders = [folder]
    return OneIndex(index_view.opened(folders[0]), starts)


def _put_together(folders: Sequence[Path], metas: Sequence[dict[str, object]], to: Path) -> None:
    with (to / FormFile.NAME).open("wb") as forms:
        for folder in folders:
            with (folder / FormFile.NAME).open("rb") as own:
                shutil.copyfileobj(own, forms)
    for folder in folders:
        for file in folder.iterdir():
            if file.name not in (FormFile.NAME, _META) and not file.name.startswith("."):
                os.link(file, to / file.name)
    segments = [one for meta in metas for one in meta["segments"]]  # type: ignore[attr-defined]
    (to / _META).write_text(json.dumps(metas[0] | {"segments": segments}))
