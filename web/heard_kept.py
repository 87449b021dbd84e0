"""What was heard, kept as it is typed: unless another desk wrote something else meanwhile.

Then nothing is overwritten: the page is told what stands there, and a person says which stays.
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

from catalogue import callers
from catalogue.heard import Heard
from catalogue.store import Store
from web.station import now, who


@dataclass(frozen=True, slots=True)
class HeardClash:
    """What another desk wrote in the two boxes."""

    heard: str
    artist: str

    @property
    def both(self) -> str:
        """The two as one line."""
        return " / ".join(part for part in (self.heard, self.artist) if part)


def keep(store: Store, slip_id: int, words: Heard) -> HeardClash | None:
    """Keep the words, or return what stands there and was not seen. Raises what `write` raises."""
    if words.title:
        kept = {"heard": "", "heard_title": words.title, "heard_artist": words.artist}
    else:
        kept = {"heard": words.text, "heard_title": "", "heard_artist": words.artist}
    with store.transaction():
        there = standing(store, slip_id)
        if there is not None and _not_seen(there, words):
            return there
        callers.write(store, slip_id, kept, who(), now())
    return None


def standing(store: Store, slip_id: int) -> HeardClash | None:
    """What is in the two boxes of a slip, None when its details were erased."""
    details = callers.of(store, slip_id)
    if details is None:
        return None
    return HeardClash(details.heard_title or details.heard, details.heard_artist)


def _not_seen(there: HeardClash, words: Heard) -> bool:
    if "seen_heard" not in request.form:
        return False
    seen = (
        request.form["seen_heard"].strip(),
        request.form.get("seen_heard_artist", "").strip(),
    )
    typed = ((words.title or words.text).strip(), words.artist.strip())
    return (there.heard, there.artist) not in (seen, typed)
