"""Which recording a title and artist as heard most likely mean, by the matcher."""

from __future__ import annotations

from collections.abc import Callable

from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import Band
from catalogue.sound_index import SoundIndex


def meant_by(index: SoundIndex) -> Callable[[str, str], int | None]:
    """A function from title and artist to the recording meant, None unless it is likely."""

    def meant(title: str, artist: str) -> int | None:
        if not title.strip():
            return None
        weighed = weigh(index, understand(Heard("", title, artist)))
        if not weighed or weighed[0].band is Band.POSSIBLE:
            return None
        return weighed[0].recording_id

    return meant
