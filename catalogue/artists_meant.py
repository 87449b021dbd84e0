"""Which artist is meant, when a request names one and no record: "anything by …", "ten cc"."""

from __future__ import annotations

from collections.abc import Sequence

from catalogue.comparisons import alike
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.search_keys import letters_of
from catalogue.sound import sound_of
from catalogue.sound_index import SoundIndex
from catalogue.spelling import without_article
from catalogue.weighed import Weighed

SAID_SO = 0.75
"""Plain ratio of phones or letters from which "anything by" means this artist: that an artist
follows is said, only which is to be told."""

ALONE = 0.85
"""Plain ratio of phones or letters from which words with no "anything by" are an artist and
nothing else."""


def artist_meant(
    index: SoundIndex, words: str, least: float, found: Sequence[Weighed] = ()
) -> int | None:
    """The recording id of some record by the artist that the words sound most like.

    None if no artist is at least as alike as `least`. Leading articles are set aside. `found`
    are all matches of these very words, hopeless ones too, where they were weighed already.
    """
    bare = without_article(understand(Heard(words)).heard)
    if not bare:
        return None
    phones, letters = sound_of(bare).phones, letters_of(bare)
    nearest: tuple[float, int] | None = None
    compared: set[str] = set()
    for match in found or weigh(index, understand(Heard(words)), keep_hopeless=True):
        form, artist = match.form, without_article(match.form.artist)
        if form.artist in compared:
            continue
        compared.add(form.artist)
        held = (form.artist_phones, form.artist_letters)
        if artist != form.artist:
            held = sound_of(artist).phones, letters_of(artist)
        # "ten c c" is spelt as "10cc"
        likeness = max(alike(phones, held[0]), alike(letters, held[1]))
        if nearest is None or likeness > nearest[0]:
            nearest = (likeness, match.recording_id)
    return nearest[1] if nearest and nearest[0] >= least else None
